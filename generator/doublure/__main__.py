"""`python -m doublure` is the same as `doublure`.

In: arguments. Out: exit status. Never: anything of its own.
"""

from doublure.cli import main

if __name__ == "__main__":
    main()

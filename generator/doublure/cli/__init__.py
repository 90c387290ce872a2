"""The command line: commands that parse, call the pipeline, and print.

In: arguments. Out: data on standard output, messages on standard error, an exit status
(0 done, 1 the input is wrong, 2 wrong usage, 3 an internal fault). Never: a traceback, computing.
"""

from doublure.cli.app import describe_commands, main, run

__all__ = ["describe_commands", "main", "run"]

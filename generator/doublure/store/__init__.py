"""The only part that touches the disk: notes, pictures, the cache, the finished site, new projects.

In: paths, bytes. Out: texts, facts, faults. Never: knowing YAML, judging notes, working anything out.
"""

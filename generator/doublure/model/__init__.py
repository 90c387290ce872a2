"""Records only: one frozen class for each kind of note; Replica holds and indexes them.

In: values decoded by notes/. Out: records. Never: computing, reading files.
"""

"""The order of the steps of `doublure measure` and `doublure flatten`: points, size, the flat piece, the note.

In: what the commands were given. Out: records that they print. Never: formulas, printing, the clock.
Its modules are imported where they are wanted: reading pictures needs libraries that are slow to load.
"""

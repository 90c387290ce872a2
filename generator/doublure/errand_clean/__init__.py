"""The order of the steps of `doublure clean`: scans become masters, each with a record and a strip.

In: what the command was given. Out: records that it prints. Never: formulas, printing, the clock.
Its modules are imported where they are wanted: reading pictures needs libraries that are slow to load.
"""

"""Everything computed from a Replica, one module for each appendix.

In: a Replica and reference data. Out: frozen results that keep their inputs.
Never: files, clock, randomness, display text.
"""

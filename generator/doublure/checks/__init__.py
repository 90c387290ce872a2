"""A Replica to problems: what contradicts itself, does not fit, lies in one place twice, cannot be made.

In: a Replica, what the disk said of notes and pictures. Out: problems. Never: reading files.
"""

from doublure.checks.all import check_replica
from doublure.checks.artwork import check_artwork
from doublure.checks.files import describe_note_faults
from doublure.checks.loose_names import check_stacks, names_stacks

__all__ = ["check_artwork", "check_replica", "check_stacks", "describe_note_faults", "names_stacks"]

"""Tells by what the system says of a file whether it is still the one that was read, within one run of the program.

In: what the system says. Out: stamps that can be compared. Never: outliving the process; what is kept on disk goes
by content alone.
"""

from __future__ import annotations

import os
import time
from dataclasses import dataclass

#: A file changed less than this before it was read may change again within one tick of the system's clock.
SETTLED_NS = 2_000_000_000


@dataclass(frozen=True, slots=True)
class FileStamp:
    """What the system says of a file; a change of content changes at least one of these."""

    device: int
    inode: int
    size: int
    modified_ns: int
    changed_ns: int

    @property
    def is_settled(self) -> bool:
        """True where the file has lain long enough that any further change would show in its stamp."""
        return time.time_ns() - max(self.modified_ns, self.changed_ns) > SETTLED_NS


def stamp_file(status: os.stat_result) -> FileStamp:
    """Return the stamp of a file."""
    return FileStamp(status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns)

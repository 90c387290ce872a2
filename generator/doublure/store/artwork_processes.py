"""Works on many pictures in processes of their own, since Pillow's encoders let nothing else run beside them.

In: a project, its cache, files. Out: nothing but entries of the cache. Never: a result that is needed.
A process only leaves in the cache what the caller would make itself: where none can be started, or one dies, the
caller finds less there and makes the rest on threads. A process is a fresh interpreter that runs this module.
"""

from __future__ import annotations

import contextlib
import heapq
import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from doublure.store.artwork_pixels import LARGE_PX
from doublure.store.cache import Cache

#: So many pixels for each process at least: less is done before it has started.
PIXELS_EACH = 60_000_000
_MODULE = "doublure.store.artwork_processes"
#: Pillow keeps so many blocks of 16 MB for the next picture, instead of getting and clearing fresh ones from the
#: system each time, which takes as long as decoding Group 4.
_BLOCKS = {"PILLOW_BLOCKS_MAX": "4"}


def count_cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0)) or 1
    return os.cpu_count() or 1


def work_ahead(root: Path, journal: str, cache: Cache, pixels: Mapping[str, int], with_streams: bool) -> int:
    """Fill the cache from processes of their own where there is enough to do for two at least.

    Large pictures are left to the caller, which works on one at a time to spare memory.

    Args:
        root: The project's folder.
        journal: The journal's folder within the project.
        cache: To be filled; one that keeps nothing starts nothing.
        pixels: How many pixels each file has, by path.
        with_streams: True to make the streams as well.

    Returns:
        How many processes were started.
    """
    fit = {file: count for file, count in pixels.items() if 0 < count <= LARGE_PX}
    processes = min(count_cores(), sum(fit.values()) // PIXELS_EACH)
    if processes < 2 or cache.folder is None or not _is_plain_python():
        return 0
    running: list[subprocess.Popen[bytes]] = []
    try:
        for share in _share_out(fit, processes):
            task = [str(root), journal, str(cache.folder), with_streams, share]
            running.append(_start(json.dumps(task)))
        for one in running:
            one.wait()
    except OSError:  # no process can be had, or it died before it had read its task
        pass
    finally:
        for one in running:
            if one.poll() is None:
                one.kill()
                one.wait()
    return len(running)


def _is_plain_python() -> bool:
    """True where this is an interpreter that can be started again, not a program that holds one."""
    name = Path(sys.executable or "").stem.lower()
    return name.startswith(("python", "pypy")) and not getattr(sys, "frozen", False)


def _share_out(pixels: Mapping[str, int], shares: int) -> list[list[str]]:
    """Return the files in shares of about the same number of pixels, the largest files first."""
    heap: list[tuple[int, int, list[str]]] = [(0, number, []) for number in range(shares)]
    for file in sorted(pixels, key=lambda name: (-pixels[name], name)):
        total, number, files = heapq.heappop(heap)
        files.append(file)
        heapq.heappush(heap, (total + pixels[file], number, files))
    return [files for _, _, files in sorted(heap)]


def _start(task: str) -> subprocess.Popen[bytes]:
    process = subprocess.Popen(
        [sys.executable, "-P", "-m", _MODULE],
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        # What it has to say, the caller says of the files that are missing in the cache.
        stderr=subprocess.DEVNULL,
        env={**os.environ, **_BLOCKS},
        creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
    )
    assert process.stdin is not None
    try:
        process.stdin.write(task.encode("utf-8"))
        process.stdin.close()
    except OSError:
        with contextlib.suppress(OSError):
            process.stdin.close()
    return process


def _work() -> None:
    """Do one task from standard input, one picture after the other."""
    from doublure.store.artwork import fill_cache

    root, journal, folder, with_streams, files = json.loads(sys.stdin.buffer.read())
    cache = Cache(Path(folder))
    for file in files:
        fill_cache(Path(root), file, cache, journal, with_streams)


if __name__ == "__main__":
    _work()

"""Saves an internal fault to a file that can be sent to whoever mends it.

In: the exception. Out: a new file of where it happened and under what versions.
Never: the exception's message or any value, since those may quote what is private in the notes.
"""

from __future__ import annotations

import platform
import sys
import tempfile
import traceback
from datetime import datetime
from pathlib import Path

import doublure

FAULT_FOLDER = ".doublure"


def save_fault(error: BaseException, command: str, root: Path | None = None) -> Path | None:
    """Write a fault to .doublure/fault-DATE.txt of the project, or to the system's folder for such things.

    Args:
        error: What was raised.
        command: Name of the command alone, without its arguments.
        root: The project's folder; None where there is none.

    Returns:
        The new file, or None where nothing can be written anywhere.
    """
    text = describe_fault(error, command)
    stamp = datetime.now().strftime("%Y-%m-%dT%H%M%S")
    folders = [Path(tempfile.gettempdir())]
    if root is not None:
        folders.insert(0, root / FAULT_FOLDER)
    for folder in folders:
        for number in range(1, 100):
            path = folder / f"fault-{stamp}{f'-{number}' if number > 1 else ''}.txt"
            try:
                folder.mkdir(parents=True, exist_ok=True)
                with path.open("x", encoding="utf-8") as stream:
                    stream.write(text)
                return path
            except FileExistsError:
                continue
            except OSError:
                break
    return None


def describe_fault(error: BaseException, command: str) -> str:
    """Return the fault as text: versions, kinds of exceptions, and the places in the program."""
    lines = [
        f"doublure {doublure.__version__}, command {command}",
        f"Python {platform.python_version()} on {platform.system()} {platform.machine()}",
        "Messages and values are left out: they may quote your notes.",
        "",
    ]
    chain: list[BaseException] = []
    link: BaseException | None = error
    while link is not None and link not in chain:
        chain.append(link)
        link = link.__cause__ or (None if link.__suppress_context__ else link.__context__)
    for number, raised in enumerate(chain):
        kind = type(raised)
        system = f" (system error {raised.errno})" if isinstance(raised, OSError) else ""
        lines.append(f"{'after ' if number else ''}{kind.__module__}.{kind.__qualname__}{system}")
        for frame in traceback.extract_tb(raised.__traceback__):
            lines.append(f"  {_shorten(frame.filename)}:{frame.lineno} in {frame.name}")
        lines.append("")
    return "\n".join(lines)


def _shorten(filename: str) -> str:
    """Return a file of the program without the folders that name the user."""
    path = Path(filename)
    for folder in sorted((Path(entry) for entry in sys.path if entry), key=lambda p: -len(p.parts)):
        if path.is_relative_to(folder):
            return path.relative_to(folder).as_posix()
    return path.name

"""The rules of the layers, as a reader of source texts: which module may import and call what.

Written for tests/test_architecture.py, which also plants violations to see each rule fail.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath

MAX_LINES = 400
FORBIDDEN_NAMES = frozenset({"util", "utils", "helper", "helpers", "misc", "common"})

#: Words that every part speaks.
FIRST = frozenset({"errors", "problems", "problem_codes", "quantities", "measured", "leiden"})
PIPELINE = frozenset({"pipeline", "printing", "errands", "errand_backs", "errand_measure", "errand_clean"})
SHELLS = frozenset({"cli", "plugin", "local", "__main__"})
_SUMS_AND_NOTES = FIRST | {"trade", "model"}
_RENDER = _SUMS_AND_NOTES | {"checks", "workings", "changes", "render"}
#: What each part may import of the package.
ALLOWED: dict[str, frozenset[str]] = {
    "": frozenset(),
    **{name: FIRST for name in FIRST},
    "trade": FIRST | {"trade"},
    "model": FIRST | {"model"},
    "notes": FIRST | {"model", "notes"},
    "checks": _SUMS_AND_NOTES | {"checks"},
    "workings": _SUMS_AND_NOTES | {"workings"},
    "changes": _SUMS_AND_NOTES | {"changes"},
    "render": _RENDER,
    "store": FIRST | {"model", "store"},
    **{name: _RENDER | {"notes", "store"} | PIPELINE for name in PIPELINE},
    **{name: PIPELINE | SHELLS | {"problems", "errors"} for name in SHELLS},
}

#: Libraries that only some parts may import.
_LIBRARIES: dict[str, frozenset[str]] = {
    "PIL": frozenset({"store"}),
    "cv2": frozenset({"store", "trade"}),
    "numpy": frozenset({"store", "trade"}),
    "pikepdf": frozenset({"store", "render"}),
    "reportlab": frozenset({"render"}),
    "scipy": frozenset({"trade"}),
    "yaml": frozenset({"notes"}),
    "click": frozenset({"cli"}),
    "mkdocs": PIPELINE | {"plugin"},
    "material": frozenset(),
    "markdown": frozenset({"render"}),
    "nh3": frozenset({"render"}),
}
#: Modules that reach the disk, the network, the clock, the environment or chance.
_OUTSIDE_WORLD = frozenset(
    {
        "builtins", "fcntl", "fileinput", "ftplib", "getpass", "glob", "http",
        "importlib.resources", "io.open", "linecache", "mmap", "msvcrt", "multiprocessing", "os",
        "pathlib", "pkgutil", "platform", "requests", "secrets", "shelve", "shutil", "smtplib",
        "socket", "sqlite3", "ssl", "subprocess", "tempfile", "time", "urllib.error",
        "urllib.request", "urllib3", "uuid", "webbrowser",
    }
)  # fmt: skip
_PURE_PATHS = frozenset({"PurePath", "PurePosixPath", "PureWindowsPath"})
_CALLS = frozenset({"open", "print", "input", "breakpoint", "eval", "exec", "__import__"})
_CLOCK = frozenset({"now", "today", "utcnow"})
_DISK_METHODS = frozenset(
    {
        "chmod", "cwd", "exists", "expanduser", "glob", "hardlink_to", "home", "is_dir", "is_file",
        "is_symlink", "iterdir", "lstat", "mkdir", "read_bytes", "read_text", "readlink", "resolve",
        "rglob", "rmdir", "samefile", "symlink_to", "touch", "unlink", "write_bytes", "write_text",
    }
)  # fmt: skip
_SYS = frozenset({"argv", "exit", "stdin", "stdout", "stderr", "path"})


@dataclass(frozen=True, slots=True, order=True)
class Violation:
    """A broken rule: the file within the package, the line, and words."""

    file: str
    line: int
    words: str

    def __str__(self) -> str:
        return f"doublure/{self.file}:{self.line}: {self.words}"


def part_of(file: str) -> str:
    """Return the folder or module at the top that a file of the package belongs to, "" for the root."""
    top = PurePosixPath(file).parts[0].removesuffix(".py")
    return "" if top == "__init__" else top


def check_module(file: str, source: str) -> tuple[Violation, ...]:
    """Return every broken rule of one module.

    Args:
        file: Path within the package, forward slashes, such as "trade/book/creep.py".
        source: Its text.
    """
    found = {Violation(file, line, words) for line, words in _check(file, source)}
    return tuple(sorted(found))


def _check(file: str, source: str) -> Iterator[tuple[int, str]]:
    lines = source.count("\n") + (not source.endswith("\n"))
    if lines > MAX_LINES:
        yield MAX_LINES + 1, f"{lines} lines; a module has at most {MAX_LINES}"
    for name in PurePosixPath(file).parts:
        if name.removesuffix(".py") in FORBIDDEN_NAMES:
            yield 1, f"named {name}; name it for what it is"
    part = part_of(file)
    if part not in ALLOWED:
        yield 1, f"{part} belongs to no layer; give it one in tests/architecture_rules.py"
        return
    tree = ast.parse(source)
    for line, name in _imports(file, tree):
        yield from _check_import(part, line, name)
    if part != "store" and part not in SHELLS:
        yield from _check_outside_world(part, tree)


def _check_import(part: str, line: int, name: str) -> Iterator[tuple[int, str]]:
    top, _, rest = name.partition(".")
    if top == "doublure":
        target = rest.partition(".")[0]
        if target and target != "__version__" and target not in ALLOWED[part]:
            yield line, f"{part or 'the root'} imports {target}, which is not below it"
    elif part not in _LIBRARIES.get(top, {part}):
        yield line, f"{part or 'the root'} imports {top}, which is not its business"


def _imports(file: str, tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield line and full name of everything imported, relative and dynamic imports included."""
    package = ["doublure", *PurePosixPath(file).parts[:-1]]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                up = package[: len(package) - node.level + 1]
                base = ".".join([*up, base]) if base else ".".join(up)
            for alias in node.names:
                yield node.lineno, f"{base}.{alias.name}"
        elif isinstance(node, ast.Call) and _called(node) in ("import_module", "__import__"):
            for argument in node.args[:1]:
                if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
                    yield node.lineno, argument.value


def _check_outside_world(part: str, tree: ast.AST) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield from _check_outside_import(part, node.lineno, alias.name, "")
        elif isinstance(node, ast.ImportFrom) and not node.level:
            for alias in node.names:
                yield from _check_outside_import(part, node.lineno, node.module or "", alias.name)
        elif isinstance(node, ast.Call):
            yield from _check_call(node)
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            if node.value.id == "sys" and node.attr in _SYS:
                yield node.lineno, f"reaches the outside world by sys.{node.attr}"
            elif node.value.id == "random" and node.attr != "Random":
                yield node.lineno, f"random.{node.attr} has no seed; use random.Random(seed)"


def _check_outside_import(part: str, line: int, module: str, name: str) -> Iterator[tuple[int, str]]:
    if module == "pathlib" and name in _PURE_PATHS:
        return
    if module == "pathlib" and name == "Path" and part in PIPELINE:
        return  # it hands paths on, and has no business looking behind them
    if module == "random" and name not in ("", "Random"):
        yield line, f"random.{name} has no seed; use random.Random(seed)"
    prefixes = {module, module.partition(".")[0], f"{module}.{name}"}
    if found := prefixes & _OUTSIDE_WORLD:
        yield line, f"reaches the outside world by {min(found)}; only store/ and the shells may"


def _check_call(node: ast.Call) -> Iterator[tuple[int, str]]:
    name = _called(node)
    if isinstance(node.func, ast.Name):
        if name in _CALLS:
            yield node.lineno, f"calls {name}(); only store/ and the shells may"
        elif name == "Random" and not node.args:
            yield node.lineno, "Random() has no seed"
        return
    if name in _CLOCK:
        yield node.lineno, f"asks the clock by .{name}(); the time is handed in"
    elif name in _DISK_METHODS:
        yield node.lineno, f"reaches the disk by .{name}(); only store/ and the shells may"
    elif name == "Random" and not node.args:
        yield node.lineno, "Random() has no seed"


def _called(node: ast.Call) -> str:
    if isinstance(node.func, ast.Name):
        return node.func.id
    return node.func.attr if isinstance(node.func, ast.Attribute) else ""

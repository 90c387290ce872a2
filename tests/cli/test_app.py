"""The command line as a whole: exit statuses, where things are printed, and that no traceback gets out."""

from __future__ import annotations

import errno
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest

import doublure
from doublure import errands
from doublure.cli import app as app_module
from doublure.cli import describe_commands, run
from doublure.errors import DomainError, JournalRejected, UsageError
from doublure.problems import Problem, Span

Capture = pytest.CaptureFixture[str]
Plant = Callable[[BaseException], None]


@pytest.fixture
def raising(monkeypatch: pytest.MonkeyPatch) -> Plant:
    """Make `lay` raise."""

    def plant(error: BaseException) -> None:
        def fail(pages: int, sheets: int, rtl: bool) -> None:
            raise error

        monkeypatch.setattr(errands, "lay_pages", fail)

    return plant


LAY = ["lay", "--pages", "8", "--sheets", "2"]


def test_help_and_version(capsys: Capture) -> None:
    assert run(["--help"]) == 0
    out = capsys.readouterr().out
    for name in ("start", "note", "check", "build", "serve", "schema", "lay", "weigh"):
        assert f"\n  {name} " in out
        assert "..." not in next(line for line in out.splitlines() if line.startswith(f"  {name} "))
    assert run(["--version"]) == 0
    assert capsys.readouterr().out == f"doublure {doublure.__version__}\n"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "Usage"),
        (["lya"], 'There is no command "lya"; did you mean lay?'),
        (["xyz"], "there are start, note"),
        (["--nothing"], "--nothing"),
        (["lay"], "--pages"),
        (["lay", "--pages", "x", "--sheets", "2"], "not a valid integer"),
        (["weigh"], "WEIGHT"),
        (["note"], "TEXT"),
        (["note", "x", "--made", "-1"], "--made"),
    ],
)
def test_wrong_usage_is_2(arguments: list[str], words: str, capsys: Capture) -> None:
    assert run(arguments) == 2
    printed = capsys.readouterr()
    assert words in printed.err
    assert printed.out == ""


@pytest.mark.parametrize("error", [UsageError("no such thing"), DomainError("no such thing", "pages")])
def test_wrong_input_is_1(error: Exception, raising: Plant, capsys: Capture) -> None:
    raising(error)
    assert run(LAY) == 1
    assert capsys.readouterr() == ("", "doublure: no such thing\n")


def test_a_rejected_journal_is_1_with_every_problem(
    raising: Plant, capsys: Capture
) -> None:
    problems = tuple(Problem("F101", f"problem {n}", Span("journal/a.md", n, 1, 1, "x")) for n in (1, 2))
    raising(JournalRejected(problems))
    assert run(LAY) == 1
    err = capsys.readouterr().err
    assert "journal/a.md:1:1: error[F101] problem 1" in err
    assert "journal/a.md:2:1: error[F101] problem 2" in err


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS])
def test_a_system_that_refuses_is_1(
    number: int, raising: Plant, capsys: Capture
) -> None:
    raising(OSError(number, "the system's words", "journal/log"))
    assert run(LAY) == 1
    assert capsys.readouterr().err == "doublure: journal/log: the system's words\n"
    raising(OSError(number, "the system's words"))
    assert run(LAY) == 1
    assert capsys.readouterr().err == "doublure: the system's words\n"


@pytest.mark.parametrize("error", [click.Abort(), KeyboardInterrupt()])
def test_an_interrupt_is_no_fault(
    error: BaseException, raising: Plant, capsys: Capture
) -> None:
    raising(error)
    assert run(LAY) == 130
    assert "fault" not in capsys.readouterr().err


@pytest.mark.parametrize(
    "error", [RuntimeError("to the lighthouse"), OSError(errno.EIO, "x"), AssertionError(), RecursionError()]
)
def test_an_internal_fault_is_3_and_saved(
    error: Exception,
    raising: Plant,
    tiny: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: Capture,
) -> None:
    monkeypatch.chdir(tiny / "journal")
    raising(error)
    assert run(LAY) == 3
    printed = capsys.readouterr()
    assert printed.out == ""
    assert len(printed.err.splitlines()) == 1
    (saved,) = (tiny / ".doublure").glob("fault-*.txt")
    assert printed.err.startswith(f"doublure: an internal fault in lay ({type(error).__name__})")
    assert printed.err.rstrip().endswith(str(saved))
    text = saved.read_text()
    assert "Traceback" not in printed.err
    assert "lighthouse" not in text + printed.err
    assert type(error).__name__ in text
    assert "cli/test_app.py" in text


def test_a_fault_that_cannot_be_saved_is_said(
    raising: Plant, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    raising(RuntimeError())
    monkeypatch.setattr(errands, "save_fault", lambda error, command, start: None)
    assert run(LAY) == 3
    assert "could not be saved" in capsys.readouterr().err


def test_a_closed_pipe_is_no_fault() -> None:
    script = f"{sys.executable} -m doublure lay --pages 4000 --sheets 1 | head -1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[1] in ("0", "1")
    assert done.stderr == ""


def test_the_module_is_the_command() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "doublure", *LAY, "--json"], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["pages"] == 8


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_shell_completion_comes_with_it(shell: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from doublure.cli import main; main()"],
        env={"_DOUBLURE_COMPLETE": f"{shell}_source", "PATH": "/usr/bin:/bin"},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "_DOUBLURE_COMPLETE" in done.stdout
    assert "Traceback" not in done.stderr


def test_commands_describe_themselves() -> None:
    rows = {name: (usage, help_text, options) for name, usage, help_text, options in describe_commands()}
    assert [name for name in rows if " " not in name] == list(app_module._COMMANDS)
    assert {"backs target", "backs read", "backs enter", "backs fit"} <= set(rows)
    usage, help_text, options = rows["note"]
    assert usage == "doublure note [OPTIONS] TEXT"
    assert help_text.startswith("Write down what was done, as a new entry of the log.\n\n")
    about = "What it is about: a note, gathering-3, stack-7-front, a page. May come again."
    assert ("-a, --about THING", about) in options
    for name, (_, words, rows_of_options) in rows.items():
        assert words, name
        assert all(text for _, text in rows_of_options), name

"""The command note: what it accepts, what it refuses, and that it stays light."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from doublure import errands
from doublure.cli import run

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def here(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tiny)
    return tiny


def test_a_whole_entry(here: Path, capsys: Capture) -> None:
    Image.new("RGB", (20, 10), "red").save(here / "camera.jpg")
    arguments = [
        "note", "Printed the fronts.", "--about", "tide-pass", "-a", "gathering-1", "-a", "Plate 2",
        "--minutes", "1h20min", "--spent", "3,20", "--photo", "camera.jpg",
        "--made", "9", "--spoiled", "0", "--step", "printing",
        "--on", "2031-03-14",
    ]  # fmt: skip
    assert run(arguments) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert printed.out.splitlines() == [
        "journal/log/2031-03-14-printed-the-fronts.md",
        "journal/pictures/log/2031-03-14-printed-the-fronts.jpg",
    ]
    assert (here / "journal/log/2031-03-14-printed-the-fronts.md").read_text() == (
        "---\n"
        'about: [tide-pass, gathering-1, "Plate 2"]\n'
        "step: printing\n"
        "minutes: 80\n"
        "spent: 3.20\n"
        "made: 9\n"
        "spoiled: 0\n"
        "photos: [pictures/log/2031-03-14-printed-the-fronts.jpg]\n"
        "---\n\nPrinted the fronts.\n"
    )


def test_a_stack_is_logged_by_its_side(here: Path) -> None:
    arguments = ["note", "Nine fronts", "--about", "stack-2-front", "--made", "9", "--spoiled", "1"]
    assert run([*arguments, "--on", "2031-03-15"]) == 0
    assert (here / "journal/log/2031-03-15-nine-fronts.md").read_text() == (
        "---\nabout: [stack-2-front]\nmade: 9\nspoiled: 1\n---\n\nNine fronts\n"
    )


def test_today_from_anywhere_inside(here: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    monkeypatch.chdir(here / "journal/inserts")
    before = date.today()
    assert run(["note", "Rain"]) == 0
    name = capsys.readouterr().out.strip()
    assert name in {f"journal/log/{day.isoformat()}-rain.md" for day in (before, date.today())}
    assert (here / name).read_text() == "Rain\n"


@pytest.mark.parametrize(
    ("given", "written"),
    [("40", "40"), ("7,5", "7.5"), ("1 h 20 min", "80"), ("90 min", "90"), ("2 h", "120")],
)
def test_minutes(here: Path, given: str, written: str) -> None:
    assert run(["note", "x", "--minutes", given, "--on", "2031-01-02"]) == 0
    assert f"minutes: {written}\n" in (here / "journal/log/2031-01-02-x.md").read_text()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--about", "tide-pas"], 'no note, gathering, stack, plate or page "tide-pas"; did you mean tide-pass?'),
        (["--about", "Tide-Pass"], "did you mean tide-pass?"),
        (["--about", "gathring-3"], "did you mean gathering-3?"),
        (["--about", "masters/tide-pass"], "did you mean tide-pass?"),
        (["--about", "gathering-0"], "did you mean gathering-1?"),
        (["--about", "stack-0-front"], "did you mean stack-1?"),
        (["--about", "stak-2"], "did you mean stack-2?"),
        (["--about", "gathering-9"], 'about: "gathering-9": the book has 1 gathering; the last one is gathering-1'),
        (["--about", "page-99"], 'about: "page-99": the book has 8 pages; the last one is page-8'),
        (["--about", "stacks-1-3"], 'about: "stacks-1-3": the book has 2 stacks; the last one is stack-2'),
        (["--about", "plate-99"], 'about: "plate-99": the book has '),
        (["--about", "stak-7"], "did you mean stack-7?"),
        (["--about", "stack-7-side"], "stack-7-side"),
        (["--about", "plate-12 outer"], "plate-12 outer"),
        (["--about", "zzz"], '"zzz"\n'),
        (["--about", ""], 'page ""\n'),
        (["--minutes", "long"], "minutes: "),
        (["--minutes", "-3"], "minutes: "),
        (["--spent", "much"], "spent: "),
        (["--spent", "-1"], "spent: "),
        (["--on", "14.3.2031"], "write it as 2031-03-14"),
        (["--on", "2031-02-30"], "write it as 2031-03-14"),
        (["--on", "20310314"], "write it as 2031-03-14"),
        (["--photo", "none.jpg"], "photo none.jpg: no such file"),
        (["--photo", "mkdocs.yml"], "photo mkdocs.yml: it is no picture"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_written(
    here: Path, arguments: list[str], words: str, capsys: Capture
) -> None:
    assert run(["note", "Cut", *arguments]) == 1
    printed = capsys.readouterr()
    assert printed.out == ""
    assert words in printed.err
    assert not (here / "journal/log").exists()


@pytest.mark.parametrize("text", ["{private} and not closed", "closed {/private} only", " ", "caf\udce9"])
def test_texts_that_cannot_be_read_back(here: Path, text: str) -> None:
    assert run(["note", text]) == 1
    assert not (here / "journal/log").exists()


def test_private_passages_are_kept_in_the_note_and_out_of_its_name(here: Path) -> None:
    Image.new("RGB", (20, 10)).save(here / "p.png")
    text = "{private}To Anna:{/private} gave one away {private}at the lock{/private}"
    assert run(["note", text, "--photo", "p.png", "--on", "2031-01-02"]) == 0
    (entry,) = (here / "journal/log").iterdir()
    assert text in entry.read_text()
    assert entry.name == "2031-01-02-gave-one-away.md"
    assert [path.name for path in (here / "journal/pictures/log").iterdir()] == ["2031-01-02-gave-one-away.png"]
    assert run(["note", "{private}To Anna{/private}", "--on", "2031-01-02"]) == 0
    assert (here / "journal/log/2031-01-02-entry.md").is_file()


def test_all_unknown_names_are_told_at_once(here: Path, capsys: Capture) -> None:
    assert run(["note", "x", "--about", "aaa", "--about", "tide-pass", "--about", "bbb"]) == 1
    err = capsys.readouterr().err
    assert '"aaa"' in err
    assert '"bbb"' in err


def test_one_name_of_two_notes(here: Path, capsys: Capture) -> None:
    (here / "journal/masters/tide-pass.md").write_text("title: T\n")
    assert run(["note", "x", "--about", "tide-pass"]) == 1
    assert "write inserts/tide-pass or masters/tide-pass" in capsys.readouterr().err
    assert run(["note", "x", "--about", "masters/tide-pass"]) == 0


def test_a_note_that_is_private_is_not_known(here: Path) -> None:
    (here / "journal/private").mkdir()
    (here / "journal/private/copy-3.md").write_text("title: T\n")
    assert "copy-3" not in errands.known_things(here)


def test_without_a_project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["note", "x"]) == 1
    assert "doublure start" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_names_are_completed_for_the_shell(here: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from doublure.cli import main; main()"],
        env={
            "_DOUBLURE_COMPLETE": "bash_complete",
            "COMP_WORDS": "doublure note x --about ti",
            "COMP_CWORD": "4",
        },
        cwd=here, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stdout == "plain,tide-pass\n"


def test_nothing_heavy_is_imported(here: Path) -> None:
    script = (
        "import sys; from doublure.cli import run; assert run(['note', 'x', '--about', 'tide-pass']) == 0; "
        "print(*sorted(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=here, capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.splitlines()[1].split())
    assert "doublure.store.log_writer" in loaded
    heavy = re.compile(
        r"(mkdocs|PIL|yaml|numpy|jinja2|markdown|doublure\.(trade|render|notes|workings|checks|pipeline))\b"
    )
    assert [name for name in loaded if heavy.match(name)] == []


def test_numbers_pass_where_nobody_knows_how_many_there_are(here: Path) -> None:
    """What was done is written down, even where the notes of the book cannot be read just now."""
    (here / "journal/book.yml").write_text("title: [")
    assert run(["note", "x", "--about", "stack-7-front", "--on", "2031-01-02"]) == 0
    (here / "journal/book.yml").unlink()
    assert run(["note", "y", "--about", "page-99", "--on", "2031-01-02"]) == 0


def test_stacks_that_repeat_are_counted_once(here: Path, capsys: Capture) -> None:
    """Three gatherings alike, of two sheets each: six sheets in two stacks, for `note` and for `check`."""
    book = here / "journal/book.yml"
    sequence = "sequence:\n  - {run: [ruled, {blank: 7}], times: 3}\n"
    book.write_text(book.read_text().partition("sequence:")[0] + sequence)
    assert run(["note", "x", "--about", "stack-2-front", "--on", "2031-01-02"]) == 0
    assert run(["note", "x", "--about", "stack-3-front"]) == 1
    said = '"stack-3-front": the book has 2 stacks'
    assert said in capsys.readouterr().err
    (here / "journal/log/2031-01-03.md").write_text("---\nabout: stack-3-front\n---\n")
    assert run(["check"]) == 1
    told = capsys.readouterr()
    assert f"error[B109] {said}" in told.out + told.err

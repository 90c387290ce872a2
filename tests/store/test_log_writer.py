"""Log entries: what is written reads back, nothing is overwritten, and it is all or nothing."""

from __future__ import annotations

import io
import os
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st
from PIL import Image

from doublure.errors import UsageError
from doublure.store import log_writer
from doublure.store.log_writer import LogDraft, compose_entry, make_slug, quote_scalar, write_log_entry

DAY = date(2031, 3, 14)


def photo(path: Path, **options: object) -> Path:
    Image.new("RGB", (30, 20), "red").save(path, **options)  # type: ignore[arg-type]
    return path


def files(root: Path) -> list[str]:
    return sorted(path.relative_to(root).as_posix() for path in root.rglob("*") if path.is_file())


def read(root: Path, file: str) -> tuple[dict[str, object], str]:
    text = (root / file).read_text("utf-8")
    if not text.startswith("---\n"):
        return {}, text
    head, body = text[4:].split("---\n", 1)
    return yaml.load(head, yaml.BaseLoader) or {}, body.lstrip("\n")


def test_a_whole_entry(tmp_path: Path) -> None:
    camera = Image.Exif()
    camera[0x0112], camera[0x010F] = 6, "a maker of cameras"
    draft = LogDraft(
        DAY,
        "Printed the tide pass: front only.\n\nSecond pass slipped.",
        about=("tide-pass", "inserts/label", "gathering-3"),
        step="printing",
        minutes=Decimal("40"),
        spent=Decimal("3.20"),
        made=9,
        spoiled=2,
        photos=(photo(tmp_path / "p.JPG", format="JPEG", exif=camera), photo(tmp_path / "q.png")),
    )
    written = write_log_entry(tmp_path, draft)
    stem = "2031-03-14-printed-the-tide-pass-front-only"
    assert written.note == f"journal/log/{stem}.md"
    assert written.photos == (f"journal/pictures/log/{stem}.jpg", f"journal/pictures/log/{stem}.png")
    fields, body = read(tmp_path, written.note)
    assert fields == {
        "about": ["tide-pass", "inserts/label", "gathering-3"],
        "step": "printing",
        "minutes": "40",
        "spent": "3.20",
        "made": "9",
        "spoiled": "2",
        "photos": [f"pictures/log/{stem}.jpg", f"pictures/log/{stem}.png"],
    }
    assert body == "Printed the tide pass: front only.\n\nSecond pass slipped.\n"
    with Image.open(tmp_path / written.photos[0]) as copied:
        assert copied.size == (20, 30)
        assert dict(copied.getexif()) == {}
    # It fits a phone's screen.
    assert len((tmp_path / written.note).read_text().splitlines()) <= 14


def test_words_alone_need_no_front_matter(tmp_path: Path) -> None:
    written = write_log_entry(tmp_path, LogDraft(DAY, "  Rain. Stayed in.\r\n"))
    assert (tmp_path / written.note).read_text() == "Rain. Stayed in.\n"


def test_a_text_that_looks_like_front_matter_is_none(tmp_path: Path) -> None:
    text = "---\nspoiled: 5\n---\nwords"
    written = write_log_entry(tmp_path, LogDraft(DAY, text))
    assert read(tmp_path, written.note) == ({}, text + "\n")


def test_nothing_is_ever_overwritten(tmp_path: Path) -> None:
    source = photo(tmp_path / "p.png")
    for number in range(1, 4):
        written = write_log_entry(tmp_path, LogDraft(DAY, "Cut\n\n" + "x" * number, photos=(source,)))
        ending = "" if number == 1 else f"-{number}"
        assert written.note == f"journal/log/2031-03-14-cut{ending}.md"
        assert written.photos == (f"journal/pictures/log/2031-03-14-cut{ending}.png",)
    assert [len(read(tmp_path, f)[1]) for f in files(tmp_path) if f.endswith(".md")] == [8, 9, 7]


def test_two_photos_of_one_entry_get_two_names(tmp_path: Path) -> None:
    source = photo(tmp_path / "p.png")
    written = write_log_entry(tmp_path, LogDraft(DAY, "Cut", photos=(source, source)))
    assert [Path(p).name for p in written.photos] == ["2031-03-14-cut.png", "2031-03-14-cut-2.png"]


@pytest.mark.parametrize("bad", ["words.jpg", "missing.jpg", "."])
def test_a_photo_that_cannot_be_used_writes_nothing(tmp_path: Path, bad: str) -> None:
    good = photo(tmp_path / "good.png")
    (tmp_path / "words.jpg").write_text("hello")
    before = files(tmp_path)
    with pytest.raises(UsageError, match=f"^photo .*{bad}"):
        write_log_entry(tmp_path, LogDraft(DAY, "Cut", photos=(good, tmp_path / bad)))
    assert files(tmp_path) == before
    assert not (tmp_path / "journal").exists()


def test_a_disk_that_refuses_the_note_takes_the_photos_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = photo(tmp_path / "p.png")
    synced: list[int] = []
    sync = os.fsync

    def refuse_the_note(descriptor: int) -> None:
        synced.append(descriptor)
        if len(synced) == 3:  # the photo, its folder, the note
            raise OSError(28, "No space left on device")
        sync(descriptor)

    monkeypatch.setattr(log_writer.os, "fsync", refuse_the_note)
    with pytest.raises(OSError, match="No space left"):
        write_log_entry(tmp_path, LogDraft(DAY, "Cut", photos=(source,)))
    monkeypatch.undo()
    assert files(tmp_path) == ["p.png"]


def test_a_disk_without_hard_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(source: object, target: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(log_writer.os, "link", refuse)
    for _ in range(2):
        write_log_entry(tmp_path, LogDraft(DAY, "Cut"))
    assert files(tmp_path) == ["journal/log/2031-03-14-cut-2.md", "journal/log/2031-03-14-cut.md"]


@pytest.mark.parametrize("text", ["", "  \n\t\n", "\x00\x07"])
def test_no_text_is_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(UsageError, match="no text"):
        write_log_entry(tmp_path, LogDraft(DAY, text))


def test_text_that_is_not_utf_8_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="UTF-8"):
        write_log_entry(tmp_path, LogDraft(DAY, "caf\udce9"))


def test_control_characters_are_left_out(tmp_path: Path) -> None:
    written = write_log_entry(tmp_path, LogDraft(DAY, "a\x1b[31mb\x00\tc\rd"))
    assert (tmp_path / written.note).read_bytes() == b"a[31mb\tc\nd\n"


@pytest.mark.parametrize(
    ("text", "slug"),
    [
        ("Über die Öse genäht", "uber-die-ose-genaht"),
        ("潮汐", "entry"),
        ("...", "entry"),
        ("Bob's 2nd try!", "bobs-2nd-try"),
        ("a" * 100, "a" * 40),
        ("one two three four five six seven", "one-two-three-four-five-six"),
        ("first line\nsecond", "first-line"),
        ("../../etc/passwd", "etc-passwd"),
        ("", "entry"),
    ],
)
def test_slugs(text: str, slug: str) -> None:
    assert make_slug(text) == slug


@given(st.text())
def test_a_slug_is_an_identifier(text: str) -> None:
    slug = make_slug(text)
    assert 1 <= len(slug) <= 40
    assert set(slug) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert slug.strip("-") == slug


@given(st.text(st.characters(exclude_categories=["Cs"])))
@example("no")
@example("~")
@example("0x1F")
@example("1_000")
@example("a: b # c")
@example("\u2028\u0085\x7f\ufeff")
@example('"\\')
def test_a_quoted_scalar_reads_back(text: str) -> None:
    quoted = quote_scalar(text)
    assert "\n" not in quoted
    assert yaml.load(f"step: {quoted}\n", yaml.BaseLoader) == {"step": text}
    assert yaml.load(f"about: [{quoted}, {quoted}]\n", yaml.BaseLoader) == {"about": [text, text]}
    # Readers that guess types take it for text, too, or for a number written as one.
    assert isinstance(yaml.safe_load(f"step: {quoted}\n")["step"], str | int | float)


amounts = st.none() | st.decimals(min_value=0, max_value=10_000, places=2)
counts = st.none() | st.integers(0, 10_000)
words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1).filter(str.strip)


@given(st.lists(words, max_size=3).map(tuple), words, amounts, amounts, counts, counts, words)
def test_any_entry_reads_back(
    about: tuple[str, ...],
    step: str,
    minutes: Decimal | None,
    spent: Decimal | None,
    made: int | None,
    spoiled: int | None,
    text: str,
) -> None:
    draft = LogDraft(DAY, text, about, step, minutes, spent, made, spoiled)
    entry = compose_entry(draft, text, ())
    assert entry.startswith("---\n")
    head, _, body = entry[4:].partition("\n---\n\n")
    fields = yaml.load(head, yaml.BaseLoader)
    assert body == text
    assert tuple(fields.get("about", ())) == about
    assert fields["step"] == step
    for name, value in (("minutes", minutes), ("spent", spent), ("made", made), ("spoiled", spoiled)):
        assert (Decimal(fields[name]) if name in fields else None) == value


def test_large_photos_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("doublure.store.pictures.MAX_PICTURE_BYTES", 10)
    out = io.BytesIO()
    Image.new("L", (5, 5)).save(out, "PNG")
    (tmp_path / "p.png").write_bytes(out.getvalue())
    with pytest.raises(UsageError, match="at most"):
        write_log_entry(tmp_path, LogDraft(DAY, "Cut", photos=(tmp_path / "p.png",)))

"""Writes a journal of any size, always the same for the same size: every kind of note, a few small pictures.

The things in it are invented. It stands for the mix of a real journal: many inserts with several readings
each, the evidence they were read from, a log that grows.
"""

from __future__ import annotations

import random
from datetime import date, timedelta
from pathlib import Path

from PIL import Image, ImageDraw

#: Share of each kind among the notes; the log takes what is left.
_SHARES = {
    "inserts": 0.30, "evidence": 0.20, "masters": 0.10, "trials": 0.06, "stocks": 0.04, "finishes": 0.02,
}  # fmt: skip
_NAMES = {
    "inserts": "slip", "evidence": "source", "masters": "page", "trials": "trial", "stocks": "paper",
    "finishes": "wash", "log": "entry",
}  # fmt: skip
_PAGES = 112
_PICTURES = 12
_WORDS = (  # noqa: SIM905
    "tide marsh reckoner pencil fold corner lamp margin ferry buoy ledger stamp brown thin laid edge ink "
    "worn column figure heading rule gutter pasted loose damp press board weight evening north channel chart"
).split()


def write_journal(root: Path, notes: int) -> None:
    """Write a project with so many notes, the replica and the book among them, into an empty folder."""
    chance = random.Random(notes)
    counts = {kind: max(2, round(notes * share)) for kind, share in _SHARES.items()}
    counts["log"] = max(2, notes - 2 - sum(counts.values()))
    ids = {kind: [f"{_NAMES[kind]}-{n}" for n in range(1, count + 1)] for kind, count in counts.items()}
    _write(root / "mkdocs.yml", _CONFIG)
    _write(root / "docs/about.md", "# About\n\nA journal for measuring.\n")
    _write(root / "journal/replica.yml", _REPLICA)
    _write(root / "journal/book.yml", _book(ids["masters"]))
    _draw_pictures(root / "journal/pictures", chance)
    for kind, write in (
        ("stocks", _stock), ("finishes", _finish), ("evidence", _evidence), ("masters", _master),
        ("inserts", _insert), ("trials", _trial),
    ):  # fmt: skip
        for number, ident in enumerate(ids[kind]):
            _write(root / "journal" / kind / f"{ident}.md", write(number, ids, chance))
    for number in range(counts["log"]):
        day = date(2031, 1, 1) + timedelta(days=number // 3)
        _write(root / f"journal/log/{day.isoformat()}-{number}.md", _log(number, ids, chance))


Ids = dict[str, list[str]]


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def _prose(chance: random.Random, sentences: int) -> str:
    lines = []
    for _ in range(sentences):
        words = " ".join(chance.choice(_WORDS) for _ in range(chance.randint(6, 14)))
        lines.append(words.capitalize() + ".")
    half = len(lines) // 2
    return " ".join(lines[:half]) + "\n\n" + " ".join(lines[half:]) + "\n"


def _note(fields: list[str], body: str) -> str:
    return "\n".join(["---", *fields, "---", "", body])


_CONFIG = """\
site_name: A journal for measuring
strict: true
theme:
  name: material
  font: false
  features: [navigation.prune]
plugins:
  - search
  - offline
  - doublure
extra:
  generator: false
markdown_extensions: [attr_list, md_in_html, tables, footnotes, sane_lists]
validation:
  anchors: warn
  links: {unrecognized_links: warn, absolute_links: warn}
"""
_REPLICA = """\
title: A journal for measuring
object: A notebook with very many papers in it.
edition: 4
money: marks
spares: half again
"""


def _book(masters: list[str]) -> str:
    used = masters[:28]
    each, over = divmod(_PAGES, len(used))
    runs = [f"  - {{run: [{', '.join(used)}], times: {each}}}"]
    if over:
        runs.append(f"  - blank: {over}")
    head = [
        "title: The notebook",
        "leaf: 105 x 165 mm",
        "stock: paper-1",
        "gatherings: 4 sheets",
        "sequence:",
    ]
    return "\n".join([*head, *runs, ""])


def _draw_pictures(folder: Path, chance: random.Random) -> None:
    folder.mkdir(parents=True)
    for number in range(1, _PICTURES + 1):
        image = Image.new("RGB", (640, 480), (236, 228, 208))
        draw = ImageDraw.Draw(image)
        for _ in range(60):
            x, y = chance.randrange(600), chance.randrange(440)
            draw.line((x, y, x + chance.randrange(40), y + chance.randrange(40)), (60, 50, 40), 2)
        image.save(folder / f"p{number}.jpg", "JPEG", quality=85)


def _stock(number: int, ids: Ids, chance: random.Random) -> str:
    fields = [
        f"title: Paper {number + 1}", "kind: paper", f"grammage: {60 + number % 90} g/m²",
        "sheet: 420 x 297 mm", f"price: {4 + number % 9}.50", "pack: 50 sheets", f"on_hand: {number % 30}",
    ]  # fmt: skip
    return _note(fields, _prose(chance, 2))


def _finish(number: int, ids: Ids, chance: random.Random) -> str:
    fields = [f"title: Wash {number + 1}", "contains: [tea, water]", "wetness: wet", "drying: 12 h"]
    return _note(fields, _prose(chance, 3))


def _evidence(number: int, ids: Ids, chance: random.Random) -> str:
    fields = [f"title: Source {number + 1}", "kind: photograph", f"held: Album {number % 7}"]
    if number % 2:
        fields.append("scale: a 150 mm rule beside it")
    if number % 3 == 0 and number:
        source = ids["evidence"][number // 2]
        fields.append(f"copied_from: {source}" if number > 3 else "stem: first reel")
    if number % 4 == 0 and number // 4 < _PICTURES:  # the same picture twice would be a warning
        fields.append(f"picture: pictures/p{number // 4 + 1}.jpg")
    return _note(fields, _prose(chance, 4))


def _master(number: int, ids: Ids, chance: random.Random) -> str:
    state = ("wanted", "draft", "draft")[number % 3]
    source = chance.choice(ids["evidence"])
    return _note([f"title: Page {number + 1}", f"state: {state}", f"evidence: [{source}]"], _prose(chance, 2))


def _insert(number: int, ids: Ids, chance: random.Random) -> str:
    width, height = 40 + number % 60, 50 + number % 90
    readings = []
    for source in chance.sample(ids["evidence"], min(3, len(ids["evidence"]))):
        readings += [
            f"  - from: {source}",
            f"    width: {width + chance.choice((-1, 0, 1))} ± 1 mm",
            f"    height: {height + chance.choice((-1, 0, 1))} ± 1 mm",
            "    paper: thin buff",
        ]
    gap, turn = number % (_PAGES // 2 - 1), number // (_PAGES // 2 - 1) + 1
    fields = [
        f"title: Paper slip {number + 1}", "readings:", *readings, f"size: {width} x {height} mm",
        f"stock: {chance.choice(ids['stocks'])}", "front: {shows: A table of tides}",
        f"place: {{between: [{2 * gap + 2}, {2 * gap + 3}], order: {turn}}}", "held: loose",
        f"finish: [{chance.choice(ids['finishes'])}]", "open: [What is on the back?]",
    ]  # fmt: skip
    if number % 5 == 0:
        fields.append(f"picture: pictures/p{number % _PICTURES + 1}.jpg")
    return _note(fields, _prose(chance, 6))


def _trial(number: int, ids: Ids, chance: random.Random) -> str:
    fields = [
        f"title: Trial {number + 1}", f"date: {date(2031, 1, 1) + timedelta(days=number % 300)}",
        f"about: [{chance.choice(ids['inserts'])}]", f"stock: {chance.choice(ids['stocks'])}",
        "tried: Two washes", f"verdict: {('approved', 'rejected', 'undecided')[number % 3]}",
    ]  # fmt: skip
    return _note(fields, _prose(chance, 3))


def _log(number: int, ids: Ids, chance: random.Random) -> str:
    fields = [
        f"about: [{chance.choice(ids['inserts'])}]", "step: printing", f"minutes: {10 + number % 80}",
        f"spent: {number % 5}.20", f"made: {number % 12}", f"spoiled: {number % 3}",
    ]  # fmt: skip
    if number % 6 == 0:
        fields.append(f"photos: [pictures/p{number % _PICTURES + 1}.jpg]")
    return _note(fields, _prose(chance, 3))

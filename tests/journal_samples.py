"""A small journal in which nothing is wrong, and ways to write others in a line or two.

The artefact is the project's own: the field notebook of a tidal surveyor in an invented stage play.
"""

from __future__ import annotations

from collections.abc import Mapping

from doublure.model.replica import Replica
from doublure.model.source import SourceText
from doublure.notes.journal import decode_journal
from doublure.problems import Problem

GOOD: dict[str, str] = {
    "replica.yml": """\
title: The tidal surveyor's notebook
object: A field notebook with the papers that a tidal surveyor kept in it
source: The stage play in which it is carried
maker: The workshop at the slip
edition: 6
units: mm
money: marks
jurisdictions: [the harbour state]
tolerances: {crossover: 1.6 mm, cut: 0.5 mm, unstated: 2 mm}
required: [width, height, paper, front, back, place]
spares: half again
publish: {print_files: no, prices: yes}
next:
  - Print the tide tables
open:
  - {question: 'How many leaves had it?', about: edition}
""",
    "book.yml": """\
title: The notebook
leaf: 105 x 165 mm
stock: thin-laid
reading: left to right
sequence:
  - title-page
  - blank
  - run: [ruled, {master: grid, times: 2}, {blank: 1}]
    times: 3
  - tipped: {first: chart-left, second: blank, stock: buff-card}
  - {blank: 2}
gatherings: [2, 2]
creep: {rule: one caliper, step: 0.1 mm}
press:
  folding: folio
  pairs: 2
  pairing: in turn
  sheet: A3
  grain: long
  printer: bench-laser
  bleed: 2 mm
  collation: yes
choose:
  sheets: 2 to 3
  blanks: gatherings
  most_blanks: 4
  fixed: [6, 7]
  plates: 40
printing: Laser printer, fed by hand
sewing: Two tapes
case: Quarter cloth
""",
    "evidence/frame-12.md": """\
---
title: Frame from the second act
kind: frame
stem: second-act
held: The company's store
seen: 2031-02-03
dated: the first season
scale: a 150 mm rule beside it
rights: {holder: The company, credit: By kindness of the company, publish: ask}
shows: [tide-pass, page-12]
---
Held up for a moment.
""",
    "evidence/poster.md": """\
---
title: Poster
kind: photograph
copied_from: frame-12
---
""",
    "stocks/thin-laid.md": """\
---
title: Thin laid
kind: paper
grammage: 90 g/m²
caliper: 0.11 mm
stack: {height: 55 mm, sheets: 500}
sheet: A3 landscape
grain: long
colour: cream
surface: laid, unsized
price: 12.50 marks
pack: 100 sheets
on_hand: 37 sheets
supplier: The paper stall
---
""",
    "stocks/buff-card.yml": """\
title: Buff card
kind: card
grammage: 65 lb cover
sheet: 8 1/2 x 11 in
""",
    "masters/title-page.md": "---\ntitle: Title page\nstate: draft\nartwork: artwork/title.svg\n---\n",
    "masters/ruled.md": "---\ntitle: Ruled\nstate: final\nsize: 105 x 165 mm\nevidence: frame-12\n---\n",
    "masters/grid.md": "---\ntitle: Grid\nstate: wanted\nprocess: laser\n---\n",
    "masters/chart-left.md": "---\ntitle: Chart\nbleed: 3 mm\n---\n",
    "masters/tide-pass-front.md": "---\ntitle: Tide pass, front\nprocess: laser\n---\n",
    "inserts/tide-pass.md": """\
---
title: Tide pass
picture: {file: pictures/tide-pass.jpg, caption: Front, credit: The maker}
pictures: [pictures/back.jpg]
readings:
  - from: frame-12
    size: 64 ± 1 x 121 ± 2 mm
    paper: thin buff card
    stated: yes
    remark: against the rule
  - {from: poster, width: 2 1/2 in, front: 'printed heading, two lines'}
size: 64 x 121 mm
stock: buff-card
per_copy: 1
front: {master: tide-pass-front, printing: laser, shows: heading and number}
back: blank
folds: [{along: height, at: 32 mm, way: in}]
folded: 32 x 121 mm
place: {between: [12, 13], order: 1, way_up: upright, face_down: no, sticks_out: 6 mm, sticks_out_at: head}
held: {by: tipped, edge: left, adhesive: wheat paste}
wording:
  front: |
    TIDE PASS No. [12]3
    h(arbour) m(aster) [...]
  back: "void aft<er> n\u1ecd\u1ecdn"
lettering: [{use: heading, face: a wide grotesque, licence: open font licence}]
varying: {kind: serial number, first: "0417", last: "0422", where: front}
finish: [tea-wash]
assumed: {back: such passes were not printed on the back}
chosen: {colour: the stock at hand}
same: [[buff, sand-coloured]]
reproduces: identity paper
spares: 4
grain: height
open:
  - Is the back printed?
  - {question: 'Was it folded?', about: [folds, folded_width]}
cautions: A blade cuts towards the body
---
Carried in the second act.
""",
    "finishes/tea-wash.md": """\
---
title: Tea wash
contains: [strong tea, a spoon of vinegar]
wetness: wet
drying: 12 h
survives: [laser, screen print]
---
""",
    "trials/two-washes.md": """\
---
title: Buff card, two washes
date: 2031-03-02
about: [inserts/tide-pass]
beside: frame-12
stock: buff-card
tried: Two washes, dried flat
verdict: approved
approves: [tide-pass, gathering-2]
---
""",
    "printers/bench-laser.md": """\
---
title: Laser printer on the bench
process: laser
reach: {leading: 4.2 mm, trailing: 5 mm, sides: 4 mm}
feeds: short edge
prints: upper side
lands: face down
turn: long edge
pile: first on top
both_sides: by hand
holds: 100 sheets
---
Warm it up with ten sheets of nothing.
""",
    "register/first-target.yml": """\
printer: bench-laser
stock: thin-laid
date: 2031-03-10
sheet: A4 landscape
method: against the light
photo: pictures/target.jpg
offsets:
  A1: 0.31 mm right, 0.12 mm up
  a2: 0.28 right, 0.1 mm down
  B1: 0
  B2: 0.02 in left
uncertainty: 0.05 mm
front: {right: 0.8 mm, down: -0.4 mm, turn: 0.1° anticlockwise}
fold: 0.3 mm left
""",
    "log/2031-03-14-press.md": """\
---
about: [tide-pass, gathering-1, plate-3, stack-2-back, bench-laser]
step: printing
minutes: 40
spent: 3.20
made: 9
spoiled: 2
photos: [pictures/press.jpg]
---
# Printed the tide passes

Nine came out well.
""",
    "log/2031-03-15.md": "Washed them all.\n",
}


def make_sources(files: Mapping[str, str]) -> tuple[SourceText, ...]:
    """Return the files of a journal as the disk would give them."""
    return tuple(SourceText(f"journal/{path}", path, text) for path, text in files.items())


def decode(files: Mapping[str, str]) -> tuple[Replica | None, tuple[Problem, ...]]:
    """Decode a journal written as paths and texts; a replica note is added where there is none."""
    whole = {"replica.yml": "title: The tidal surveyor's notebook\n", **files}
    return decode_journal(make_sources(whole))


def decode_well(files: Mapping[str, str]) -> Replica:
    """Decode a journal in which nothing is wrong."""
    replica, problems = decode(files)
    assert problems == (), "\n".join(problem.format() for problem in problems)
    assert replica is not None
    return replica


def note(**fields: str) -> str:
    """Return a note with a title and these fields; a name ending in _ loses it, for Python's own words."""
    lines = "".join(f"{name.removesuffix('_')}: {value}\n" for name, value in fields.items())
    title = "" if "title" in fields else "title: A note\n"
    return f"---\n{title}{lines}---\n"


def where(problem: Problem) -> tuple[str, int, int, str]:
    """Return code, line, column and the underlined text of a problem."""
    span = problem.span
    return problem.code, span.line, span.column, span.text[span.column - 1 : span.column - 1 + span.length]

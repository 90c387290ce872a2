"""The worked examples on evidence, wording and the book, recomputed: the package gives every figure printed.

Each test holds the inputs of one example and looks for the figures in the section that prints them.
"""

from __future__ import annotations

import pytest

from doublure.leiden import parse_wording
from doublure.measured import Measured
from doublure.model.notes import Tolerances
from doublure.trade.book.creep import (
    CreepRule,
    calibrate_creep_step,
    compute_creep,
    compute_creep_step,
    trim_leaves,
)
from doublure.trade.book.crossovers import CrossoverKind, classify_crossover
from doublure.trade.book.gatherings import check_fit, choose_gatherings
from doublure.trade.book.imposition import lay_pages
from doublure.trade.book.page_map import build_page_map
from doublure.trade.book.plates import count_plates, plan_plates
from doublure.trade.book.thickness import ExtraPiece, compute_block_thickness
from doublure.trade.evidence import (
    OPEN,
    SIGNIFICANCE,
    AffectedInsert,
    DecidedSpec,
    NumericReading,
    QuestionSpec,
    ReadingSpec,
    SourceSpec,
    Standing,
    assess_attribute,
    combine_readings,
    combine_stem,
    compute_power_of_test,
    do_wordings_agree,
    rank_questions,
    resolve_stems,
)
from doublure.workings.standing import LEAST_U
from handbook_pages import expect, row

WIDTHS = (
    NumericReading("second-act", "frame-12", 63.5, 1.5),
    NumericReading("second-act", "frame-15", 64.5, 2.0),
    NumericReading("programme", "programme-spread", 62.0, 1.0),
    NumericReading("prop-letter", "prop-letter", 64.0, 0.5),
)
LAID = Measured(0.11, 0.002)


def test_stems() -> None:
    """Four sources on two stems."""
    tree = resolve_stems(
        [
            SourceSpec("frame-12", stem="second-act"),
            SourceSpec("frame-15", copied_from="frame-12"),
            SourceSpec("programme-spread"),
            SourceSpec("poster", copied_from="programme-spread"),
        ]
    )
    found = tree.by_source()
    said = {"frame-12": "stem: second-act", "frame-15": "copied_from: frame-12", "programme-spread": "nothing",
            "poster": "copied_from: programme-spread"}  # fmt: skip
    expect("evidence", "stems", *(row(source, said[source], found[source]) for source in said))
    expect("evidence", "stems", f"{len(tree.stems)} witnesses")


def test_standing() -> None:
    """Five ways for a width to stand."""
    frame = ReadingSpec("frame-12", "second-act", value=63.5, u=1.5)
    scaled = ReadingSpec("frame-12", "second-act", to_scale=True, value=63.5, u=1.5)
    letter = ReadingSpec("prop-letter", "prop-letter", to_scale=True, value=64.0, u=0.5)
    cases = [
        ("one frame, 63.5 ± 1.5 mm, no scale", "", [frame], None, 8),
        ("the same, with a rule in the picture", "", [scaled], None, 6),
        ("the same, and the letter states 64 ± 0.5 mm", "64 mm", [scaled, letter], 64.0, 5),
        ("the same two", "70 mm", [scaled, letter], 70.0, 2),
        ("none", "64 mm", [], 64.0, 9),
    ]
    for readings, decided_text, given, decided, line in cases:
        found = assess_attribute(given, None if decided is None else DecidedSpec(decided))
        expect(
            "evidence", "the-rule-of-standing", row(readings, decided_text, found.standing.value, line)
        )


@pytest.mark.parametrize(
    ("one", "other", "same", "shown"),
    [
        ("cream paper", "Cream laid paper", [], ""),
        ("cream", "buff", [], ""),
        ("no watermark", "watermark", [], ""),
        ("buff card", "manila card", [], ""),
        ("buff card", "manila card", [("buff", "manila")], ", with same: [[buff, manila]]"),
    ],
)
def test_wordings(one: str, other: str, same: list[tuple[str, str]], shown: str) -> None:
    """Which wordings agree."""
    verdict = "agree" if do_wordings_agree(one, other, same) else "contradict each other"
    expect("evidence", "wordings", f"{row(one, other)}{shown} {verdict}")


def test_combining_readings() -> None:
    """Two frames make one witness; three witnesses combine."""
    frames = combine_stem(WIDTHS[:2])
    both = combine_readings(WIDTHS)
    expect("evidence", "combining-readings", "0.64 and 0.36", f"ushared is {frames.u_shared:.2f} mm",
           f"uscatter {frames.u_scatter:.2f} mm", f"{frames.value:.2f} ± {frames.u:.2f} mm")  # fmt: skip
    assert frames.value == pytest.approx(0.64 * 63.5 + 0.36 * 64.5)
    weights = dict(zip((w.stem for w in both.witnesses), both.weights, strict=True))
    for witness in both.witnesses:
        expect(
            "evidence",
            "combining-readings",
            row(witness.stem, f"{witness.value:.2f} ± {witness.u:.2f} mm", f"{weights[witness.stem]:.3f}"),
        )
    assert both.p is not None
    expect("evidence", "combining-readings",
           f"Mean {both.value:.2f} mm, uint {both.u_internal:.2f} mm",
           f"χ² is {both.chi2:.2f} with {both.dof} degrees of freedom, p = {both.p:.2f}",
           f"The Birge ratio is {both.birge_ratio:.2f}, so u grows to {both.u:.2f} mm",
           f"{both.value:.2f} ± {both.u:.2f} mm, interval {both.low:.1f} to {both.high:.1f} mm")  # fmt: skip
    assert not both.is_disputed
    assert both.holds(64.0)
    power = compute_power_of_test([witness.u for witness in both.witnesses], 1.0).by_witness
    expect("evidence", "combining-readings",
           f"For δ = 1 mm the power is between {min(power):.2f} and {max(power):.2f}")  # fmt: skip


def test_a_dispute() -> None:
    """Two witnesses dispute; a third shows which is odd."""
    programme = NumericReading("programme", "programme-spread", 118.0, 1.0)
    letter = NumericReading("prop-letter", "prop-letter", 123.0, 0.5)
    two = combine_readings([programme, letter])
    assert two.is_disputed
    assert two.odd == ()
    expect("evidence", "combining-readings",
           f"χ² = {two.chi2:.1f} with 1 degree of freedom, p = {two.p:.6f}")  # fmt: skip
    three = combine_readings([programme, letter, NumericReading("second-act", "frame-12", 122.0, 2.0)])
    assert three.odd == ("programme",)
    without = dict(zip((w.stem for w in three.witnesses), three.chi2_without, strict=True))
    expect("evidence", "combining-readings",
           f"without the programme χ² falls from {three.chi2:.1f} to {without['programme']:.2f}",
           f"without the letter to {without['prop-letter']:.2f}")  # fmt: skip


def test_what_readings_are_taken_as() -> None:
    """The limits printed are those of the package."""
    tolerances = Tolerances()
    expect("evidence", "combining-readings",
           f"taken as ± {tolerances.unstated_mm:g} mm", f"less than {LEAST_U:g} is taken as {LEAST_U:g}",
           f"less than 1 of 100 cases (p < {SIGNIFICANCE:g})", "twice the tolerance of a cut",
           f"For δ = {2 * tolerances.cut_mm:g} mm")  # fmt: skip
    expect("book", "crossovers", f"{tolerances.crossover_mm:g} mm where you say nothing")


def test_open_questions() -> None:
    """Nine passes without a paper come before sixty envelopes."""
    asked = {
        "paper": "paper of the tide pass, required open 9",
        "height": "height of the chart, required thin 9",
        "colour": "colour of the envelope, not required thin 60",
    }
    ranked = rank_questions(
        [
            QuestionSpec("colour", (AffectedInsert("envelope", 60),), standing=Standing.THIN),
            QuestionSpec("height", (AffectedInsert("chart", 9),), required=True, standing=Standing.THIN),
            QuestionSpec("paper", (AffectedInsert("tide-pass", 9),), required=True, standing=OPEN),
        ]
    )
    expect("evidence", "open-questions", *(row(asked[one.question.identifier], one.rank) for one in ranked))


def test_wording() -> None:
    """The front of the tide pass in runs."""
    runs, faults = parse_wording("TIDE PASS No. [12]3\nh(arbour) off<i>ce [...] [---]")
    assert faults == ()
    for run in runs:
        if run.is_gap:
            count = f"lost, {run.letters_lost} letters" if run.letters_lost else "lost, nobody knows how much"
            expect("wording", "signs", f"{'[...]' if run.letters_lost else '[---]'} {count}")
        elif run.states:
            expect("wording", "signs", row(run.text, *run.states))
    assert len([run for run in runs if run.states]) == 5


def test_gatherings() -> None:
    """The notebook, a draft of it, and a listed one."""
    sheets = choose_gatherings(112, 4)
    assert set(sheets) == {4}
    *full, last = choose_gatherings(52, 4)
    expect("book", "gatherings", f"{len(sheets)} gatherings of {4 * sheets[0]} pages",
           f"gatherings of {', '.join(map(str, full))} and {last} sheets",
           f"hold 60, want {check_fit(58, (4, 4, 3, 4))} blanks")  # fmt: skip


def test_imposition() -> None:
    """A gathering of twelve pages, row by row."""
    for sheet in lay_pages(12, 3).sheets:
        expect("book", "imposition", row(sheet.sheet, *sheet.front, *sheet.back))
        assert sum(page or 0 for page in sheet.front) == sum(page or 0 for page in sheet.back) == 13


def test_plates() -> None:
    """Title, blank, then ruled and grid pages in turn."""
    imposition = lay_pages(32, 4)
    masters: dict[int, str | None] = {page: "ruled" if page % 2 else "grid" for page in range(3, 33)}
    masters |= {1: "title", 2: None}
    counts = count_plates(imposition, masters)
    expect("book", "plates", row("Distinct plates", counts.plates, counts.plates_with_creep),
           row("Stacks", counts.stacks, counts.stacks_with_creep))  # fmt: skip

    def prints(creep: bool) -> list[int]:
        uses = plan_plates(imposition, masters, creep).plates
        return sorted(use.prints for use in uses if (use.plate.left, use.plate.right) == ("grid", "ruled"))

    first, *rest = prints(creep=True)
    expect("book", "plates", f"prints {prints(creep=False)[0]} times",
           f"four plates, which print {first}, {', '.join(map(str, rest[:-1]))} and {rest[-1]} times")  # fmt: skip


def test_crossovers() -> None:
    """Spreads of two gatherings of three sheets, then with a leaf tipped in."""
    words = {CrossoverKind.ONE_SHEET: "one sheet", CrossoverKind.TWO_SHEETS: "two sheets",
             CrossoverKind.TWO_GATHERINGS: "two gatherings"}  # fmt: skip
    plain = build_page_map(24, (3, 3))
    for left in (4, 6, 12):
        expect("book", "crossovers",
               f"{left}–{left + 1} {words[classify_crossover(plain, left, left + 1).kind]}")  # fmt: skip
    tipped = build_page_map(26, (3, 3), [5])
    assert {classify_crossover(tipped, left, left + 1).kind for left in (4, 6)} == {CrossoverKind.ONE_TIPPED}
    assert classify_crossover(tipped, 8, 9).kind is CrossoverKind.ONE_SHEET
    expect("book", "crossovers", "the spreads 4–5 and 6–7 have one half on that leaf",
           "the middle spread is now 8–9")  # fmt: skip


def test_creep() -> None:
    """Four sheets by each rule, and what the innermost leaf keeps."""
    measured = calibrate_creep_step(LAID, 4, Measured(0.42, 0.05))
    steps = (compute_creep_step(LAID, CreepRule.FLAT), compute_creep_step(LAID, CreepRule.ROUND), measured)
    columns = [compute_creep(4, step).sheets for step in steps]
    for sheets in zip(*columns, strict=True):
        expect("book", "creep", row(sheets[0].sheet, *(f"{s.push_out_mm.value:.2f} mm" for s in sheets)))
    narrowest = min(leaf.width_mm.value for leaf in trim_leaves(compute_creep(4, measured), 105.0))
    expect("book", "creep", f"{measured.step_mm.value:.2f} ± {measured.step_mm.u:.3f} mm",
           f"{measured.factor.value:.2f} calipers", f"keeps {narrowest:.2f} mm")  # fmt: skip
    assert measured.is_usual


def test_thickness() -> None:
    """Leaves alone, and where a pass and a folded chart lie on each other."""
    block = compute_block_thickness(
        {"laid": 56},
        {"laid": LAID, "buff-card": Measured(0.30, 0.01), "chart-paper": Measured(0.06, 0.003)},
        [
            ExtraPiece("tide-pass", "buff-card", 1, 20.0, 22.0, 64.0, 121.0),
            ExtraPiece("chart", "chart-paper", 4, 12.0, 10.0, 80.0, 140.0),
        ],
    )
    leaves, most = block.leaves.thickness_mm, block.thickest.thickness.thickness_mm
    expect("book", "thickness", f"{leaves.value:.2f} ± {leaves.u:.2f} mm",
           f"the block is {most.value:.2f} ± {most.u:.2f} mm",
           f"still {block.spine.thickness.thickness_mm.value:.2f} mm")  # fmt: skip

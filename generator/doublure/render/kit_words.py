"""What the paper kit asks for, step by step, in words that its page and its sheets share.

In: nothing. Out: KitStep values. Never: the drawings of the sheets (render/bench), HTML.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KitField:
    """A figure to be measured: what it is, its unit, and the field of the notes that takes it.

    Attributes:
        words: What is measured.
        unit: "mm", "°", "sheets", or "" for words.
        note: File that takes it, such as "journal/book.yml".
        field: How it is written there.
        times: How often it is measured.
    """

    words: str
    unit: str
    note: str
    field: str
    times: int = 1


@dataclass(frozen=True, slots=True)
class KitStep:
    """One step of the hour.

    Attributes:
        name: In a word or two.
        minutes: About how long it takes; a guess, not tried.
        does: What to do, one sentence each.
        fields: What it gives.
        sheet: Page of the kit that it needs; "" for none.
    """

    name: str
    minutes: int
    does: tuple[str, ...]
    fields: tuple[KitField, ...] = ()
    sheet: str = ""


#: Sheets of the dummy; the innermost of four shows the creep of three folds within each other.
DUMMY_SHEETS = 4

STEPS: tuple[KitStep, ...] = (
    KitStep(
        "Scale and reach",
        6,
        (
            "Print the kit on the stock itself at 100 %, never fitted to the page.",
            "Measure the 100 mm bars on the sheet “Scale and reach” with a steel rule.",
            "At each edge find the smallest number whose line was printed whole: so much the printer leaves bare.",
        ),
        (
            KitField("Bar across the sheet", "mm", "", "100.0 mm if the dialogue did not scale"),
            KitField("Bar along the sheet", "mm", "", "100.0 mm if the dialogue did not scale"),
            KitField(
                "Bare at the edge that went in first",
                "mm",
                "journal/printers/NAME.md",
                "reach: {leading: … mm}",
            ),
            KitField("Bare at the last edge", "mm", "journal/printers/NAME.md", "reach: {trailing: … mm}"),
            KitField("Bare at the sides", "mm", "journal/printers/NAME.md", "reach: {sides: … mm}"),
        ),
        "Scale and reach",
    ),
    KitStep(
        "Which way round",
        4,
        (
            "Pencil “up” on the side of a blank sheet that looks up in the tray, and an arrow the way it goes in.",
            "Print one page on it, and see which side was printed and how it came out.",
            "Lay it in again for its back, and note about which edge it had to be turned.",
        ),
        (
            KitField(
                "Edge that goes in first", "", "journal/printers/NAME.md", "feeds: short edge | long edge"
            ),
            KitField(
                "Side that is printed", "", "journal/printers/NAME.md", "prints: upper side | lower side"
            ),
            KitField("Fresh print comes out", "", "journal/printers/NAME.md", "lands: face down | face up"),
            KitField(
                "Turned for its back about", "", "journal/printers/NAME.md", "turn: long edge | short edge"
            ),
        ),
    ),
    KitStep(
        "Back against front",
        20,
        (
            "Print target.pdf from the printer’s folder in print/ on both sides of five sheets, as the book will be.",
            "Hold each against a window, front towards you, and photograph it, or scan it against the light.",
            "Give the pictures to doublure backs read, what you read by eye to doublure backs enter; each with "
            "--printer and --stock, else nothing is kept. The page “Paper kit” has the commands whole.",
            "Measure on one target how far its front sits from the edges of the sheet.",
        ),
        (
            KitField(
                "Offset at each mark",
                "mm",
                "journal/register/NAME.yml",
                "offsets: {A1: … mm right, … mm down}",
            ),
            KitField(
                "Front sits right of its place", "mm", "journal/register/NAME.yml", "front: {right: … mm}"
            ),
            KitField("Front sits below its place", "mm", "journal/register/NAME.yml", "front: {down: … mm}"),
        ),
    ),
    KitStep(
        "Fold and creep",
        14,
        (
            f"Print {DUMMY_SHEETS} of the sheet “Fold and creep”, fold each along its marks, press the fold flat, nest "
            "them and knock them up at the fold.",
            "At the fore-edge measure how far the innermost sheet stands out beyond the outermost.",
            "Open one sheet and read on the scales how far the fold lies from its line, towards the heading or away.",
        ),
        (
            KitField(
                "Innermost stands out",
                "mm",
                "journal/book.yml",
                f"creep: {{rule: measured, push_out: … mm, dummy: {DUMMY_SHEETS} sheets}}",
                3,
            ),
            KitField(
                "Fold off its line",
                "mm",
                "journal/register/NAME.yml",
                "fold: … mm right (towards the heading)",
                3,
            ),
        ),
        "Fold and creep",
    ),
    KitStep(
        "Cutting",
        10,
        (
            "Cut the sheet “Cutting” along the four lines, rule and knife as you will cut the book.",
            "Read on the scales how far each cut lies from its line, at both ends.",
        ),
        (KitField("Cut lies off its line", "mm", "journal/replica.yml", "tolerances: {cut: … mm}", 8),),
        "Cutting",
    ),
    KitStep(
        "Thickness",
        6,
        ("Press a stack of fifty sheets or more between two boards and measure its height.",),
        (
            KitField(
                "Height of the stack", "mm", "journal/stocks/NAME.md", "stack: {height: … mm, sheets: …}", 3
            ),
            KitField("Sheets in it", "sheets", "journal/stocks/NAME.md", "stack: {height: … mm, sheets: …}"),
        ),
    ),
)

CAUTION_BLADE = (
    "Cut away from the hand and the body, on a mat, against a steel rule with a lip, with a fresh blade in several "
    "light strokes; put the blade away before you measure."
)
CAUTION_LAMP = (
    "A window or a pale screen gives light enough. Never look at the sun or into a bare bulb through the paper, and "
    "keep paper off anything hot."
)


def total_minutes() -> int:
    """Return how long all steps take, about."""
    return sum(step.minutes for step in STEPS)

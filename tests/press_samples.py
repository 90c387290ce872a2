"""Plates, a run and a register made by hand, for drawings, pages and bench sheets: the invented tide book.

Two gatherings of two folios, leaves of 105 by 165 mm on sheets of 297 by 210 mm. The figures are invented.
"""

from __future__ import annotations

from dataclasses import replace

from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.render.draw.crossover import MeetingSpec, Reach
from doublure.render.draw.laying import LayingSpec
from doublure.render.draw.plate import PlacedPicture, PlatePage, PlateSide, StackSpec
from doublure.render.draw.register_map import RegisterMapSpec
from doublure.trade.book.gatherings import Half, Side
from doublure.trade.press.affine import Affine
from doublure.trade.press.plan import PressSpec, plan_press
from doublure.trade.press.records import (
    Box,
    Folding,
    MarkKind,
    MarkLine,
    PlacedPage,
    PressPlace,
    PressPlan,
    PressPlate,
    PressStack,
    SheetLayout,
)
from doublure.trade.press.register.records import (
    CrossoverMisfit,
    FitModel,
    MachineFit,
    MapParts,
    Misfit,
    MisfitPart,
    SheetFit,
)
from doublure.trade.press.run_records import Laying, PrinterSpec, RunPlan, SideState, StackRun
from doublure.workings.press_records import ArtworkFinding, PressWorking, RegisterWorking

LEAF = (105.0, 165.0)
SHEET = (297.0, 210.0)
LEFT, TOP = 43.5, 22.5

TRIM_BOX = Box(LEFT, TOP, 2 * LEAF[0], LEAF[1])
LINES = (
    *(
        MarkLine(MarkKind.CUT, (x, y), (x, y + 5.0))
        for x in (LEFT, LEFT + 2 * LEAF[0])
        for y in (TOP - 8.0, TOP + LEAF[1] + 3.0)
    ),
    *(
        MarkLine(MarkKind.CUT, (x, y), (x + 5.0, y))
        for y in (TOP, TOP + LEAF[1])
        for x in (LEFT - 8.0, LEFT + 2 * LEAF[0] + 3.0)
    ),
    *(
        MarkLine(MarkKind.FOLD, (LEFT + LEAF[0], y), (LEFT + LEAF[0], y + 5.0))
        for y in (TOP - 8.0, TOP + LEAF[1] + 3.0)
    ),
)
LAYOUT = SheetLayout(
    sheet_width_mm=SHEET[0],
    sheet_height_mm=SHEET[1],
    folding=Folding.FOLIO,
    pairs=1,
    bleed_mm=3.0,
    lines=LINES,
    crosses=((148.5, 9.0), (20.0, 105.0), (277.0, 105.0), (148.5, 201.0)),
    label=Box(LEFT, 195.0, 90.0, 5.0),
    trim_box=TRIM_BOX,
    bleed_box=Box(LEFT - 3, TOP - 3, TRIM_BOX.width_mm + 6, TRIM_BOX.height_mm + 6),
    fold_grain_ok=False,
    room_mm=(43.5, 22.5, 43.5, 22.5),
)


def placed(master: str | None, half: Half, pages: tuple[int, ...], creep_mm: float = 0.0) -> PlacedPage:
    """Return a page of a folio, left or right of its fold."""
    left = half is Half.LEFT
    trim = Box(LEFT if left else LEFT + LEAF[0], TOP, *LEAF)
    shift = creep_mm if left else -creep_mm
    clip = Box(trim.left_mm - 3 if left else trim.left_mm, TOP - 3, LEAF[0] + 3, LEAF[1] + 6)
    return PlacedPage(
        master=master,
        trim=trim,
        artwork=Box(trim.left_mm + shift, TOP, *LEAF),
        clip=clip,
        turned=False,
        spine=Half.RIGHT if left else Half.LEFT,
        creep_shift_mm=creep_mm,
        pages=pages,
    )


def plate(
    number: int,
    left: tuple[str | None, int],
    right: tuple[str | None, int],
    place: PressPlace,
    creep: float = 0.0,
) -> PressPlate:
    """Return a plate of two pages."""
    pages = (placed(left[0], Half.LEFT, (left[1],), creep), placed(right[0], Half.RIGHT, (right[1],), creep))
    return PressPlate(number, pages, (place,))


FRONT, BACK = Side.FRONT, Side.BACK
PLATES = (
    plate(1, (None, 8), ("title", 1), PressPlace(1, 1, FRONT)),
    plate(2, ("rule", 2), ("rule", 7), PressPlace(1, 1, BACK)),
    plate(3, ("day-log", 6), ("rule", 3), PressPlace(1, 2, FRONT), 0.1),
    plate(4, ("haven-left", 4), ("haven-right", 5), PressPlace(1, 2, BACK), 0.1),
    plate(5, ("rule", 16), ("day-log", 9), PressPlace(2, 1, FRONT)),
    plate(6, ("shore-left", 10), ("rule", 15), PressPlace(2, 1, BACK)),
    plate(7, ("rule", 14), ("shore-right", 11), PressPlace(2, 2, FRONT), 0.1),
    PressPlate(
        8, (placed(None, Half.LEFT, (12,)), placed(None, Half.RIGHT, (13,))), (PressPlace(2, 2, BACK),)
    ),
)
STACKS = tuple(
    PressStack(number, 2 * number - 1, 2 * number, (((number + 1) // 2, 2 - number % 2),), 1.0)
    for number in range(1, 5)
)
PLAN = PressPlan(LAYOUT, PLATES, STACKS, 0.1, False, 4, 4)

PRINTER = PrinterSpec(
    name="slip-laser",
    reach_mm=(4.0, 5.0, 4.0),
    feeds_short_edge=True,
    prints_upper=False,
    lands_face_up=False,
    turns_short_edge=False,
    last_on_top=True,
    by_machine=False,
    holds=40,
    is_described=True,
)
STAND_IN = replace(PRINTER, name="", is_described=False, holds=0)


def side(wanted: int, made: int = 0, spoiled: int = 0, blank: bool = False, lying: int = 0) -> SideState:
    """Return where one side of a stack stands."""
    left = 0 if blank else max(0, wanted - made - spoiled)
    return SideState(wanted, made, spoiled, left, blank, lying=lying)


RUN = RunPlan(
    printer=PRINTER,
    stacks=(
        StackRun(1, 1, 2, ((1, 1),), 6, 2, 1, 1, side(8, 8), side(8, 7, 1), 0.0),
        StackRun(2, 3, 4, ((1, 2),), 6, 2, 2, 2, side(8, 8), side(8, 3, 1, lying=4), 2.0),
        StackRun(3, 5, 6, ((2, 1),), 6, 2, 3, 3, side(8), side(8), 8.0),
        StackRun(4, 7, 8, ((2, 2),), 6, 2, 4, 0, side(8), side(0, blank=True), 4.0),
    ),
    fronts=Laying(False, True, "left", False),
    backs=Laying(False, False, "right", True),
    minutes_per_side=0.5,
    minutes_u=0.06,
    timed_sides=27,
    minutes=14.0,
    resume=(2, "backs"),
    copies=6,
    unassigned=1,
)


def misfits(dx: float, dy: float, turn: float, half: float) -> tuple[Misfit, ...]:
    """Return the misfit of a shift and a turn at nine points of the sheet."""
    found = []
    for x in (-120.0, 0.0, 120.0):
        for y in (-80.0, 0.0, 80.0):
            mean_dx, mean_dy = dx - turn * y, dy + turn * x
            length = (mean_dx**2 + mean_dy**2) ** 0.5
            found.append(Misfit(x, y, mean_dx, mean_dy, 0.08, half, 0.8 * half, length + half, 12))
    return tuple(found)


SHIFT = Affine(1.0008, -0.0014, 0.0014, 0.9988, 0.62, -0.31)
FIT = MachineFit(
    model=FitModel.SIMILARITY,
    systematic=SHIFT,
    parts=MapParts(0.62, -0.31, 0.0014, 1.0008, 0.9988, 0.0),
    parts_u=MapParts(0.05, 0.06, 0.0002, 0.0002, 0.0003, 0.0),
    sheets=(
        SheetFit("slip-laser-1", FitModel.SIMILARITY, SHIFT, 13, 0.04, 0.05),
        SheetFit("slip-laser-2", FitModel.SIMILARITY, SHIFT, 12, 0.05, 0.06, ("C2",)),
    ),
    sigma_mm=0.045,
    shear_carried=False,
)


def crossover(
    left: int, misfit: tuple[float, float], p95: float, failing: float, tried: bool
) -> CrossoverMisfit:
    """Return a crossover on two sheets."""
    dx, dy = misfit
    length = (dx * dx + dy * dy) ** 0.5
    parts = (
        MisfitPart("back against front", dx, dy, 0.2, 0.22, not tried),
        MisfitPart("seat of the right half", 0.0, 0.0, 0.3, 0.3, not tried),
        MisfitPart("fold", 0.0, 0.0, 0.25, 0.05, True),
        MisfitPart("creep", 0.02, 0.0, 0.02, 0.0, False),
    )
    return CrossoverMisfit(
        left, left + 1, parts, dx, dy, 0.44, 0.37, length + 0.3, p95, failing, 1.6, tried, 148.0
    )


UNTRIED = RegisterWorking("", "", (), None, before=misfits(0.0, 0.0, 0.0, 1.4))

#: The notes of that book.
JOURNAL = {
    "replica.yml": "title: The tide book\nedition: 6\nspares: 2\nunits: mm\n",
    "book.yml": """\
title: The tide book
leaf: 105 x 165 mm
stock: thin-laid
sequence: [title, {master: rule, times: 2}, haven-left, haven-right, day-log, rule, blank, day-log, shore-left,
  shore-right, {blank: 2}, {master: rule, times: 3}]
gatherings: [2, 2]
press: {sheet: 297 x 210 mm, printer: slip-laser}
""",
    "stocks/thin-laid.md": "---\ntitle: Thin laid\nkind: paper\ncaliper: 0.11 mm\nsheet: 297 x 210 mm\n---\n",
    "printers/slip-laser.md": (
        "---\ntitle: The laser at the slip\nprocess: laser\nfeeds: short edge\nprints: lower side\nreach: 4 mm\n---\n"
    ),
    **{
        f"register/slip-laser-{number}.yml": (
            f"title: Target {number} of the laser\nprinter: slip-laser\nstock: thin-laid\ndate: 2031-03-1{number}\n"
            "sheet: 297 x 210 mm\nmethod: against the light\n"
            "offsets: {A1: '0.31 mm right, 0.12 mm up', B2: '0.4 mm left'}\n"
        )
        for number in (1, 2)
    },
    **{
        f"masters/{name}.md": f"---\ntitle: {title}\nartwork: artwork/{name}.png\n{more}---\n"
        for name, title, more in (
            ("title", "Title page", ""),
            ("rule", "Ruled form", ""),
            ("day-log", "Log of the day", ""),
            ("haven-left", "Plan of the haven, left half", "crossover: haven-right\n"),
            ("haven-right", "Plan of the haven, right half", ""),
            ("shore-left", "The shore, left half", "crossover: shore-right\n"),
            ("shore-right", "The shore, right half", "bleed: 3 mm\n"),
        )
    },
}


def press(tried: bool = True) -> PressWorking:
    """Return the whole working, with readings of the printer or without any."""
    if tried:
        register = RegisterWorking(
            "slip-laser",
            "thin-laid",
            (),
            FIT,
            SHIFT.inverse(),
            misfits(0.62, -0.31, 0.0014, 0.42),
            misfits(0.0, 0.0, 0.0, 0.42),
            True,
        )
    else:
        register = UNTRIED
    return PressWorking(
        plan=PLAN,
        lacking=(),
        lacking_words="",
        printer=PRINTER if tried else STAND_IN,
        artwork={
            name: ArtworkFact(f"artwork/{name}.png", name, "bilevel", 2480, 3898)
            for name in ("title", "rule", "haven-left", "haven-right", "shore-left")
        },
        faults={"shore-right": ArtworkFault("artwork/shore-right.png", "torn", "ends after 2 kB")},
        findings=(
            ArtworkFinding("title", "resolution", 287.0, 600.0, "", (1,)),
            ArtworkFinding("haven-left", "bleed", 0.0, 3.0, "head", (4,)),
            ArtworkFinding("rule", "reach", 2.1, 4.0, "tail", (2, 3)),
        ),
        unprintable=(7,),
        run=replace(RUN, printer=PRINTER if tried else STAND_IN),
        register=register,
        crossovers=(
            crossover(4, (0.0, 0.0), 0.0, 0.0, tried),
            crossover(10, (0.21, -0.35), 1.31, 0.012, tried),
        ),
        crossovers_before=(
            crossover(4, (0.0, 0.0), 0.0, 0.0, tried),
            crossover(10, (0.83, -0.72), 2.05, 0.31, tried),
        ),
        failing_sheets=0.012,
    )


def _plate_side(number: int, name: str, href: str) -> PlateSide:
    found = PLAN.plate(number)
    return PlateSide(
        f"{name}: plate {number}",
        tuple(
            PlatePage(
                page.master or "blank",
                page.pages,
                page.trim,
                page.turned,
                PlacedPicture(href, page.artwork, page.clip)
                if page.master and page.master.endswith("left")
                else None,
                f"../masters/{page.master}.html" if page.master else "",
            )
            for page in found.pages
        ),
        "blank, nothing to print" if found.is_blank else "",
        (Box(147.4, 60.0, 2.1, 8.5),) if number == 5 else (),
    )


def stack_spec(href: str = "../pictures/a.webp", stack: int = 2) -> StackSpec:
    """Return a stack as it is drawn."""
    one = STACKS[stack - 1]
    return StackSpec(
        f"Stack {stack}", LAYOUT, _plate_side(one.front, "front", href), _plate_side(one.back, "back", href)
    )


def octavo_spec() -> StackSpec:
    """Return a stack of an octavo, half of whose pages stand on their heads, with long names and many pages."""
    spec = PressSpec(
        105,
        148,
        450,
        320,
        (4,),
        {page: f"Casts of the lead, page {page}" for page in range(1, 17)},
        tuple(range(1, 17)),
        folding=Folding.OCTAVO,
    )
    plan = plan_press(spec)
    stack = plan.stacks[0]
    sides = [
        PlateSide(
            f"{name}: plate {number}",
            tuple(
                PlatePage(page.master or "", (*page.pages, 1001, 1002, 1003), page.trim, page.turned)
                for page in plan.plate(number).pages
            ),
        )
        for number, name in ((stack.front, "front"), (stack.back, "back"))
    ]
    return StackSpec("Stack 1 of an octavo", plan.layout, sides[0], sides[1])


def meeting(pictures: bool = True, tolerance_mm: float = 1.6) -> MeetingSpec:
    """Return a crossover as it is drawn."""
    leaf = Box(0.0, 0.0, *LEAF)
    return MeetingSpec(
        "Pages 10 and 11",
        *LEAF,
        PlacedPicture("../pictures/a.webp", leaf, leaf) if pictures else None,
        PlacedPicture("../pictures/b.webp", Box(-3, -3, 111, 171), leaf) if pictures else None,
        (0.21, -0.35),
        (0.8, -1.04),
        Reach("with the correction", 0.55, 1.31),
        Reach("without it", 1.2, 2.05),
        tolerance_mm,
        148.0,
    )


REGISTER_MAP = RegisterMapSpec(*SHEET, misfits(0.62, -0.31, 0.0014, 0.42), misfits(0.0, 0.0, 0.0, 0.42))
LAYING = LayingSpec(
    "Backs",
    210.0,
    297.0,
    "right",
    "printed",
    False,
    "Short edge first. Take the pile as it lies, not turned over.",
)


def press_spec(folding: Folding) -> PressSpec:
    """Return the tide book in another folding, one gathering of 16 pages."""
    return PressSpec(
        105,
        165,
        900,
        700,
        (4,),
        {page: "rule" if page % 3 else "title" for page in range(1, 17)},
        tuple(range(1, 17)),
        folding=folding,
    )

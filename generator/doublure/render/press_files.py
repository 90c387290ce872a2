"""The print files of a book: which plate is on which page, with its words, correction and turn; bench sheets.

In: Workings. Out: PlateFile and SceneFile values. Never: pixels, PDF (render/pdf), where files lie.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from doublure.errors import DomainError
from doublure.render.bench.kit_sheets import kit_scenes
from doublure.render.bench.paper import paper_for
from doublure.render.bench.plan_sheets import plan_scenes
from doublure.render.bench.target_sheet import target_scenes
from doublure.render.pdf.plate_page import PdfPlate
from doublure.render.plate_labels import label_page, label_plate, say_correction, say_seat_correction
from doublure.render.scene import Scene
from doublure.trade.book.gatherings import Side
from doublure.trade.press.affine import IDENTITY
from doublure.trade.press.records import PressPlan, PressPlate, PressStack
from doublure.trade.press.run import lay_pile, number_pages
from doublure.trade.press.run_records import PrinterSpec
from doublure.trade.press.run_tally import BACKS, FRONTS
from doublure.trade.press.target import design_target
from doublure.workings.all import Workings
from doublure.workings.press_records import PressWorking

BOTH_SIDES = "both-sides"
_TITLES = {FRONTS: "Fronts", BACKS: "Backs", BOTH_SIDES: "Both sides"}


@dataclass(frozen=True, slots=True)
class PlateFile:
    """One print file.

    Attributes:
        name: "fronts", "backs" or "both-sides".
        title: What it is called on a page.
        document: Title of the document.
        pages: Its pages.
        duplex: What the print dialogue is to begin with.
        note: A few more words about it, "" for none.
    """

    name: str
    title: str
    document: str
    pages: tuple[PdfPlate, ...]
    duplex: str
    note: str = ""

    @property
    def masters(self) -> tuple[str, ...]:
        """Masters that it shows, each once."""
        return tuple(dict.fromkeys(master for page in self.pages for master in page.plate.masters))


@dataclass(frozen=True, slots=True)
class SceneFile:
    """A print file of drawings.

    Attributes:
        name: Name of the file without its ending.
        title: What it is called on a page.
        about: "run", "register" or "kit".
        document: Title of the document.
        scenes: Its pages.
    """

    name: str
    title: str
    about: str
    document: str
    scenes: tuple[Scene, ...]


def list_plan_files(work: Workings) -> tuple[SceneFile, ...]:
    """Return the hand-feed plan; () while there is no run."""
    scenes = plan_scenes(work)
    document = f"{work.replica.replica.title}: hand-feed plan"
    return (SceneFile("plan", "Hand-feed plan", "run", document, scenes),) if scenes else ()


def list_target_files(work: Workings) -> tuple[SceneFile, ...]:
    """Return the register target for the sheet of the book; () for a sheet that is too small or large for one."""
    width, height = _find_sheet(work)
    try:
        target = design_target(width, height)
    except DomainError:
        return ()
    turned = lay_pile(work.press.printer, width, height)[1].page_turned
    document = f"Register target, {width:g} × {height:g} mm"
    return (
        SceneFile("target", "Register target", "register", document, target_scenes(target, turned=turned)),
    )


def list_kit_files(work: Workings) -> tuple[SceneFile, ...]:
    """Return the paper kit."""
    document = f"{work.replica.replica.title}: paper kit"
    return (SceneFile("paper-kit", "Paper kit", "kit", document, kit_scenes(work)),)


def _find_sheet(work: Workings) -> tuple[float, float]:
    """Return the sheet that is printed, as it lies; an A4 or Letter one where none is known."""
    if work.press.plan is not None:
        return work.press.plan.layout.sheet_width_mm, work.press.plan.layout.sheet_height_mm
    book = work.replica.book
    stock = work.replica.stocks.get(book.stock) if book is not None else None
    sheet = (book.press.sheet if book is not None else None) or (stock.sheet if stock is not None else None)
    if sheet is not None:
        return sheet.width_mm.value, sheet.height_mm.value
    paper = paper_for(work.replica.replica.units)
    return paper.width_mm, paper.height_mm


def list_plate_files(work: Workings) -> tuple[PlateFile, ...]:
    """Return the print files of the book: fronts and backs, or one file for a machine that prints both sides.

    A file that would have no page is not among them. Plates whose artwork cannot be used are on no page; where
    a machine prints both sides at once, their side of the sheet is left empty and says so.
    """
    press, replica = work.press, work.replica.replica
    if press.plan is None:
        return ()
    fronts, backs = number_pages(press.plan, press.printer, press.unprintable)
    turned = lay_pile(press.printer, press.plan.layout.sheet_width_mm, press.plan.layout.sheet_height_mm)[1]
    maker = _PageMaker(press, press.plan, turned.page_turned)
    if press.printer.by_machine:
        files = {BOTH_SIDES: maker.pair(fronts, backs)}
    else:
        files = {FRONTS: maker.side(fronts, Side.FRONT), BACKS: maker.side(backs, Side.BACK)}
    return tuple(
        PlateFile(
            name=name,
            title=_TITLES[name],
            document=f"{replica.title}: {_TITLES[name].lower()}",
            pages=pages,
            duplex=_duplex(press.printer),
            note=_say_moved(press) if name == FRONTS else _say_corrected(press),
        )
        for name, pages in files.items()
        if pages
    )


def _say_moved(press: PressWorking) -> str:
    is_moved = press.register is not None and not press.register.front_correction.is_identity
    return "moved on the sheet" if is_moved else ""


def _say_corrected(press: PressWorking) -> str:
    is_corrected = press.register is not None and press.register.fit is not None
    words = "backs corrected" if is_corrected else "backs not corrected, no readings yet"
    moved = _say_moved(press)
    return f"{words}; both sides {moved}" if moved else words


def _duplex(printer: PrinterSpec) -> str:
    if not printer.by_machine:
        return "simplex"
    return "short edge" if printer.turns_short_edge else "long edge"


class _PageMaker:
    """Makes pages of the plates of one plan."""

    def __init__(self, press: PressWorking, plan: PressPlan, turned: bool) -> None:
        self._press = press
        self._plan = plan
        self._turned = turned
        self._stacks = {stack.number: stack for stack in plan.stacks}

    def side(self, pages: dict[int, int], side: Side) -> tuple[PdfPlate, ...]:
        """Return one page for each stack of one side, in the order of the file."""
        return tuple(self._page(self._stacks[stack], side) for stack in sorted(pages, key=pages.__getitem__))

    def pair(self, fronts: dict[int, int], backs: dict[int, int]) -> tuple[PdfPlate, ...]:
        """Return front and back of each stack that prints anything."""
        return tuple(
            self._page(self._stacks[number], side) for number in sorted({*fronts, *backs}) for side in Side
        )

    def _page(self, stack: PressStack, side: Side) -> PdfPlate:
        plate = self._plan.plate(stack.front if side is Side.FRONT else stack.back)
        words = [label_plate(plate, stack, side)]
        register = self._press.register
        correction = IDENTITY
        if plate.number in self._press.unprintable:
            words.append(f"Left out, its artwork cannot be used: {_list(self._lacking(plate))}")
            plate = replace(plate, pages=tuple(replace(page, master=None) for page in plate.pages))
        if side is Side.BACK:
            words.append(say_correction(register))
        if register is not None:
            words += say_seat_correction(register)
            correction = register.back_correction if side is Side.BACK else register.front_correction
        return PdfPlate(
            layout=self._plan.layout,
            plate=plate,
            side=side,
            correction=correction,
            turned=self._turned and side is Side.BACK,
            label=". ".join(words) + ".",
            page_label=label_page(stack, side),
        )

    def _lacking(self, plate: PressPlate) -> Sequence[str]:
        return [master for master in plate.masters if master not in self._press.artwork]


def _list(names: Sequence[str]) -> str:
    return ", ".join(names)

"""The book: pages, gatherings, imposition, plates, creep, crossovers, thickness.

In: a Replica and the caliper of each stock. Out: BookWorking. Never: the formulas (trade/book), display text.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.model.book import BookNote, Creep
from doublure.model.insert import InsertNote
from doublure.model.replica import Replica
from doublure.trade.book.creep import (
    CreepRule,
    CreepStep,
    GatheringCreep,
    TrimmedLeaf,
    calibrate_creep_step,
    compute_creep,
    compute_creep_step,
    round_to_steps,
    trim_leaves,
)
from doublure.trade.book.crossovers import Crossover, classify_crossover
from doublure.trade.book.gatherings import Half, choose_gatherings
from doublure.trade.book.imposition import Imposition, impose
from doublure.trade.book.page_map import PageMap, build_page_map
from doublure.trade.book.plates import PlateCounts, PlatePlan, count_plates, plan_plates
from doublure.trade.book.thickness import BlockThickness, ExtraPiece, compute_block_thickness
from doublure.trade.press.records import Folding
from doublure.workings.pages import PageEntry, work_pages
from doublure.workings.planning import chosen_gatherings


@dataclass(frozen=True, slots=True)
class CrossoverWorking:
    """Artwork across the gutter: the masters of its halves and where they are printed."""

    left_master: str
    right_master: str
    place: Crossover


@dataclass(frozen=True, slots=True)
class CreepWorking:
    """Creep of the book.

    Attributes:
        step: Push-out per sheet and how it was found.
        gatherings: By the number of sheets in a gathering.
        trimmed: Width of each leaf after trimming, likewise; () where the leaf's width is open.
        flat, rounded: The same by both rules, for comparison, by the number of sheets.
    """

    step: CreepStep
    gatherings: Mapping[int, GatheringCreep]
    trimmed: Mapping[int, tuple[TrimmedLeaf, ...]]
    flat: Mapping[int, GatheringCreep]
    rounded: Mapping[int, GatheringCreep]


@dataclass(frozen=True, slots=True)
class BlockLayer:
    """One layer of the text block: a gathering, or an insert lying in or behind one.

    Attributes:
        gathering: Number of the gathering, from 1.
        thickness_mm: Its thickness.
        sheets: Folded sheets, 0 for an insert.
        insert: Identifier of the insert, "" for a gathering.
    """

    gathering: int
    thickness_mm: float
    sheets: int = 0
    insert: str = ""


@dataclass(frozen=True, slots=True)
class BookWorking:
    """Everything computed of the book.

    Attributes:
        note: The book's note.
        entries: Every page with its master.
        page_map: Where every page lies.
        imposition: The imposition table; None where every leaf is tipped in.
        plates: The plates as the maker prints them; counts compares with and without creep.
        places: Pages on which each master stands.
        crossovers: In the order of the pages.
        creep: None where the caliper of the stock is open, or creep is switched off.
        thickness: None where a caliper is open; open_calipers names the stocks.
        open_calipers: Stocks (or "" for an undecided one) without which the thickness is unknown.
        layers: The block in section; () where the thickness is unknown.
        centred: Inserts taken as lying in the middle of the page, their place on it being open.
        folded_sheets: Folded sheets in one copy.
        tipped_stocks: Leaves tipped in for each stock ("" for the book's).
        pairs_in_sheet: Leaf pairs that one folded sheet gives: 1, for a quarto 2, for an octavo 4. Wherever
            `page_map`, `imposition`, `plates` and `creep` count sheets they count leaf pairs.
    """

    note: BookNote
    entries: tuple[PageEntry, ...]
    page_map: PageMap
    imposition: Imposition | None
    plates: PlatePlan | None
    counts: PlateCounts | None
    places: Mapping[str, tuple[int, ...]]
    crossovers: tuple[CrossoverWorking, ...]
    creep: CreepWorking | None
    thickness: BlockThickness | None
    open_calipers: tuple[str, ...]
    layers: tuple[BlockLayer, ...]
    centred: tuple[str, ...]
    folded_sheets: int
    tipped_stocks: Mapping[str, int]
    pairs_in_sheet: int = 1

    @property
    def pages(self) -> int:
        """Pages of the book as given, tipped leaves included, proposed blanks not."""
        return len(self.entries)

    @property
    def leaves(self) -> int:
        """Leaves, folded (proposed blanks included) and tipped."""
        return self.leaf_pairs * 2 + sum(self.tipped_stocks.values())

    @property
    def leaf_pairs(self) -> int:
        """Leaf pairs in one copy: leaves that hang together at the spine."""
        return self.folded_sheets * self.pairs_in_sheet


def work_book(replica: Replica, calipers: Mapping[str, Measured]) -> BookWorking | None:
    """Work out the book; None where there is no page sequence, or it fits no gatherings.

    What makes it fit none is a problem of the notes, which checks/ report with its place.

    Args:
        replica: The notes.
        calipers: Caliper of each stock where it is known, by identifier.
    """
    note = replica.book
    if note is None or not note.sequence:
        return None
    try:
        entries = work_pages(note)
        tipped_at = [entry.page for entry in entries if entry.tipped == 1]
        gatherings = book_gatherings(note, len(entries) - 2 * len(tipped_at))
        if not gatherings:
            gatherings = chosen_gatherings(replica, entries, calipers.get(note.stock))
        if not gatherings:
            return None
        page_map = build_page_map(len(entries), gatherings, tipped_at, rtl=note.right_to_left)
        imposition = impose(page_map.split.folded_pages, gatherings, rtl=note.right_to_left)
    except DomainError:
        return None
    masters = {entry.page: entry.master or None for entry in entries}
    places: dict[str, list[int]] = {}
    for entry in entries:
        if entry.master:
            places.setdefault(entry.master, []).append(entry.page)
    tipped_stocks = Counter(entry.stock for entry in entries if entry.tipped == 1)
    pieces, centred = _find_pieces(replica, note, calipers)
    thickness, open_calipers = _work_thickness(note, gatherings, tipped_stocks, calipers, pieces)
    creep = _work_creep(note, gatherings, calipers.get(note.stock))
    pairs = Folding(note.press.folding).pairs
    steps = None
    if creep is not None and note.creep.step_mm > 0:
        # The largest gathering holds every place that a smaller one has, counted from the outermost sheet.
        steps = round_to_steps(creep.gatherings[max(creep.gatherings)], note.creep.step_mm)
    return BookWorking(
        note=note,
        entries=entries,
        page_map=page_map,
        imposition=imposition,
        plates=plan_plates(imposition, masters, steps is not None, steps),
        counts=count_plates(imposition, masters, steps),
        places={master: tuple(pages) for master, pages in places.items()},
        crossovers=_find_crossovers(replica, page_map, masters),
        creep=creep,
        thickness=thickness,
        open_calipers=open_calipers,
        layers=_stack_layers(replica, page_map, calipers, pieces) if thickness is not None else (),
        centred=centred if thickness is not None else (),
        folded_sheets=sum(gatherings) // pairs,
        tipped_stocks=dict(tipped_stocks),
        pairs_in_sheet=pairs,
    )


def book_gatherings(note: BookNote, folded_pages: int) -> tuple[int, ...]:
    """Return the leaf pairs in each gathering; () where none are given.

    The notes count folded sheets; a sheet folded twice or three times gives 2 or 4 leaf pairs. The last
    gathering of equal ones may be short, and is filled up to whole sheets.

    Raises:
        DomainError: The pages do not fit.
    """
    pairs = Folding(note.press.folding).pairs
    if note.gathering_sheets:
        return tuple(sheets * pairs for sheets in note.gathering_sheets)
    if note.sheets_per_gathering is not None and folded_pages:
        *full, last = choose_gatherings(folded_pages, note.sheets_per_gathering * pairs)
        return (*full, -(-last // pairs) * pairs)
    return ()


def _find_crossovers(
    replica: Replica, page_map: PageMap, masters: Mapping[int, str | None]
) -> tuple[CrossoverWorking, ...]:
    partner = {note.id: note.crossover for note in replica.masters.values() if note.crossover}
    found = []
    for page in page_map.pages:
        if page.half is not Half.LEFT or page.facing is None:
            continue
        left, right = masters[page.page], masters[page.facing]
        if left and right and (partner.get(left) == right or partner.get(right) == left):
            place = classify_crossover(page_map, page.page, page.facing)
            found.append(CrossoverWorking(left, right, place))
    return tuple(sorted(found, key=lambda one: min(one.place.left.page, one.place.right.page)))


def _creep_step(creep: Creep, caliper: Measured) -> CreepStep:
    if creep.rule == "measured" and creep.push_out_mm is not None and creep.dummy_sheets is not None:
        return calibrate_creep_step(caliper, creep.dummy_sheets, creep.push_out_mm)
    rule = CreepRule.ROUND if creep.rule == "rounded fold" else CreepRule.FLAT
    return compute_creep_step(caliper, rule)


def _work_creep(note: BookNote, gatherings: tuple[int, ...], caliper: Measured | None) -> CreepWorking | None:
    if caliper is None or note.creep.rule == "none":
        return None
    sizes = sorted(set(gatherings))
    try:
        step = _creep_step(note.creep, caliper)
        worked = {size: compute_creep(size, step) for size in sizes}
        trimmed = {}
        if note.leaf is not None:
            trimmed = {size: trim_leaves(worked[size], note.leaf.width_mm.value) for size in sizes}
    except DomainError:
        return None
    rules = {
        rule: {size: compute_creep(size, compute_creep_step(caliper, rule)) for size in sizes}
        for rule in (CreepRule.FLAT, CreepRule.ROUND)
    }
    return CreepWorking(step, worked, trimmed, rules[CreepRule.FLAT], rules[CreepRule.ROUND])


def _find_pieces(
    replica: Replica, note: BookNote, calipers: Mapping[str, Measured]
) -> tuple[tuple[ExtraPiece, ...], tuple[str, ...]]:
    """Return the inserts that lie between the leaves, and which of them have no place on their page yet."""
    pieces, centred = [], []
    for insert in replica.inserts.values():
        if insert.place is None or insert.size is None or insert.stock not in calipers or insert.place.pocket:
            continue
        piece, is_centred = _piece(insert, note)
        pieces.append(piece)
        if is_centred:
            centred.append(insert.id)
    return tuple(pieces), tuple(centred)


def _work_thickness(
    note: BookNote,
    gatherings: tuple[int, ...],
    tipped_stocks: Mapping[str, int],
    calipers: Mapping[str, Measured],
    pieces: tuple[ExtraPiece, ...],
) -> tuple[BlockThickness | None, tuple[str, ...]]:
    leaves = Counter({note.stock: sum(gatherings) * 2})
    for stock, count in tipped_stocks.items():
        leaves[stock or note.stock] += count
    lacking = tuple(stock for stock in leaves if stock not in calipers)
    if lacking:
        return None, lacking
    return compute_block_thickness(leaves, calipers, pieces), ()


def _stack_layers(
    replica: Replica, page_map: PageMap, calipers: Mapping[str, Measured], pieces: tuple[ExtraPiece, ...]
) -> tuple[BlockLayer, ...]:
    """Return the gatherings and inserts from front to back, each with its thickness."""
    book = replica.book
    assert book is not None
    layers = []
    for number, sheets in enumerate(page_map.sheets_in_gatherings, 1):
        layers.append(BlockLayer(number, sheets * 2 * calipers[book.stock].value, sheets))
    for piece in pieces:
        place = replica.inserts[piece.name].place
        page = None
        if place is not None:
            page = min(place.between) if place.between is not None else place.on
        if page is None or not 1 <= page <= len(page_map.pages):
            continue
        gathering = page_map.find(page).gathering or 1
        thickness_mm = piece.layers * calipers[piece.stock].value
        layers.append(BlockLayer(gathering, thickness_mm, insert=piece.name))
    return tuple(layers)


def _piece(insert: InsertNote, note: BookNote) -> tuple[ExtraPiece, bool]:
    """Return an insert as it lies in the closed book, and whether its place on the page had to be assumed."""
    assert insert.size is not None
    assert insert.place is not None
    size = insert.folded or insert.size
    width, height = size.width_mm.value, size.height_mm.value
    layers = max(1, round(insert.size.width_mm.value * insert.size.height_mm.value / (width * height)))
    if insert.place.way_up in ("turned left", "turned right"):
        width, height = height, width
    given = insert.place.from_gutter_mm
    if given is not None:
        from_spine = given.value
    elif insert.held is not None and insert.held.edge == "left":
        from_spine = 0.0
    else:
        leaf = note.leaf.width_mm.value if note.leaf is not None else width
        from_spine = max(0.0, (leaf - width) / 2)
    from_head = insert.place.from_head_mm.value if insert.place.from_head_mm is not None else None
    if from_head is None:
        leaf_height = note.leaf.height_mm.value if note.leaf is not None else height
        from_head = (leaf_height - height) / 2
    piece = ExtraPiece(
        name=insert.id,
        stock=insert.stock,
        layers=layers,
        width_mm=width,
        height_mm=height,
        from_spine_mm=from_spine,
        from_head_mm=from_head,
    )
    return piece, given is None or insert.place.from_head_mm is None

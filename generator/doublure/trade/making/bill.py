"""The bill of materials: how much of each stock is needed, is there, must be bought, and costs.

In: needs and stocks. Out: Bill, every line with the inputs it came from. Never: cutting layouts.
What cannot be known because an input is missing is None, with the input named; it is never 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction

from doublure.errors import DomainError


class StockUnit(Enum):
    """What a stock is counted in."""

    SHEET = "sheet"
    METRE = "metre"
    PIECE = "piece"


class Missing(Enum):
    """An input without which a figure of the bill is unknown, because it is missing or does not serve.

    UNIT: the stock is counted in another unit than the need. TOO_LARGE: not one piece fits.
    """

    STOCK = "stock"
    FIT = "fit"
    TOO_LARGE = "too large"
    LENGTH = "length"
    AMOUNT = "amount"
    UNIT = "unit"
    PACK = "pack"
    PRICE = "price"


@dataclass(frozen=True, slots=True)
class MissingInput:
    """Which input is missing, and of what: the identifier of a thing or of a stock."""

    kind: Missing
    of: str


@dataclass(frozen=True, slots=True)
class StockSpec:
    """A stock as it is bought.

    Attributes:
        identifier: Its identifier.
        unit: What it is counted in.
        per_pack: Units in what is sold as one: a pack, a ream, a length of so many metres, 1 for single
            sheets; > 0; None where unknown.
        price_per_pack: Money for one of these, ≥ 0; None where unknown.
        on_hand: Units already there, ≥ 0.
    """

    identifier: str
    unit: StockUnit = StockUnit.SHEET
    per_pack: Decimal | None = None
    price_per_pack: Decimal | None = None
    on_hand: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class PieceNeed:
    """Pieces cut from sheets.

    Attributes:
        thing: Identifier of what they are for.
        stock: Identifier of the stock; None where none is decided.
        pieces: Pieces to make, spares included, ≥ 0.
        per_sheet: Pieces that fit one sheet, 0 where it is too small; None where unknown.
    """

    thing: str
    stock: str | None
    pieces: int
    per_sheet: int | None


@dataclass(frozen=True, slots=True)
class BookNeed:
    """Whole sheets of the book.

    Attributes:
        thing: Identifier of what they are for.
        stock: Identifier of the stock; None where none is decided.
        sheets_per_copy: Sheets of this stock in one copy, ≥ 0.
        copies: Copies, ≥ 0.
        spare_sheets: Sheets on top by the maker's rule, for the whole edition, ≥ 0.
        per_stock_sheet: Sheets of the book that one sheet of the stock yields, 0 where it is too small; None
            where unknown.
        failing_sheets: Sheets of the whole edition that are expected to fail at a crossover, ≥ 0. They are
            spoilage, which the spares are for: the larger of the two is taken.
        run_sheets: Sheets that the run takes, used and left, ≥ 0; the least that is needed. Its spares are rounded
            up stack by stack, and what spoiled beyond them is printed again.
    """

    thing: str
    stock: str | None
    sheets_per_copy: int
    copies: int
    spare_sheets: int = 0
    per_stock_sheet: int | None = 1
    failing_sheets: int = 0
    run_sheets: int = 0

    @property
    def sheets(self) -> int:
        """Sheets to make, those on top included."""
        planned = self.sheets_per_copy * self.copies + max(self.spare_sheets, self.failing_sheets)
        return max(planned, self.run_sheets)


@dataclass(frozen=True, slots=True)
class LengthNeed:
    """Pieces cut from a roll, in rows across its width.

    Attributes:
        thing: Identifier of what they are for.
        stock: Identifier of the stock; None where none is decided.
        pieces: Pieces to make, spares included, ≥ 0.
        per_row: Pieces side by side across the roll, 0 where it is too narrow; None where unknown.
        row_mm: Length of roll that one row takes, mm, > 0; None where unknown.
    """

    thing: str
    stock: str | None
    pieces: int
    per_row: int | None
    row_mm: float | None


@dataclass(frozen=True, slots=True)
class AmountNeed:
    """An amount in the stock's own unit; None where unknown."""

    thing: str
    stock: str | None
    amount: Decimal | None


Need = PieceNeed | BookNeed | LengthNeed | AmountNeed


@dataclass(frozen=True, slots=True)
class NeedLine:
    """One need worked out.

    Attributes:
        need: As given.
        amount: Units of the stock, rounded up to whole sheets where it is sheets; None where unknown.
        missing: The inputs without which it is unknown; empty where it is known.
    """

    need: Need
    amount: Decimal | None
    missing: tuple[MissingInput, ...] = ()


@dataclass(frozen=True, slots=True)
class StockLine:
    """One stock of the bill.

    Attributes:
        stock: As given.
        lines: Every need on it, in the order given.
        needed: Units needed; None where any need is unknown.
        needed_known: Units needed as far as they are known.
        to_get: Units needed beyond what is on hand; None where unknown.
        beyond: Units on hand beyond the need; None where unknown.
        packs: What is to be bought, in what it is sold in; None where unknown.
        bought: Units in these; None where unknown.
        left_over: Units left when everything is made: on hand and bought, less needed; None where unknown.
        cost: Money for what is to be bought, 0 where nothing is; None where unknown.
        missing: Every missing input that leaves something of the line unknown.
    """

    stock: StockSpec
    lines: tuple[NeedLine, ...]
    needed: Decimal | None
    needed_known: Decimal
    to_get: Decimal | None
    beyond: Decimal | None
    packs: int | None
    bought: Decimal | None
    left_over: Decimal | None
    cost: Decimal | None
    missing: tuple[MissingInput, ...]


@dataclass(frozen=True, slots=True)
class Bill:
    """The whole bill.

    Attributes:
        stocks: One line for each stock, in the order given, stocks without a need included.
        unassigned: Needs for which no stock is decided.
        total: Money for everything; None where any part of it is unknown.
        total_known: Money for what is known.
        unknown: Lines whose cost is unknown: of stocks, and needs without a stock.
    """

    stocks: tuple[StockLine, ...]
    unassigned: tuple[NeedLine, ...]
    total: Decimal | None
    total_known: Decimal
    unknown: int


def work_bill(needs: Iterable[Need], stocks: Iterable[StockSpec]) -> Bill:
    """Work out the bill of materials.

    Each need is rounded up to whole sheets by itself, since a sheet is cut up for one use; the sum of a
    stock, less what is on hand and never below 0, is rounded up to what is sold.

    Args:
        needs: In any order; several may be on one stock.
        stocks: Each once.

    Returns:
        The bill.

    Raises:
        DomainError: A number out of its range, a stock given twice, or a need on a stock that is not given.

    Source:
        Arithmetic; rounding up for each use: common practice, no published source.

    Examples:
        >>> laid = StockSpec("laid", per_pack=Decimal(100), price_per_pack=Decimal("12.50"))
        >>> work_bill([PieceNeed("pass", "laid", pieces=15, per_sheet=4)], [laid]).total
        Decimal('12.50')
    """
    by_id: dict[str, StockSpec] = {}
    for stock in stocks:
        _require_stock(stock)
        if stock.identifier in by_id:
            raise DomainError(f"the stock {stock.identifier} is given twice", "stocks")
        by_id[stock.identifier] = stock
    lines: dict[str, list[NeedLine]] = {identifier: [] for identifier in by_id}
    unassigned = []
    for need in needs:
        _require_need(need)
        if not need.stock:
            unassigned.append(NeedLine(need, None, (MissingInput(Missing.STOCK, need.thing),)))
        elif need.stock not in by_id:
            raise DomainError(f"{need.thing} is to be made of {need.stock}, which is no known stock", "stock")
        else:
            lines[need.stock].append(_work_need(need, by_id[need.stock]))
    worked = tuple(_work_stock(stock, lines[identifier]) for identifier, stock in by_id.items())
    known = [line.cost for line in worked if line.cost is not None]
    unknown = len(worked) - len(known) + len(unassigned)
    total_known = sum(known, Decimal(0))
    return Bill(
        stocks=worked,
        unassigned=tuple(unassigned),
        total=None if unknown else total_known,
        total_known=total_known,
        unknown=unknown,
    )


def _work_need(need: Need, stock: StockSpec) -> NeedLine:
    if isinstance(need, AmountNeed):
        if need.amount is None:
            return NeedLine(need, None, (MissingInput(Missing.AMOUNT, need.thing),))
        whole = stock.unit is not StockUnit.METRE
        return NeedLine(need, Decimal(math.ceil(need.amount)) if whole else need.amount)
    if isinstance(need, BookNeed):
        pieces, fit = need.sheets, need.per_stock_sheet
    else:
        pieces, fit = need.pieces, need.per_row if isinstance(need, LengthNeed) else need.per_sheet
    if pieces == 0:
        return NeedLine(need, Decimal(0))
    kinds = []
    if isinstance(need, LengthNeed) is not (stock.unit is StockUnit.METRE):
        kinds.append(Missing.UNIT)
    if not fit:
        kinds.append(Missing.FIT if fit is None else Missing.TOO_LARGE)
    length_m = Decimal(1)
    if isinstance(need, LengthNeed):
        if need.row_mm is None:
            kinds.append(Missing.LENGTH)
        else:
            # A length that is whole in inches is not quite whole in a float; that must not buy a metre.
            length_m = Decimal(str(round(need.row_mm, 6))) / 1000
    if kinds or not fit:
        return NeedLine(need, None, tuple(MissingInput(kind, need.thing) for kind in kinds))
    return NeedLine(need, -(-pieces // fit) * length_m)


def _work_stock(stock: StockSpec, lines: Sequence[NeedLine]) -> StockLine:
    missing = [entry for line in lines for entry in line.missing]
    amounts = [line.amount for line in lines if line.amount is not None]
    needed_known = sum(amounts, Decimal(0))
    needed = to_get = beyond = bought = left_over = cost = None
    packs: int | None = None
    if len(amounts) == len(lines):
        needed = needed_known
        to_get = max(Decimal(0), needed - stock.on_hand)
        beyond = max(Decimal(0), stock.on_hand - needed)
        if to_get == 0:
            packs, bought, cost = 0, Decimal(0), Decimal(0)
        elif stock.per_pack is None:
            missing.append(MissingInput(Missing.PACK, stock.identifier))
        else:
            packs = math.ceil(Fraction(to_get) / Fraction(stock.per_pack))
            bought = packs * stock.per_pack
        if bought is not None:
            left_over = stock.on_hand + bought - needed
    if cost is None and stock.price_per_pack is None:
        missing.append(MissingInput(Missing.PRICE, stock.identifier))
    elif cost is None and packs is not None and stock.price_per_pack is not None:
        cost = packs * stock.price_per_pack
    return StockLine(
        stock=stock,
        lines=tuple(lines),
        needed=needed,
        needed_known=needed_known,
        to_get=to_get,
        beyond=beyond,
        packs=packs,
        bought=bought,
        left_over=left_over,
        cost=cost,
        missing=tuple(dict.fromkeys(missing)),
    )


def _require_stock(stock: StockSpec) -> None:
    name = stock.identifier
    if stock.per_pack is not None and not (stock.per_pack.is_finite() and stock.per_pack > 0):
        raise DomainError(f"what {name} is sold in must hold more than 0", "per_pack")
    price = stock.price_per_pack
    if price is not None and not (price.is_finite() and price >= 0):
        raise DomainError(f"the price of {name} must be 0 or more", "price_per_pack")
    if not (stock.on_hand.is_finite() and stock.on_hand >= 0):
        raise DomainError(f"what is on hand of {name} must be 0 or more", "on_hand")


def _require_need(need: Need) -> None:
    match need:
        case PieceNeed():
            numbers = {"pieces": need.pieces, "per_sheet": need.per_sheet}
        case BookNeed():
            numbers = {
                "sheets_per_copy": need.sheets_per_copy,
                "copies": need.copies,
                "spare_sheets": need.spare_sheets,
                "per_stock_sheet": need.per_stock_sheet,
                "failing_sheets": need.failing_sheets,
            }
        case LengthNeed():
            numbers = {"pieces": need.pieces, "per_row": need.per_row}
            if need.row_mm is not None and not 0 < need.row_mm < math.inf:
                raise DomainError(f"one row of {need.thing} must take more than 0 mm", "row_mm")
        case AmountNeed():
            numbers = {}
            if need.amount is not None and not (need.amount.is_finite() and need.amount >= 0):
                raise DomainError(f"the amount of {need.thing} must be 0 or more", "amount")
    for name, number in numbers.items():
        if number is not None and number < 0:
            raise DomainError(f"{name} of {need.thing} must be 0 or more, not {number}", name)

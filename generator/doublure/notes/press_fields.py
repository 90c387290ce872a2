"""The fields of the press: how sheets are printed and folded, what gatherings are wished for, printers, register.

In: nodes. Out: records of model/book.py, and fields for schema.py. Never: plates, plans, fitting.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from doublure.model.book import GatheringWish, Press
from doublure.model.notes import MarkOffset
from doublure.notes.book_fields import FacingPages
from doublure.notes.decoding import Decoding, Path, Reference, Values, describe_node
from doublure.notes.fieldtypes import Choice, Day, FieldType, File, Name, Quantity, Schema, YesNo
from doublure.notes.nodes import BrokenNode, ListNode, MapNode, Node
from doublure.notes.packs import parse_sheet_range, parse_weight
from doublure.notes.shapes import Either, Field, Many, Record
from doublure.notes.vocabulary import (
    BLEED_MM,
    COUNT,
    COUNT_OR_NONE,
    DISTANCE_MM,
    GRAIN_WAYS,
    PLAIN_LENGTH,
    SHEETS,
    SIZE,
    STOCK,
)
from doublure.quantities import parse_offset, parse_sideways, parse_signed, parse_turn

PRINTER = Name(("printers",), "a printer")
_FOLDINGS = Choice(("folio", "quarto", "octavo"))
_PAIRINGS = Choice(("alike", "in turn"))
_BLANKS = Choice(("end", "gatherings", "anywhere"))
_SHEET_RANGE = Quantity(
    "sheets from and to, such as 3 to 5",
    parse_sheet_range,
    "sheets",
    r"^\s*[1-9][0-9]*\s*((to|-|–)\s*[1-9][0-9]*)?\s*([Ss]heets?)?\s*$",
    bare="integer",
    least=1,
)
_WEIGHT = Quantity("a weight, such as 3", parse_weight, "", r"^\s*[0-9]", bare="number")
_WAY = r"([Rr]ight|[Ll]eft|[Dd]own|[Uu]p)\s*$"
_OFFSET = Quantity(
    "how far and which way, such as 0.31 mm right, 0.12 mm up",
    parse_offset, "mm", rf"^\s*0\s*$|[0-9].*{_WAY}", bare="zero",
)  # fmt: skip
_SIGNED = Quantity(
    "a length with its sign, such as -0.4 mm", parse_signed, "mm", r"^\s*0\s*$|[0-9].*[A-Za-zµ\"]", bare="zero"
)
_SIDEWAYS = Quantity(
    "how far to the right or left, such as 0.3 mm right",
    parse_sideways, "mm", r"^\s*0\s*$|[0-9].*[A-Za-zµ\"]", bare="zero",
)  # fmt: skip
_TURN = Quantity(
    "an angle, such as 0.12° clockwise", parse_turn, "rad", r"^\s*0\s*$|[0-9].*[°A-Za-z]", bare="zero"
)
_MARK = re.compile(r"[A-Z][0-9]{1,2}")


@dataclass(frozen=True, slots=True)
class Weights(FieldType):
    """A weight for each of several masters."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> tuple[tuple[str, float], ...] | None:
        """Return (master, weight) pairs in the order of the note."""
        if not isinstance(node, MapNode):
            if not isinstance(node, BrokenNode):
                ctx.add("K103", f"{key}: {describe_node(node)} stands where masters with weights should", node,
                        "write one line for each, such as chart-left: 3")  # fmt: skip
            return None
        found: list[tuple[str, float]] = []
        for name, value in node.entries:
            master = name.value.strip()
            ctx.references.append(
                Reference(master, ("masters",), (), key, name.start, name.end, (*path, name.value))
            )
            weight = _WEIGHT.decode(value, name.value, (*path, name.value), ctx)
            if weight is not None:
                found.append((master.removeprefix("masters/"), weight))
        return tuple(found)

    def words(self) -> str:
        """Return the words for it."""
        return "masters, each with its weight"

    def schema(self) -> Schema:
        """An object of numbers; which masters there are is beyond a schema."""
        return {
            "type": ["object", "null"],
            "patternProperties": {"_private$": {}},
            "additionalProperties": {"type": ["number", "string"], "minimum": 0, "pattern": "^\\s*[0-9]"},
        }


@dataclass(frozen=True, slots=True)
class Offsets(FieldType):
    """How far each back mark lies from its front mark."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> tuple[MarkOffset, ...] | None:
        """Return the offsets in the order of the note."""
        if not isinstance(node, MapNode):
            if not isinstance(node, BrokenNode):
                ctx.add("K103", f"{key}: {describe_node(node)} stands where marks with offsets should", node,
                        "write one line for each, such as A1: 0.31 mm right, 0.12 mm up")  # fmt: skip
            return None
        found: list[MarkOffset] = []
        for name, value in node.entries:
            mark = name.value.strip().upper()
            if not _MARK.fullmatch(mark):
                ctx.add(
                    "U101", f'{key}: "{name.value}" is no mark of a target', name,
                    "write the letter and the number beside the mark, such as A1",
                )  # fmt: skip
                continue
            if any(one.mark == mark for one in found):
                ctx.add("Y102", f'{key}: the mark {mark} is written twice', name, "keep one of the two")
                continue
            offset = _OFFSET.decode(value, name.value, (*path, name.value), ctx)
            if offset is not None:
                ctx.moved[*path, len(found)] = (*path, name.value)
                found.append(MarkOffset(mark, *offset))
        return tuple(found)

    def words(self) -> str:
        """Return the words for it."""
        return "marks, each with how far its back lies from its front and which way"

    def schema(self) -> Schema:
        """An object whose keys are marks."""
        return {
            "type": ["object", "null"],
            "patternProperties": {r"^\s*[A-Za-z][0-9]{1,2}\s*$": _OFFSET.schema(), "_private$": {}},
            "additionalProperties": False,
        }


def _build_press(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Press:
    usual = Press()
    return Press(
        folding=values.get("folding", usual.folding),
        pairs=values.get("pairs", usual.pairs),
        pairing=values.get("pairing", usual.pairing),
        sheet=values.get("sheet"),
        grain=values.get("grain", usual.grain),
        printer=values.get("printer", usual.printer),
        bleed_mm=values.get("bleed", usual.bleed_mm),
        collation=values.get("collation", usual.collation),
    )


def _build_wish(values: Values, node: MapNode, path: Path, ctx: Decoding) -> GatheringWish:
    fewest, most = values["sheets"]
    usual = GatheringWish(fewest, most)
    return GatheringWish(
        fewest,
        most,
        blanks=values.get("blanks", usual.blanks),
        most_blanks=values.get("most_blanks", usual.most_blanks),
        fixed=values.get("fixed", usual.fixed),
        weights=values.get("weights", usual.weights),
        most_plates=values.get("plates"),
    )


def _build_values(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Values:
    return values


def _lengthen_reach(reach_mm: float, path: Path) -> Values:
    return {"leading": reach_mm, "trailing": reach_mm, "sides": reach_mm}


def _lengthen_front(offset: tuple[float, float], path: Path) -> Values:
    return {"right": offset[0], "down": offset[1]}


@dataclass(frozen=True, slots=True)
class Spreads(FieldType):
    """Several pairs of facing pages; one pair alone may stand without its brackets."""

    def decode(self, node: Node, key: str, path: Path, ctx: Decoding) -> tuple[tuple[int, int], ...] | None:
        """Return the pairs in the order of the note."""
        if isinstance(node, ListNode) and len(node.items) == 2 and not any(
            isinstance(one, ListNode) for one in node.items
        ):  # fmt: skip
            pair = FacingPages().decode(node, key, path, ctx)
            ctx.moved[*path, 0] = path
            return None if pair is None else (pair,)
        pairs: tuple[tuple[int, int], ...] | None = Many(FacingPages()).decode(node, key, path, ctx)
        return pairs

    def words(self) -> str:
        """Return the words for it."""
        return "pairs of facing pages, such as [[8, 9], [40, 41]]"

    def schema(self) -> Schema:
        """One pair, or a list of pairs."""
        one = FacingPages().schema()
        return {"anyOf": [one, {"type": "array", "items": one}]}


PRESS = Record(
    "how the sheets are printed and folded",
    (
        Field("folding", _FOLDINGS, "How often a sheet is folded: folio once, quarto twice, octavo three times.",
              "quarto"),
        Field("pairs", COUNT, "Leaf pairs that a printed sheet is cut into before it is folded; only with folio.",
              "2"),
        Field("pairing", _PAIRINGS,
              "What a sheet with several leaf pairs carries: the same one so many times, or those that follow "
              "each other.", "in turn"),
        Field("sheet", SIZE, "The sheet as it is fed, width by height with the heads of the pages up; as sold "
              "where not said.", "297 x 210 mm", unit="mm"),
        Field("grain", GRAIN_WAYS, "Along which side of that sheet the fibres run; as the stock's where not said.",
              "short"),
        Field("printer", PRINTER, "What it is printed on; where there is only one, it need not be said.",
              "bench-laser"),
        Field("bleed", BLEED_MM, "Bleed that is printed where the artwork has it.", "2 mm", unit="mm"),
        Field("collation", YesNo(), "Step marks on the spine folds, by which a missing gathering is seen. They "
              "make plates differ that were one.", "yes"),
    ),
    _build_press,
)  # fmt: skip
CHOOSE = Record(
    "wishes for the gatherings",
    (
        Field("sheets", _SHEET_RANGE, "Sheets in a gathering, from and to.", "3 to 5", required=True, unit="sheets"),
        Field("blanks", _BLANKS, "Where blank pages may be put in: at the end of the book, at the beginning and "
              "end of gatherings, or anywhere.", "gatherings"),
        Field("most_blanks", COUNT_OR_NONE, "How many blank pages, at most; 3 where not said.", "4"),
        Field("fixed", Spreads(), "Facing pages that must lie in the middle of a gathering.", "[[8, 9], [40, 41]]"),
        Field("weights", Weights(), "How much each artwork across the gutter matters, by the master of either half; "
              "1 where not said, 0 for not at all.", "{chart-left: 3}"),
        Field("plates", COUNT, "Different plates that are acceptable; any number where not said.", "40"),
    ),
    _build_wish,
)  # fmt: skip
_REACH = Either(
    DISTANCE_MM,
    Record(
        "what a printer leaves bare",
        (
            Field("leading", DISTANCE_MM, "At the edge that goes in first.", "4.2 mm", unit="mm"),
            Field("trailing", DISTANCE_MM, "At the edge that goes in last.", "4.2 mm", unit="mm"),
            Field("sides", DISTANCE_MM, "At each side.", "4.2 mm", unit="mm"),
        ),
        _build_values,
    ),
    _lengthen_reach,
)
_FRONT = Either(
    _OFFSET,
    Record(
        "where the front sits on its sheet",
        (
            Field("right", _SIGNED, "How far right of its place, left with a minus.", "0.8 mm", unit="mm"),
            Field("down", _SIGNED, "How far below its place, above with a minus.", "-0.4 mm", unit="mm"),
            Field("turn", _TURN, "How far it is turned; a bare angle is clockwise.", "0.12° clockwise", unit="rad"),
        ),
        _build_values,
    ),
    _lengthen_front,
)
PRINTER_FIELDS: tuple[Field, ...] = (
    Field("process", Choice(("laser", "inkjet", "other")), "How it prints.", "laser"),
    Field("reach", _REACH, "What it leaves bare along the edges of a sheet.",
          "{leading: 4.2 mm, trailing: 5 mm, sides: 4 mm}", unit="mm"),
    Field("feeds", Choice(("short edge", "long edge")), "Which edge of the sheet goes in first.", "short edge"),
    Field("prints", Choice(("upper side", "lower side")), "Which side of a sheet in the tray is printed.",
          "upper side"),
    Field("lands", Choice(("face down", "face up")), "How the fresh print comes out.", "face down"),
    Field("turn", Choice(("long edge", "short edge")), "About which edge sheets are turned for their backs.",
          "long edge"),
    Field("pile", Choice(("last on top", "first on top")),
          "Which sheet lies on top when the pile is laid in again for the backs.", "last on top"),
    Field("both_sides", Choice(("by hand", "by machine")), "Who turns the sheet.", "by hand"),
    Field("holds", SHEETS, "Sheets that its tray takes.", "100 sheets", unit="sheets"),
)  # fmt: skip
REGISTER_FIELDS: tuple[Field, ...] = (
    Field("printer", PRINTER, "The printer that it came from.", "bench-laser"),
    Field("stock", STOCK, "The stock that it was printed on.", "thin-laid"),
    Field("date", Day(), "When it was printed.", "2031-03-10"),
    Field("sheet", SIZE, "The sheet, width by height, for which the target was made.", "297 x 210 mm", unit="mm"),
    Field("method", Choice(("against the light", "scan", "by eye")), "How it was read.", "against the light"),
    Field("photo", File(), "The picture it was read from; it stays out of the site.", "pictures/target-1.jpg"),
    Field("offsets", Offsets(), "How far each back mark lies from its front mark, seen from the front.",
          "{A1: '0.31 mm right, 0.12 mm up', A2: '0.28 mm right, 0.1 mm up', B1: '0.35 mm right, 0.1 mm up'}",
          unit="mm"),
    Field("uncertainty", PLAIN_LENGTH, "Standard uncertainty of each offset.", "0.05 mm", unit="mm"),
    Field("front", _FRONT, "How far the front sits from where it should on its sheet.",
          "{right: 0.8 mm, down: -0.4 mm, turn: 0.12° clockwise}", unit="mm"),
    Field("fold", _SIDEWAYS, "How far the fold lies from where it is printed.", "0.3 mm left", unit="mm"),
)  # fmt: skip

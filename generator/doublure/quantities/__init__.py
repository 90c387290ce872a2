"""Text to numbers and back, at the edge: the only place where a unit is a word.

In: what an author wrote, or numbers in the units used inside (mm, g/m², radians, minutes, Decimal money).
Out: Measured and plain numbers, or text for the maker.
Never: judging whether a quantity makes sense for the thing it is said of.
"""

from doublure.quantities.amounts import (
    parse_angle,
    parse_count,
    parse_duration,
    parse_money,
    parse_resolution,
    parse_share,
)
from doublure.quantities.directions import (
    format_offset,
    format_sideways,
    format_turn,
    parse_offset,
    parse_sideways,
    parse_signed,
    parse_turn,
)
from doublure.quantities.failure import QuantityError
from doublure.quantities.formatting import (
    format_angle,
    format_both,
    format_duration,
    format_grammage,
    format_hours,
    format_length_in,
    format_length_mm,
    format_money,
    format_share,
    format_size,
    format_written,
    round_uncertainty,
)
from doublure.quantities.lengths import parse_length, parse_size
from doublure.quantities.weights import POUND_GRADES, PoundGrade, index_grades, parse_grammage

__all__ = [
    "POUND_GRADES",
    "PoundGrade",
    "QuantityError",
    "format_angle",
    "format_both",
    "format_duration",
    "format_grammage",
    "format_hours",
    "format_length_in",
    "format_length_mm",
    "format_money",
    "format_offset",
    "format_share",
    "format_sideways",
    "format_size",
    "format_turn",
    "format_written",
    "index_grades",
    "parse_angle",
    "parse_count",
    "parse_duration",
    "parse_grammage",
    "parse_length",
    "parse_money",
    "parse_offset",
    "parse_resolution",
    "parse_share",
    "parse_sideways",
    "parse_signed",
    "parse_size",
    "parse_turn",
    "round_uncertainty",
]

"""How well an attribute is known: the rule of standing.

In: readings with stems, the decided value, the maker's basis. Out: AttributeStanding.
Never: display text: the clause of the rule that applied is a code.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from doublure.errors import DomainError
from doublure.trade.evidence.combine import CombinedValue, NumericReading, combine_readings
from doublure.trade.evidence.power import PowerOfTest, compute_power_of_test
from doublure.trade.evidence.standing import OPEN, Open, Standing
from doublure.trade.evidence.wordings import do_wordings_agree, find_contradictions


class Clause(Enum):
    """The clause of the rule of standing that applied."""

    ORIGINAL_IN_HAND = "original in hand"
    TWO_TO_SCALE = "two to scale"
    ONE_TO_SCALE = "one to scale"
    TWO_UNSCALED = "two unscaled"
    ONE_UNSCALED = "one unscaled"
    PERIOD_PRACTICE = "period practice"
    OWN_CHOICE = "own choice"
    DECIDED_OUTSIDE = "decided outside the interval"
    DECIDED_AGAINST = "decided against every reading"
    DECIDED_ALONE = "decided without readings"
    NUMBERS_DIFFER = "numbers differ"
    WORDS_CONTRADICT = "words contradict"
    NOTHING = "nothing"


class BasisKind(Enum):
    """What the maker says a decision rests on, where it does not rest on readings."""

    ASSUMED = "assumed"
    CHOSEN = "chosen"


@dataclass(frozen=True, slots=True)
class ReadingSpec:
    """One reading of the attribute: a number, or words, or neither where a picture merely shows it.

    Attributes:
        source: Identifier of the source.
        stem: Name of its stem.
        to_scale: True with a known length in the picture or a stated measurement.
        original: True where the source is the original in hand.
        value: The number read, else None.
        u: Its standard uncertainty, > 0, in the same unit; None where none is stated.
        words: The wording read; "" where none.
    """

    source: str
    stem: str
    to_scale: bool = False
    original: bool = False
    value: float | None = None
    u: float | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class DecidedSpec:
    """What the maker decided: a number in the unit of the readings, or words."""

    value: float | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class BasisSpec:
    """The maker's word on what the decision rests on, with the reason."""

    kind: BasisKind
    reason: str = ""


@dataclass(frozen=True, slots=True)
class WitnessSummary:
    """One independent witness of the attribute.

    Attributes:
        stem: Name of the stem.
        sources: The sources on it whose readings count.
        to_scale: True where any of these readings is to scale.
        original: True where any of these sources is the original in hand.
    """

    stem: str
    sources: tuple[str, ...]
    to_scale: bool
    original: bool


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two sources whose wordings contradict each other, and whether both are on one stem."""

    one: str
    other: str
    on_one_stem: bool


@dataclass(frozen=True, slots=True)
class AttributeStanding:
    """How well one attribute is known, and why.

    Attributes:
        standing: On the scale, DISPUTED, or OPEN.
        clause: The clause of the rule that applied.
        from_readings: What the readings alone would give, before the decision and its basis; OPEN where
            there are none.
        witnesses: The independent witnesses, by stem.
        combined: The numbers combined; None for words or without readings.
        power: The power of the test of agreement; None below two witnesses of numbers.
        contradictions: For words, the pairs of sources that contradict each other.
        odd: In a dispute among three witnesses or more, the stem of the one that is odd; None where
            nobody can say.
        named: In a dispute, the stems to name: the odd one alone, or all that may be.
        decided_agrees: Whether the decided value agrees with the readings; None where there is nothing to
            compare.
        unstated: Sources whose uncertainty was not stated and taken from unstated_u.
        set_aside: Sources that read the attribute in words while others read it as a number.
        readings: The readings as given, sorted.
        decided: The decision as given.
        basis: The basis as given.
    """

    standing: Standing | Open
    clause: Clause
    from_readings: Standing | Open
    witnesses: tuple[WitnessSummary, ...] = ()
    combined: CombinedValue | None = None
    power: PowerOfTest | None = None
    contradictions: tuple[Contradiction, ...] = ()
    odd: str | None = None
    named: tuple[str, ...] = ()
    decided_agrees: bool | None = None
    unstated: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()
    readings: tuple[ReadingSpec, ...] = ()
    decided: DecidedSpec | None = None
    basis: BasisSpec | None = None

    @property
    def is_open(self) -> bool:
        """True where there is nothing at all on the attribute."""
        return self.standing is OPEN


def assess_attribute(
    readings: Iterable[ReadingSpec],
    decided: DecidedSpec | None = None,
    basis: BasisSpec | None = None,
    *,
    same_wordings: Iterable[Sequence[str]] = (),
    tolerance: float | None = None,
    unstated_u: float | None = None,
) -> AttributeStanding:
    """Return how well an attribute is known.

    Where any reading is a number, numbers are compared and the others are set aside; else wordings are
    compared, and a reading without words is a picture that shows the attribute and contradicts nothing.
    A stated basis caps what the readings give: a decision said to be assumed or chosen stands no better.

    Args:
        readings: All readings of this attribute, numbers in one unit, in any order.
        decided: What the maker decided, if anything.
        basis: Set where the maker says that the decision is assumed or chosen.
        same_wordings: Groups of wordings that the maker takes as saying the same.
        tolerance: The difference whose power is stated, in the unit of the readings; None: two combined u.
        unstated_u: Standard uncertainty for readings that state none.

    Returns:
        The standing, with all that it rests on.

    Raises:
        DomainError: A number without a usable uncertainty, or one source on two stems.

    Source:
        The rule of standing, docs/handbook/methods/evidence.md.

    Examples:
        >>> found = assess_attribute([ReadingSpec("frame-3", "film", value=63.5, u=1.5)])
        >>> found.standing.value, found.clause.value
        ('thin', 'one unscaled')
    """
    ordered = tuple(sorted(readings, key=_get_order))
    stems: dict[str, str] = {}
    for reading in ordered:
        if stems.setdefault(reading.source, reading.stem) != reading.stem:
            raise DomainError(f"the source {reading.source} is given on two stems", "readings")
    if any(reading.value is not None for reading in ordered):
        assessed = _assess_numbers(ordered, decided, tolerance, unstated_u)
    else:
        assessed = _assess_words(ordered, decided, [tuple(group) for group in same_wordings])
    standing, clause = _decide(assessed, decided, basis)
    return replace(assessed, standing=standing, clause=clause, readings=ordered, decided=decided, basis=basis)


def _assess_numbers(
    readings: Sequence[ReadingSpec],
    decided: DecidedSpec | None,
    tolerance: float | None,
    unstated_u: float | None,
) -> AttributeStanding:
    """Judge by the readings that are numbers alone."""
    counted = [reading for reading in readings if reading.value is not None]
    combined = combine_readings(_convert_reading(reading, unstated_u) for reading in counted)
    witnesses = _summarise_witnesses(counted)
    standing, clause = _judge_witnesses(witnesses)
    power = None
    if len(witnesses) > 1:
        power = compute_power_of_test([witness.u for witness in combined.witnesses], tolerance)
    odd: str | None = None
    named: tuple[str, ...] = ()
    if combined.is_disputed:
        standing, clause = Standing.DISPUTED, Clause.NUMBERS_DIFFER
        odd = combined.odd[0] if len(combined.odd) == 1 else None
        named = combined.odd or tuple(witness.stem for witness in witnesses)
    agrees = None
    if decided is not None and decided.value is not None:
        agrees = combined.holds(decided.value)
    return AttributeStanding(
        standing=standing,
        clause=clause,
        from_readings=standing,
        witnesses=witnesses,
        combined=combined,
        power=power,
        odd=odd,
        named=named,
        decided_agrees=agrees,
        unstated=_list_sources(reading for reading in counted if reading.u is None),
        set_aside=_list_sources(reading for reading in readings if reading.value is None),
    )


def _assess_words(
    readings: Sequence[ReadingSpec], decided: DecidedSpec | None, same: Sequence[Sequence[str]]
) -> AttributeStanding:
    """Judge by wordings alone."""
    witnesses = _summarise_witnesses(readings)
    standing, clause = _judge_witnesses(witnesses)
    pairs = find_contradictions([reading.words for reading in readings], same)
    odd: str | None = None
    named: tuple[str, ...] = ()
    if pairs:
        standing, clause = Standing.DISPUTED, Clause.WORDS_CONTRADICT
        disputing = [(readings[i].stem, readings[j].stem) for i, j in pairs]
        named = tuple(sorted({stem for pair in disputing for stem in pair}))
        # The odd one is the only witness without which no contradiction is left.
        able = [stem for stem in named if all(stem in pair for pair in disputing)]
        if len(witnesses) > 2 and len(able) == 1:
            odd = able[0]
            named = (odd,)
    agrees = None
    if decided is not None and decided.words and readings:
        agrees = any(do_wordings_agree(decided.words, reading.words, same) for reading in readings)
    return AttributeStanding(
        standing=standing,
        clause=clause,
        from_readings=standing,
        witnesses=witnesses,
        contradictions=tuple(
            Contradiction(readings[i].source, readings[j].source, readings[i].stem == readings[j].stem)
            for i, j in pairs
        ),
        odd=odd,
        named=named,
        decided_agrees=agrees,
    )


def _judge_witnesses(witnesses: Sequence[WitnessSummary]) -> tuple[Standing | Open, Clause]:
    """Apply the clauses that look at witnesses, taking it that they agree."""
    to_scale = sum(witness.to_scale for witness in witnesses)
    if any(witness.original for witness in witnesses):
        return Standing.SETTLED, Clause.ORIGINAL_IN_HAND
    if to_scale >= 2:
        return Standing.SETTLED, Clause.TWO_TO_SCALE
    if to_scale == 1:
        return Standing.SUPPORTED, Clause.ONE_TO_SCALE
    if len(witnesses) >= 2:
        return Standing.SUPPORTED, Clause.TWO_UNSCALED
    if witnesses:
        return Standing.THIN, Clause.ONE_UNSCALED
    return OPEN, Clause.NOTHING


def _decide(
    assessed: AttributeStanding, decided: DecidedSpec | None, basis: BasisSpec | None
) -> tuple[Standing | Open, Clause]:
    """Let the decision and its basis bear on what the readings gave."""
    standing, clause = assessed.standing, assessed.clause
    if standing is Standing.DISPUTED:
        return standing, clause
    if assessed.decided_agrees is False:
        by_number = assessed.combined is not None
        return Standing.CHOSEN, Clause.DECIDED_OUTSIDE if by_number else Clause.DECIDED_AGAINST
    if basis is not None:
        chosen = basis.kind is BasisKind.CHOSEN
        return (Standing.CHOSEN, Clause.OWN_CHOICE) if chosen else (Standing.ASSUMED, Clause.PERIOD_PRACTICE)
    if standing is OPEN and decided is not None and (decided.value is not None or decided.words):
        return Standing.CHOSEN, Clause.DECIDED_ALONE
    return standing, clause


def _summarise_witnesses(readings: Iterable[ReadingSpec]) -> tuple[WitnessSummary, ...]:
    by_stem: dict[str, list[ReadingSpec]] = {}
    for reading in readings:
        by_stem.setdefault(reading.stem, []).append(reading)
    return tuple(
        WitnessSummary(
            stem=stem,
            sources=_list_sources(group),
            to_scale=any(reading.to_scale for reading in group),
            original=any(reading.original for reading in group),
        )
        for stem, group in sorted(by_stem.items())
    )


def _convert_reading(reading: ReadingSpec, unstated_u: float | None) -> NumericReading:
    u = reading.u if reading.u is not None else unstated_u
    if reading.value is None or u is None:
        raise DomainError(f"the reading from {reading.source} needs a standard uncertainty", "u")
    return NumericReading(reading.stem, reading.source, reading.value, u)


def _list_sources(readings: Iterable[ReadingSpec]) -> tuple[str, ...]:
    return tuple(sorted({reading.source for reading in readings}))


def _get_order(reading: ReadingSpec) -> tuple[str, str, float, float, str, bool, bool]:
    value = -math.inf if reading.value is None else reading.value
    u = -math.inf if reading.u is None else reading.u
    return reading.stem, reading.source, value, u, reading.words, reading.to_scale, reading.original

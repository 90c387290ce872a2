"""What the log adds up to: time and money, in all, by thing, by day and month; pieces made and spoiled.

In: log entries as numbers and dates. Out: LogTotals, Comparison. Never: a clock, the wording of an entry.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from doublure.errors import DomainError

#: Money is shared out in hundredths, or finer where an amount is written finer.
_SMALLEST_SHARE = -2


@dataclass(frozen=True, slots=True)
class LogEntrySpec:
    """One entry of the log.

    Attributes:
        date: The day.
        about: Identifiers of what it was about; one named twice counts once.
        minutes: Time it took, ≥ 0; None where not said.
        money: Money it took; below 0 where money came back; None where not said.
        made: Pieces that came out good, ≥ 0.
        spoiled: Further pieces that did not, ≥ 0.
        made_thing: Which of the things the pieces are; None: the only thing it was about.
    """

    date: datetime.date
    about: tuple[str, ...] = ()
    minutes: float | None = None
    money: Decimal | None = None
    made: int = 0
    spoiled: int = 0
    made_thing: str | None = None


@dataclass(frozen=True, slots=True)
class Sums:
    """What some entries add up to.

    Attributes:
        entries: How many entries.
        minutes: Time, min.
        money: Money.
        made: Pieces that came out good.
        spoiled: Further pieces that did not.
        untimed: Entries that do not say how long it took: the time is at least `minutes`.
    """

    entries: int
    minutes: float
    money: Decimal
    made: int
    spoiled: int
    untimed: int

    @property
    def hours(self) -> float:
        """Time in hours."""
        return self.minutes / 60

    @property
    def spoiled_share(self) -> float | None:
        """Share of all pieces that were spoiled; None where none were made."""
        pieces = self.made + self.spoiled
        return self.spoiled / pieces if pieces else None


@dataclass(frozen=True, slots=True)
class ThingSums:
    """The sums of one thing.

    Attributes:
        thing: Its identifier.
        sums: Its share: time and money of an entry about several things are shared out equally among them,
            so that all things together come to the total.
        shared_entries: How many of its entries were shared with other things.
    """

    thing: str
    sums: Sums
    shared_entries: int


@dataclass(frozen=True, slots=True)
class PeriodSums:
    """The sums of a day or a month.

    Attributes:
        first_day: The day, or the first day of the month.
        sums: Of this period.
        to_date: Of everything up to its end.
    """

    first_day: datetime.date
    sums: Sums
    to_date: Sums


@dataclass(frozen=True, slots=True)
class LogTotals:
    """What the whole log adds up to.

    Attributes:
        total: Everything.
        things: By identifier, each thing named in any entry.
        about_nothing: Entries about nothing in particular; with the things they come to the total.
        unattributed: Pieces made and spoiled in entries about several things that do not say which they are:
            they are in the total, and in no thing.
        days, months: In order of time, those with an entry.
    """

    total: Sums
    things: tuple[ThingSums, ...]
    about_nothing: Sums
    unattributed: Sums
    days: tuple[PeriodSums, ...]
    months: tuple[PeriodSums, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Money planned beside money spent.

    Attributes:
        planned: What was planned; None where unknown.
        spent: What was spent.
        left: Planned less spent, below 0 where too much was spent; None where nothing was planned.
        share_spent: Spent as a share of planned; None where that is unknown or 0.
    """

    planned: Decimal | None
    spent: Decimal
    left: Decimal | None
    share_spent: Decimal | None


def sum_log(entries: Iterable[LogEntrySpec]) -> LogTotals:
    """Add up the log.

    Args:
        entries: In any order.

    Returns:
        The totals; the same for every order of the entries.

    Raises:
        DomainError: A number out of its range, or made_thing is not among what the entry is about.

    Source:
        Arithmetic; sharing out equally what was spent on several things: the project's own rule.

    Examples:
        >>> day = datetime.date(2031, 4, 2)
        >>> found = sum_log([LogEntrySpec(day, ("pass", "chart"), minutes=30, money=Decimal("0.05"))])
        >>> [(thing.thing, thing.sums.minutes, str(thing.sums.money)) for thing in found.things]
        [('chart', 15.0, '0.03'), ('pass', 15.0, '0.02')]
    """
    ordered = sorted(entries, key=lambda entry: entry.date)
    total, nothing, loose = _Tally(), _Tally(), _Tally()
    things: dict[str, _Tally] = {}
    days: dict[datetime.date, _Tally] = {}
    months: dict[datetime.date, _Tally] = {}
    for entry in ordered:
        _require_entry(entry)
        minutes = None if entry.minutes is None else Fraction(entry.minutes)
        money = entry.money or Decimal(0)
        for tally in (
            total,
            days.setdefault(entry.date, _Tally()),
            months.setdefault(entry.date.replace(day=1), _Tally()),
        ):
            tally.add(minutes, money, entry.made, entry.spoiled)
        about = sorted(set(entry.about))
        if not about:
            nothing.add(minutes, money, entry.made, entry.spoiled)
            continue
        made_thing = entry.made_thing or (about[0] if len(about) == 1 else None)
        if made_thing is None and entry.made + entry.spoiled:
            loose.add(Fraction(0), Decimal(0), entry.made, entry.spoiled)
        shares = _share_money(money, len(about))
        for thing, share in zip(about, shares, strict=True):
            pieces = (entry.made, entry.spoiled) if thing == made_thing else (0, 0)
            tally = things.setdefault(thing, _Tally())
            tally.add(None if minutes is None else minutes / len(about), share, *pieces)
            tally.shared += len(about) > 1
    return LogTotals(
        total=total.to_sums(),
        things=tuple(
            ThingSums(thing, tally.to_sums(), tally.shared) for thing, tally in sorted(things.items())
        ),
        about_nothing=nothing.to_sums(),
        unattributed=loose.to_sums(),
        days=_run_up(days),
        months=_run_up(months),
    )


def compare_planned(planned: Decimal | None, spent: Decimal) -> Comparison:
    """Set money planned beside money spent.

    Args:
        planned: Such as the total of the bill; None where unknown.
        spent: Such as the total of the log.

    Returns:
        Both, with the difference and the share.

    Raises:
        DomainError: An amount that is no finite number.

    Examples:
        >>> compare_planned(Decimal("80"), Decimal("20")).left
        Decimal('60')
    """
    if not spent.is_finite() or (planned is not None and not planned.is_finite()):
        raise DomainError("money planned and spent must be finite amounts", "planned")
    return Comparison(
        planned=planned,
        spent=spent,
        left=None if planned is None else planned - spent,
        share_spent=spent / planned if planned else None,
    )


class _Tally:
    """Sums under way; minutes are fractions, so that thirds of an hour add up again."""

    def __init__(self) -> None:
        self.entries = self.made = self.spoiled = self.untimed = self.shared = 0
        self.minutes = Fraction(0)
        self.money = Decimal(0)

    def add(self, minutes: Fraction | None, money: Decimal, made: int, spoiled: int) -> None:
        self.entries += 1
        self.untimed += minutes is None
        self.minutes += minutes or 0
        self.money += money
        self.made += made
        self.spoiled += spoiled

    def join(self, other: _Tally) -> None:
        self.entries += other.entries
        self.untimed += other.untimed
        self.minutes += other.minutes
        self.money += other.money
        self.made += other.made
        self.spoiled += other.spoiled

    def to_sums(self) -> Sums:
        return Sums(self.entries, float(self.minutes), self.money, self.made, self.spoiled, self.untimed)


def _run_up(periods: dict[datetime.date, _Tally]) -> tuple[PeriodSums, ...]:
    to_date = _Tally()
    run = []
    for first_day, tally in sorted(periods.items()):
        to_date.join(tally)
        run.append(PeriodSums(first_day, tally.to_sums(), to_date.to_sums()))
    return tuple(run)


def _share_money(money: Decimal, things: int) -> Sequence[Decimal]:
    """Share money out equally, in hundredths or finer; what is left over goes to the first things."""
    exponent = money.as_tuple().exponent
    assert isinstance(exponent, int)  # _require_entry has refused what is not finite
    unit = Decimal(1).scaleb(min(exponent, _SMALLEST_SHARE))
    units = int(money / unit)
    each, over = divmod(abs(units), things)
    sign = -1 if units < 0 else 1
    return [(each + (place < over)) * sign * unit for place in range(things)]


def _require_entry(entry: LogEntrySpec) -> None:
    day = entry.date.isoformat()
    if entry.minutes is not None and not (math.isfinite(entry.minutes) and entry.minutes >= 0):
        message = f"the minutes of an entry of {day} must be 0 or more, not {entry.minutes}"
        raise DomainError(message, "minutes")
    if entry.money is not None and not entry.money.is_finite():
        raise DomainError(f"the money of an entry of {day} must be a finite amount", "money")
    if entry.made < 0 or entry.spoiled < 0:
        raise DomainError(f"the pieces of an entry of {day} must be 0 or more", "made")
    if entry.made_thing is not None and entry.made_thing not in entry.about:
        raise DomainError(f"an entry of {day} made {entry.made_thing} but is not about it", "made_thing")

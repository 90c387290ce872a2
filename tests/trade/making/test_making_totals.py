"""What the log adds up to."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doublure.errors import DomainError
from doublure.trade.making.totals import (
    LogEntrySpec,
    LogTotals,
    Sums,
    ThingSums,
    compare_planned,
    sum_log,
)

LOG = (
    LogEntrySpec(date(2031, 3, 30), ("pass",), 40, Decimal("3.20"), made=9, spoiled=3),
    LogEntrySpec(date(2031, 4, 1), ("pass", "chart"), 90, Decimal("1.00")),
    LogEntrySpec(date(2031, 4, 1), (), None, Decimal("5.50")),
    LogEntrySpec(date(2031, 4, 9), ("chart", "trial"), 30, None, made=4, spoiled=1, made_thing="chart"),
)


def _list(*figures: object) -> tuple[object, ...]:
    return figures


def _find(totals: LogTotals, thing: str) -> ThingSums:
    (found,) = (entry for entry in totals.things if entry.thing == thing)
    return found


def test_hours_and_money_in_all() -> None:
    total = sum_log(LOG).total
    assert total == Sums(entries=4, minutes=160.0, money=Decimal("9.70"), made=13, spoiled=4, untimed=1)
    assert total.hours == pytest.approx(2 + 40 / 60)
    assert total.spoiled_share == pytest.approx(4 / 17)


def test_an_entry_about_several_things_is_shared_out() -> None:
    totals = sum_log(LOG)
    assert [entry.thing for entry in totals.things] == ["chart", "pass", "trial"]
    assert _find(totals, "pass") == ThingSums("pass", Sums(2, 85.0, Decimal("3.70"), 9, 3, 0), 1)
    assert _find(totals, "chart") == ThingSums("chart", Sums(2, 60.0, Decimal("0.50"), 4, 1, 0), 2)
    assert _find(totals, "trial").sums == Sums(1, 15.0, Decimal(0), 0, 0, 0)
    assert _find(totals, "trial").sums.spoiled_share is None


def test_what_is_about_nothing_is_kept_apart() -> None:
    assert sum_log(LOG).about_nothing == Sums(1, 0.0, Decimal("5.50"), 0, 0, 1)


def test_pieces_of_an_entry_about_several_things_go_to_none_unless_said() -> None:
    totals = sum_log([LogEntrySpec(date(2031, 4, 1), ("pass", "chart"), 10, made=5, spoiled=2)])
    assert totals.unattributed == Sums(1, 0.0, Decimal(0), 5, 2, 0)
    assert totals.total.made == 5
    assert [entry.sums.made for entry in totals.things] == [0, 0]


def test_a_thing_named_twice_counts_once() -> None:
    (thing,) = sum_log([LogEntrySpec(date(2031, 4, 1), ("pass", "pass"), 10, made=5)]).things
    assert (thing.sums.minutes, thing.sums.made, thing.shared_entries) == (10.0, 5, 0)


def test_days_and_months_run_up_to_the_total() -> None:
    totals = sum_log(LOG)
    assert [day.first_day for day in totals.days] == [date(2031, 3, 30), date(2031, 4, 1), date(2031, 4, 9)]
    assert [day.sums.money for day in totals.days] == [Decimal("3.20"), Decimal("6.50"), Decimal(0)]
    assert [day.to_date.minutes for day in totals.days] == [40.0, 130.0, 160.0]
    assert [(month.first_day, month.sums.entries) for month in totals.months] == [
        (date(2031, 3, 1), 1),
        (date(2031, 4, 1), 3),
    ]
    assert totals.days[-1].to_date == totals.months[-1].to_date == totals.total


def test_an_empty_log() -> None:
    totals = sum_log([])
    assert totals.total == Sums(0, 0.0, Decimal(0), 0, 0, 0)
    assert (totals.things, totals.days, totals.months) == ((), (), ())


def test_money_is_shared_out_to_the_last_hundredth_and_finer_where_it_is_finer() -> None:
    three = ("a", "b", "c")
    shares = [
        entry.sums.money for entry in sum_log([LogEntrySpec(date(2031, 4, 1), three, 0, Decimal(10))]).things
    ]
    assert shares == [Decimal("3.34"), Decimal("3.33"), Decimal("3.33")]
    back = [
        entry.sums.money for entry in sum_log([LogEntrySpec(date(2031, 4, 1), three, 0, Decimal(-1))]).things
    ]
    assert back == [Decimal("-0.34"), Decimal("-0.33"), Decimal("-0.33")]
    fine = [
        entry.sums.money
        for entry in sum_log([LogEntrySpec(date(2031, 4, 1), three, 0, Decimal("0.001"))]).things
    ]
    assert fine == [Decimal("0.001"), Decimal(0), Decimal(0)]


@pytest.mark.parametrize(
    ("entry", "argument"),
    [
        (LogEntrySpec(date(2031, 4, 1), minutes=-1), "minutes"),
        (LogEntrySpec(date(2031, 4, 1), minutes=float("nan")), "minutes"),
        (LogEntrySpec(date(2031, 4, 1), money=Decimal("NaN")), "money"),
        (LogEntrySpec(date(2031, 4, 1), made=-1), "made"),
        (LogEntrySpec(date(2031, 4, 1), spoiled=-1), "made"),
        (LogEntrySpec(date(2031, 4, 1), ("pass",), made=1, made_thing="chart"), "made_thing"),
    ],
)
def test_an_impossible_entry_is_refused_with_its_day(entry: LogEntrySpec, argument: str) -> None:
    with pytest.raises(DomainError, match="2031-04-01") as caught:
        sum_log([entry])
    assert caught.value.argument == argument


def test_planned_beside_spent() -> None:
    found = compare_planned(Decimal(80), Decimal(20))
    assert _list(found.left, found.share_spent) == (60, Decimal("0.25"))
    over = compare_planned(Decimal(80), Decimal(100))
    assert _list(over.left, over.share_spent) == (-20, Decimal("1.25"))
    unknown = compare_planned(None, Decimal(20))
    assert _list(unknown.planned, unknown.spent, unknown.left, unknown.share_spent) == (None, 20, None, None)
    nothing = compare_planned(Decimal(0), Decimal(5))
    assert _list(nothing.left, nothing.share_spent) == (-5, None)
    for planned, spent in ((Decimal("NaN"), Decimal(1)), (Decimal(1), Decimal("Infinity"))):
        with pytest.raises(DomainError):
            compare_planned(planned, spent)


_ENTRIES = st.lists(
    st.builds(
        LogEntrySpec,
        st.dates(date(2031, 1, 1), date(2031, 3, 31)),
        st.lists(st.sampled_from("abcd"), max_size=4).map(tuple),
        st.none() | st.floats(0, 600),
        st.none() | st.decimals(-20, 100, places=2),
        st.integers(0, 20),
        st.integers(0, 20),
    ),
    max_size=12,
)


@settings(deadline=None)
@given(_ENTRIES)
def test_things_and_periods_come_to_the_total(entries: list[LogEntrySpec]) -> None:
    totals = sum_log(entries)
    parts = [entry.sums for entry in totals.things] + [totals.about_nothing]
    assert sum(part.minutes for part in parts) == pytest.approx(totals.total.minutes)
    assert sum((part.money for part in parts), Decimal(0)) == totals.total.money
    assert sum(part.made for part in parts) + totals.unattributed.made == totals.total.made
    assert sum(part.spoiled for part in parts) + totals.unattributed.spoiled == totals.total.spoiled
    for periods in (totals.days, totals.months):
        assert sum(period.sums.entries for period in periods) == totals.total.entries == len(entries)
        assert sum((period.sums.money for period in periods), Decimal(0)) == totals.total.money
        if periods:
            assert periods[-1].to_date == totals.total
    exact = sum((Fraction(entry.minutes or 0) for entry in entries), Fraction(0))
    assert totals.total.minutes == float(exact)


@settings(deadline=None)
@given(_ENTRIES, st.randoms(use_true_random=False))
def test_the_order_of_the_entries_does_not_matter(entries: list[LogEntrySpec], random: Random) -> None:
    shuffled = list(entries)
    random.shuffle(shuffled)
    assert sum_log(shuffled) == sum_log(entries)

"""Everything computed from one Replica, in the order in which one result feeds the next.

In: a Replica, facts of its pictures, reference data. Out: Workings. Never: formulas, files.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doublure.errors import DomainError
from doublure.measured import Measured
from doublure.model.artwork import ArtworkFact, ArtworkFault
from doublure.model.replica import ImageFact, Replica
from doublure.problems import Problem
from doublure.workings.bill import BillWorking, work_bill_of, work_plans
from doublure.workings.book import BookWorking, work_book
from doublure.workings.inserts import InsertWorking, work_inserts
from doublure.workings.log import LogWorking, thing_key, work_log
from doublure.workings.pages import PageEntry, work_pages
from doublure.workings.planning import ProposalWorking, find_plan_problem, work_proposal
from doublure.workings.press import find_plan, work_press
from doublure.workings.press_records import PressWorking
from doublure.workings.questions import QuestionWorking, work_questions
from doublure.workings.reference import Reference
from doublure.workings.resolution import ResolutionWorking, work_resolutions
from doublure.workings.standing import StandingWorking, work_standing
from doublure.workings.stocks import StockWorking, find_caliper, work_stocks


@dataclass(frozen=True, slots=True)
class Workings:
    """Everything that pages and tables are made from.

    Attributes:
        replica: The notes.
        pictures: What was found of each picture, by path relative to the journal.
        standing: Stems, and the standing of every attribute.
        inserts: In the order of the book.
        book: None where there is no page sequence that fits its gatherings.
        stocks: By identifier.
        bill: The bill and the sums of the log.
        log: The log, sorted by what it is about.
        questions: Open questions, ranked.
        resolutions: Of each master whose artwork is a picture: pixels an inch at the printed size.
        press: Plates, run, register.
        proposal: Gatherings as the wishes of the book would have them; None where nothing is wished.
    """

    replica: Replica
    pictures: Mapping[str, ImageFact]
    standing: StandingWorking
    inserts: tuple[InsertWorking, ...]
    book: BookWorking | None
    stocks: Mapping[str, StockWorking]
    bill: BillWorking
    log: LogWorking
    questions: tuple[QuestionWorking, ...]
    resolutions: Mapping[str, ResolutionWorking]
    press: PressWorking
    proposal: ProposalWorking | None = None

    def log_key(self, name: str) -> str:
        """Return "kind/identifier" for a name as notes write it, else the name itself."""
        return thing_key(self.replica, name)


def work_up(
    replica: Replica,
    pictures: Mapping[str, ImageFact],
    reference: Reference,
    artwork: Mapping[str, ArtworkFact | ArtworkFault] = MappingProxyType({}),
) -> Workings:
    """Work everything up.

    Args:
        replica: The notes.
        pictures: What was found of each picture, by path relative to the journal.
        reference: Reference facts.
        artwork: What was found of each artwork file, by path relative to the journal.
    """
    calipers = _find_calipers(replica)
    standing = work_standing(replica)
    log = work_log(replica)
    book = work_book(replica, calipers)
    plans = work_plans(replica)
    press = work_press(replica, book, log, artwork)
    used = set()
    if book is not None:
        used = {ident or book.note.stock for ident in ("", *book.tipped_stocks)}
    pieces = {ident: plan.to_make for ident, plan in plans.items()}
    return Workings(
        replica=replica,
        pictures=pictures,
        standing=standing,
        inserts=work_inserts(replica, standing, log, plans, reference),
        book=book,
        stocks=work_stocks(replica, reference.trade_weights, frozenset(used)),
        bill=work_bill_of(replica, book, log, plans, press),
        log=log,
        questions=work_questions(replica, standing, pieces),
        resolutions=work_resolutions(replica, pictures),
        press=press,
        proposal=_work_proposal(replica, book, calipers),
    )


def find_wish_problems(replica: Replica) -> tuple[Problem, ...]:
    """Return what the search for gatherings finds wrong with the wishes of the book, beyond what the checks see."""
    entries = _write_out(replica)
    problem = find_plan_problem(replica, entries, _find_calipers(replica).get(_book_stock(replica)))
    return () if problem is None else (problem,)


def count_stacks(replica: Replica) -> tuple[int, int] | None:
    """Return how many stacks and plates the plan of the press has; None where there is no plan."""
    plan = find_plan(replica, work_book(replica, _find_calipers(replica)))
    return None if plan is None else (len(plan.stacks), len(plan.plates))


def _work_proposal(
    replica: Replica, book: BookWorking | None, calipers: Mapping[str, Measured]
) -> ProposalWorking | None:
    """Work out the proposal of gatherings, also where there are none that the pages fit."""
    entries = book.entries if book is not None else _write_out(replica)
    present = book.page_map.sheets_in_gatherings if book is not None else ()
    return work_proposal(replica, entries, present, calipers.get(_book_stock(replica)))


def _find_calipers(replica: Replica) -> dict[str, Measured]:
    found = {ident: find_caliper(note)[0] for ident, note in replica.stocks.items()}
    return {ident: caliper for ident, caliper in found.items() if caliper is not None}


def _book_stock(replica: Replica) -> str:
    return replica.book.stock if replica.book is not None else ""


def _write_out(replica: Replica) -> tuple[PageEntry, ...]:
    """Return every page of the book; () where there is none, or the sequence cannot be written out."""
    if replica.book is None or replica.book.choose is None:
        return ()
    try:
        return work_pages(replica.book)
    except DomainError:
        return ()

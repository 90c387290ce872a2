"""Open questions in the order of what an answer would change most.

In: questions with what hangs on each. Out: RankedQuestion, the one to answer first at the head.
Never: the wording of a question.
The rule is an order, not a score: each key counts only where all the keys before it are equal.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import IntEnum

from doublure.errors import DomainError
from doublure.trade.evidence.standing import OPEN, Open, Standing, compute_strength


class Bearing(IntEnum):
    """What a question bears on, the heaviest first."""

    BLOCKING = 0
    """A required attribute that is open or disputed: nothing can be made before it is answered."""
    REQUIRED = 1
    """A required attribute that is known in some way."""
    FURTHER = 2
    """Anything else."""


@dataclass(frozen=True, slots=True)
class AffectedInsert:
    """An insert (or another thing) that an answer would touch.

    Attributes:
        identifier: Its identifier.
        pieces: Pieces of it in the whole edition, spares included; 1 while the edition is open.
    """

    identifier: str
    pieces: int = 1


@dataclass(frozen=True, slots=True)
class QuestionSpec:
    """One open question and what hangs on it.

    Attributes:
        identifier: Its identifier, unique among the questions.
        affects: What an answer would touch.
        required: True where the attribute asked for is required.
        standing: How the attribute stands now; None where the question is about no attribute.
        reachable: The best standing that an answer could give.
        money: What is at stake, in the edition's money, such as the stock to be bought; None where unknown.
        sheets: Sheets at stake; None where unknown.
    """

    identifier: str
    affects: tuple[AffectedInsert, ...] = ()
    required: bool = False
    standing: Standing | Open | None = None
    reachable: Standing = Standing.SETTLED
    money: Decimal | None = None
    sheets: int | None = None


@dataclass(frozen=True, slots=True)
class RankedQuestion:
    """A question in its rank, with the keys that put it there.

    Attributes:
        rank: From 1.
        question: As given.
        bearing: First key.
        pieces: Second key, more first: pieces in the edition of everything touched.
        lift: Third key, more first: steps on the scale from the standing now to the reachable one; open and
            disputed count as the step below chosen.
    """

    rank: int
    question: QuestionSpec
    bearing: Bearing
    pieces: int
    lift: int


def rank_questions(questions: Iterable[QuestionSpec]) -> tuple[RankedQuestion, ...]:
    """Rank open questions.

    The keys in their order: bearing; pieces affected; lift in standing; money at stake; sheets at stake;
    number of inserts touched; identifier. An unknown sum of money or sheets comes after every known one.

    Args:
        questions: In any order.

    Returns:
        All of them, ranked; the same for every order given.

    Raises:
        DomainError: Two questions have one identifier, one thing is touched twice by one question, or a
            number is negative or no number.

    Source:
        The project's own rule, docs/handbook/methods/evidence.md.

    Examples:
        >>> paper = QuestionSpec("paper", (AffectedInsert("pass", 6),), required=True, standing=OPEN)
        >>> colour = QuestionSpec("colour", (AffectedInsert("chart", 60),), standing=Standing.THIN)
        >>> [ranked.question.identifier for ranked in rank_questions([colour, paper])]
        ['paper', 'colour']
    """
    given = tuple(questions)
    if len({question.identifier for question in given}) < len(given):
        raise DomainError("two questions have one identifier", "questions")
    for question in given:
        _require_question(question)
    ordered = sorted(given, key=_get_key)
    return tuple(
        RankedQuestion(
            rank=rank,
            question=question,
            bearing=_find_bearing(question),
            pieces=_count_pieces(question),
            lift=_compute_lift(question),
        )
        for rank, question in enumerate(ordered, 1)
    )


def _get_key(question: QuestionSpec) -> tuple[int, int, int, bool, Decimal, bool, int, int, str]:
    return (
        _find_bearing(question),
        -_count_pieces(question),
        -_compute_lift(question),
        question.money is None,
        -(question.money or Decimal(0)),
        question.sheets is None,
        -(question.sheets or 0),
        -len(question.affects),
        question.identifier,
    )


def _find_bearing(question: QuestionSpec) -> Bearing:
    if not question.required:
        return Bearing.FURTHER
    if question.standing is OPEN or question.standing is Standing.DISPUTED:
        return Bearing.BLOCKING
    return Bearing.REQUIRED


def _count_pieces(question: QuestionSpec) -> int:
    return sum(affected.pieces for affected in question.affects)


def _compute_lift(question: QuestionSpec) -> int:
    if question.standing is None:
        return 0
    return max(0, compute_strength(question.reachable) - compute_strength(question.standing))


def _require_question(question: QuestionSpec) -> None:
    name = question.identifier
    identifiers = [affected.identifier for affected in question.affects]
    if len(set(identifiers)) < len(identifiers):
        raise DomainError(f"the question {name} names one thing twice", "affects")
    if any(affected.pieces < 0 for affected in question.affects):
        raise DomainError(f"the question {name} affects a negative number of pieces", "affects")
    if question.money is not None and not (question.money.is_finite() and question.money >= 0):
        raise DomainError(f"the money at stake in {name} must be a number of 0 or more", "money")
    if question.sheets is not None and question.sheets < 0:
        raise DomainError(f"the sheets at stake in {name} must be 0 or more", "sheets")

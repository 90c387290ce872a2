"""Open questions: those the maker wrote, and those that the notes leave open, ranked.

In: a Replica, standings, pieces to make. Out: QuestionWorking in rank. Never: the rule (trade/evidence).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from doublure.model.notes import Note
from doublure.model.replica import FOLDER_KINDS, Replica
from doublure.trade.evidence.questions import AffectedInsert, QuestionSpec, RankedQuestion, rank_questions
from doublure.trade.evidence.standing import OPEN, Standing
from doublure.workings.standing import AttributeWorking, StandingWorking

#: Fields whose absence is worth a question, by kind: (field, attribute of the record).
ASKED = {
    "evidence": (("kind", "kind"), ("held", "held"), ("seen", "seen"), ("rights", "rights.publish")),
    "stocks": (
        ("grammage", "grammage_gsm"),
        ("caliper", "caliper_mm|stack_mm"),
        ("sheet", "sheet"),
        ("grain", "grain"),
        ("price", "price"),
    ),
    "masters": (("artwork", "artwork"), ("evidence", "evidence")),
    "finishes": (("contains", "contains"), ("wetness", "wetness"), ("drying", "drying_minutes")),
    "trials": (("verdict", "verdict"), ("beside", "beside")),
    "printers": (
        ("reach", "reach_leading_mm|reach_trailing_mm|reach_sides_mm"),
        ("prints", "prints"),
        ("lands", "lands"),
        ("turn", "turn"),
    ),
}


@dataclass(frozen=True, slots=True)
class QuestionWorking:
    """One open question.

    Attributes:
        about: "kind/identifier" of the note it stands in, or "replica", or "book".
        text: The maker's own words; "" for one that the notes leave open.
        attribute: The attribute or field asked for; "" where the maker named none.
        reason: "asked" (by the maker), "open", "disputed", "thin", or "missing" (a field of a note).
        ranked: Its rank with the keys that put it there.
    """

    about: str
    text: str
    attribute: str
    reason: str
    ranked: RankedQuestion


def work_questions(
    replica: Replica, standing: StandingWorking, pieces: Mapping[str, int]
) -> tuple[QuestionWorking, ...]:
    """Gather and rank every open question.

    Args:
        replica: The notes.
        standing: The standing of every insert.
        pieces: Pieces of each insert in the edition, spares included.
    """
    asked: dict[str, tuple[str, str, str, str]] = {}
    specs = []
    for key, (about, text, attribute, reason, spec) in _gather(replica, standing, pieces):
        asked[key] = (about, text, attribute, reason)
        specs.append(spec)
    return tuple(
        QuestionWorking(*asked[ranked.question.identifier], ranked) for ranked in rank_questions(specs)
    )


_Found = tuple[str, tuple[str, str, str, str, QuestionSpec]]


def _gather(replica: Replica, standing: StandingWorking, pieces: Mapping[str, int]) -> Iterator[_Found]:
    for ident, work in standing.inserts.items():
        touched = (AffectedInsert(ident, pieces.get(ident, 1)),)
        note = replica.inserts[ident]
        in_words = {name for question in note.questions for name in question.about}
        for number, question in enumerate(note.questions):
            attributes = [one for one in work.attributes if one.attribute in question.about]
            worst = min(attributes, key=_weakness, default=None)
            key = f"inserts/{ident}:{number}"
            spec = QuestionSpec(
                key,
                touched,
                required=any(one.required for one in attributes),
                standing=worst.status.standing if worst else None,
            )
            yield key, (f"inserts/{ident}", question.text, worst.attribute if worst else "", "asked", spec)
        for one in work.attributes:
            reason = _reason(one)
            if reason and one.attribute not in in_words:
                key = f"inserts/{ident}:{one.attribute}"
                spec = QuestionSpec(key, touched, required=one.required, standing=one.status.standing)
                yield key, (f"inserts/{ident}", "", one.attribute, reason, spec)
    yield from _gather_fields(replica)


def _gather_fields(replica: Replica) -> Iterator[_Found]:
    single: list[tuple[str, Note]] = [("replica", replica.replica)]
    if replica.book is not None:
        single.append(("book", replica.book))
    for about, note in single:
        yield from _own(about, note)
    if replica.replica.edition is None:
        yield _missing("replica", "edition")
    if replica.book is not None:
        for name in ("leaf", "stock", "sequence"):
            if not getattr(replica.book, name):
                yield _missing("book", name)
    for kind in FOLDER_KINDS:
        if kind == "inserts":
            continue
        for ident, note in replica.folder(kind).items():
            about = f"{kind}/{ident}"
            yield from _own(about, note)
            for field, paths in ASKED.get(kind, ()):
                if all(_value(note, path) in (None, "", ()) for path in paths.split("|")):
                    yield _missing(about, field)


def _own(about: str, note: Note) -> Iterator[_Found]:
    for number, question in enumerate(note.questions):
        key = f"{about}:{number}"
        yield key, (about, question.text, "", "asked", QuestionSpec(key))


def _missing(about: str, field: str) -> _Found:
    key = f"{about}:{field}"
    return key, (about, "", field, "missing", QuestionSpec(key))


def _value(note: Note, path: str) -> object:
    value: object = note
    for part in path.split("."):
        value = getattr(value, part)
    return value


def _weakness(one: AttributeWorking) -> int:
    order = (
        OPEN,
        Standing.DISPUTED,
        Standing.CHOSEN,
        Standing.ASSUMED,
        Standing.THIN,
        Standing.SUPPORTED,
        Standing.SETTLED,
    )
    return order.index(one.status.standing)


def _reason(one: AttributeWorking) -> str:
    if one.status.standing is OPEN:
        return "open"
    if one.status.standing is Standing.DISPUTED:
        return "disputed"
    if one.status.standing is Standing.THIN and one.required:
        return "thin"
    return ""

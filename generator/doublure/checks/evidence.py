"""Evidence and trials: stems that contradict each other, one picture as two witnesses, a rejected approval.

In: a Replica, facts of its pictures. Out: problems. Never: judging readings (trade/evidence does).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from doublure.checks.finding import find
from doublure.errors import DomainError
from doublure.model.notes import EvidenceNote
from doublure.model.replica import ImageFact, Replica
from doublure.problems import Problem
from doublure.trade.evidence.stems import SourceSpec, StemTree, resolve_stems


def check_evidence(replica: Replica, facts: Mapping[str, ImageFact]) -> Iterator[Problem]:
    """Yield what cannot be in the notes of evidence and trials."""
    try:
        tree = resolve_stems(
            SourceSpec(one.id, one.copied_from or None, one.stem or None) for one in replica.evidence.values()
        )
    except DomainError:
        return
    yield from _check_stems(replica, tree)
    yield from _check_pictures(replica, tree, facts)
    for trial in replica.trials.values():
        if trial.approves and trial.verdict in ("rejected", "undecided"):
            yield find(
                "E102",
                f"approves: the verdict is {trial.verdict}",
                trial.origin.span("approves"),
                "correct the verdict, or take approves away",
                ((trial.origin.span("verdict"), "the verdict"),),
            )


def _check_stems(replica: Replica, tree: StemTree) -> Iterator[Problem]:
    for one in tree.disagreements:
        note = replica.evidence[one.source]
        yield find(
            "E103",
            f'stem: "{one.named}", but what it was copied from is on the stem "{one.resolved}"',
            note.origin.span("stem"),
            "take the stem away, or correct copied_from",
            ((note.origin.span("copied_from"), "what it was copied from"),),
        )


def _check_pictures(replica: Replica, tree: StemTree, facts: Mapping[str, ImageFact]) -> Iterator[Problem]:
    """The very same picture is one witness, whatever the notes call it."""
    stems = tree.by_source()
    by_picture: dict[str, list[tuple[EvidenceNote, int]]] = defaultdict(list)
    for note in replica.evidence.values():
        for place, picture in enumerate(note.pictures):
            fact = facts.get(picture.file)
            if fact is not None:
                by_picture[fact.sha256].append((note, place))
    for users in by_picture.values():
        first, first_place = users[0]
        for note, place in users[1:]:
            if stems.get(note.id) != stems.get(first.id):
                yield find(
                    "E105",
                    f'pictures: the very same picture belongs to "{first.id}", which is on another stem',
                    note.origin.span("pictures", place),
                    f"say what it was copied from, such as copied_from: {first.id}",
                    ((first.origin.span("pictures", first_place), "the same picture"),),
                )

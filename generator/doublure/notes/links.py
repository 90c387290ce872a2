"""References between notes: names that lead nowhere, to the wrong kind, to two notes, or round in a circle.

In: the decoded notes. Out: problems, and the records with names made unambiguous. Never: decoding.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePosixPath
from typing import Any

from doublure.model.loose_names import LOOSE_EXAMPLES, LOOSE_NAMES
from doublure.model.notes import EvidenceNote, MasterNote, Note
from doublure.model.replica import FOLDER_KINDS, KINDS_LISTED_ELSEWHERE, KINDS_WITHOUT_PAGE
from doublure.notes.bodies import resolve_link
from doublure.notes.decode import Decoded
from doublure.notes.decoding import Reference
from doublure.notes.manuscript import Findings
from doublure.notes.schema import KINDS
from doublure.problems import Problem, nearest_name

#: With more names than this, a list of them is no help.
_FEW = 8


@dataclass(frozen=True, slots=True)
class NoteIndex:
    """Which notes there are.

    Attributes:
        ids: Identifiers of the decoded notes by folder.
        failed: (folder, identifier) of notes that exist but could not be read: no follow-up problems.
    """

    ids: Mapping[str, frozenset[str]]
    failed: frozenset[tuple[str, str]]

    def folders_of(self, name: str, folders: Iterable[str]) -> tuple[str, ...]:
        """Return those folders in which there is a note of this plain name."""
        return tuple(folder for folder in folders if name in self.ids[folder])

    def may_have_failed(self, name: str) -> bool:
        """True where a note of this name, plain or with its folder, exists but could not be read."""
        folder, slash, plain = name.partition("/")
        if slash:
            return (folder, plain) in self.failed
        return any((kind, name) in self.failed for kind in FOLDER_KINDS)


def check_references(decoded: Decoded, index: NoteIndex) -> tuple[tuple[Problem, ...], dict[str, str]]:
    """Check every name in one note.

    Returns:
        The problems, and names that have to be written with their folder to be found in the whole journal.
    """
    findings = Findings(decoded.manuscript)
    renamed: dict[str, str] = {}
    for reference in decoded.references:
        _check_one(reference, index, findings, renamed)
    return tuple(findings.problems), renamed


def _check_one(reference: Reference, index: NoteIndex, findings: Findings, renamed: dict[str, str]) -> None:
    name, key = reference.name, reference.key
    start, end = reference.start, reference.end
    folder, slash, plain = name.partition("/")
    if slash:
        if folder in reference.folders and plain in index.ids[folder]:
            return
        found = index.folders_of(plain, [folder]) if folder in index.ids else ()
    else:
        plain = name
        found = index.folders_of(name, reference.folders)
        if len(found) == 1:
            if len(reference.folders) > 1 and len(index.folders_of(name, FOLDER_KINDS)) > 1:
                renamed[name] = f"{found[0]}/{name}"
            return
        if len(found) > 1:
            choices = " or ".join(f"{one}/{name}" for one in found)
            findings.add(
                "R103", f'{key}: "{name}" is the name of {len(found)} notes', start, end, f"write {choices}"
            )
            return
        found = index.folders_of(name, FOLDER_KINDS)
    if any(LOOSE_NAMES[kind].fullmatch(name) for kind in reference.loose):
        return
    if index.may_have_failed(name):
        return
    if found:
        nouns = " and ".join(KINDS[one].noun for one in found)
        wanted = " or ".join(KINDS[one].noun for one in reference.folders)
        findings.add(
            "R102",
            f'{key}: "{name}" is {nouns}, and {wanted} should stand here',
            start,
            end,
            _suggest(plain, reference, index),
        )
        return
    findings.add(
        "R101",
        f'{key}: there is no {_wanted(reference)} "{name}"',
        start,
        end,
        _suggest(plain, reference, index),
    )


def _wanted(reference: Reference) -> str:
    if len(reference.folders) > 3:
        return "note"
    return " or ".join(KINDS[folder].noun.split(" ", 1)[1] for folder in reference.folders)


def _suggest(plain: str, reference: Reference, index: NoteIndex) -> str:
    known = {name: folder for folder in reversed(reference.folders) for name in index.ids[folder]}
    loose = [LOOSE_EXAMPLES[kind] for kind in reference.loose]
    near = nearest_name(plain.casefold(), [*known, *loose])
    if near is not None:
        return f"did you mean {near}?"
    if not known:
        folder = reference.folders[0]
        return f"there is none yet: write a note {folder}/NAME.md"
    if len(known) <= _FEW:
        return f"there are {', '.join(sorted(known))}"
    return f"write the name of a file in {reference.folders[0]}/, without its ending"


_PAGE_KINDS = tuple(kind for kind in FOLDER_KINDS if kind not in KINDS_WITHOUT_PAGE)
#: Folders with a page that lists their notes.
_LISTED = (*(kind for kind in _PAGE_KINDS if kind not in KINDS_LISTED_ELSEWHERE), "log")
#: Pages that are there whatever the notes are, seen from the journal; folders have theirs beside these.
_LISTS = frozenset(
    {
        "index.md", "bill.md", "questions.md", "data/index.md", "log/things.md", "log/pictures.md", "book/index.md",
        "book/pages.md", "book/gatherings.md", "book/imposition.md", "book/crossovers.md", "book/creep.md",
        "book/plates.md", "book/register.md", "book/run.md", "book/paper-kit.md",
    }
)  # fmt: skip


def check_body_links(decoded: Decoded, index: NoteIndex) -> tuple[Problem, ...]:
    """Check every link in a note's Markdown that must lead to a page of ours."""
    if not decoded.links:
        return ()
    findings = Findings(decoded.manuscript)
    # The text of the replica stands on the first page, that of the book in the folder of its pages.
    here = "" if decoded.kind == "replica" else decoded.kind
    up = "" if decoded.kind == "replica" else "../"
    for link in decoded.links:
        path = resolve_link(link.target, here)
        folder, _, name = path.partition("/")
        ident = name.removesuffix(".md")
        if path in _LISTS or (folder in _LISTED and name == "index.md") or path.startswith("handbook/"):
            continue
        if folder == "log" and any(
            one.startswith(ident) for one in index.ids["log"] if len(ident) == len("2031-03")
        ):
            continue
        known = index.ids[folder] if folder in _PAGE_KINDS else frozenset()
        if name.endswith(".md") and ident in known:
            continue
        if (folder, PurePosixPath(name).stem) in index.failed:
            continue
        findings.add(
            "R107",
            f'the link "{link.target}" leads to no page',
            link.start,
            link.end,
            _suggest_page(path, up, index),
        )
    return tuple(findings.problems)


def _suggest_page(path: str, up: str, index: NoteIndex) -> str:
    folder, _, name = path.partition("/")
    stem = PurePosixPath(name or folder).stem
    if folder == "log" and stem in index.ids["log"]:
        return f"write {up}log/{stem[:7]}.md#{stem}"
    pages = {one: kind for kind in _PAGE_KINDS for one in index.ids[kind]}
    near = nearest_name(stem, pages)
    if near is not None:
        return f"write {up}{pages[near]}/{near}.md"
    return "write the way to a note from here, such as ../inserts/NAME.md"


def apply_names(note: Note, renamed: Mapping[str, str]) -> Note:
    """Return the note with plain names replaced by names with their folder."""
    if not renamed:
        return note
    changed: dict[str, Any] = {}
    for name in ("shows", "about", "approves"):
        names = getattr(note, name, None)
        if isinstance(names, tuple):
            changed[name] = tuple(renamed.get(one, one) for one in names)
    return replace(note, **changed)


def check_circles(evidence: Mapping[str, EvidenceNote]) -> tuple[Problem, ...]:
    """Find evidence that was, by way of others, copied from itself; each circle is told once."""
    problems: list[Problem] = []
    done: set[str] = set()
    for first in sorted(evidence):
        trail: list[str] = []
        at = first
        while at in evidence and at not in done and at not in trail:
            trail.append(at)
            at = evidence[at].copied_from
        if at in trail:
            circle = trail[trail.index(at) :]
            problems.append(_tell_circle(circle, evidence))
        done.update(trail)
    return tuple(problems)


def _tell_circle(circle: Sequence[str], evidence: Mapping[str, EvidenceNote]) -> Problem:
    first = min(circle)
    place = circle.index(first)
    ordered = [*circle[place:], *circle[:place]]
    span = evidence[first].origin.span("copied_from")
    related = tuple(
        (evidence[one].origin.span("copied_from"), "which was copied from this") for one in ordered[1:]
    )
    if len(ordered) == 1:
        return Problem(
            "R104", f'copied_from: "{first}" was copied from itself', span, "name another source, or none"
        )
    names = " from ".join(f'"{one}"' for one in [*ordered, first])
    return Problem(
        "R104",
        f"copied_from: it goes round in a circle: {names}",
        span,
        "one of them was there first",
        related=related,
    )


def pair_crossovers(masters: Mapping[str, MasterNote]) -> tuple[dict[str, MasterNote], tuple[Problem, ...]]:
    """Make partners of artwork across the gutter name each other; it is enough that one names the other.

    Returns:
        All masters, with the partner filled in where only the other one names it; and a problem for each
        master that names a partner which is already another's.
    """
    paired = dict(masters)
    problems: list[Problem] = []
    for name in sorted(masters):
        partner = masters[name].crossover
        if not partner or partner not in masters:
            continue
        span = masters[name].origin.span("crossover")
        if partner == name:
            problems.append(
                Problem(
                    "R106", f'crossover: "{name}" names itself', span, "name the master of the facing page"
                )
            )
            continue
        back = paired[partner].crossover
        if not back:
            paired[partner] = replace(paired[partner], crossover=name)
        elif back != name:
            holder = masters[partner] if masters[partner].crossover else masters[back]
            problems.append(
                Problem(
                    "R105",
                    f'crossover: "{partner}" already belongs to "{back}"',
                    span,
                    "artwork across the gutter has two halves: let the two name each other",
                    related=((holder.origin.span("crossover"), "named here"),),
                )
            )
    return paired, tuple(problems)

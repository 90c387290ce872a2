"""Wording in the Leiden conventions: which letters are there, lost, restored, supplied, struck out.

In: a transcription as text. Out: runs of letters with what is said of them, and faults with their places.
Never: files and lines, display.

    [abc] lost and restored      [...] lost, a dot for each letter      [---] or [?] lost, nobody knows how much
    ạ (a dot below) uncertain    [c. 8] lost, about so many letters     ‹abc› or <abc> left out and supplied
    (abc) abbreviation resolved  ⟦abc⟧ or [[abc]] struck out            \\ takes the next sign as it stands
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

PLAIN, LOST, RESTORED, UNCERTAIN = "plain", "lost", "restored", "uncertain"
SUPPLIED, RESOLVED, STRUCK_OUT = "supplied", "resolved", "struck out"
#: Everything that may be said of letters.
STATES = (PLAIN, LOST, RESTORED, UNCERTAIN, SUPPLIED, RESOLVED, STRUCK_OUT)

_DOT_BELOW = "\u0323"
_OPENING = {
    "[": "]", "(": ")",
    "<": ">", "‹": "›", "⟨": "⟩", "〈": "〉",
    "⟦": "⟧", "〚": "〛", "[[": "]]",
}  # fmt: skip
_STATE = {"[": RESTORED, "(": RESOLVED}
_STATE |= dict.fromkeys("<‹⟨〈", SUPPLIED) | dict.fromkeys(("⟦", "〚", "[["), STRUCK_OUT)
_SIGNS = "\\[\\]()<>‹›⟨⟩〈〉⟦⟧〚〛"
_CLOSING = {close: open_ for open_, close in _OPENING.items()}
_TOKEN = re.compile(rf"\\[{_SIGNS}\\]|\[\[|\]\]|[{_SIGNS}]")
_GAP = re.compile(
    r"\s*(?:[.…\s]*ca?\.\s*(?P<about>[0-9]{1,4})[.…\s]*|[.…\s]*\?[.…\s]*"
    r"|(?P<dots>…|\.(?:\s*\.)*)|[-–—]+(?:\s+[-–—]+)*)\s*"
)


@dataclass(frozen=True, slots=True)
class WordingRun:
    """Letters of which the same is said.

    Attributes:
        text: The letters, without the signs of the conventions; "" for a gap.
        states: What is said of them, from the outermost bracket inwards; () for plain ones.
        letters_lost: For a gap: how many letters are lost, None where nobody knows; else None.
        is_rough: For a gap: True where letters_lost is an estimate.
    """

    text: str
    states: tuple[str, ...] = ()
    letters_lost: int | None = None
    is_rough: bool = False

    @property
    def is_gap(self) -> bool:
        """True where letters are lost and not restored."""
        return LOST in self.states


@dataclass(frozen=True, slots=True)
class WordingFault:
    """A bracket that is wrong: its place in the text, and words.

    Attributes:
        code: "W101" or "W102".
        offset, length: Where in the text, in characters.
    """

    code: str
    message: str
    offset: int
    length: int
    hint: str = ""


@dataclass(slots=True)
class _Bracket:
    sign: str
    offset: int
    inside: int
    filled: bool = False


def parse_wording(text: str) -> tuple[tuple[WordingRun, ...], tuple[WordingFault, ...]]:
    """Return the runs of a transcription in order, and what is wrong with its brackets.

    Brackets may stand in each other, and may run over the end of a line.

    Args:
        text: The transcription.

    Source:
        The Leiden conventions for editing papyri and inscriptions, as far as listed above, by the tables
        of the corpora that tests/outside/test_leiden_published.py names.

    Examples:
        >>> runs, faults = parse_wording("No. [12]3 h(arbour)")
        >>> [(run.text, run.states) for run in runs if run.states]
        [('12', ('restored',)), ('arbour', ('resolved',))]
    """
    runs: list[WordingRun] = []
    faults: list[WordingFault] = []
    stack: list[_Bracket] = []
    done = 0
    at = 0
    while (found := _TOKEN.search(text, at)) is not None:
        sign = found.group()
        at = found.end()
        if sign.startswith("\\"):
            _letters(text[done : found.start()], done, stack, runs, faults)
            _letters(sign[1:], found.start() + 1, stack, runs, faults)
            done = at
            continue
        if sign == "]]" and not (stack and stack[-1].sign == "[["):
            sign, at = "]", found.start() + 1
        if sign in _OPENING:
            _letters(text[done : found.start()], done, stack, runs, faults)
            if stack:
                stack[-1].filled = True
            stack.append(_Bracket(sign, found.start(), at))
            done = at
            if sign == "[" and (gap := _GAP.match(text, at)) and text[gap.end() : gap.end() + 1] == "]":
                _gap(gap, stack, runs)
                stack[-1].filled = True
                done = at = gap.end()
            continue
        _letters(text[done : found.start()], done, stack, runs, faults)
        done = at
        _close(sign, found.start(), stack, faults)
    _letters(text[done:], done, stack, runs, faults)
    for bracket in stack:
        faults.append(
            WordingFault(
                "W101",
                f'"{bracket.sign}" is never closed',
                bracket.offset,
                len(bracket.sign),
                f'write "{_OPENING[bracket.sign]}" where it ends, '
                f'or "\\{bracket.sign[0]}" if it stands on the paper',
            )
        )
    return tuple(runs), tuple(sorted(faults, key=lambda fault: fault.offset))


def _close(sign: str, offset: int, stack: list[_Bracket], faults: list[WordingFault]) -> None:
    opening = _CLOSING[sign]
    if not stack:
        faults.append(
            WordingFault(
                "W101",
                f'"{sign}" closes nothing',
                offset,
                len(sign),
                f'write "{opening}" where it begins, or "\\{sign[0]}" if it stands on the paper',
            )
        )
        return
    bracket = stack[-1]
    if bracket.sign != opening:
        wanted = _OPENING[bracket.sign]
        faults.append(
            WordingFault(
                "W101", f'"{sign}" closes "{bracket.sign}"', offset, len(sign), f'write "{wanted}" first'
            )
        )
        if any(other.sign == opening for other in stack):
            while stack[-1].sign != opening:
                stack.pop()
            stack.pop()
        return
    stack.pop()
    if not bracket.filled:
        length = offset + len(sign) - bracket.offset
        faults.append(
            WordingFault(
                "W102",
                "brackets with nothing in them",
                bracket.offset,
                length,
                "write [...] where letters are lost",
            )
        )


def _gap(gap: re.Match[str], stack: list[_Bracket], runs: list[WordingRun]) -> None:
    states = (*(_STATE[bracket.sign] for bracket in stack[:-1]), LOST)
    dots = gap["dots"]
    lost = None if dots is None else 3 if dots == "…" else dots.count(".")
    if gap["about"] is not None:
        lost = int(gap["about"])
    runs.append(WordingRun("", states, lost, is_rough=gap["about"] is not None))


def _letters(
    text: str, offset: int, stack: list[_Bracket], runs: list[WordingRun], faults: list[WordingFault]
) -> None:
    """Add the runs of a piece without brackets: uncertain letters apart from certain ones."""
    if not text:
        return
    if stack and text.strip():
        stack[-1].filled = True
    states = tuple(_STATE[bracket.sign] for bracket in stack)
    for letters, uncertain, at in _clusters(text):
        if uncertain and not letters.strip():
            faults.append(
                WordingFault(
                    "W102",
                    "a dot below stands under no letter",
                    offset + at,
                    1,
                    "write it after the uncertain letter",
                )
            )
            continue
        own = (*states, UNCERTAIN) if uncertain else states
        if runs and runs[-1].states == own and not runs[-1].is_gap:
            runs[-1] = WordingRun(runs[-1].text + letters, own)
        else:
            runs.append(WordingRun(letters, own))


def _clusters(text: str) -> list[tuple[str, bool, int]]:
    """Part a text into letters with their marks; the dot below is taken off and told apart."""
    if text.isascii():
        return [(text, False, 0)]
    parts: list[tuple[str, bool, int]] = []
    for place, character in enumerate(text):
        apart = unicodedata.normalize("NFD", character)
        if unicodedata.combining(apart[0]) and parts and parts[-1][0][-1:] not in ("", "\n"):
            letters, uncertain, at = parts[-1]
            parts[-1] = (letters + apart.replace(_DOT_BELOW, ""), uncertain or _DOT_BELOW in apart, at)
        else:
            parts.append((apart.replace(_DOT_BELOW, ""), _DOT_BELOW in apart, place))
    return [(unicodedata.normalize("NFC", letters), uncertain, at) for letters, uncertain, at in parts]

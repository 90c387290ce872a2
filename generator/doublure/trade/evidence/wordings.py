"""Readings in words: which significant words they hold, and whether two of them agree.

In: wordings, groups that the maker takes as the same. Out: sets of words, yes or no. Never: display text.
A rule of words, not of meaning: what it gets wrong is put right by a group of wordings taken as the same.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

#: Words that carry no statement of their own.
# fmt: off
STOP_WORDS = frozenset((
    "a", "about", "an", "and", "approximately", "are", "as", "at", "be", "but", "by", "ca", "circa", "for",
    "from", "has", "have", "in", "is", "it", "its", "kind", "like", "looks", "maybe", "of", "on", "or",
    "perhaps", "probably", "quite", "rather", "seems", "some", "somewhat", "sort", "that", "the", "their",
    "there", "these", "this", "those", "to", "very", "was", "were", "which", "with",
))
#: Words that turn what follows, up to the end of the clause, into its opposite.
NEGATIONS = frozenset((
    "arent", "cannot", "doesnt", "hasnt", "isnt", "lacking", "lacks", "neither", "never", "no", "non",
    "nor", "not", "wasnt", "werent", "without",
))
# fmt: on
#: Words that end the reach of a negation as a comma does.
_CLAUSE_WORDS = frozenset({"and", "but", "with"})
#: Mark in front of a negated word; no word can begin with it.
_NEGATED = "¬"
# Numbers keep their decimals; a hyphen or a slash parts words; the last group ends a clause.
_TOKEN = re.compile(r"\d+(?:[.,]\d+)*|[^\W_]+|[,;:.!?()\[\]\n–—]|\s-\s")
_APOSTROPHES = re.compile(r"(?<=\w)['’ʼ](?=\w)")


def extract_significant_words(wording: str) -> frozenset[str]:
    """Return the words of a wording that say something.

    Letter case, punctuation and stop words go; word order does not count. A negated word ("no watermark",
    "not laid") is another word than the plain one. "No 4" and "No. 4" are the number 4, not a negation.

    Args:
        wording: What the maker wrote, in any letter case; may be empty.

    Returns:
        The words, folded to lower case, negated ones with a mark in front.

    Source:
        The project's own rule, docs/handbook/methods/evidence.md.

    Examples:
        >>> sorted(extract_significant_words("The paper is Cream, laid"))
        ['cream', 'laid', 'paper']
        >>> extract_significant_words("no watermark") == extract_significant_words("watermark")
        False
    """
    text = _APOSTROPHES.sub("", unicodedata.normalize("NFKC", wording).casefold())
    tokens = _TOKEN.findall(text)
    words = set()
    negated = False
    for place, token in enumerate(tokens):
        if not token[0].isalnum():
            negated = False
        elif token == "no" and _comes_number(tokens, place + 1):
            continue
        elif token in NEGATIONS:
            negated = True
        else:
            if token in _CLAUSE_WORDS:
                negated = False
            if token not in STOP_WORDS:
                word = token.replace(",", ".")
                words.add(_NEGATED + word if negated else word)
    return frozenset(words)


def do_wordings_agree(one: str, other: str, same: Iterable[Sequence[str]] = ()) -> bool:
    """Return whether two wordings agree.

    They agree where the significant words of one are all contained in the other's: the vaguer one does not
    contradict the more exact one, and a wording without any significant word contradicts nothing. Wordings
    that the maker lists as the same count as containing each other.

    Args:
        one: A wording.
        other: Another.
        same: Groups of wordings that the maker takes as saying the same.

    Returns:
        True where they agree, False where they contradict each other.

    Source:
        The project's own rule, docs/handbook/methods/evidence.md.

    Examples:
        >>> do_wordings_agree("cream paper", "Cream laid paper")
        True
        >>> do_wordings_agree("cream", "buff")
        False
        >>> do_wordings_agree("buff card", "manila card", same=[("buff", "manila")])
        True
    """
    groups = _read_groups(same)
    return _do_words_agree(extract_significant_words(one), extract_significant_words(other), groups)


def find_contradictions(
    wordings: Sequence[str], same: Iterable[Sequence[str]] = ()
) -> tuple[tuple[int, int], ...]:
    """Return which of the wordings contradict each other.

    Args:
        wordings: Any number of them.
        same: Groups of wordings that the maker takes as saying the same.

    Returns:
        Pairs of places in the sequence, from 0, the smaller first, in order.

    Examples:
        >>> find_contradictions(["cream", "cream laid", "buff"])
        ((0, 2), (1, 2))
    """
    groups = _read_groups(same)
    words = [extract_significant_words(wording) for wording in wordings]
    return tuple(
        (i, j)
        for i in range(len(words))
        for j in range(i + 1, len(words))
        if not _do_words_agree(words[i], words[j], groups)
    )


def _comes_number(tokens: Sequence[str], place: int) -> bool:
    following = tokens[place : place + 2]
    if following[:1] == ["."]:
        following = following[1:]
    return bool(following) and following[0][0].isdigit()


def _read_groups(same: Iterable[Sequence[str]]) -> list[list[frozenset[str]]]:
    groups = []
    for group in same:
        members = [extract_significant_words(wording) for wording in group]
        groups.append([member for member in members if member])
    return groups


def _do_words_agree(one: frozenset[str], other: frozenset[str], groups: list[list[frozenset[str]]]) -> bool:
    return one <= _widen(other, groups) or other <= _widen(one, groups)


def _widen(words: frozenset[str], groups: list[list[frozenset[str]]]) -> frozenset[str]:
    """Add every wording that is the same as one contained in the words, until nothing is added."""
    wide = words
    while True:
        before = wide
        for group in groups:
            if any(member <= wide for member in group):
                wide = wide.union(*group)
        if wide == before:
            return wide

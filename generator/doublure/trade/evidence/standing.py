"""The scale of standing, and how an insert stands by its required attributes.

In: standings of attributes (assess.py gives them). Out: Standing, InsertStanding.
Never: readings, display text.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from doublure.errors import DomainError


class Standing(Enum):
    """How well an attribute is known, from strongest to weakest; DISPUTED overrides them all."""

    SETTLED = "settled"
    SUPPORTED = "supported"
    THIN = "thin"
    ASSUMED = "assumed"
    CHOSEN = "chosen"
    DISPUTED = "disputed"


class Open(Enum):
    """The marker of an attribute on which there is nothing at all.

    It is not a standing: a standing says how well something is known, and here nothing is said. A marker of
    its own rather than None, so that it cannot be taken for something not worked out yet, and has a word.
    """

    OPEN = "open"


OPEN: Final = Open.OPEN

#: The scale from strongest to weakest, without what stands outside it.
SCALE: Final = (Standing.SETTLED, Standing.SUPPORTED, Standing.THIN, Standing.ASSUMED, Standing.CHOSEN)


@dataclass(frozen=True, slots=True)
class InsertStanding:
    """How an insert stands.

    Attributes:
        standing: DISPUTED if any required attribute is, else OPEN if any is, else the weakest of them.
        deciding: The required attributes that make it so, in the order they are required.
        disputed: Required attributes in dispute.
        open: Required attributes on which there is nothing.
    """

    standing: Standing | Open
    deciding: tuple[str, ...]
    disputed: tuple[str, ...]
    open: tuple[str, ...]


def compute_strength(standing: Standing | Open) -> int:
    """Return the steps above nothing: settled 5, supported 4, thin 3, assumed 2, chosen 1, else 0.

    Examples:
        >>> compute_strength(Standing.SETTLED), compute_strength(OPEN)
        (5, 0)
    """
    return len(SCALE) - SCALE.index(standing) if standing in SCALE else 0


def find_weakest(standings: Iterable[Standing | Open]) -> Standing | Open:
    """Return the weakest of the standings; DISPUTED overrides all, and OPEN is weaker than the whole scale.

    Args:
        standings: At least one.

    Raises:
        DomainError: There is none.

    Examples:
        >>> find_weakest([Standing.SETTLED, Standing.THIN])
        <Standing.THIN: 'thin'>
    """
    found = tuple(standings)
    if not found:
        raise DomainError("there must be at least one standing to find the weakest of", "standings")
    if Standing.DISPUTED in found:
        return Standing.DISPUTED
    return min(found, key=compute_strength)


def assess_insert(required: Sequence[str], standings: Mapping[str, Standing | Open]) -> InsertStanding:
    """Return how an insert stands by its required attributes.

    A dispute overrides an open attribute too: it is the one that new evidence cannot just fill in.

    Args:
        required: Names of the required attributes, at least one.
        standings: The standing of each attribute; one that is missing is open.

    Returns:
        The standing with the attributes that decide it.

    Raises:
        DomainError: No attribute is required.

    Source:
        The rule of standing, docs/handbook/methods/evidence.md.
    """
    if not required:
        raise DomainError("an insert needs at least one required attribute to stand by", "required")
    found = {name: standings.get(name, OPEN) for name in required}
    standing = find_weakest(found.values())
    return InsertStanding(
        standing=standing,
        deciding=tuple(name for name, known in found.items() if known is standing),
        disputed=tuple(name for name, known in found.items() if known is Standing.DISPUTED),
        open=tuple(name for name, known in found.items() if known is OPEN),
    )

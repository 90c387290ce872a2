"""Runs every check of a Replica.

In: a Replica, faults and facts of its pictures. Out: problems, in order. Never: checking anything itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from doublure.checks.book import check_book
from doublure.checks.evidence import check_evidence
from doublure.checks.files import check_pictures
from doublure.checks.inserts import check_inserts
from doublure.checks.loose_names import check_loose_names
from doublure.checks.pages import write_out_pages
from doublure.checks.places import check_places
from doublure.checks.press import check_press
from doublure.checks.register import check_register
from doublure.checks.stocks import check_stocks
from doublure.checks.wishes import check_wishes
from doublure.model.replica import ImageFact, Replica
from doublure.model.source import FileFault
from doublure.problems import Problem, sort_problems


def check_replica(
    replica: Replica, picture_faults: Sequence[FileFault], facts: Mapping[str, ImageFact]
) -> tuple[Problem, ...]:
    """Return everything that cannot be, or that the maker should look at again.

    Args:
        replica: Every note that could be decoded.
        picture_faults: Pictures that cannot be used, by path relative to the journal.
        facts: What was found of the others, by the same paths.

    Returns:
        Problems in the order of file, line and column. What is wrong with artwork check_artwork says.
    """
    pages = write_out_pages(replica.book)
    return sort_problems(
        (
            *check_pictures(replica, picture_faults),
            *check_stocks(replica),
            *check_inserts(replica),
            *check_places(replica, pages),
            *check_book(replica, pages),
            *check_press(replica, pages),
            *check_wishes(replica, pages),
            *check_register(replica),
            *check_evidence(replica, facts),
            *check_loose_names(replica, pages),
        )
    )

"""Records of planning the gatherings: what is asked, and the plan that answers it.

In: numbers. Out: frozen records. Never: searching (planning_search.py), notes, display text.
A spread is named by its lower page: the spread 22 is pages 22 and 23, whichever way the book is read.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from doublure.trade.press.records import Folding


class BlankRule(Enum):
    """Where blank pages may be put in."""

    END = "end"
    """Behind the last page only."""
    GATHERINGS = "gatherings"
    """Before the first and behind the last page of any gathering."""
    ANYWHERE = "anywhere"
    """Before, behind or between any two pages, but never within a crossover or a fixed spread."""


class Meeting(Enum):
    """Where the two halves of a spread are printed, from the surest to meet to the least sure."""

    CENTRE = "centre"
    """Side by side on one side of one sheet, across its spine fold: no register error."""
    ONE_SIDE = "one side"
    """On one side of one sheet, but across a fold at the head or the fore-edge, which is slit (quarto, octavo):
    printed in one pass, so front and back do not come in; folding and slitting do."""
    TWO_SHEETS = "two sheets"
    """On two sheets of one gathering, on the back of the one and the front of the other."""
    TWO_GATHERINGS = "two gatherings"
    """On the outermost sheets of two gatherings."""
    TIPPED = "tipped"
    """A half of it, or both, on a leaf tipped in."""
    NOT_FACING = "not facing"
    """On the two sides of one leaf: as the sequence stands, its halves do not face each other."""


@dataclass(frozen=True, slots=True)
class WeightedCrossover:
    """Artwork that runs across the gutter.

    Attributes:
        page: Lower page of its spread.
        weight: How much it matters that it lies in the middle of a gathering, >= 0.
    """

    page: int
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class PlanningSpec:
    """What is asked of the gatherings.

    Attributes:
        masters: For every page of the book in reading order, tipped leaves included, its master or None.
        fewest_sheets, most_sheets: Printed sheets in a gathering, from and to.
        crossovers: In any order, each spread once.
        folding: How often a printed sheet is folded; a gathering of n sheets holds n times its leaf pairs.
        blanks: Where blank pages may be put in.
        most_blanks: How many, at most, those that fill the last sheets included.
        fixed: Lower pages of the spreads that must lie in the middle of a gathering.
        most_plates: How many distinct plates are acceptable; None for any number.
        creep_steps: Creep step of each leaf pair of a gathering, the outermost first; () where creep makes no
            difference to plates.
        tipped_at: First page of each single leaf tipped in.
    """

    masters: tuple[str | None, ...]
    fewest_sheets: int
    most_sheets: int
    crossovers: tuple[WeightedCrossover, ...] = ()
    folding: Folding = Folding.FOLIO
    blanks: BlankRule = BlankRule.END
    most_blanks: int = 3
    fixed: tuple[int, ...] = ()
    most_plates: int | None = None
    creep_steps: tuple[int, ...] = ()
    tipped_at: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class InsertedBlanks:
    """Blank pages to be put into the sequence.

    Attributes:
        after_page: Page of the sequence as given behind which they go; 0 for before the first.
        count: How many.
    """

    after_page: int
    count: int


@dataclass(frozen=True, slots=True)
class PlannedCrossover:
    """A crossover as a plan lays it.

    Attributes:
        page: Lower page of its spread in the sequence as given.
        weight: As asked.
        meeting: Where its halves are printed.
        gathering: Gathering of its first half, from 1; None where that is on a leaf tipped in.
        planned_page: Lower page of its spread once the plan's blanks are in the sequence.
        is_fixed: True where it must lie in the middle.
    """

    page: int
    weight: float
    meeting: Meeting
    gathering: int | None
    planned_page: int
    is_fixed: bool = False

    @property
    def is_centred(self) -> bool:
        """True where it lies in the middle of a gathering."""
        return self.meeting is Meeting.CENTRE


@dataclass(frozen=True, slots=True)
class GatheringPlan:
    """One plan with its figures.

    Attributes:
        sheets_in_gatherings: Printed sheets in each gathering.
        leaf_pairs_in_gatherings: The same in leaf pairs.
        inserted: Blank pages put in, in reading order; those behind the last page included.
        crossovers: In reading order.
        centred_weight: Weight of the crossovers that lie in the middle of a gathering.
        one_side_weight: Weight of those that lie on one side of one sheet in another way (Meeting.ONE_SIDE).
        total_weight: Weight of all.
        plates: Distinct plates that print something.
        stacks: Distinct sheets.
        turned_pages: Pages of the sequence that change from recto to verso, or back, by the blanks put in.
        pages_in_gatherings: For each gathering the pages on its folded leaves in reading order, numbered as given;
            0 for a blank put in.
    """

    sheets_in_gatherings: tuple[int, ...]
    leaf_pairs_in_gatherings: tuple[int, ...]
    inserted: tuple[InsertedBlanks, ...]
    crossovers: tuple[PlannedCrossover, ...]
    centred_weight: float
    one_side_weight: float
    total_weight: float
    plates: int
    stacks: int
    turned_pages: int
    pages_in_gatherings: tuple[tuple[int, ...], ...]

    @property
    def blanks(self) -> int:
        """Blank pages put in."""
        return sum(one.count for one in self.inserted)

    @property
    def centred(self) -> tuple[PlannedCrossover, ...]:
        """The crossovers in the middle of a gathering."""
        return tuple(one for one in self.crossovers if one.is_centred)

    @property
    def not_centred(self) -> tuple[PlannedCrossover, ...]:
        """The others."""
        return tuple(one for one in self.crossovers if not one.is_centred)

    def inner_blanks(self, pages: int) -> tuple[InsertedBlanks, ...]:
        """Return the blanks that stand before the last page of a sequence of so many pages."""
        return tuple(one for one in self.inserted if one.after_page < pages)


@dataclass(frozen=True, slots=True)
class PlanDifference:
    """The proposal less the present plan: what is gained or lost by taking it.

    Attributes:
        centred_weight, plates, stacks, blanks, gatherings: Differences, the proposal's figure first.
        newly_centred, no_longer_centred: Lower pages of the spreads, as given.
    """

    centred_weight: float
    plates: int
    stacks: int
    blanks: int
    gatherings: int
    newly_centred: tuple[int, ...]
    no_longer_centred: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class GatheringProposal:
    """The plan that is proposed, and how sure it is that there is none better.

    Attributes:
        plan: The plan.
        is_optimal: True where it is proven that no plan has more weight in the middle, or as much and fewer
            plates, or as much, as many and fewer blanks.
        most_weight: No plan that meets the wishes has more weight in the middle.
        fewest_plates: No plan with the weight of this one takes fewer plates.
        examined: Beginnings of plans that were looked at.
        present: The present plan with the same figures; None where none was given.
    """

    plan: GatheringPlan
    is_optimal: bool
    most_weight: float
    fewest_plates: int
    examined: int
    present: GatheringPlan | None = None

    def compare(self) -> PlanDifference | None:
        """Return the proposal less the present plan; None where no present plan was given."""
        if self.present is None:
            return None
        ours = {one.page for one in self.plan.centred}
        theirs = {one.page for one in self.present.centred}
        return PlanDifference(
            centred_weight=self.plan.centred_weight - self.present.centred_weight,
            plates=self.plan.plates - self.present.plates,
            stacks=self.plan.stacks - self.present.stacks,
            blanks=self.plan.blanks - self.present.blanks,
            gatherings=len(self.plan.sheets_in_gatherings) - len(self.present.sheets_in_gatherings),
            newly_centred=tuple(sorted(ours - theirs)),
            no_longer_centred=tuple(sorted(theirs - ours)),
        )

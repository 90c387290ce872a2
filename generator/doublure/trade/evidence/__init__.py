"""Evidence: stems, readings combined over independent witnesses, standing, and what to ask first.

In: sources and readings as numbers and words. Out: frozen results. Never: notes, files, display text.
"""

from __future__ import annotations

from doublure.trade.evidence.assess import (
    AttributeStanding,
    BasisKind,
    BasisSpec,
    Clause,
    Contradiction,
    DecidedSpec,
    ReadingSpec,
    WitnessSummary,
    assess_attribute,
)
from doublure.trade.evidence.combine import (
    LEVEL,
    SIGNIFICANCE,
    CombinedValue,
    NumericReading,
    ScaleRule,
    Witness,
    combine_readings,
    combine_stem,
    combine_witnesses,
)
from doublure.trade.evidence.power import DifferenceFrom, PowerOfTest, compute_power_of_test
from doublure.trade.evidence.questions import (
    AffectedInsert,
    Bearing,
    QuestionSpec,
    RankedQuestion,
    rank_questions,
)
from doublure.trade.evidence.standing import (
    OPEN,
    SCALE,
    InsertStanding,
    Open,
    Standing,
    assess_insert,
    compute_strength,
    find_weakest,
)
from doublure.trade.evidence.stems import (
    PlacedSource,
    SourceSpec,
    Stem,
    StemDisagreement,
    StemTree,
    resolve_stems,
)
from doublure.trade.evidence.wordings import do_wordings_agree, extract_significant_words, find_contradictions

__all__ = [
    "LEVEL",
    "OPEN",
    "SCALE",
    "SIGNIFICANCE",
    "AffectedInsert",
    "AttributeStanding",
    "BasisKind",
    "BasisSpec",
    "Bearing",
    "Clause",
    "CombinedValue",
    "Contradiction",
    "DecidedSpec",
    "DifferenceFrom",
    "InsertStanding",
    "NumericReading",
    "Open",
    "PlacedSource",
    "PowerOfTest",
    "QuestionSpec",
    "RankedQuestion",
    "ReadingSpec",
    "ScaleRule",
    "SourceSpec",
    "Standing",
    "Stem",
    "StemDisagreement",
    "StemTree",
    "Witness",
    "WitnessSummary",
    "assess_attribute",
    "assess_insert",
    "combine_readings",
    "combine_stem",
    "combine_witnesses",
    "compute_power_of_test",
    "compute_strength",
    "do_wordings_agree",
    "extract_significant_words",
    "find_contradictions",
    "find_weakest",
    "rank_questions",
    "resolve_stems",
]

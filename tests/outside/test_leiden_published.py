"""The Leiden conventions against tables of signs that corpora of inscriptions publish.

- Inscriptions of Aphrodisias (King's College London, 2007), "Epigraphic Conventions": table, seen 2026-11-25.
- Ashmolean Latin Inscriptions (Ashmolean Museum, Oxford), "Epigraphic conventions": table with examples, seen
  2026-11-25.
- Inscriptions of Greek Cyrenaica (University of Bologna, IGCyR2), "Epigraphic conventions": table, seen 2026-11-25.
- Documentation of the Brill volume 9789004526525, front matter, list of signs: seen 2026-11-25.
Facts and the examples of signs only; nothing of the corpora themselves is used.
"""

from __future__ import annotations

import pytest

from doublure.leiden import (
    LOST,
    RESOLVED,
    RESTORED,
    STRUCK_OUT,
    SUPPLIED,
    UNCERTAIN,
    WordingRun,
    parse_wording,
)


@pytest.mark.parametrize(
    ("source", "text", "expected"),
    [
        ("Ashmolean: an abbreviated word written out", "Aug(ustus)", [("Aug", ()), ("ustus", (RESOLVED,))]),
        ("Ashmolean: lost, supplied by the editor", "[Calp]urnia", [("Calp", (RESTORED,)), ("urnia", ())]),
        ("Ashmolean: erased, but still to be read", "[[Geta]]", [("Geta", (STRUCK_OUT,))]),
        (
            "Ashmolean: omitted in error, added",
            "in<s>truxit",
            [("in", ()), ("s", (SUPPLIED,)), ("truxit", ())],
        ),
        ("Aphrodisias: expansion", "α(βγ)", [("α", ()), ("βγ", (RESOLVED,))]),
        ("Aphrodisias: lost and restored", "[αβγ]", [("αβγ", (RESTORED,))]),
        ("Aphrodisias: omitted by the cutter", "<αβγ>", [("αβγ", (SUPPLIED,))]),
        ("Aphrodisias: partially damaged", "α̣β̣γ̣", [("αβγ", (UNCERTAIN,))]),
        ("Cyrenaica: erased but legible", "〚αβ〛", [("αβ", (STRUCK_OUT,))]),
        ("Cyrenaica: erased, illegible, restored", "〚[αβ]〛", [("αβ", (STRUCK_OUT, RESTORED))]),
        ("Brill: omission by the scribe", "⟨αβ⟩", [("αβ", (SUPPLIED,))]),
        ("Brill: deletion by the scribe", "⟦αβ⟧", [("αβ", (STRUCK_OUT,))]),
    ],
)
def test_letters(source: str, text: str, expected: list[tuple[str, tuple[str, ...]]]) -> None:
    runs, faults = parse_wording(text)
    assert faults == (), source
    assert [(run.text, run.states) for run in runs] == expected, source


@pytest.mark.parametrize(
    ("source", "text", "expected"),
    [
        ("Aphrodisias: a number lost", "[ .. c. 4 .. ]", WordingRun("", (LOST,), 4, is_rough=True)),
        ("Aphrodisias: an unknown number lost", "[ .. ? .. ]", WordingRun("", (LOST,))),
        ("Cyrenaica: quantity known", "[...]", WordingRun("", (LOST,), 3)),
        ("Cyrenaica: quantity unknown", "[- - -]", WordingRun("", (LOST,))),
        ("Cyrenaica: quantity approximate", "[c. 8]", WordingRun("", (LOST,), 8, is_rough=True)),
        ("Cyrenaica: erased and lost, dots count", "〚[..]〛", WordingRun("", (STRUCK_OUT, LOST), 2)),
        ("Cyrenaica: erased and lost, unknown", "〚[- - -]〛", WordingRun("", (STRUCK_OUT, LOST))),
    ],
)
def test_gaps(source: str, text: str, expected: WordingRun) -> None:
    runs, faults = parse_wording(text)
    assert faults == (), source
    assert runs == (expected,), source

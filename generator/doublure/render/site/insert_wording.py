"""The wording of an insert, transcribed in the Leiden conventions.

In: InsertWorking. Out: blocks added to a PageFrame. Never: reading the signs (leiden.py).
"""

from __future__ import annotations

from doublure.leiden import WordingRun
from doublure.render.html import Link, escape_text, render_working
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import count_words
from doublure.workings.inserts import InsertWorking


def add_wording(frame: PageFrame, one: InsertWorking) -> None:
    """Add the wording of both sides, if any is transcribed, with how to read the signs."""
    sides = [(side, runs) for side, runs in (("Front", one.front_runs), ("Back", one.back_runs)) if runs]
    if not sides:
        return
    frame.heading("Wording", "wording")
    for side, runs in sides:
        text = "".join(_run(run) for run in runs)
        frame.add(
            f'<figure class="db-wording"><figcaption>{side}</figcaption>'
            f"<p>{text.replace(chr(10), '<br>')}</p></figure>"
        )
    frame.add(
        render_working(
            [
                "In square brackets: lost letters, restored; a dot below: uncertain; in angle brackets: left out "
                "and supplied; in round brackets: an abbreviation resolved; in double brackets: struck out."
            ],
            summary="How to read the signs",
            method=Link("Leiden conventions", frame.href("handbook/methods/wording.md")),
        )
    )


def _run(run: WordingRun) -> str:
    if run.is_gap:
        count = run.letters_lost
        shown = "·" * count if count is not None and count <= 40 else "–"
        said = f"{count_words(count, 'letter')} lost" if count is not None else "letters lost"
        return f'<span class="db-lost" title="{said}">[{shown}]</span>'
    lines = (str(escape_text(line)) for line in run.text.split("\n"))
    text = "\n".join(lines)
    for state in reversed(run.states):
        open_, close = {
            "restored": ("[", "]"),
            "supplied": ("‹", "›"),
            "resolved": ("(", ")"),
            "struck out": ("⟦", "⟧"),
        }.get(state, ("", ""))
        worn = f"db-letters db-letters--{state.replace(' ', '-')}"
        text = f'<span class="{worn}" title="{state}">{open_}{text}{close}</span>'
    return text

"""What is known of an insert: the table of attributes, and how each came to its standing.

In: SiteContext, InsertWorking. Out: Html blocks. Never: judging (trade/evidence).
"""

from __future__ import annotations

from doublure.model.insert import NUMBER_ATTRIBUTES
from doublure.quantities import format_grammage, format_length_mm
from doublure.render.draw.readings import ReadingPoint, ReadingsSpec, StemReadings, draw_readings
from doublure.render.html import (
    Html,
    Link,
    escape_text,
    join_html,
    render_drawing,
    render_link,
    render_working,
)
from doublure.render.plan import page_path
from doublure.render.site.context import SiteContext
from doublure.render.site.frame import PageFrame
from doublure.render.site.wordings import CLAUSE_WORDS, attribute_word, count_words, place_words
from doublure.render.svg import render_svg
from doublure.render.table import Cell, Column, Table, render_table_html
from doublure.trade.evidence.combine import CombinedValue
from doublure.workings.inserts import InsertWorking
from doublure.workings.standing import AttributeWorking

METHOD = "handbook/methods/evidence.md"
READINGS_PX = 358


def known_table(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Html:
    """Return the table of every attribute with its standing, decision, readings and why."""
    rows = []
    for attribute in one.standing.attributes:
        rows.append(
            (
                Cell(attribute.attribute, _attribute(attribute)),
                Cell(attribute.status.standing.value, ctx.standing(attribute.status.standing)),
                Cell(decided_text(ctx, frame, one, attribute), _decided_html(ctx, frame, one, attribute)),
                _combined_text(attribute),
                CLAUSE_WORDS[attribute.status.clause],
            )
        )
    table = Table(
        name=f"standing-{one.note.id}",
        caption="What is known, attribute by attribute",
        columns=(
            Column("attribute", "Attribute"),
            Column("standing", "Standing"),
            Column("decided", "Decided"),
            Column("readings", "Readings together"),
            Column("why", "Why it stands so"),
        ),
        rows=tuple(rows),
        method="The standing follows from the readings by a fixed rule.",
        method_link=Link("The rule of standing", frame.href(f"{METHOD}#the-rule-of-standing")),
    )
    return render_table_html(table)


def _attribute(attribute: AttributeWorking) -> Html:
    words = escape_text(attribute_word(attribute.attribute))
    if attribute.status.readings and attribute.attribute in NUMBER_ATTRIBUTES:
        words = Html(f'<a href="#reading-{attribute.attribute}">{words}</a>')
    return words if attribute.required else Html(f"{words} <small>(not required)</small>")


def decided_text(ctx: SiteContext, frame: PageFrame, one: InsertWorking, attribute: AttributeWorking) -> str:
    """Return what was decided, as plain text; "" where nothing was."""
    note = one.note
    if attribute.decided is not None:
        if attribute.attribute == "grammage":
            return format_grammage(attribute.decided)
        return ctx.length(attribute.decided)
    if attribute.attribute == "paper":
        return ctx.name_of(f"stocks/{note.stock}") if note.stock else ""
    if attribute.attribute == "place":
        return place_words(note.place)
    face = {"front": note.front, "back": note.back}.get(attribute.attribute)
    if face is not None:
        return "blank" if face.blank else ctx.name_of(f"masters/{face.master}") if face.master else face.shows
    reasons = dict(note.assumed) | dict(note.chosen)
    return attribute.decided_words or reasons.get(attribute.attribute, "")


def _decided_html(
    ctx: SiteContext, frame: PageFrame, one: InsertWorking, attribute: AttributeWorking
) -> Html:
    text = decided_text(ctx, frame, one, attribute)
    note = one.note
    if attribute.attribute == "paper" and note.stock:
        return render_link(ctx.thing_link(frame, f"stocks/{note.stock}"))
    face = {"front": note.front, "back": note.back}.get(attribute.attribute)
    if face is not None and face.master:
        return render_link(ctx.thing_link(frame, f"masters/{face.master}"))
    return escape_text(text or "–")


def _combined_text(attribute: AttributeWorking) -> str:
    combined = attribute.status.combined
    if combined is not None:
        return _number(attribute, combined.value, combined.u)
    words = list(dict.fromkeys(reading.words for reading in attribute.readings if reading.words))
    if words:
        return "; ".join(words)
    return "seen" if attribute.readings else "none"


def _number(attribute: AttributeWorking, value: float, u: float | None) -> str:
    if attribute.attribute == "grammage":
        return format_grammage(value, u)
    return format_length_mm(value, u)


def reading_sections(ctx: SiteContext, frame: PageFrame, one: InsertWorking) -> Html:
    """Return, for each attribute that was read, its readings drawn and listed, and how they were combined."""
    return Html(
        "".join(
            _section(ctx, frame, attribute) for attribute in one.standing.attributes if attribute.readings
        )
    )


def _section(ctx: SiteContext, frame: PageFrame, attribute: AttributeWorking) -> str:
    status = attribute.status
    listed = "".join(
        f"<li>{_reading(ctx, frame, attribute, number)}</li>" for number in range(len(attribute.readings))
    )
    drawing = ""
    if status.combined is not None and attribute.attribute != "grammage":
        spec = _readings_spec(ctx, frame, attribute, status.combined)
        # One drawing, of a phone's width: beside each other they are as wide on a desk.
        svg = render_svg(draw_readings(spec, READINGS_PX), f"rd-{attribute.attribute}")
        drawing = render_drawing(Html(svg))
    working = _working(ctx, frame, attribute)
    return (
        f'<section class="db-reading" id="reading-{attribute.attribute}">'
        f"<h3>{escape_text(attribute_word(attribute.attribute).capitalize())} "
        f"{ctx.standing(status.standing)}</h3>{drawing}"
        f'<ul class="db-reading__list">{listed}</ul>{working}</section>'
    )


def _reading(ctx: SiteContext, frame: PageFrame, attribute: AttributeWorking, number: int) -> Html:
    reading = attribute.readings[number]
    value = reading.words
    if reading.number is not None:
        value = reading.number.text or _number(attribute, reading.number.value, reading.number.u)
    parts: list[str | Html] = [
        Html(f"<b>{escape_text(value)}</b>") if value else "",
        " from " if value else "",
        render_link(ctx.thing_link(frame, f"evidence/{reading.source}")),
    ]
    marks = []
    source = ctx.work.replica.evidence.get(reading.source)
    if reading.stated:
        marks.append("stated there")
    elif source is not None and source.scale:
        marks.append("to scale")
    if reading.source in attribute.status.unstated:
        marks.append(f"no uncertainty stated, {ctx.work.replica.replica.tolerances.unstated_mm:g} mm taken")
    stem = ctx.stem_of.get(reading.source, "")
    if attribute.status.named and stem in attribute.status.named:
        marks.append("the odd one" if attribute.status.odd else "in dispute")
    if marks:
        parts.append(f" ({', '.join(marks)})")
    if reading.remark:
        parts.append(f": {reading.remark}")
    return join_html(parts)


def _readings_spec(
    ctx: SiteContext, frame: PageFrame, attribute: AttributeWorking, combined: CombinedValue
) -> ReadingsSpec:
    stems = []
    for witness in combined.witnesses:
        points = tuple(
            ReadingPoint(
                source=ctx.name_of(f"evidence/{reading.source}"),
                value=reading.value,
                u=reading.u,
                href=frame.href(page_path("evidence", reading.source)),
            )
            for reading in witness.readings
        )
        odd = witness.stem == attribute.status.odd
        stems.append(StemReadings(witness.stem, points, witness.value, witness.u, odd=odd))
    return ReadingsSpec(
        attribute=attribute_word(attribute.attribute),
        unit="mm",
        stems=tuple(stems),
        combined=(combined.value, combined.u),
        interval=(combined.low, combined.high),
        interval_words="95 % interval",
        decided=attribute.decided.value if attribute.decided is not None else None,
        standing=attribute.status.standing.value,
    )


def _working(ctx: SiteContext, frame: PageFrame, attribute: AttributeWorking) -> Html:
    combined = attribute.status.combined
    method = Link("Combining readings", frame.href(f"{METHOD}#combining-readings"))
    if combined is None:
        contradictions = [
            Html(
                f"<p>{escape_text(ctx.name_of(f'evidence/{pair.one}'))} contradicts "
                f"{escape_text(ctx.name_of(f'evidence/{pair.other}'))}.</p>"
            )
            for pair in attribute.status.contradictions
        ]
        if not contradictions:
            return Html("")
        return render_working(
            contradictions,
            summary="Where the wordings differ",
            method=Link("Wordings", frame.href(f"{METHOD}#wordings")),
        )
    witnesses = count_words(len(combined.witnesses), "independent witness", "independent witnesses")
    inputs: list[tuple[str, str]] = [
        (witness.stem, f"{_number(attribute, witness.value, witness.u)}, weight {weight:.0%}")
        for witness, weight in zip(combined.witnesses, combined.weights, strict=True)
    ]
    body: list[str | Html] = [
        f"{witnesses}: the mean weighted by the inverse of each variance, "
        f"{_number(attribute, combined.value, combined.u)}; 95 % interval "
        f"{format_length_mm(combined.low)} to {format_length_mm(combined.high)}."
    ]
    if combined.p is not None and combined.birge_ratio is not None:
        body.append(
            f"Chi-square {combined.chi2:.2f} on {combined.dof} degrees of freedom, p = {combined.p:.3g}; "
            f"Birge ratio {combined.birge_ratio:.2f}"
            + (", by which the uncertainty was enlarged." if combined.scale_factor > 1 else ".")
        )
    power = attribute.status.power
    if power is not None:
        body.append(
            f"Had one witness differed from the rest by {format_length_mm(power.difference)}, this test would have "
            f"noticed it with a probability of at least {power.least:.0%}."
        )
    return render_working(body, inputs=inputs, method=method, source="JCGM 100:2008 (GUM)")

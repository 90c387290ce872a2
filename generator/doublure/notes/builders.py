"""From the fields of a group to the record it stands for: pictures, questions, readings, places, spares.

In: values by key, the node, its path. Out: parts of records; None after a problem was added. Never: YAML.
"""

from __future__ import annotations

from typing import Any

from doublure.model.insert import (
    NUMBER_ATTRIBUTES,
    WORD_ATTRIBUTES,
    Face,
    Fold,
    Held,
    Lettering,
    Place,
    Reading,
    Varying,
)
from doublure.model.notes import Publish, Tolerances
from doublure.model.parts import Picture, Question, Rights, Spares
from doublure.notes.decoding import Decoding, Path, Values
from doublure.notes.nodes import MapNode


def build_picture(values: Values, node: MapNode, path: Path, ctx: Decoding) -> tuple[Picture, Path]:
    """Return a picture with the path of its file."""
    picture = Picture(values["file"], values.get("caption", ""), values.get("credit", ""))
    return picture, (*path, "file")


def lengthen_picture(file: str, path: Path) -> tuple[Picture, Path]:
    """Return the picture that a path alone stands for."""
    return Picture(file), path


def build_question(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Question:
    """Return an open question."""
    return Question(values["question"], values.get("about", ()))


def lengthen_question(text: str, path: Path) -> Question:
    """Return the question that words alone stand for."""
    return Question(text)


def build_rights(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Rights:
    """Return whose a source is."""
    return Rights(values.get("holder", ""), values.get("credit", ""), values.get("publish"))


def build_tolerances(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Tolerances:
    """Return the maker's tolerances, the usual ones where they say nothing."""
    usual = Tolerances()
    return Tolerances(
        values.get("crossover", usual.crossover_mm),
        values.get("cut", usual.cut_mm),
        values.get("unstated", usual.unstated_mm),
    )


def build_publish(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Publish:
    """Return what goes into the site."""
    usual = Publish()
    return Publish(values.get("print_files", usual.print_files), values.get("prices", usual.prices))


def build_spares(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Spares | None:
    """Return the rule for spares: a count or a share."""
    if len(values) != 1:
        if len(values) == 2:
            ctx.add("K105", "spares: a count and a share at once", node, "keep one of the two")
        elif not node.entries:
            ctx.add("K105", "spares: neither a count nor a share", node, "write count: 4 or share: 50 %")
        return None
    return Spares(values.get("count"), values.get("share"))


def build_stack(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Values:
    """Return height and sheets of a measured stack."""
    return values


def build_readings(values: Values, node: MapNode, path: Path, ctx: Decoding) -> tuple[Reading, ...]:
    """Return one reading for each attribute of an entry, in the order of the note."""
    source = values["from"]
    stated, remark = values.get("stated", False), values.get("remark", "")
    readings: list[Reading] = []

    def add(attribute: str, number: Any, words: str, key: str) -> None:
        readings.append(Reading(source, attribute, number, words, stated, remark, (*path, key)))

    for key_node, _ in node.entries:
        key = key_node.value
        got = values.get(key)
        if got is None:
            continue
        if key == "size":
            add("width", got.width_mm, "", key)
            add("height", got.height_mm, "", key)
        elif key in NUMBER_ATTRIBUTES:
            add(key, got, "", key)
        elif key in WORD_ATTRIBUTES:
            add(key, None, got, key)
    told = {key.value for key, _ in node.entries} - {"from", "stated", "remark"}
    if not told:
        ctx.add(
            "K107",
            f'readings: nothing is read from "{source}"',
            node.entries[0][1],
            "add what was seen, such as size: 64 x 121 mm or paper: thin, cream",
        )
    return tuple(readings)


def build_face(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Face | None:
    """Return one side of an insert."""
    face = Face(
        values.get("master", ""),
        values.get("blank", False),
        values.get("printing", ""),
        values.get("shows", ""),
    )
    if face.blank and (face.master or face.shows):
        ctx.add("K105", f"{path[-1]}: blank, and yet something is on it", node, "keep one of the two")
        return None
    return face


def lengthen_face(master: str, path: Path) -> Face:
    """Return the side that one word stands for: "" is blank."""
    return Face(master=master) if master else Face(blank=True)


def build_place(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Place | None:
    """Return where an insert lies."""
    if "between" in values and "on" in values:
        ctx.add("K105", "place: between two pages and on one page at once", node, "keep one of the two")
        return None
    return Place(
        between=values.get("between"),
        on=values.get("on"),
        pocket=values.get("pocket", ""),
        order=values.get("order"),
        way_up=values.get("way_up", ""),
        face_down=values.get("face_down", False),
        sticks_out_mm=values.get("sticks_out"),
        sticks_out_at=values.get("sticks_out_at", ""),
        from_gutter_mm=values.get("from_gutter"),
        from_head_mm=values.get("from_head"),
    )


def build_held(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Held:
    """Return how an insert is held."""
    return Held(values.get("by", ""), values.get("edge", ""), values.get("adhesive", ""))


def lengthen_held(by: str, path: Path) -> Held:
    """Return what one word stands for."""
    return Held(by)


def build_fold(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Fold:
    """Return one fold."""
    return Fold(values["along"], values.get("at"), values.get("way", ""))


def build_wording(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Values:
    """Return the wordings of both sides by "front" and "back"."""
    return values


def build_lettering(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Lettering:
    """Return an identified lettering."""
    return Lettering(values.get("use", ""), values.get("face", ""), values.get("licence", ""))


def build_varying(values: Values, node: MapNode, path: Path, ctx: Decoding) -> Varying:
    """Return what differs from copy to copy."""
    return Varying(
        values["kind"],
        values.get("text", ""),
        values.get("first", ""),
        values.get("last", ""),
        values.get("where", ""),
    )

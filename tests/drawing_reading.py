"""Ways to read a scene in tests: its words, its groups, whether it lies inside its edges."""

from __future__ import annotations

from doublure.render.extent import extent_of, walk
from doublure.render.scene import Group, Scene, Text


def words(scene: Scene) -> list[str]:
    return [item.content for item in walk(scene.items) if isinstance(item, Text)]


def groups(scene: Scene) -> list[Group]:
    return [item for item in walk(scene.items) if isinstance(item, Group)]


def inside(scene: Scene) -> bool:
    box = extent_of(scene.items)
    return (
        box is not None
        and min(box.left_mm, box.top_mm) >= -1e-9
        and (box.right_mm <= scene.width_mm + 1e-9 and box.bottom_mm <= scene.height_mm + 1e-9)
    )

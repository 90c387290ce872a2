"""The trials: swatches, dummies and proofs on the bench.

In: nothing. Out: TRIALS, a picture by name. Never: files, the pictures of the log (bench.py).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from artwork import on_paper, page_on_paper
from bench_setting import CREAM, imposed, mat, note, shown, table
from papers import paper, washed
from PIL import Image
from props import bone_folder, bottle_top, brush, dish, pencil, ruler, swatch
from scene import to_image
from sheet import BLACK, BLUE, SEPIA, Sheet


def fold_dummy() -> Image.Image:
    """A blank gathering of four, folded, seen from the tail with the steps of the fore-edge."""
    scene = mat(view=236, tilt=400, seed=3)
    for index in range(8):
        z = 0.4 + index * 0.9
        reach = 105 - 0.0 + (3.5 - abs(3.5 - index)) * 0.9
        tone = 0.97 - 0.05 * (index % 2)
        scene.polygon(
            [(-60, -80, z), (-60 + reach, -80, z), (-60 + reach, 40, z), (-60, 40, z)],
            (CREAM[0] * tone, CREAM[1] * tone, CREAM[2] * tone),
        )
        scene.path([(-60, 40, z), (-60 + reach, 40, z), (-60 + reach, -80, z)], 0.35, (0.62, 0.56, 0.46))
    for index in range(5):
        scene.path(
            [
                (-60, 38 - index * 0.2, 0.6 + index),
                (-63 - index * 0.4, 38, 3.6),
                (-60, 38 - index * 0.2, 7.2 - index),
            ],
            0.5,
            (0.7, 0.64, 0.54),
        )
    scene.lay(ruler(90), (-6, 60), (100, 26), 0, 1.0)
    scene.lay(note(["four sheets:", "push-out 0.8 mm"], 66, 28, 2.4), (86, -40), (66, 28), -3, 0.5)
    scene.lay(bone_folder(), (76, 40), (150, 20), 24, 1.6)
    return shown(scene, 3)


def tea_swatches() -> Image.Image:
    """Text paper in three strengths of tea, a dish and the brush."""
    scene = table(350, 320, 29)
    for index, (strength, label) in enumerate(
        ((0.0, "plain"), (0.22, "1 bag, 2 min"), (0.42, "2 bags, 5 min"), (0.66, "4 bags, 20"))
    ):
        scene.lay(
            swatch("text-wove", (66, 96), label, 40 + index, wash=strength, mark=index == 2),
            (-120 + index * 76, -26 + 6 * (index % 2)),
            (66, 96),
            -3 + index * 2,
            0.4,
        )
    scene.lay(dish(44), (-96, 82), (88, 88), 0, 8, shadow=0.5)
    scene.lay(brush(), (34, 84), (190, 14), -7, 5)
    return shown(scene, 6)


def plate_proof() -> Image.Image:
    """A proof of an imposed sheet, marks and all, with a loupe's circle of light."""
    scene = mat(view=370, seed=7)
    scene.lay(imposed("harbour-plan-left", "harbour-plan-right"), (0, -2), (320, 225), -1.5, 0.4)
    scene.lay(pencil(), (120, 84), (150, 7), -24, 3.5)
    scene.lay(note(["back 0.6 mm low,", "0.3 to the right"], 70, 28), (-120, 98), (70, 28), 3, 0.6)
    return shown(scene, 7)


def ink_lines() -> Image.Image:
    """Lines of the three inks on tinted paper, the bottle, a pen."""
    scene = table(270, 330, 31)
    sheet = Sheet("ink-lines", 150, 105, 200)
    for index, (colour, label) in enumerate(
        (
            ((52, 40, 34), "walnut & black, 3 : 1"),
            (BLUE, "blue black, as bought"),
            (SEPIA, "walnut alone"),
            (BLACK, "black alone"),
        )
    ):
        sheet.ink(colour)
        sheet.write("the ninth tide stood", 9, 20 + index * 22, 3.0)
        sheet.write(label, 92, 20 + index * 22, 1.7, contrast=0.2)
    ground = washed(paper("text-wove", sheet.out_px, 200 / 25.4, 51, 0.2), 52, 0.3)
    scene.lay(
        to_image(ground * np.asarray(sheet.colour(), dtype=np.float64) / 255).convert("RGBA"),
        (-18, 8),
        (150, 105),
        -3,
        0.4,
    )
    scene.lay(bottle_top(24), (98, -44), (48, 48), 0, 30, shadow=0.55)
    scene.lay(pencil(), (84, 40), (150, 7), -58, 3.5)
    return shown(scene, 9)


def waxing() -> Image.Image:
    """Waxed overlays over a printed page, one dull and one clear."""
    scene = table(330, 320, 35)
    scene.lay(
        page_on_paper("channel-chart-left", 150, 22, 0.0).convert("RGBA"), (-92, 0), (105, 165), -2, 0.4
    )
    scene.lay(page_on_paper("channel-chart-left", 150, 22, 0.0).convert("RGBA"), (34, 0), (105, 165), 1, 0.4)
    scene.lay(on_paper("overlay", 150), (-90, 4), (100, 160), -1, 0.8, opacity=0.92)
    scene.lay(on_paper("overlay", 150), (36, 4), (100, 160), 2, 0.8, opacity=0.6, shadow=0.2)
    scene.lay(dish(34, (214, 196, 140)), (132, -52), (68, 68), 0, 8)
    scene.lay(brush(), (136, 50), (190, 14), 66, 5)
    return shown(scene, 12)


TRIALS: dict[str, Callable[[], Image.Image]] = {
    "fold-dummy": fold_dummy,
    "tea-swatches": tea_swatches,
    "plate-proof": plate_proof,
    "ink-lines": ink_lines,
    "wax-over-chart": waxing,
}

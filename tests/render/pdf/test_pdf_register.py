"""Backs that were corrected in the PDF land on their fronts when a machine with the error that was read prints them.

The machine is simulated on the drawn page by scikit-image, which knows nothing of our maps: a picture of the
back is moved as the machine would move it, turned over, and laid on the picture of the front.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from skimage.transform import AffineTransform, warp

from doublure.render.pdf.plates import PdfPlate, render_plates
from doublure.trade.book.gatherings import Side
from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.plan import PressSpec, plan_press
from doublure.trade.press.records import Box, PressPlate
from doublure.trade.press.register.correct import correction_of, join_back, seat_correction_of
from doublure.trade.press.register.fit import fit_machine
from doublure.trade.press.register.records import MarkReading, SeatReading, SheetReadings
from doublure.trade.press.register.seats import mean_seats
from pdf_reading import Grey, draw_page

PPI = 400
PX = PPI / 25.4
WIDTH, HEIGHT = 297.0, 210.0
#: Dots of 2 mm on the front, mm from the upper left corner: the corners of the pages, their middles, the fold.
DOTS = [(x, y) for x in (20.0, 84.0, 148.5, 207.0, 281.0) for y in (17.0, 93.0, 190.0)]
#: Shift of 1.3 mm, turn of 0.3°, a back that shrank by 0.4 % one way and by 0.25 % the other, and a little shear.
TURN = math.radians(0.3)
MACHINE = Affine(
    0.996 * math.cos(TURN), -0.9975 * math.sin(TURN) + 0.0004, 0.996 * math.sin(TURN), 0.9975 * math.cos(TURN), 1.1, -0.7
)  # fmt: skip


def correction() -> Affine:
    """What is made of readings of that machine, as a maker would enter them: to a hundredth of a millimetre."""
    sheets = []
    for number in range(3):
        marks = []
        for x in (-123.0, -60.0, 0.0, 60.0, 123.0):
            for y in (-80.0, 0.0, 80.0):
                to_x, to_y = MACHINE.apply(x, y)
                marks.append(MarkReading(f"{x}{y}", x, y, round(to_x - x, 2), round(to_y - y, 2)))
        sheets.append(SheetReadings(f"sheet {number}", tuple(marks)))
    return correction_of(fit_machine(sheets))


def draw_dots(side: Side, fix: Affine, turned: bool) -> Grey:
    """Draw a plate of dots. The back's lie where the front's are, seen through."""
    plan = plan_press(
        PressSpec(105, 148, WIDTH, HEIGHT, (1,), {1: None, 2: None, 3: None, 4: None}, (1, 2, 3, 4))
    )
    places = [(x if side is Side.FRONT else WIDTH - x, y) for x, y in DOTS]
    first, *others = (Box(x - 1, y - 1, 2, 2) for x, y in places)
    bare = PressPlate(1, (), (), 1, first, tuple(others))
    content = render_plates([PdfPlate(plan.layout, bare, side, fix, turned)], {}, {}, "Dots")
    return draw_page(content, ppi=PPI)


def print_back(page: Grey, turned: bool, machine: Affine = MACHINE) -> Grey:
    """Return the back as it lies on its sheet, seen through from the front with the head up."""
    if turned:  # the sheet went in the other way round
        page = page[::-1, ::-1]
    return print_front(page[:, ::-1], machine)


def print_front(seen_through: Grey, machine: Affine) -> Grey:
    """Return a print as it lies on its sheet when a machine has moved it, seen from the front."""
    # skimage works in pixels (x, y) with y down; its map is that from the result to the source.
    middle_x, middle_y = seen_through.shape[1] / 2 - 0.5, seen_through.shape[0] / 2 - 0.5
    linear = np.array(
        [[machine.xx, machine.xy, machine.x_mm * PX], [machine.yx, machine.yy, machine.y_mm * PX], [0, 0, 1]]
    )
    to_middle = np.array([[1, 0, -middle_x], [0, 1, -middle_y], [0, 0, 1]])
    moved = AffineTransform(matrix=np.linalg.inv(to_middle) @ linear @ to_middle)
    printed = warp(seen_through.astype(float), moved.inverse, order=1, mode="constant", cval=255.0)
    return np.asarray(printed).round().astype(np.uint8)


def find_dots(picture: Grey) -> list[tuple[float, float]]:
    """Return the middle of each dot by the weight of its grey, mm, looked for within 6 mm of its place."""
    found = []
    for x, y in DOTS:
        left, top = round((x - 6) * PX), round((y - 6) * PX)
        window = 255.0 - picture[max(0, top) : round((y + 6) * PX), max(0, left) : round((x + 6) * PX)]
        window[window < 64] = 0
        # A mark's thin line may cross the window; a dot is what is thick.
        thick = window * (_neighbours(window) > 0.8)
        rows, columns = np.indices(window.shape)
        weight = thick.sum()
        found.append(
            (
                (float((columns * thick).sum() / weight) + 0.5 + max(0, left)) / PX,
                (float((rows * thick).sum() / weight) + 0.5 + max(0, top)) / PX,
            )
        )
    return found


def _neighbours(window: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    """Return the share of ink in the square of 0.6 mm around each pixel."""
    from scipy.ndimage import uniform_filter

    return np.asarray(uniform_filter(window / 255.0, size=round(0.6 * PX)))


def worst_mm(fix: Affine, turned: bool) -> float:
    front = find_dots(draw_dots(Side.FRONT, IDENTITY, False))
    back = find_dots(print_back(draw_dots(Side.BACK, fix, turned), turned))
    return max(math.dist(one, other) for one, other in zip(front, back, strict=True))


@pytest.mark.parametrize("turned", [False, True])
def test_corrected_backs_land_on_their_fronts(turned: bool) -> None:
    assert worst_mm(IDENTITY, turned) > 1.0
    assert worst_mm(correction(), turned) < 0.1


def test_a_correction_the_wrong_way_would_be_seen() -> None:
    wrong = correction().inverse()
    mirrored = correction()
    mirrored = Affine(mirrored.xx, -mirrored.xy, -mirrored.yx, mirrored.yy, -mirrored.x_mm, mirrored.y_mm)
    assert worst_mm(wrong, False) > 2.0
    assert worst_mm(mirrored, False) > 1.0


#: Where that machine puts its fronts, and where a fold made edge to edge falls, mm right of the middle of the sheet.
SEAT_TURN = math.radians(0.2)
SEAT = Affine(math.cos(SEAT_TURN), -math.sin(SEAT_TURN), math.sin(SEAT_TURN), math.cos(SEAT_TURN), 0.8, -0.6)
SPINE_MM = 0.3


def seat_correction() -> Affine:
    """What is made of the seats of three sheets, read to a hundredth of a millimetre."""
    seat = SeatReading(SEAT.x_mm, SEAT.y_mm, SEAT_TURN, SPINE_MM - SEAT.x_mm)
    sheets = [SheetReadings(f"sheet {number}", (), seat) for number in range(3)]
    return seat_correction_of(mean_seats(sheets))


@pytest.mark.parametrize("turned", [False, True])
def test_fronts_and_backs_land_on_the_fold_together(turned: bool) -> None:
    """Both sides of the corrected PDF, printed and measured on the paper: each dot as far from the fold as it should
    be, and as far from the head. Without the correction of the fronts it is a millimetre off."""
    front, back = seat_correction(), join_back(correction(), seat_correction())
    on_back = SEAT.after(MACHINE)
    fronts = find_dots(print_front(draw_dots(Side.FRONT, front, False), SEAT))
    backs = find_dots(print_back(draw_dots(Side.BACK, back, turned), turned, on_back))
    wanted = [(x + SPINE_MM, y) for x, y in DOTS]
    for found in (fronts, backs):
        assert max(math.dist(one, other) for one, other in zip(found, wanted, strict=True)) < 0.1
    bare = find_dots(print_front(draw_dots(Side.FRONT, IDENTITY, False), SEAT))
    assert max(math.dist(one, other) for one, other in zip(bare, wanted, strict=True)) > 0.9

"""Records of register: readings of test sheets, fits, predictions.

In: numbers. Out: frozen records. Never: fitting, reading pictures, display text.
Coordinates of register: mm from the middle of the sheet, x to the right, y downwards, seen from the front with
the head up (the back is seen through the sheet).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from doublure.trade.press.affine import Affine


class FitModel(Enum):
    """What is fitted to the marks of one sheet."""

    SHIFT = "shift"
    RIGID = "shift and rotation"
    SIMILARITY = "shift, rotation and scale"
    AFFINE = "shift, rotation, two scales and shear"


@dataclass(frozen=True, slots=True)
class MarkReading:
    """How far the back's mark lies from the front's, where the two should lie at the same place.

    Attributes:
        name: Name of the mark on the target, such as "B3".
        x_mm, y_mm: Where it is on the sheet.
        dx_mm, dy_mm: Back minus front, mm.
        u_mm: Standard uncertainty of each of them, mm; None where not stated.
    """

    name: str
    x_mm: float
    y_mm: float
    dx_mm: float
    dy_mm: float
    u_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SeatReading:
    """Where one printed side sits on its sheet: actual minus intended, mm and rad; None where not read.

    Attributes:
        dx_mm, dy_mm: Shift of the print on the sheet.
        turn_rad: Rotation of the print on the sheet, clockwise as seen with y downwards.
        fold_dx_mm: How far the fold lies right of where it is printed, at the middle of its length.
    """

    dx_mm: float | None = None
    dy_mm: float | None = None
    turn_rad: float | None = None
    fold_dx_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SheetReadings:
    """One printed target.

    Attributes:
        name: Of the sheet, such as the identifier of its note.
        marks: The readings.
        front: Where the front sits on the sheet.
    """

    name: str
    marks: tuple[MarkReading, ...]
    front: SeatReading = SeatReading()


@dataclass(frozen=True, slots=True)
class MarkSpread:
    """How the marks of a sheet lie: what the uncertainty of its fit follows from. Weights have the mean 1.

    Attributes:
        weight: Sum of the weights: the number of marks.
        centre_x_mm, centre_y_mm: Weighted mean of the marks.
        xx_mm2, xy_mm2, yy_mm2: Weighted sums of squares and products about it.
        u_mm: Reading uncertainty that was stated with them, of a mark of weight 1, mm; None where none was.
    """

    weight: float
    centre_x_mm: float
    centre_y_mm: float
    xx_mm2: float
    xy_mm2: float
    yy_mm2: float
    u_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SheetFit:
    """The map from where the back should lie to where it lies, of one sheet.

    Attributes:
        name: Of the sheet.
        model: What was fitted.
        map: Nominal place to the place of the back, register coordinates.
        marks: How many marks it rests on.
        sigma_mm: Standard deviation of one coordinate of one reading, from the residuals (unbiased); None
            where the marks are just enough for the fit.
        rms_residual_mm: Root mean square length of the residuals, mm.
        left_out: Names of marks that were left out as blunders.
        spread: How its marks lie; None where that is not known.
    """

    name: str
    model: FitModel
    map: Affine
    marks: int
    sigma_mm: float | None
    rms_residual_mm: float
    left_out: tuple[str, ...] = ()
    spread: MarkSpread | None = None


@dataclass(frozen=True, slots=True)
class MapParts:
    """A register map in the words of the trade.

    Attributes:
        shift_x_mm, shift_y_mm: At the middle of the sheet.
        rotation_rad: Clockwise as seen from the front.
        scale_x, scale_y: Factors, 1 for none.
        shear_rad: How far the right angle is off: the turn of the y axis less that of the x axis.
    """

    shift_x_mm: float
    shift_y_mm: float
    rotation_rad: float
    scale_x: float
    scale_y: float
    shear_rad: float


@dataclass(frozen=True, slots=True)
class MachineFit:
    """What a printer does to the backs on one stock.

    Attributes:
        model: What was fitted to each sheet.
        systematic: The mean map; undoing it is the correction.
        parts: The same in words of the trade.
        parts_u: Standard uncertainty of each part, from sheet to sheet (or from the marks where there is only
            one sheet), in the same units.
        sheets: Fit of every sheet.
        sigma_mm: Reading error of one coordinate, pooled over the sheets, from the residuals; None where unknown.
        shear_carried: False where the shear was not told from nothing and left out.
        random: Standard deviation of each part from sheet to sheet, the error of reading taken off; None where
            there is only one sheet.
        left_out: Names of sheets whose marks are too few for the model; they are in no figure.
        unseen_mm: What of the stated uncertainty of a reading the residuals do not show, mm: an error that all
            marks of all sheets may share, so that it does not average out. 0 where nothing was stated.
    """

    model: FitModel
    systematic: Affine
    parts: MapParts
    parts_u: MapParts
    sheets: tuple[SheetFit, ...]
    sigma_mm: float | None
    shear_carried: bool
    random: MapParts | None = None
    left_out: tuple[str, ...] = ()
    unseen_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Misfit:
    """The misfit to expect at one point of a sheet, back against front, before or after the correction.

    Attributes:
        x_mm, y_mm: The point.
        mean_dx_mm, mean_dy_mm: Expected.
        u_mean_mm: Target registration error of the mean, root mean square length, mm.
        half_dx_mm, half_dy_mm: Half width of the 95 % prediction interval of a new sheet, each coordinate.
        p95_mm: Length that 95 % of new sheets stay below.
        degrees: Degrees of freedom of the prediction; 0 where its sheet-to-sheet part is assumed and not read.
    """

    x_mm: float
    y_mm: float
    mean_dx_mm: float
    mean_dy_mm: float
    u_mean_mm: float
    half_dx_mm: float
    half_dy_mm: float
    p95_mm: float
    degrees: int


@dataclass(frozen=True, slots=True)
class MisfitPart:
    """One cause of a crossover's misfit. Those that were read on the same sheets hang together, so that the sum
    of their squares is not that of the whole.

    Attributes:
        name: "seat of the left half", "seat of the right half", "back against front", "fold" (or the cut of a
            leaf that is tipped in), "creep", "gathering" (or the pasting of that leaf) or "knock-up".
        mean_dx_mm, mean_dy_mm: What it adds for certain; dx opens (positive) or closes the gap at the gutter,
            dy pushes the right half down against the left.
        sd_dx_mm, sd_dy_mm: Its standard deviation.
        is_assumed: True where it is common practice and no reading of the maker's.
    """

    name: str
    mean_dx_mm: float
    mean_dy_mm: float
    sd_dx_mm: float
    sd_dy_mm: float
    is_assumed: bool


@dataclass(frozen=True, slots=True)
class CrossoverMisfit:
    """How the two halves of a crossover meet.

    Attributes:
        left_page, right_page: The spread.
        parts: By cause.
        mean_dx_mm, mean_dy_mm: Expected gap (positive), or what is lost of the picture (negative), and step
            down of the right half, at the point of the gutter where it is worst.
        sd_dx_mm, sd_dy_mm: Standard deviations there.
        expected_mm: Expected length of the misfit.
        p95_mm: Length that 95 % of the spreads stay below.
        failing_share: Share of spreads beyond the tolerance, 0 to 1.
        tolerance_mm: What it was held against.
        is_tried: True where the printer's own readings stand behind it.
        worst_y_mm: Where along the gutter it is worst, mm below the head of the leaf.
        correlation: Of the two coordinates there.
        degrees: Degrees of freedom of the standard deviations; 0 where they are not estimated from readings.
    """

    left_page: int
    right_page: int
    parts: tuple[MisfitPart, ...]
    mean_dx_mm: float
    mean_dy_mm: float
    sd_dx_mm: float
    sd_dy_mm: float
    expected_mm: float
    p95_mm: float
    failing_share: float
    tolerance_mm: float
    is_tried: bool
    worst_y_mm: float
    correlation: float = 0.0
    degrees: int = 0

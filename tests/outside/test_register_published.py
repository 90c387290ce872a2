"""The sums of register against figures that others published, and against libraries for any purpose.

Sources:
  S. Umeyama, Least-squares estimation of transformation parameters between two point patterns, IEEE Trans. Pattern
    Anal. Mach. Intell. 13 (1991) 376-380, worked example of section IV: from memory, recomputed.
  J. M. Fitzpatrick, J. B. West, C. R. Maurer, Predicting error in rigid-body point-based registration, IEEE Trans.
    Med. Imaging 17 (1998) 694-702: the three-dimensional formula, text seen. The forms in two dimensions and the
    example of a sheet printed on both sides are derived from it (reference/sums/registration.json).
  R. Sibson, J. R. Stat. Soc. B 41 (1979) 217-229, what residuals lose to the fit: from memory.
  scikit-image (transform), scipy (optimize, stats), numpy: run here.
  Tolerances of printers and binders: named in assumed.py, each with its page.
The figures that matter are quoted here. The collection that they come from is read where it is there.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import least_squares
from skimage.transform import AffineTransform, EuclideanTransform, SimilarityTransform

from doublure.trade.press.affine import Affine
from doublure.trade.press.register import assumed
from doublure.trade.press.register.fit import fit_sheet
from doublure.trade.press.register.parts import split_map
from doublure.trade.press.register.plane import PlaneError, expect_length, length_below, share_within
from doublure.trade.press.register.predict import target_error
from doublure.trade.press.register.records import FitModel, MarkReading, SheetReadings
from needs import COLLECTION_ABSENT

COLLECTED = Path(__file__).resolve().parents[3] / "shared" / "reference" / "sums" / "registration.json"

DOTS = [(x, y) for x in (-138.5, 138.5) for y in (-95.0, 95.0)]
"""A4 landscape, four dots near the corners."""
TARGETS = ((0.0, 0.0), (138.5, 95.0), (148.5, 105.0))
EXPECTED_RMS_MM = {
    FitModel.RIGID: (0.05, 0.06124, 0.06297),
    FitModel.SIMILARITY: (0.05, 0.07071, 0.0737),
    FitModel.AFFINE: (0.05, 0.0866, 0.0918),
}
"""Of one localisation with 0.05 mm on each axis on the front and on the back: FLE² = 2·(0.05² + 0.05²)."""


def read(places: list[tuple[float, float]], lands: list[tuple[float, float]]) -> SheetReadings:
    """Return the readings of marks that should lie at places and lie elsewhere."""
    return SheetReadings(
        "t",
        tuple(
            MarkReading(f"M{n}", x, y, to_x - x, to_y - y)
            for n, ((x, y), (to_x, to_y)) in enumerate(zip(places, lands, strict=True))
        ),
    )


def matrix_of(register: Affine) -> np.ndarray:
    """Return the map as a 3 by 3 matrix."""
    return np.array(
        [[register.xx, register.xy, register.x_mm], [register.yx, register.yy, register.y_mm], [0, 0, 1]]
    )


def draw_problem(seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Return 3 to 24 marks anywhere on a sheet, and where they land: turned, stretched, with errors."""
    rng = np.random.default_rng(seed)
    places = rng.uniform((-210, -148), (210, 148), (int(rng.integers(3, 25)), 2))
    linear = np.eye(2) + rng.normal(0, 10 ** rng.uniform(-4, -1), (2, 2))
    return places, places @ linear.T + rng.normal(0, 2, 2) + rng.normal(
        0, 10 ** rng.uniform(-3, -1), places.shape
    )


@pytest.mark.parametrize(
    ("model", "theirs"),
    [
        (FitModel.RIGID, EuclideanTransform),
        (FitModel.SIMILARITY, SimilarityTransform),
        (FitModel.AFFINE, AffineTransform),
    ],
)
@pytest.mark.parametrize("seed", range(40))
def test_fits_are_those_of_scikit_image(model: FitModel, theirs: Any, seed: int) -> None:
    """scikit-image fits rigid and similar maps by Umeyama's method, affine ones by a normalised linear system.

    Its affine fit is of the smallest singular vector; for affine maps of exact marks or few errors that is
    the least-squares one to far less than a thousandth of a millimetre, and scipy's below is to the last digit.
    """
    places, lands = draw_problem(seed)
    ours = fit_sheet(read([tuple(p) for p in places], [tuple(p) for p in lands]), model)
    if ours.left_out:
        pytest.fail("a mark was left out of a problem without blunders")
    found = theirs.from_estimate(places, lands)
    corners = np.array([[x, y, 1.0] for x in (-210, 210) for y in (-148, 148)]).T
    apart = (matrix_of(ours.map) - np.asarray(found.params)) @ corners
    assert np.abs(apart).max() < (5e-4 if model is FitModel.AFFINE else 1e-9)


@pytest.mark.parametrize("model", list(FitModel))
@pytest.mark.parametrize("seed", range(10))
def test_fits_are_those_of_scipys_least_squares(model: FitModel, seed: int) -> None:
    """scipy.optimize.least_squares, from a cold start, with weights 1/u: the same map and the same residuals."""
    places, lands = draw_problem(100 + seed)
    u = np.random.default_rng(seed).uniform(0.02, 0.2, len(places))
    marks = tuple(
        MarkReading(str(n), *p, *(q - p), u[n]) for n, (p, q) in enumerate(zip(places, lands, strict=True))
    )
    ours = fit_sheet(SheetReadings("t", marks), model)

    def build(p: np.ndarray) -> np.ndarray:
        if model is FitModel.SHIFT:
            return np.array([[1, 0, p[0]], [0, 1, p[1]]])
        if model is FitModel.RIGID:
            return np.array([[math.cos(p[2]), -math.sin(p[2]), p[0]], [math.sin(p[2]), math.cos(p[2]), p[1]]])
        if model is FitModel.SIMILARITY:
            return np.array([[p[2], -p[3], p[0]], [p[3], p[2], p[1]]])
        return np.array([[p[2], p[3], p[0]], [p[4], p[5], p[1]]])

    start = {2: (0, 0), 3: (0, 0, 0), 4: (0, 0, 1, 0), 6: (0, 0, 1, 0, 0, 1)}[
        {"SHIFT": 2, "RIGID": 3, "SIMILARITY": 4, "AFFINE": 6}[model.name]
    ]
    whole = np.column_stack([places, np.ones(len(places))])
    found = least_squares(
        lambda p: (((whole @ build(p).T) - lands) / u[:, None]).ravel(),
        start,
        x_scale="jac",
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
    )
    apart = (matrix_of(ours.map)[:2] - build(found.x)) @ np.array([[210, -210], [148, 148], [1, 1]])
    assert np.abs(apart).max() < 2e-6
    # Residuals: chi-square = Σ r²/u², which the fit states with weights of mean 1.
    degrees = 2 * len(places) - len(start)
    if degrees:
        assert ours.sigma_mm is not None
        assert ours.sigma_mm**2 * degrees == pytest.approx(2 * found.cost / np.mean(1 / u**2), rel=1e-6)


def test_umeyamas_example() -> None:
    """1991, section IV: R = [.832 .555; -.555 .832], c = .721, t = (-.8, .4); three figures each, from memory; the
    mean squared error, 0.5333, is recomputed."""
    ours = fit_sheet(read([(0, 0), (100, 0), (0, 200)], [(0, 0), (-100, 0), (0, 200)]), FitModel.SIMILARITY)
    scale = math.hypot(ours.map.xx, ours.map.yx)
    assert scale == pytest.approx(0.721, abs=5e-4)
    assert (ours.map.xx / scale, ours.map.xy / scale) == pytest.approx((0.832, 0.555), abs=5e-4)
    assert (ours.map.x_mm / 100, ours.map.y_mm / 100) == pytest.approx((-0.8, 0.4), abs=5e-4)
    assert (ours.rms_residual_mm / 100) ** 2 == pytest.approx(0.5333, abs=5e-5)


@pytest.mark.parametrize("model", list(EXPECTED_RMS_MM))
def test_error_at_a_target_is_that_of_the_formula(model: FitModel) -> None:
    """The sheet printed on both sides: TRE in the middle, at a dot, at the corner of the sheet, to four digits."""
    fit = fit_sheet(read(DOTS, DOTS), model)
    found = [target_error(fit, x, y, sigma_mm=math.hypot(0.05, 0.05)) for x, y in TARGETS]
    assert found == pytest.approx(EXPECTED_RMS_MM[model], abs=6e-5)


@pytest.mark.parametrize("model", [FitModel.SHIFT, *EXPECTED_RMS_MM])
@pytest.mark.parametrize(
    "places", [DOTS, [(-120.0, -90.0), (130.0, -70.0), (0.0, 0.0), (20.0, 95.0), (90.0, 30.0)]]
)
def test_error_at_a_target_is_what_simulated_readings_make(
    model: FitModel, places: list[tuple[float, float]]
) -> None:
    """6000 times the same sheet with fresh errors: the fits miss the target by TRE (RMS), the residuals lose to
    the fit what Sibson says, and the two are uncorrelated (Fitzpatrick 2009): small residuals certify nothing."""
    rng = np.random.default_rng(40)
    target, sigma, fits = (148.5, 105.0), 0.07, []
    for _ in range(6000):
        lands = [(x + rng.normal(0, sigma), y + rng.normal(0, sigma)) for x, y in places]
        fits.append(fit_sheet(read(places, lands), model))
    missed = np.array([math.dist(fit.map.apply(*target), target) for fit in fits])
    assert math.sqrt(float(np.mean(missed**2))) == pytest.approx(
        target_error(fits[0], *target, sigma_mm=sigma), rel=0.025
    )
    residual = np.array([fit.rms_residual_mm for fit in fits])
    count, figures = len(places), {"SHIFT": 2, "RIGID": 3, "SIMILARITY": 4, "AFFINE": 6}[model.name]
    assert float(np.mean(residual**2)) == pytest.approx((2 - figures / count) * sigma**2, rel=0.04)
    assert abs(float(np.corrcoef(missed**2, residual**2)[0, 1])) < 0.06


def test_the_collection_says_the_same() -> None:
    """The figures quoted here are those of the collection that they are from."""
    if not COLLECTED.is_file():
        pytest.skip(COLLECTION_ABSENT)
    data = json.loads(COLLECTED.read_text("utf-8"))
    example = data["duplex_example"]
    assert tuple(map(tuple, example["targets_mm"])) == TARGETS
    for model, figures in EXPECTED_RMS_MM.items():
        assert tuple(example["expected_rms_mm"][model.name.lower()]) == figures
    umeyama = data["umeyama_1991"]
    assert (umeyama["c"], umeyama["mean_squared_error"], umeyama["t"]) == (0.721, 0.5333, [-0.8, 0.4])
    degrees = data["formulas"]["unbiased_sigma2_per_axis"]
    assert degrees == {"rigid_2d": "RSS/(2N-3)", "similarity_2d": "RSS/(2N-4)", "affine_2d": "RSS/(2N-6)"}


@pytest.mark.parametrize("seed", range(6))
def test_parts_are_those_of_a_decomposition_by_numpy(seed: int) -> None:
    """For small shear, rotation and mean scale are those of the polar decomposition (numpy's singular values)."""
    rng = np.random.default_rng(seed)
    linear = np.eye(2) + rng.normal(0, 1e-3, (2, 2))
    parts = split_map(Affine(linear[0, 0], linear[0, 1], linear[1, 0], linear[1, 1]))
    u, values, v = np.linalg.svd(linear)
    turn = u @ v
    assert parts.rotation_rad == pytest.approx(math.atan2(turn[1, 0], turn[0, 0]), abs=1e-5)
    assert parts.scale_x * parts.scale_y * math.cos(parts.shear_rad) == pytest.approx(float(np.prod(values)))


@pytest.mark.parametrize("mean", [0.0, 0.3, 1.5, 6.0])
@pytest.mark.parametrize("radius", [0.4, 1.6, 7.0])
def test_the_share_within_a_circle_is_scipys_noncentral_chi_square(mean: float, radius: float) -> None:
    """Equal spread on both axes: |d|²/s² is noncentral chi-square with two degrees of freedom."""
    ours = share_within(PlaneError(mean * 0.6, mean * 0.8, 0.49, 0.0, 0.49), radius)
    theirs = (
        stats.ncx2.cdf((radius / 0.7) ** 2, 2, (mean / 0.7) ** 2)
        if mean
        else stats.chi2.cdf((radius / 0.7) ** 2, 2)
    )
    assert ours == pytest.approx(float(theirs), abs=2e-6)


@pytest.mark.parametrize("radius", [0.3, 1.0, 4.0])
@pytest.mark.parametrize("degrees", [1, 4, 9])
def test_the_share_of_students_t_in_the_plane_is_fishers(radius: float, degrees: int) -> None:
    """Equal spread, no mean: |d|²/(2s²) is F with 2 and n degrees of freedom."""
    ours = share_within(PlaneError(0, 0, 0.25, 0.0, 0.25, degrees), radius)
    assert ours == pytest.approx(float(stats.f.cdf(radius**2 / 0.5, 2, degrees)), abs=2e-6)


@pytest.mark.parametrize(
    ("error", "radius"),
    [
        (PlaneError(0.5, -0.2, 0.6, 0.2, 0.3), 1.6),
        (PlaneError(1.4, 0.1, 0.02, 0.0, 0.5), 1.6),
        (PlaneError(-2.0, 1.0, 1.0, -0.9, 1.0), 1.6),
        (PlaneError(0.5, 0.5, 1e-4, 0.0, 0.8), 1.0),
        (PlaneError(0.5, -0.2, 0.6, 0.2, 0.3, 3.0), 1.6),
        (PlaneError(-1.2, 0.4, 0.3, 0.25, 0.4, 6.5), 1.0),
    ],
)
def test_unequal_spreads_and_means_against_simulation(error: PlaneError, radius: float) -> None:
    """400,000 draws by numpy: the share beyond the tolerance, the length of 95 %, the expected length."""
    rng = np.random.default_rng(50)
    covariance = [[error.xx_mm2, error.xy_mm2], [error.xy_mm2, error.yy_mm2]]
    draws = rng.multivariate_normal((0, 0), covariance, 400_000)
    if not math.isinf(error.degrees):
        draws = draws / np.sqrt(rng.chisquare(error.degrees, (len(draws), 1)) / error.degrees)
    lengths = np.hypot(*(draws + (error.mean_x_mm, error.mean_y_mm)).T)
    beyond = float((lengths > radius).mean())
    assert 1 - share_within(error, radius) == pytest.approx(beyond, abs=4 * 0.5 / math.sqrt(400_000))
    assert length_below(error, 0.95) == pytest.approx(float(np.quantile(lengths, 0.95)), rel=0.01)
    if math.isinf(error.degrees):
        assert expect_length(error) == pytest.approx(float(lengths.mean()), rel=0.004)


def test_the_tolerances_of_the_trade() -> None:
    """A sixteenth of an inch for crossovers (from memory); half of 1 mm either way for duplex and for folds."""
    assert pytest.approx(25.4 / 16, abs=0.05) == assumed.TOLERANCE_MM.value
    assert 2 * assumed.SHEET_TO_SHEET_MM.value == 2 * assumed.FOLD_MM.value == 1.0
    desktop = 2 * math.hypot(assumed.SHEET_TO_SHEET_MM.value, assumed.SYSTEMATIC_MM.value)
    assert 1.0 <= desktop <= 2.0

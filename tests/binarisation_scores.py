"""The scores by which the contests in binarising documents judge: F-measure, PSNR and DRD; and their old rivals.

Sources: F-measure and PSNR as B. Gatos, K. Ntirogiannis and I. Pratikakis define them, ICDAR 2009, 1375-1382; DRD by
H. Lu, A. C. Kot and Y. Q. Shi, IEEE Signal Processing Letters 11 (2004), 228-231; both from memory. That they are
reckoned here as there is tested in tests/outside/test_cleaning_published.py. True means ink throughout.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage.filters import threshold_otsu

Ink = NDArray[np.bool_]
WINDOWS = (15, 25, 41, 71, 121)
SAUVOLA_K = (0.03, 0.06, 0.1, 0.15, 0.2, 0.3, 0.4)
NIBLACK_K = (0.2, 0.4, 0.6, 0.9, 1.2, 1.6, 2.0)


@dataclass(frozen=True)
class Score:
    """How near a result is to the truth.

    Attributes:
        f: F-measure, percent.
        recall, precision: Percent.
        psnr: Peak signal-to-noise ratio, dB; infinite where nothing is wrong.
        drd: Distance reciprocal distortion.
    """

    f: float
    recall: float
    precision: float
    psnr: float
    drd: float


def score(result: Ink, truth: Ink) -> Score:
    """Score a result of the shape of its truth."""
    if result.shape != truth.shape:
        raise ValueError(f"a result of {result.shape} against a truth of {truth.shape}")
    hits = int(np.count_nonzero(result & truth))
    found, there = int(np.count_nonzero(result)), int(np.count_nonzero(truth))
    recall, precision = hits / there if there else 0.0, hits / found if found else 0.0
    f = 2 * recall * precision / (recall + precision) if hits else 0.0
    wrong = int(np.count_nonzero(result != truth))
    psnr = 10 * math.log10(truth.size / wrong) if wrong else math.inf
    return Score(100 * f, 100 * recall, 100 * precision, psnr, drd(result, truth))


def f_measure(result: Ink, truth: Ink) -> float:
    """Return the F-measure alone, percent, which is quick."""
    both = int(np.count_nonzero(result)) + int(np.count_nonzero(truth))
    return 200 * int(np.count_nonzero(result & truth)) / both if both else 0.0


def drd(result: Ink, truth: Ink) -> float:
    """Return the distance reciprocal distortion; beyond the edges there is nothing to differ from."""
    v, u = np.mgrid[-2:3, -2:3].astype(float)
    away = np.hypot(u, v)
    weights = np.divide(1.0, away, out=np.zeros_like(away), where=away > 0)
    weights /= weights.sum()
    flat = truth.astype(np.float64)
    inside = np.ones_like(flat)
    # Around a flipped pixel: the weight of ink in the truth, and of all that lies on the page.
    inked = cv2.filter2D(flat, -1, weights, borderType=cv2.BORDER_CONSTANT)
    there = cv2.filter2D(inside, -1, weights, borderType=cv2.BORDER_CONSTANT)
    differs = np.where(result, there - inked, inked)
    # The middle of the window differs by being flipped, but weighs nothing.
    return float(differs[result != truth].sum() / max(1, mixed_blocks(truth)))


def mixed_blocks(truth: Ink) -> int:
    """Return how many blocks of 8 x 8 have both ink and none; a rest at the right and foot is no block."""
    high, wide = (side // 8 for side in truth.shape)
    ink = truth[: high * 8, : wide * 8].reshape(high, 8, wide, 8).sum(axis=(1, 3))
    return int(np.count_nonzero((ink > 0) & (ink < 64)))


def rivals(grey: NDArray[np.uint8]) -> Iterator[tuple[str, str, Ink]]:
    """Yield name, parameters and result of Otsu, Niblack and Sauvola, over their parameters.

    Otsu's threshold is scikit-image's. Mean and deviation of a window are taken once for all parameters, as
    scikit-image takes them; that the thresholds are its own is tested.
    """
    yield "Otsu", "", grey <= threshold_otsu(grey)
    for window in WINDOWS:
        mean, deviation = mean_and_deviation(grey, window)
        for k in NIBLACK_K:
            yield "Niblack", f"window {window}, k {k}", grey <= mean - k * deviation
        for k in SAUVOLA_K:
            yield "Sauvola", f"window {window}, k {k}", grey <= mean * (1 + k * (deviation / 128 - 1))


def mean_and_deviation(
    grey: NDArray[np.uint8], window: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return mean and standard deviation over squares, the picture mirrored at its edges."""
    values = grey.astype(np.float64)
    mean = cv2.boxFilter(values, -1, (window, window), borderType=cv2.BORDER_REFLECT_101)
    square = cv2.sqrBoxFilter(values, -1, (window, window), borderType=cv2.BORDER_REFLECT_101)
    return np.asarray(mean, np.float64), np.sqrt(np.maximum(square - mean * mean, 0)).astype(np.float64)

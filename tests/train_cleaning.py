"""Finds the weights by which the cleaning tells ink from paper: python tests/train_cleaning.py.

Takes practice pages only, never one of those that count: a page in several sizes and scanners' curves, of it some
thousands of the pixels that may be ink, and which of them are. Two hidden layers, cross entropy, Adam (D. P. Kingma
and J. Ba, 2015; from memory), written out here. Prints the weights as cleaning_weights.py keeps them.

The weights in use come from two runs: 120 pages, 9,000 pixels each, layers of 32 and 16, before the five sharpened
pixels were looked at (their weights are 0); and 66 pages, 14,000 pixels each, layers of 40 and 20. lay_side_by_side()
makes one network of both, which was better on practice pages than either.
"""

from __future__ import annotations

import argparse
import base64
from concurrent.futures import ProcessPoolExecutor

import cv2
import numpy as np
from numpy.typing import NDArray

import degraded_pages as pages
from doublure.trade.imaging.cleaning import prepare_page
from doublure.trade.imaging.cleaning_ink import SEEN, describe

Floats = NDArray[np.float32]
HIDDEN = (40, 20)
EACH = 14_000
#: Practice pages under this number are for looking at, not for learning.
FIRST = 20


def see(task: tuple[int, str]) -> tuple[Floats, Floats]:
    """Return what is seen at pixels of one practice page, and how far each is covered with ink."""
    cv2.setNumThreads(1)
    number, severity = task
    page = pages.practice_page(severity, number)
    rng = np.random.default_rng(5_000_000 + 100 * number + pages.SEVERITIES.index(severity))
    grey, ink = page.grey, page.truth.astype(np.float32)
    if rng.uniform() < 0.6:
        factor = float(rng.choice([0.75, 1.3, 1.7, 2.2]))
        if factor > 1:
            top, left = int(rng.integers(0, 400)), int(rng.integers(0, 300))
            grey, ink = (part[top : top + 800, left : left + 580] for part in (grey, ink))
        how = cv2.INTER_AREA if factor < 1 else cv2.INTER_CUBIC
        grey, ink = (cv2.resize(part, None, fx=factor, fy=factor, interpolation=how) for part in (grey, ink))
    if rng.uniform() < 0.5:
        grey = np.round(255 * (grey / 255.0) ** float(rng.uniform(0.8, 1.25))).astype(np.uint8)
    ready = prepare_page(np.asarray(grey, np.uint8))
    if ready.shrink > 1:
        ink = cv2.resize(ink, ready.light.shape[::-1], interpolation=cv2.INTER_AREA)
    place = describe(ready.light, ready.paper, ready.scaled)
    few = rng.choice(len(place.rows), min(EACH, len(place.rows)), replace=False)
    return place.seen[few], ink[place.rows[few], place.columns[few]].astype(np.float32)


def learn(seen: Floats, ink: Floats, rounds: int, batch: int = 4096) -> list[Floats]:
    """Return middle and spread of what is seen, then matrix and shift of each layer."""
    rng = np.random.default_rng(0)
    mixed = rng.permutation(len(seen))
    seen, ink = seen[mixed], ink[mixed]
    middle, spread = seen.mean(0), seen.std(0) + 1e-3
    seen = np.clip((seen - middle) / spread, -6, 6)
    sides = (SEEN, *HIDDEN, 1)
    layers: list[Floats] = []
    for one, other in zip(sides[:-1], sides[1:], strict=True):
        layers += [rng.normal(0, one**-0.5, (one, other)).astype(np.float32), np.zeros(other, np.float32)]
    first = [np.zeros_like(w) for w in layers]
    second = [np.zeros_like(w) for w in layers]
    kept = int(len(seen) * 0.97)
    step = 0
    for turn in range(rounds):
        rate = 2e-3 * (1 + np.cos(np.pi * turn / rounds)) + 2e-5
        order = rng.permutation(kept)
        for start in range(0, kept - batch, batch):
            pick = order[start : start + batch]
            step += 1
            slopes = _slopes(layers, seen[pick], ink[pick])
            for k, slope in enumerate(slopes):
                first[k] = 0.9 * first[k] + 0.1 * slope
                second[k] = 0.999 * second[k] + 0.001 * slope * slope
                move = first[k] / (1 - 0.9**step) / (np.sqrt(second[k] / (1 - 0.999**step)) + 1e-8)
                layers[k] -= np.float32(rate) * move
        told, true = _run(layers, seen[kept:])[-1][:, 0] > 0, ink[kept:] >= 0.5
        f = 200 * np.count_nonzero(told & true) / (np.count_nonzero(told) + np.count_nonzero(true))
        print(f"round {turn + 1}: F {f:.3f} on what was not learned from", flush=True)
    return [middle, spread, *layers]


def _run(layers: list[Floats], seen: Floats) -> list[Floats]:
    outs = [seen]
    for k in range(0, len(layers), 2):
        out = outs[-1] @ layers[k] + layers[k + 1]
        outs.append(np.maximum(out, 0) if k + 2 < len(layers) else out)
    return outs


def _slopes(layers: list[Floats], seen: Floats, ink: Floats) -> list[Floats]:
    outs = _run(layers, seen)
    goal = np.clip((ink - 0.5) * 4 + 0.5, 0, 1)
    back = ((1 / (1 + np.exp(-np.clip(outs[-1][:, 0], -30, 30))) - goal) / len(seen))[:, None].astype(
        np.float32
    )
    slopes: list[Floats] = [np.zeros(0, np.float32)] * len(layers)
    for k in range(len(layers) - 2, -1, -2):
        slopes[k] = outs[k // 2].T @ back + 1e-5 * layers[k]
        slopes[k + 1] = back.sum(0)
        if k:
            back = back @ layers[k].T
            back[outs[k // 2] <= 0] = 0
    return slopes


def lay_side_by_side(one: list[Floats], other: list[Floats]) -> list[Floats]:
    """Return a network whose log odds are the mean of those of two; the one sees as the other does."""
    middle, spread = other[:2]
    first = one[2] * (spread / one[1])[:, None]
    shift = one[3] + ((middle - one[0]) / one[1]) @ one[2]
    (a, b), (c, d) = one[4].shape, other[4].shape
    second = np.zeros((a + c, b + d), np.float32)
    second[:a, :b], second[a:, b:] = one[4], other[4]
    return [
        middle,
        spread,
        np.concatenate([first, other[2]], axis=1),
        np.concatenate([shift, other[3]]),
        second,
        np.concatenate([one[5], other[5]]),
        np.concatenate([one[6], other[6]]) / 2,
        (one[7] + other[7]) / 2,
    ]


def main() -> None:
    """Learn, and print the weights."""
    parser = argparse.ArgumentParser(description="Find the weights of the cleaning on practice pages.")
    parser.add_argument("--pages", type=int, default=60, help="practice pages of each severity")
    parser.add_argument("--rounds", type=int, default=14)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--keep", help="file for the weights as .npz")
    given = parser.parse_args()
    tasks = [(FIRST + n, severity) for n in range(given.pages) for severity in pages.SEVERITIES]
    with ProcessPoolExecutor(given.jobs) as pool:
        parts = list(pool.map(see, tasks))
    seen = np.concatenate([part[0] for part in parts])
    weights = learn(seen, np.concatenate([part[1] for part in parts]), given.rounds)
    if given.keep:
        np.savez(given.keep, *weights)
    packed = base64.b85encode(b"".join(w.astype("<f2").tobytes() for w in weights)).decode()
    for start in range(0, len(packed), 100):
        print(f'    "{packed[start : start + 100]}"')


if __name__ == "__main__":
    main()

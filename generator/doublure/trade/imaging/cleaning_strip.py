"""The strip that shows a scan and its master side by side: the whole page, then the places in doubt, enlarged.

In: pixels of both, where one lies in the other, doubts. Out: an RGB array. Never: judging, words.
"""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np

from doublure.trade.imaging.cleaning_paper import Bytes
from doublure.trade.imaging.cleaning_specks import Doubt

HEIGHT_PX = 900
_GAP = 8
_SHOWN = 5
_MARK = (190, 60, 20)


def draw_strip(scan: Bytes, master: Bytes, doubts: Sequence[Doubt]) -> Bytes:
    """Return the strip.

    Args:
        scan: Pixels of the scan, grey or RGB, laid as the master is, at any scale.
        master: Pixels of the master, grey or RGB, 8 bits.
        doubts: In pixels of the master; the first few are shown, numbered by their rank.
    """
    scan, master = _to_rgb(scan), _to_rgb(master)
    high, wide = master.shape[:2]
    shown = doubts[:_SHOWN]
    whole = [_fit(part, HEIGHT_PX) for part in (scan, master)]
    share = HEIGHT_PX / high
    for rank, doubt in enumerate(shown, start=1):
        box = [round(side * share) for side in (doubt.left, doubt.top, doubt.right, doubt.bottom)]
        for part in whole:
            cv2.rectangle(part, (box[0] - 4, box[1] - 4), (box[2] + 4, box[3] + 4), _MARK, 2)
            cv2.putText(
                part, str(rank), (box[2] + 7, box[3]), cv2.FONT_HERSHEY_SIMPLEX, 0.7, _MARK, 2, cv2.LINE_AA
            )
    columns = [whole[0], whole[1]]
    if shown:
        side = HEIGHT_PX // _SHOWN
        rows = [
            np.hstack([_cut(part, doubt, high, wide, side) for part in (scan, master)]) for doubt in shown
        ]
        for rank, row in enumerate(rows, start=1):
            cv2.putText(row, str(rank), (8, 26), cv2.FONT_HERSHEY_SIMPLEX, 0.8, _MARK, 2, cv2.LINE_AA)
            row[-1:] = 128
        pile = np.vstack(rows)
        columns.append(
            np.vstack([pile, np.full((HEIGHT_PX - pile.shape[0], pile.shape[1], 3), 255, np.uint8)])
        )
    gap = np.full((HEIGHT_PX, _GAP, 3), 128, np.uint8)
    parts: list[Bytes] = []
    for column in columns:
        parts += [column, gap]
    return np.hstack(parts[:-1])


def _to_rgb(pixels: Bytes) -> Bytes:
    return np.repeat(pixels[..., None], 3, axis=2) if pixels.ndim == 2 else pixels


def _fit(pixels: Bytes, height: int) -> Bytes:
    width = max(1, min(4000, round(pixels.shape[1] * height / pixels.shape[0])))
    how = cv2.INTER_AREA if height < pixels.shape[0] else cv2.INTER_CUBIC
    return np.ascontiguousarray(cv2.resize(pixels, (width, height), interpolation=how))


def _cut(pixels: Bytes, doubt: Doubt, high: int, wide: int, side: int) -> Bytes:
    """Return a square about a doubt, with some of what is round it."""
    reach = max(doubt.bottom - doubt.top, doubt.right - doubt.left, high // 24, 24)
    reach = min(round(reach * 1.3), high, wide)
    top = min(max(0, (doubt.top + doubt.bottom - reach) // 2), high - reach)
    left = min(max(0, (doubt.left + doubt.right - reach) // 2), wide - reach)
    fy, fx = pixels.shape[0] / high, pixels.shape[1] / wide
    part = pixels[
        round(top * fy) : max(round((top + reach) * fy), round(top * fy) + 1),
        round(left * fx) : max(round((left + reach) * fx), round(left * fx) + 1),
    ]
    how = cv2.INTER_AREA if part.shape[0] > side else cv2.INTER_CUBIC
    return np.ascontiguousarray(cv2.resize(part, (side, side), interpolation=how))

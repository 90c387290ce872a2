"""Simulates register targets that were printed on both sides and photographed against the light.

Written apart from the reading of photographs: it draws discs, rings and what else is printed from the target's
geometry alone, moves the back by a machine's error, scatters its light in the paper, and looks at the sheet
through a pinhole camera with a lens of its own. Areas are sampled on a raster of 16 a millimetre and at least
as many samples a pixel, so that the middle of a mark lies within 0.01 px of where it should (tested in
tests/trade/imaging/test_target_photographs.py). Everything is invented; none of it was measured on paper.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from doublure.trade.press.affine import IDENTITY, Affine
from doublure.trade.press.target import Target

Floats = NDArray[np.float32]
RASTER = 16  # samples a mm
DISC_MM, RING_OUT_MM, RING_IN_MM = 2.0, 3.3, 1.7


@dataclass(frozen=True)
class Shot:
    """How a sheet was printed and photographed.

    Attributes:
        error: Machine's error: where the back should lie to where it lies, register coordinates.
        ppi: Pixels an inch in the middle of the sheet.
        tilt_deg, tilt_towards_deg: How far, and towards where, the camera leaves the sheet's normal.
        spin_deg: Rotation of the picture.
        focal: Focal length over the picture's diagonal.
        lens: Radial distortion at the corner of the picture, as a share of the distance from its middle.
        lens_blur_px, noise: Of the camera, noise as a share of full scale.
        scatter_mm: Standard deviation of the blur of the back in the paper.
        front_ink, back_ink: Share of the light that is taken away.
        cloud: Standard deviation of the paper's formation, share of the light.
        veil: Light from before the sheet, share.
        slope: Fall of the light from one end of the sheet to the other, share.
        corners: Fall of the light to the picture's corners, in the lens.
        caliper_mm, depth: Thickness, and which share of it shows as a shift in an oblique view.
        bow_mm: How far the middle of the sheet bulges towards the camera against its upright edges.
        from_back: Photographed from the side of the back.
        surround: Brightness round the sheet, 1 that of the paper; under 1 dark.
        off_mm: Where the camera points, from the middle of the sheet.
        seat: How far the print is shifted (mm) and turned (rad) on its sheet.
        jpeg: Quality; 0 for none.
        margin: Picture's size over the sheet's.
    """

    error: Affine = IDENTITY
    ppi: float = 200.0
    tilt_deg: float = 0.0
    tilt_towards_deg: float = 0.0
    spin_deg: float = 0.0
    focal: float = 0.75
    lens: float = 0.0
    lens_blur_px: float = 0.6
    noise: float = 0.01
    scatter_mm: float = 0.25
    front_ink: float = 0.9
    back_ink: float = 0.6
    cloud: float = 0.03
    veil: float = 0.03
    slope: float = 0.25
    corners: float = 0.2
    caliper_mm: float = 0.1
    depth: float = 0.5
    from_back: bool = False
    bow_mm: float = 0.0
    surround: float = 1.35
    off_mm: tuple[float, float] = (0.0, 0.0)
    seat: tuple[float, float, float] = (0.0, 0.0, 0.0)
    jpeg: int = 90
    margin: float = 1.12


@dataclass(frozen=True)
class Photograph:
    """A picture and what is true of it.

    Attributes:
        pixels: Grey, 8 bits.
        shot: How it came about.
        front_px: Where the middle of each disc shows, by the name of its mark.
        back_px: Where the middle of each ring shows.
        focal_px: Focal length.
    """

    pixels: NDArray[np.uint8]
    shot: Shot
    front_px: dict[str, tuple[float, float]]
    back_px: dict[str, tuple[float, float]]
    focal_px: float


class _Camera:
    """A pinhole before the sheet, with a lens that moves points along the radius."""

    def __init__(self, target: Target, shot: Shot) -> None:
        spin, tilt, way = (math.radians(a) for a in (shot.spin_deg, shot.tilt_deg, shot.tilt_towards_deg))
        scale = shot.ppi / 25.4
        # The picture holds the sheet as it is spun and tilted.
        corners = np.array(
            [
                (sx * target.sheet_width_mm / 2, sy * target.sheet_height_mm / 2, 0.0)
                for sx in (-1, 1)
                for sy in (-1, 1)
            ]
        )
        mirror = np.diag([-1.0, 1.0, -1.0]) if shot.from_back else np.eye(3)
        turn_z = _about_z(spin)
        lean = _about_z(way) @ _about_x(tilt) @ _about_z(-way)
        self.rotation = lean @ turn_z @ mirror
        flat = corners @ (turn_z @ mirror).T
        wide, high = (np.ptp(flat[:, i]) for i in (0, 1))
        self.width = int(wide * scale * shot.margin)
        self.height = int(high * scale * shot.margin)
        self.diagonal = math.hypot(self.width, self.height)
        self.focal = shot.focal * self.diagonal
        self.distance = self.focal / scale
        self.off = np.array([*shot.off_mm, 0.0])
        self.lens = shot.lens / (self.diagonal / 2) ** 2
        # Sheet coordinates x (register), camera coordinates R (x - off) + (0, 0, distance).
        self.place = self.off - self.rotation.T @ np.array([0.0, 0.0, self.distance])

    def show(self, x: float, y: float, z: float = 0.0) -> tuple[float, float]:
        """Return where a point of the sheet shows, px, middle of the first pixel at 0."""
        seen = self.rotation @ (np.array([x, y, z]) - self.off) + np.array([0.0, 0.0, self.distance])
        u, v = self.focal * seen[0] / seen[2], self.focal * seen[1] / seen[2]
        stretch = 1 + self.lens * (u * u + v * v)
        return u * stretch + (self.width - 1) / 2, v * stretch + (self.height - 1) / 2

    def look(self, u: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Return the points of the sheet's plane that pixels see, mm."""
        du, dv = u - (self.width - 1) / 2, v - (self.height - 1) / 2
        pu, pv = du, dv
        for _ in range(4):  # the lens backwards
            stretch = 1 + self.lens * (pu * pu + pv * pv)
            pu, pv = du / stretch, dv / stretch
        # The ray R^T (pu, pv, focal) from the camera's place to z = 0; plain floats keep the arrays single.
        (r00, r01, r02), (r10, r11, r12), (r20, r21, r22) = self.rotation.tolist()
        x = r00 * pu + r10 * pv + r20 * self.focal
        y = r01 * pu + r11 * pv + r21 * self.focal
        z = r02 * pu + r12 * pv + r22 * self.focal
        place_x, place_y, place_z = self.place.tolist()
        along = -place_z / z
        return place_x + along * x, place_y + along * y


def _about_z(angle: float) -> NDArray[np.float64]:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


def _about_x(angle: float) -> NDArray[np.float64]:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])


class Printed:
    """Rasters of the two sides of a target as meant, seen from the front; drawn once, used for many shots.

    Args:
        target: The target.
        pages: Rasters of a front and a back printed elsewhere, RASTER samples a mm, 255 where there is ink, the
            back as seen from the back; None to draw them here.
    """

    def __init__(
        self, target: Target, pages: tuple[NDArray[np.uint8], NDArray[np.uint8]] | None = None
    ) -> None:
        self.target = target
        if pages is None:
            self.front, self.back = self._draw(True), self._draw(False)
        else:
            self.front, self.back = pages[0], np.ascontiguousarray(pages[1][:, ::-1])

    def _draw(self, front: bool) -> NDArray[np.uint8]:
        t = self.target
        shape = (round(t.sheet_height_mm * RASTER), round(t.sheet_width_mm * RASTER))
        ink = np.zeros(shape, np.uint8)
        self._draw_rest(ink, front)
        for mark in t.marks:
            if front:
                self._round(ink, mark.front_x_mm, mark.front_y_mm, DISC_MM, 0.0)
            else:
                self._round(ink, mark.x_mm, mark.y_mm, RING_OUT_MM, RING_IN_MM)
        if front:
            for x, y in t.code:
                self._round(ink, x, y, DISC_MM, 0.0)
        return ink

    def _round(self, ink: NDArray[np.uint8], x: float, y: float, outer: float, inner: float) -> None:
        """Draw a disc or a ring; each sample gets the share of it that is covered."""
        cx = (x + self.target.sheet_width_mm / 2) * RASTER - 0.5
        cy = (y + self.target.sheet_height_mm / 2) * RASTER - 0.5
        reach = math.ceil(outer * RASTER) + 2
        left, top = int(cx) - reach, int(cy) - reach
        v, u = np.mgrid[top : top + 2 * reach + 2, left : left + 2 * reach + 2]
        away = np.hypot(u - cx, v - cy)
        covered = np.clip(outer * RASTER - away + 0.5, 0, 1)
        if inner:
            covered -= np.clip(inner * RASTER - away + 0.5, 0, 1)
        part = ink[top : top + 2 * reach + 2, left : left + 2 * reach + 2]
        np.maximum(part, np.round(255 * covered).astype(np.uint8), out=part)

    def _draw_rest(self, ink: NDArray[np.uint8], front: bool) -> None:
        """Draw what else is printed, roughly: it only has to be in the way."""
        t = self.target
        half_w, half_h = t.sheet_width_mm / 2, t.sheet_height_mm / 2

        def line(x1: float, y1: float, x2: float, y2: float, width: float) -> None:
            points = [
                (round((x + half_w) * RASTER), round((y + half_h) * RASTER)) for x, y in ((x1, y1), (x2, y2))
            ]
            cv2.line(ink, points[0], points[1], 255, max(1, round(width * RASTER)), cv2.LINE_AA)

        def words(text: str, x: float, y: float, size: float, mirrored: bool = False) -> None:
            scale, thick = size * RASTER / 30, max(1, round(size * RASTER / 7))
            (wide, high), low = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, scale, thick)
            patch = np.zeros((high + low + 4, wide + 4), np.uint8)
            cv2.putText(patch, text, (2, high + 2), cv2.FONT_HERSHEY_SIMPLEX, scale, 255, thick, cv2.LINE_AA)
            if mirrored:
                patch = patch[:, ::-1]
            left, top = round((x + half_w) * RASTER), round((y + half_h) * RASTER) - high
            area = ink[max(0, top) : top + patch.shape[0], max(0, left) : left + patch.shape[1]]
            np.maximum(area, patch[: area.shape[0], : area.shape[1]], out=area)

        for scale in t.scales:
            for k in range(-4, 5):
                step, end = (2.0, -2.8) if front else (1.8, 3.0)
                if scale.across:
                    line(scale.x_mm + k * step, scale.y_mm, scale.x_mm + k * step, scale.y_mm + end, 0.25)
                else:
                    line(scale.x_mm, scale.y_mm + k * step, scale.x_mm - end, scale.y_mm + k * step, 0.25)
        for mark in t.marks:
            x, y = mark.middle
            if front:
                words(mark.name, x + 0.3, y - 2.6, 2.3)
            else:
                words(mark.name, x - 6.4, y + 4.0, 2.3, mirrored=True)
        if t.columns % 2 == 0:  # else it is left out where the marks of the middle are
            line(0, -half_h, 0, half_h, 0.18)
        for sign in (-1, 1):
            for offset in (0.0, 21.0):
                at = sign * half_w * 0.5 + (offset if front else -offset) * 0.2
                for mm in range(16):
                    line(at, half_h - mm, at + (2.6 if mm % 5 == 0 else 1.5), half_h - mm, 0.2)
        start, end = t.bands[0] if front else t.bands[-1]
        if end - start >= 6:
            size = min(9.0, (end - start) * 0.5)
            left = -half_w + 25 if front else 15.0
            words("FRONT" if front else "BACK", left, (start + end) / 2 + size / 2, size, mirrored=not front)


def photograph(printed: Printed, shot: Shot, seed: int) -> Photograph:
    """Return a picture of a printed sheet against the light."""
    rng = np.random.default_rng(seed)
    target = printed.target
    camera = _Camera(target, shot)
    scatter = shot.scatter_mm * RASTER
    near, far = (printed.back, printed.front) if shot.from_back else (printed.front, printed.back)
    far = cv2.GaussianBlur(far, (0, 0), scatter) if scatter > 0.3 else far
    front, back = (far, near) if shot.from_back else (near, far)
    cloud = _make_cloud(target, shot.cloud, rng)
    undo = shot.error.inverse()
    samples = max(2, math.ceil(RASTER * 25.4 / shot.ppi))
    light = np.empty((camera.height, camera.width), np.float32)
    rows = max(1, 6_000_000 // (camera.width * samples * samples))
    u_row = np.arange(-1, camera.width + 1, dtype=np.float32)
    for top in range(0, camera.height, rows):
        count = min(rows, camera.height - top)
        u, v = np.meshgrid(u_row, np.arange(top - 1, top + count + 1, dtype=np.float32))
        # Within a pixel the camera is as good as linear: its samples lie between those of whole pixels.
        x, y = (_between(part.astype(np.float32), samples) for part in camera.look(u, v))
        fine = _shine(camera, shot, undo, front, back, cloud, target, x, y)
        light[top : top + count] = fine.reshape(count, samples, camera.width, samples).mean(axis=(1, 3))
    v, u = np.mgrid[0 : camera.height, 0 : camera.width].astype(np.float32)
    away = np.hypot(u - camera.width / 2, v - camera.height / 2) / (camera.diagonal / 2)
    light *= 1 - shot.corners * away**2
    light = cv2.GaussianBlur(light, (0, 0), shot.lens_blur_px)
    light += rng.normal(0, 1, light.shape).astype(np.float32) * shot.noise * np.sqrt(np.clip(light, 0.02, 1))
    curve = np.clip(light, 0, 1) ** (1 / 2.2)
    pixels = np.round(255 * curve).astype(np.uint8)
    if shot.jpeg:
        _, coded = cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, shot.jpeg])
        pixels = cv2.imdecode(coded, cv2.IMREAD_GRAYSCALE)
    fronts = {mark.name: camera.show(mark.front_x_mm, mark.front_y_mm) for mark in target.marks}
    backs = {mark.name: camera.show(*shot.error.apply(mark.x_mm, mark.y_mm)) for mark in target.marks}
    return Photograph(pixels, shot, fronts, backs, camera.focal)


def _between(values: Floats, samples: int) -> Floats:
    """Return so many samples a pixel each way, without the outermost pixels."""
    fine = cv2.resize(values, None, fx=samples, fy=samples, interpolation=cv2.INTER_LINEAR)
    return fine[samples:-samples, samples:-samples]


def _shine(
    camera: _Camera,
    shot: Shot,
    undo: Affine,
    front: NDArray[np.uint8],
    back: NDArray[np.uint8],
    cloud: Floats,
    target: Target,
    x: Floats,
    y: Floats,
) -> Floats:
    """Return the light that comes from points of the sheet."""
    half_w, half_h = target.sheet_width_mm / 2, target.sheet_height_mm / 2
    if shot.bow_mm:
        # A ray meets a point that stands towards the camera before it reaches the plane.
        stands = shot.bow_mm / abs(float(camera.place[2]))
        nearer = stands * (1 - (x / half_w) ** 2)
        x, y = x - (x - float(camera.place[0])) * nearer, y - (y - float(camera.place[1])) * nearer
    ink_front = _sample(front, x, y, half_w, half_h)
    # A ray goes on behind the side that is seen, by a share of the caliper.
    place_x, place_y, place_z = camera.place.tolist()
    deep = shot.depth * shot.caliper_mm / abs(place_z)
    if shot.from_back:
        deep = -deep
    xb, yb = x + (x - place_x) * deep, y + (y - place_y) * deep
    ink_back = _sample(
        back, undo.xx * xb + undo.xy * yb + undo.x_mm, undo.yx * xb + undo.yy * yb + undo.y_mm, half_w, half_h
    )
    grain = cv2.remap(
        cloud,
        (x + half_w) * 2 - 0.5,
        (y + half_h) * 2 - 0.5,
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    lamp = 0.72 * (1 - shot.slope * (x / (2 * half_w) * 0.6 + y / (2 * half_h) * 0.8)).astype(np.float32)
    paper = lamp * (1 + grain) * (1 - shot.front_ink * ink_front) * (1 - shot.back_ink * ink_back) + shot.veil
    dx, dy, turn = shot.seat
    c, s = math.cos(turn), math.sin(turn)
    # The print sits (dx, dy, turn) off on the sheet, so the sheet's outline is off the other way.
    px, py = c * x - s * y + dx, s * x + c * y + dy
    on_sheet = (np.abs(px) < half_w) & (np.abs(py) < half_h)
    return np.where(on_sheet, paper, shot.surround * lamp).astype(np.float32)


def _sample(ink: NDArray[np.uint8], x: Floats, y: Floats, half_w: float, half_h: float) -> Floats:
    found = cv2.remap(
        ink,
        ((x + half_w) * RASTER - 0.5).astype(np.float32),
        ((y + half_h) * RASTER - 0.5).astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=0,
    )
    return found.astype(np.float32) / 255


def _make_cloud(target: Target, share: float, rng: np.random.Generator) -> Floats:
    """Return the formation of the paper, 2 samples a mm: clouds of two sizes."""
    shape = (round(target.sheet_height_mm * 2), round(target.sheet_width_mm * 2))
    cloud = np.zeros(shape, np.float32)
    for size_mm, weight in ((0.8, 0.7), (3.0, 0.7)):
        part = cv2.GaussianBlur(rng.normal(0, 1, shape).astype(np.float32), (0, 0), size_mm * 2)
        cloud += weight * part / part.std()
    return (share * cloud).astype(np.float32)


def random_shot(seed: int, error: Affine | None = None) -> Shot:
    """Return a shot as an ordinary maker may take it, with an ordinary machine's error."""
    rng = np.random.default_rng(10_000 + seed)
    if error is None:
        turn = rng.normal(0, math.radians(0.15))
        scale_x, scale_y = 1 + rng.normal(0, 0.0012, 2)
        shear = rng.normal(0, 0.0004)
        error = Affine(
            scale_x * math.cos(turn),
            -scale_y * math.sin(turn) + shear,
            scale_x * math.sin(turn),
            scale_y * math.cos(turn),
            *(float(shift) for shift in rng.normal(0, 0.6, 2)),
        )
    quarter = 90.0 * int(rng.integers(0, 4))
    return Shot(
        error=error,
        ppi=float(rng.uniform(150, 300)),
        tilt_deg=float(rng.uniform(0, 22)),
        tilt_towards_deg=float(rng.uniform(0, 360)),
        spin_deg=quarter + float(rng.normal(0, 4)),
        focal=float(rng.uniform(0.6, 1.1)),
        lens=float(rng.normal(0, 0.006)),
        lens_blur_px=float(rng.uniform(0.5, 1.3)),
        noise=float(rng.uniform(0.004, 0.02)),
        scatter_mm=float(rng.uniform(0.12, 0.5)),
        front_ink=float(rng.uniform(0.75, 0.95)),
        back_ink=float(rng.uniform(0.2, 0.75)),
        cloud=float(rng.uniform(0.01, 0.05)),
        veil=float(rng.uniform(0.0, 0.08)),
        slope=float(rng.uniform(-0.5, 0.5)),
        caliper_mm=0.1,
        depth=float(rng.uniform(0, 1)),
        from_back=bool(rng.uniform() < 0.1),
        surround=float(rng.choice([0.05, 1.35])),
        off_mm=(float(rng.normal(0, 4)), float(rng.normal(0, 4))),
        seat=(float(rng.normal(0, 0.6)), float(rng.normal(0, 0.6)), float(rng.normal(0, 0.002))),
        jpeg=int(rng.integers(75, 96)),
        margin=float(rng.uniform(1.22, 1.35)),
    )


__all__ = ["Photograph", "Printed", "Shot", "photograph", "random_shot", "replace"]

"""Looking at things on a table: a camera, flat pieces laid anywhere in space, their shadows, the light.

In: RGBA pieces with sizes and places in millimetres. Out: a picture. Never: what the pieces show, files.
Space: x to the right, y towards the viewer, z up from the table, all mm; the picture is drawn at twice its size.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter
from scipy import ndimage

Vector = tuple[float, float, float]
Array = NDArray[np.float64]


class Scene:
    """A table with a camera over it."""

    def __init__(
        self, size: tuple[int, int], eye: Vector, target: Vector, view_mm: float, scale: int = 2
    ) -> None:
        """Set up the camera; `view_mm` is how wide a piece of the table at the target fills the picture."""
        self.out_size = size
        self.scale = scale
        self.size = (size[0] * scale, size[1] * scale)
        forward = np.array(target, dtype=float) - np.array(eye, dtype=float)
        distance = float(np.linalg.norm(forward))
        forward /= distance
        right = np.cross([0.0, 0.0, 1.0], forward)
        if np.linalg.norm(right) < 1e-6:
            right = np.array([1.0, 0.0, 0.0])
        right /= np.linalg.norm(right)
        if right[0] < 0:
            right = -right
        down = np.cross(right, forward)
        if down[1] < 0 and abs(down[1]) > 1e-9:
            down = -down
        self.eye, self.right, self.down, self.forward = np.array(eye, dtype=float), right, down, forward
        self.focal = self.size[0] * distance / view_mm
        self.canvas: Array = np.zeros((self.size[1], self.size[0], 3))

    def project(self, point: Vector) -> tuple[float, float]:
        """Return pixels (of the doubled picture) for a point in space."""
        ray = np.array(point) - self.eye
        depth = max(1.0, float(ray @ self.forward))
        x = self.size[0] / 2 + self.focal * float(ray @ self.right) / depth
        y = self.size[1] / 2 + self.focal * float(ray @ self.down) / depth
        return x, y

    def pixel(self, point: Vector) -> tuple[float, float]:
        """Return pixels of the finished picture for a point in space."""
        x, y = self.project(point)
        return x / self.scale, y / self.scale

    def table_grid(self, step: int = 4) -> tuple[Array, Array]:
        """Return where each pixel of a coarse grid looks on the table, mm."""
        ys, xs = np.mgrid[0 : self.size[1] : step, 0 : self.size[0] : step].astype(float)
        a, b = (xs - self.size[0] / 2) / self.focal, (ys - self.size[1] / 2) / self.focal
        ray = self.forward + a[..., None] * self.right + b[..., None] * self.down
        reach = -self.eye[2] / np.minimum(ray[..., 2], -1e-3)
        return self.eye[0] + ray[..., 0] * reach, self.eye[1] + ray[..., 1] * reach

    def surface(self, texture: Array, px_per_mm: float, origin: tuple[float, float]) -> None:
        """Cover the table with a texture whose top left corner lies at the origin; it repeats by mirroring."""
        x, y = self.table_grid(1)
        rows = (y - origin[1]) * px_per_mm
        columns = (x - origin[0]) * px_per_mm
        for channel in range(3):
            self.canvas[..., channel] = ndimage.map_coordinates(
                texture[..., channel], [rows, columns], order=1, mode="mirror"
            )

    def piece(self, image: Image.Image, corners: Sequence[Vector], opacity: float = 1.0) -> None:
        """Lay a flat piece; corners go top left, top right, bottom right, bottom left."""
        points = [self.project(c) for c in corners]
        x0 = max(0, math.floor(min(p[0] for p in points)))
        y0 = max(0, math.floor(min(p[1] for p in points)))
        x1 = min(self.size[0], math.ceil(max(p[0] for p in points)) + 1)
        y1 = min(self.size[1], math.ceil(max(p[1] for p in points)) + 1)
        if x1 <= x0 or y1 <= y0:
            return
        w, h = image.size
        source = [(0, 0), (w, 0), (w, h), (0, h)]
        rows, values = [], []
        for (sx, sy), (px, py) in zip(source, points, strict=True):
            px, py = px - x0, py - y0
            rows += [[px, py, 1, 0, 0, 0, -sx * px, -sx * py], [0, 0, 0, px, py, 1, -sy * px, -sy * py]]
            values += [sx, sy]
        try:
            coefficients = np.linalg.solve(np.array(rows, dtype=float), np.array(values, dtype=float))
        except np.linalg.LinAlgError:
            return
        warped = image.convert("RGBA").transform(
            (x1 - x0, y1 - y0),
            Image.Transform.PERSPECTIVE,
            tuple(float(c) for c in coefficients),
            Image.Resampling.BICUBIC,
        )
        pixels = np.asarray(warped, dtype=np.float64) / 255
        alpha = pixels[..., 3:] * opacity
        region = self.canvas[y0:y1, x0:x1]
        region[:] = region * (1 - alpha) + pixels[..., :3] * alpha

    def lay(
        self,
        image: Image.Image,
        centre: tuple[float, float],
        size_mm: tuple[float, float],
        turn_deg: float = 0.0,
        z: float = 0.3,
        *,
        lift: float = 0.0,
        shadow: float = 0.42,
        opacity: float = 1.0,
    ) -> list[Vector]:
        """Lay a piece flat on the table, turned clockwise; `lift` raises its far edge. Return its corners."""
        corners = place_corners(centre, size_mm, turn_deg, z, lift)
        soft_mm = 1.1 + z * 0.35 + lift * 0.25
        if shadow and image.mode == "RGBA" and image.getpixel((0, 0))[3] == 0:  # type: ignore[index]
            self._shadow_of_shape(image, corners, soft_mm, shadow, size_mm)
        elif shadow:
            self.shadow(corners, soft_mm, shadow)
        self.piece(image, corners, opacity)
        return corners

    def _shadow_of_shape(
        self,
        image: Image.Image,
        corners: Sequence[Vector],
        soft_mm: float,
        strength: float,
        size_mm: tuple[float, float],
    ) -> None:
        """Darken the table under a piece that is not a rectangle, by its own outline."""
        k = min(3.0, image.width / size_mm[0])
        margin = math.ceil(soft_mm * 3 * k)
        inner = (max(1, round(size_mm[0] * k)), max(1, round(size_mm[1] * k)))
        alpha = Image.new("L", (inner[0] + 2 * margin, inner[1] + 2 * margin), 0)
        alpha.paste(image.getchannel("A").resize(inner), (margin, margin))
        black = Image.new("RGBA", alpha.size, (0, 0, 0, 0))
        black.putalpha(alpha.filter(ImageFilter.GaussianBlur(soft_mm * k)))
        across, down = (
            np.array(corners[1]) - np.array(corners[0]),
            np.array(corners[3]) - np.array(corners[0]),
        )
        grow_x, grow_y = margin / inner[0], margin / inner[1]
        shift = np.array([0.55 * corners[0][2] + 0.7, 0.45 * corners[0][2] + 0.6, -corners[0][2]])
        spread: list[Vector] = []
        for corner, dx, dy in zip(corners, (-1, 1, 1, -1), (-1, -1, 1, 1), strict=True):
            x, y, z = np.array(corner) + shift + dx * grow_x * across + dy * grow_y * down
            spread.append((float(x), float(y), float(z)))
        self.piece(black, spread, strength)

    def _masked(
        self, points: Sequence[tuple[float, float]], margin: float
    ) -> tuple[slice, slice, tuple[int, int]] | None:
        """Return the part of the picture that holds some points and a margin, and its corner."""
        x0 = max(0, math.floor(min(p[0] for p in points) - margin))
        y0 = max(0, math.floor(min(p[1] for p in points) - margin))
        x1 = min(self.size[0], math.ceil(max(p[0] for p in points) + margin) + 1)
        y1 = min(self.size[1], math.ceil(max(p[1] for p in points) + margin) + 1)
        if x1 <= x0 or y1 <= y0:
            return None
        return slice(y0, y1), slice(x0, x1), (x0, y0)

    def _blend(
        self,
        points: Sequence[tuple[float, float]],
        margin: float,
        blur: float,
        paint: Callable[[ImageDraw.ImageDraw, list[tuple[float, float]]], None],
        colour: Vector,
        opacity: float,
    ) -> None:
        part = self._masked(points, margin)
        if part is None:
            return
        rows, columns, (x0, y0) = part
        mask = Image.new("L", (columns.stop - columns.start, rows.stop - rows.start), 0)
        paint(ImageDraw.Draw(mask), [(x - x0, y - y0) for x, y in points])
        if blur:
            mask = mask.filter(ImageFilter.GaussianBlur(blur))
        alpha = (np.asarray(mask, dtype=np.float64) / 255)[..., None] * opacity
        region = self.canvas[rows, columns]
        region[:] = region * (1 - alpha) + np.array(colour) * alpha

    def px_per_mm(self) -> float:
        """Return about how many pixels of the doubled picture a millimetre takes."""
        return self.focal / float(np.linalg.norm(self.eye))

    def shadow(self, corners: Sequence[Vector], soft_mm: float, strength: float) -> None:
        """Darken the table under a piece, away from a light at the upper left."""
        moved = [self.project((x + 0.55 * z + 0.7, y + 0.45 * z + 0.6, 0.0)) for x, y, z in corners]
        blur = max(1.0, soft_mm * self.px_per_mm())
        self._blend(
            moved, blur * 3, blur, lambda draw, at: draw.polygon(at, fill=255), (0.0, 0.0, 0.0), strength
        )

    def polygon(
        self, points: Sequence[Vector], colour: Vector, opacity: float = 1.0, blur: float = 0.0
    ) -> None:
        """Fill a polygon in space with one colour of 0 to 1."""
        at = [self.project(p) for p in points]
        self._blend(at, 2 + blur * 3, blur, lambda draw, px: draw.polygon(px, fill=255), colour, opacity)

    def path(
        self,
        points: Sequence[Vector],
        width_mm: float,
        colour: Vector,
        opacity: float = 1.0,
        blur: float = 0.0,
    ) -> None:
        """Draw a thread, a wire, an edge."""
        width = max(1, round(width_mm * self.px_per_mm()))
        at = [self.project(p) for p in points]
        self._blend(
            at,
            width + 2 + blur * 3,
            blur,
            lambda draw, px: draw.line(px, fill=255, width=width, joint="curve"),
            colour,
            opacity,
        )

    def box(
        self, corner: Vector, size: Vector, colour: Vector, turn_deg: float = 0.0, shadow: float = 0.5
    ) -> None:
        """Stand a block on the table: near, right and top faces, each in its own light."""
        x, y, z = corner
        w, d, h = size
        cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))

        def at(dx: float, dy: float, dz: float) -> Vector:
            return x + dx * cos - dy * sin, y + dx * sin + dy * cos, z + dz

        top = [at(0, 0, h), at(w, 0, h), at(w, d, h), at(0, d, h)]
        if shadow:
            self.shadow(top, 2.5 + h * 0.12, shadow)
        faces = [
            ([at(0, d, 0), at(w, d, 0), at(w, d, h), at(0, d, h)], 0.62),
            ([at(w, 0, 0), at(w, d, 0), at(w, d, h), at(w, 0, h)], 0.5),
            ([at(0, 0, 0), at(0, d, 0), at(0, d, h), at(0, 0, h)], 0.85),
        ]
        middle = np.mean(np.array(top), axis=0)
        for points, light in faces:
            outward = np.mean(np.array(points), axis=0) - middle
            outward[2] = 0.0
            if float(outward @ (self.eye - np.mean(np.array(points), axis=0))) <= 0:
                continue
            self.polygon(points, (colour[0] * light, colour[1] * light, colour[2] * light))
        self.polygon(top, colour)

    def backdrop(self, far_y: float, lamps: Sequence[tuple[float, float, float, Vector]]) -> None:
        """End the table at y = far_y; beyond it a dark stage with lamps out of focus (x, y of 0 to 1, radius, colour)."""
        _, y = self.table_grid(2)
        beyond = ndimage.zoom((y < far_y).astype(float), 2, order=0)[: self.size[1], : self.size[0], None]
        beyond = ndimage.gaussian_filter(beyond, (3, 3, 0))
        glow = np.zeros_like(self.canvas) + np.array([0.018, 0.022, 0.03])
        vs, us = np.mgrid[0 : self.size[1], 0 : self.size[0]].astype(float)
        for u, v, radius, colour in lamps:
            reach = np.hypot(us - u * self.size[0], vs - v * self.size[1]) / (radius * self.size[0])
            disc = np.clip((1 - reach) * 9, 0, 1) * (0.6 + 0.25 * reach) + 0.2 * np.exp(-((reach / 2.2) ** 2))
            glow += disc[..., None] * np.array(colour)
        self.canvas = self.canvas * (1 - beyond) + glow * beyond

    def light(
        self,
        centre: tuple[float, float],
        radius: float,
        ambient: float,
        colour: Vector = (1.0, 0.95, 0.86),
        strength: float = 1.0,
    ) -> None:
        """Light the table by a soft pool; what lies outside keeps `ambient`."""
        x, y = self.table_grid(4)
        pool = np.exp(-((np.hypot(x - centre[0], (y - centre[1]) * 1.1) / radius) ** 2))
        level = ndimage.zoom(ambient + (1 - ambient) * pool * strength, 4, order=1)[
            : self.size[1], : self.size[0]
        ]
        warm = np.array(colour) * level[..., None] + (1 - level[..., None]) * level[..., None] * np.array(
            [0.7, 0.8, 1.0]
        )
        self.canvas = self.canvas * warm

    def finish(self) -> Array:
        """Return the picture at its own size, 0 to 1."""
        image = Image.fromarray((np.clip(self.canvas, 0, 1) * 255).astype(np.uint8))
        return np.asarray(image.resize(self.out_size, Image.Resampling.BOX), dtype=np.float64) / 255


def place_corners(
    centre: tuple[float, float], size_mm: tuple[float, float], turn_deg: float, z: float, lift: float = 0.0
) -> list[Vector]:
    """Return the corners of a rectangle on the table: top left, top right, bottom right, bottom left."""
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    out: list[Vector] = []
    for dx, dy, up in ((-0.5, -0.5, lift), (0.5, -0.5, lift), (0.5, 0.5, 0.0), (-0.5, 0.5, 0.0)):
        x, y = dx * size_mm[0], dy * size_mm[1]
        out.append((centre[0] + x * cos - y * sin, centre[1] + x * sin + y * cos, z + up))
    return out


def film_look(
    picture: Array,
    seed: int,
    *,
    noise: float = 0.035,
    vignette: float = 0.5,
    gain: Vector = (1, 1, 1),
    lift: float = 0.0,
    focus: Callable[[Array, Array], Array] | None = None,
    blur: float = 6.0,
) -> Array:
    """Return a picture with shallow focus, graded colour, dark corners and grain."""
    height, width = picture.shape[:2]
    v, u = np.mgrid[0:height, 0:width].astype(float)
    u, v = u / width, v / height
    out = picture
    if focus is not None:
        sharp = np.clip(focus(u, v), 0, 1)[..., None]
        half = ndimage.gaussian_filter(out, (blur / 2.5, blur / 2.5, 0))
        full = ndimage.gaussian_filter(out, (blur, blur, 0))
        out = np.where(
            sharp > 0.5,
            out * (2 * sharp - 1) + half * (2 - 2 * sharp),
            half * 2 * sharp + full * (1 - 2 * sharp),
        )
    bright = ndimage.gaussian_filter(np.clip(out - 0.72, 0, 1), (width / 60, width / 60, 0))
    out = (out + bright * 0.9) * np.array(gain) + lift
    reach = ((u - 0.5) / 0.62) ** 2 + ((v - 0.5) / 0.6) ** 2
    out = out * (1 - vignette * np.clip(reach - 0.18, 0, 1))[..., None]
    rng = np.random.default_rng(seed)
    speckle = ndimage.gaussian_filter(rng.normal(0, 1, (height, width)), 0.9)
    out = out + noise * speckle[..., None] / float(speckle.std()) * (0.35 + out)
    result: Array = np.clip(out, 0, 1)
    return result


def to_image(picture: Array) -> Image.Image:
    """Return a Pillow picture from an array of 0 to 1."""
    return Image.fromarray((np.clip(picture, 0, 1) * 255).astype(np.uint8))

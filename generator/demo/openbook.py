"""The notebook itself: lying open with its pages curving into the gutter, or closed in its cloth.

In: two page pictures and a place. Out: the book drawn into a Scene. Never: what is on the pages, files.
"""

from __future__ import annotations

import math

import numpy as np
from lettering import set_line
from papers import cloth
from PIL import Image
from scene import Scene, Vector

PAGE_W, PAGE_H = 105.0, 165.0
BOARD_MM = 2.3
SQUARE_MM = 3.0
CLOTH_COLOUR = (58, 74, 82)


def profile(thickness: float, steps: int = 36) -> list[tuple[float, float, float]]:
    """Return a page's section from gutter to fore-edge: distance along the paper, x, height, mm."""
    out = [(0.0, 0.0, 0.6)]
    x = 0.0
    for index in range(1, steps + 1):
        s = PAGE_W * index / steps

        def height(at: float) -> float:
            rise = thickness * (1 - math.exp(-at / 7))
            return 0.6 + rise + 4.2 * (at / 16) * math.exp(1 - at / 16) * 0.9

        ds = PAGE_W / steps
        slope = (height(s) - height(s - ds)) / ds
        x += ds * math.sqrt(max(0.2, 1 - slope * slope))
        out.append((s, x, height(s)))
    return out


class OpenBook:
    """An open book on the table, with its gutter along y."""

    def __init__(self, scene: Scene, centre: tuple[float, float], turn_deg: float, left_number: int) -> None:
        self.scene = scene
        self.centre = centre
        self.turn = math.radians(turn_deg)
        read = left_number / 112
        self.thick = {-1: 1.0 + 7.5 * read, 1: 1.0 + 7.5 * (1 - read)}

    def at(self, x: float, y: float, z: float) -> Vector:
        """Return the place of a point given from the middle of the gutter."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return self.centre[0] + x * cos - y * sin, self.centre[1] + x * sin + y * cos, z

    def on_page(self, side: int, s: float, y: float, z: float = 0.0) -> Vector:
        """Return the place of a point on a page: side -1 or 1, mm from the gutter, mm from the head."""
        for (s0, x0, h0), (s1, x1, h1) in zip(
            *(lambda p: (p, p[1:]))(profile(self.thick[side])), strict=False
        ):
            if s0 <= s <= s1:
                t = (s - s0) / (s1 - s0)
                return self.at(side * (x0 + (x1 - x0) * t), y - PAGE_H / 2, BOARD_MM + h0 + (h1 - h0) * t + z)
        x, h = profile(self.thick[side])[-1][1:]
        return self.at(side * (x + s - PAGE_W), y - PAGE_H / 2, BOARD_MM + h + z)

    def draw(self, left: Image.Image, right: Image.Image) -> None:
        """Draw boards, the block of leaves and both pages."""
        self._boards()
        for side, page in ((-1, left), (1, right)):
            self._block(side)
            self._page(side, page)

    def _boards(self) -> None:
        reach, half = PAGE_W + SQUARE_MM, PAGE_H / 2 + SQUARE_MM
        corners = [
            self.at(-reach, -half, BOARD_MM),
            self.at(reach, -half, BOARD_MM),
            self.at(reach, half, BOARD_MM),
            self.at(-reach, half, BOARD_MM),
        ]
        self.scene.shadow(corners, 4.5, 0.62)
        self.scene.shadow(corners, 1.2, 0.4)
        edge = [self.at(-reach, half, 0), self.at(reach, half, 0), corners[2], corners[3]]
        self.scene.polygon(edge, (0.1, 0.13, 0.15))
        texture = cloth((900, 720), 4.0, 7, CLOTH_COLOUR)
        self.scene.piece(Image.fromarray((texture * 255).astype(np.uint8)), corners)

    def _block(self, side: int) -> None:
        outline = profile(self.thick[side])
        half = PAGE_H / 2
        layers = max(4, int(self.thick[side] * 2.2))
        for layer in range(layers + 1):
            share = layer / layers
            tone = 0.66 + 0.2 * (layer % 2) - 0.12 * (1 - share)
            out_by = (1 - share) * 1.1
            points = [
                self.at(side * (x + out_by * (s / PAGE_W)), half + 0.25 * (1 - share), BOARD_MM + h * share)
                for s, x, h in outline
            ]
            fore = [
                self.at(side * (outline[-1][1] + out_by), -half, BOARD_MM + outline[-1][2] * share),
                points[-1],
            ]
            self.scene.path(points, 0.5, (tone, tone * 0.93, tone * 0.78))
            self.scene.path(fore, 0.5, (tone, tone * 0.93, tone * 0.78))

    def _page(self, side: int, page: Image.Image) -> None:
        outline = profile(self.thick[side])
        pixels = np.asarray(page.convert("RGB"), dtype=np.float64)
        width = pixels.shape[1]
        ss = (np.arange(width) + 0.5) / width * PAGE_W
        along = ss if side > 0 else PAGE_W - ss
        heights = np.interp(along, [p[0] for p in outline], [p[2] for p in outline])
        slope = np.gradient(heights, PAGE_W / width)
        shade = 1 - 0.2 * np.clip(slope * side if side > 0 else -slope, -1, 1) - 0.5 * np.exp(-along / 3.2)
        shade -= 0.16 * np.exp(-along / 14)
        shaded = Image.fromarray(np.clip(pixels * shade[None, :, None], 0, 255).astype(np.uint8)).convert(
            "RGBA"
        )
        half = PAGE_H / 2
        for (s0, x0, h0), (s1, x1, h1) in zip(outline, outline[1:], strict=False):
            a, b = (s0, s1) if side > 0 else (PAGE_W - s1, PAGE_W - s0)
            strip = shaded.crop(
                (
                    max(0, int(a / PAGE_W * width) - 1),
                    0,
                    min(width, int(b / PAGE_W * width) + 2),
                    shaded.height,
                )
            )
            near, far = (x0 - 0.06, h0), (x1 + 0.12, h1)
            first, last = (near, far) if side > 0 else ((x1 + 0.12, h1), (x0 - 0.06, h0))
            self.scene.piece(
                strip,
                [
                    self.at(side * first[0], -half, BOARD_MM + first[1]),
                    self.at(side * last[0], -half, BOARD_MM + last[1]),
                    self.at(side * last[0], half, BOARD_MM + last[1]),
                    self.at(side * first[0], half, BOARD_MM + first[1]),
                ],
            )

    def insert(
        self,
        image: Image.Image,
        side: int,
        centre: tuple[float, float],
        size_mm: tuple[float, float],
        turn_deg: float = 0.0,
        shadow: float = 0.4,
    ) -> list[Vector]:
        """Lay an insert on a page; centre is mm from the gutter and from the head. Return its corners."""
        cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
        corners: list[Vector] = []
        for dx, dy in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)):
            x, y = dx * size_mm[0], dy * size_mm[1]
            across = x * cos - y * sin
            s = centre[0] + (across if side > 0 else -across)
            corners.append(self.on_page(side, s, centre[1] + x * sin + y * cos, 0.5))
        top = max(c[2] for c in corners)
        flat = [(x, y, top) for x, y, _ in corners]
        self.scene.shadow([(x - 0.55 * z, y - 0.45 * z, 1.2) for x, y, z in flat], 1.0, shadow)
        self.scene.piece(image, flat)
        return flat


def front_cover(label: bool = True, k: float = 6.0) -> Image.Image:
    """Return the front of the case seen straight on: cloth, leather along the spine, its paper label."""
    w, h = PAGE_W + SQUARE_MM, PAGE_H + 2 * SQUARE_MM
    size = (int(w * k), int(h * k))
    cover = cloth(size, k, 21, CLOTH_COLOUR)
    spine = int(17 * k)
    cover[:, :spine] = cloth((spine, size[1]), k, 22, (92, 60, 42))[:, :spine]
    cover[:, spine : spine + 4] *= 0.7
    wear = np.minimum.reduce(
        [
            np.arange(size[0])[None, :].repeat(size[1], 0),
            np.arange(size[0])[::-1][None, :].repeat(size[1], 0),
            np.arange(size[1])[:, None].repeat(size[0], 1),
            np.arange(size[1])[::-1][:, None].repeat(size[0], 1),
        ]
    )
    rubbed = np.exp(-wear / (1.1 * k))[..., None]
    cover = cover * (1 - 0.55 * rubbed) + 0.55 * rubbed * np.array([0.72, 0.66, 0.54])
    image = Image.fromarray((np.clip(cover, 0, 1) * 255).astype(np.uint8))
    if label:
        mask = Image.new("L", size, 0)
        box = (int(36 * k), int(34 * k), int(92 * k), int(70 * k))
        image.paste((226, 212, 178), box)
        for line, role, y, body in (
            ("OSTREY HAVEN", "roman", 47, 5.2),
            ("FIELD BOOK", "gothic", 56, 8.0),
            ("IX", "roman", 65, 6.0),
        ):
            set_line(mask, line, (64 * k, y * k), role, int(body * k), anchor="m", spacing_px=k * 0.4)
        image.paste((50, 40, 36), (0, 0), mask)
    return image


def closed_book(scene: Scene, centre: tuple[float, float], turn_deg: float, label: bool = True) -> None:
    """Draw the closed notebook from above, with its paper label."""
    w, h = PAGE_W + SQUARE_MM, PAGE_H + 2 * SQUARE_MM
    image = front_cover(label)
    scene.box(
        (centre[0] - w / 2, centre[1] - h / 2, 0), (w, h, 12.0), (0.16, 0.2, 0.22), 0.0, 0.55
    ) if not turn_deg else None
    scene.lay(image, centre, (w, h), turn_deg, 12.0, shadow=0.5)

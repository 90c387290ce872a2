"""Draw every picture of the demo replica: page masters, inserts, evidence, trials, the pictures of the log.

In: a folder (journal/ by default) and, with --only, names or kinds. Out: PNG and WebP files without metadata.
Never: notes. Everything is seeded by name, so that two runs on one machine give the same bytes.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import artwork
import bench
import bench_trials
import held
import numpy as np
import openbook
import printed
import reel
from lettering import missing_faces
from PIL import Image

PHOTO_QUALITY = 68
MOCKUP_PX = 620


def save_clean(image: Image.Image, path: Path, **options: Any) -> None:
    """Write pixels and nothing else."""
    path.parent.mkdir(parents=True, exist_ok=True)
    bare = Image.frombytes(image.mode, image.size, image.tobytes())
    if image.mode == "P":
        bare.putpalette(image.getpalette() or [])
    bare.save(path, **options)


def draw_master(name: str, path: Path) -> None:
    """Write the bilevel artwork of one page."""
    save_clean(artwork.draw_page(name, artwork.page_ppi(name)), path, optimize=True)


def draw_insert_artwork(name: str, path: Path) -> None:
    """Write the print artwork of one side of an insert; the name ends in -front or -back."""
    insert, side = name.rsplit("-", 1)
    art = artwork.draw_insert(insert, side)
    if path.suffix == ".webp":
        save_clean(art, path, quality=80, method=6)
        return
    save_clean(art.quantize(28, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE), path, optimize=True)


def draw_mockup(name: str, path: Path) -> None:
    """Write how an insert looks on its own paper, cut to its outline."""
    width, height = artwork.INSERTS[name].size_mm
    ppi = max(60, min(240, int(MOCKUP_PX / max(width, height) * 25.4)))
    image = artwork.on_paper(name, ppi)
    pixels = np.asarray(image).copy()
    pixels[pixels[..., 3] == 0] = (244, 240, 230, 0)
    opaque = bool((pixels[..., 3] == 255).all())
    whole = Image.fromarray(pixels)
    save_clean(whole.convert("RGB") if opaque else whole, path, quality=76, method=6, exact=True)


def _photo(take: Callable[[], Image.Image], path: Path) -> None:
    save_clean(take(), path, quality=PHOTO_QUALITY, method=6)


def plan(root: Path) -> dict[str, tuple[str, Path]]:
    """Return every picture: key -> (kind, path). A key is kind/name."""
    out: dict[str, tuple[str, Path]] = {}
    for name in (*artwork.PAGES, *artwork.HALVES):
        out[f"masters/{name}"] = ("masters", root / "artwork/masters" / f"{name}.png")
    for name, spec in artwork.INSERTS.items():
        if spec.outline != "pocket" and name != "ribbon":
            ending = "webp" if spec.photo else "png"
            out[f"inserts/{name}-front"] = ("inserts", root / "artwork/inserts" / f"{name}-front.{ending}")
        if spec.back is not None:
            out[f"inserts/{name}-back"] = ("inserts", root / "artwork/inserts" / f"{name}-back.png")
        out[f"mockups/{name}"] = ("mockups", root / "pictures/inserts" / f"{name}.webp")
    for name in (*reel.FRAMES, *printed.SOURCES, *held.SOURCES):
        out[f"evidence/{name}"] = ("evidence", root / "pictures/evidence" / f"{name}.webp")
    for name in bench.LOG:
        out[f"log/{name}"] = ("log", root / "pictures/log" / f"{name}.webp")
    for name in bench_trials.TRIALS:
        out[f"trials/{name}"] = ("trials", root / "pictures/trials" / f"{name}.webp")
    out["book/cover"] = ("book", root / "pictures/cover.webp")
    return out


def draw(key: str, kind: str, path: Path) -> str:
    """Draw one picture; return its key."""
    name = key.split("/", 1)[1]
    if kind == "masters":
        draw_master(name, path)
    elif kind == "inserts":
        draw_insert_artwork(name, path)
    elif kind == "mockups":
        draw_mockup(name, path)
    elif kind == "evidence":
        sources = {**printed.SOURCES, **held.SOURCES}
        _photo(sources[name] if name in sources else lambda: reel.take(name), path)
    elif kind == "book":
        _photo(openbook.front_cover, path)
    else:
        _photo((bench.LOG if kind == "log" else bench_trials.TRIALS)[name], path)
    return key


def main(arguments: list[str] | None = None) -> int:
    """Draw what is asked for."""
    parser = argparse.ArgumentParser(description="Draw the pictures of the demo replica.")
    parser.add_argument(
        "--out", type=Path, default=Path("journal"), help="folder that gets artwork/ and pictures/"
    )
    parser.add_argument("--only", default="", help="kinds or kind/name, parted by commas")
    parser.add_argument("--jobs", type=int, default=1, help="how many to draw at once")
    parser.add_argument("--list", action="store_true", help="print every key with its file, and stop")
    chosen = parser.parse_args(arguments)
    todo = plan(chosen.out)
    if chosen.list:
        print(
            "\n".join(f"{key} {path.relative_to(chosen.out).as_posix()}" for key, (_, path) in todo.items())
        )
        return 0
    if chosen.only:
        wanted = {word.strip() for word in chosen.only.split(",") if word.strip()}
        unknown = sorted(w for w in wanted if w not in todo and w not in {kind for kind, _ in todo.values()})
        if unknown:
            print(
                f"draw_demo: no such picture or kind: {', '.join(unknown)}; --list prints them",
                file=sys.stderr,
            )
            return 1
        todo = {key: job for key, job in todo.items() if key in wanted or job[0] in wanted}
    absent = missing_faces()
    if absent:
        print(f"draw_demo: other faces stand in for {', '.join(absent)}", file=sys.stderr)
    if chosen.jobs == 1:
        for key, (kind, path) in todo.items():
            draw(key, kind, path)
    else:
        with ProcessPoolExecutor(chosen.jobs) as pool:
            for job in [pool.submit(draw, key, kind, path) for key, (kind, path) in todo.items()]:
                job.result()
    return 0


if __name__ == "__main__":
    sys.exit(main())

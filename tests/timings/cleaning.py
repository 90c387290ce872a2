"""Measures the cleaning against one Sauvola threshold of scikit-image: python tests/timings/cleaning.py.

Both take the same page of 5000 x 7000 pixels, each in a process of its own, in turn; what counts are the ratios of the
medians, of wall and processor time, and of the most memory held. The whole of `doublure clean` is counted from
the start of the process to the written master, record and strip; Sauvola's share is the threshold alone, in a
process that has read the page. Two pages: one as a scanner with soft edges gives it, and one with edges as sharp as its
pixels, which cannot be looked at in a smaller copy. No test depends on the figures.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

WIDE, HIGH = 5000, 7000
_SAUVOLA = """
import resource, sys, time
import numpy as np
from PIL import Image
from skimage.filters import threshold_sauvola
page = np.asarray(Image.open(sys.argv[1]))
start, used = time.perf_counter(), time.process_time()
ink = page <= threshold_sauvola(page, window_size=101)
print(time.perf_counter() - start, time.process_time() - used)
"""
_CLEAN = "import sys\nfrom doublure.cli import main\nsys.argv[0] = 'doublure'\nmain()\n"


def make_pages(folder: Path) -> dict[str, Path]:
    """Write the two pages; return their files by name."""
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    import cv2
    import numpy as np
    from PIL import Image

    from degraded_pages import practice_page

    small = practice_page("middle", 9).grey
    soft = cv2.resize(small, (WIDE, HIGH), interpolation=cv2.INTER_CUBIC)
    # Sharp: many pages side by side in their own pixels.
    across, down = -(-WIDE // small.shape[1]), -(-HIGH // small.shape[0])
    sharp = np.tile(small, (down, across))[:HIGH, :WIDE]
    files = {}
    for name, pixels in (("soft", soft), ("sharp", sharp)):
        files[name] = folder / f"{name}.png"
        Image.fromarray(pixels).save(files[name], dpi=(600, 600), compress_level=1)
    return files


def run(command: list[str]) -> tuple[float, float, float, str]:
    """Run a process; return wall and processor seconds, most memory in MB, and what it printed."""
    import time

    start = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    out, err = "", ""
    out = process.stdout.read() if process.stdout else ""
    err = process.stderr.read() if process.stderr else ""
    _, status, usage = os.wait4(process.pid, 0)
    if status:
        raise SystemExit(f"{command}: {err}")
    peak_mb = usage.ru_maxrss / 1024
    return time.perf_counter() - start, usage.ru_utime + usage.ru_stime, peak_mb, out


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Measure the cleaning against a Sauvola threshold.")
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    results = {}
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for name, page in make_pages(folder).items():
            ours, theirs = [], []
            for _ in range(given.rounds):
                *costs, out = run([sys.executable, "-c", _SAUVOLA, str(page)])
                wall, cpu = (float(value) for value in out.split())
                theirs.append((wall, cpu, costs[2]))
                master = folder / f"{name}.master.png"
                wall, cpu, peak, _ = run(
                    [sys.executable, "-c", _CLEAN, "clean", str(page), "-o", str(master)]
                )
                ours.append((wall, cpu, peak))
            our, their = ([median(part) for part in zip(*runs, strict=True)] for runs in (ours, theirs))
            results[name] = {
                "clean_wall_s": round(our[0], 2),
                "clean_cpu_s": round(our[1], 2),
                "clean_peak_mb": round(max(run[2] for run in ours)),
                "sauvola_wall_s": round(their[0], 2),
                "sauvola_cpu_s": round(their[1], 2),
                "sauvola_peak_mb": round(max(run[2] for run in theirs)),
                "wall_ratio": round(our[0] / their[0], 2),
                "cpu_ratio": round(our[1] / their[1], 2),
            }
            if not given.json:
                said = results[name]
                print(
                    f"{name:6} clean {said['clean_wall_s']} s ({said['clean_cpu_s']} s of processors), "
                    f"{said['clean_peak_mb']} MB; Sauvola {said['sauvola_wall_s']} s "
                    f"({said['sauvola_cpu_s']} s), {said['sauvola_peak_mb']} MB; "
                    f"ratio of time {said['wall_ratio']}, of processors {said['cpu_ratio']}"
                )
    if given.json:
        print(
            json.dumps({"machine": f"{platform.machine()}, {os.cpu_count()} processors", **results}, indent=2)
        )


if __name__ == "__main__":
    main()

"""What is private never reaches the site: canaries in every private place of the notes, and in picture metadata."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

from e2e.conftest import copy_demo, run_doublure

PLACES = {
    "journal/inserts/canary-insert.md": """\
---
title: A piece with secrets {private}%s{/private}
supplier_private: %s
open: [{question: Where from, who_private: %s}]
held: {by: loose, adhesive_private: %s}
cautions:
  - Handle with care {private}
    %s
    {/private} always
---
Body {private}%s{/private} text.

{private}
%s
{/private}
""",
    "journal/log/2031-01-01-canary.md": """\
---
about: canary-insert
minutes: 5
buyer_private: %s
---
Sent one. {private}%s{/private}
""",
    "journal/evidence/canary-source.md": """\
---
title: Canary source
kind: photograph
held: at home {private}%s{/private}
contact_private: {name: %s, address: [%s]}
picture: pictures/canary.jpg
---
""",
    "docs/canary-page.md": """\
---
title: Mine {private}%s{/private}
---
# Mine

Open {private}%s{/private} words.
""",
    "journal/stocks/canary-stock.yml": """\
title: Canary paper
supplier_private: %s
supplier: A shop {private}%s{/private}
""",
    "journal/masters/canary-master.md": """\
---
title: Canary master
process: laser {private}%s{/private}
---
{private}%s{/private}
""",
    "journal/trials/canary-trial.md": """\
---
title: Canary trial
tried: {private}%s{/private} two washes
---
""",
    "journal/finishes/canary-finish.md": """\
---
title: Canary wash
contains: [tea, 'rust {private}%s{/private} water']
---
""",
    "journal/private/copies.md": "---\ntitle: %s\n---\n%s\n",
    "journal/private/notes.txt": "%s\n",
}


def plant(project: Path) -> list[str]:
    """Write notes with a canary in every private place; return the canaries."""
    canaries: list[str] = []

    def next_canary() -> str:
        canaries.append(f"zqcanary{len(canaries):03d}xq")
        return canaries[-1]

    for name, text in PLACES.items():
        path = project / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text % tuple(next_canary() for _ in range(text.count("%s"))), encoding="utf-8")
    mkdocs = project / "mkdocs.yml"
    text = mkdocs.read_text(encoding="utf-8")
    named = text.replace("site_name: ", f'site_name: "{{private}}{next_canary()}{{/private}} ', 1)
    first, rest = named.split("site_name: ", 1)
    line, more = rest.split("\n", 1)
    mkdocs.write_text(f'{first}site_name: {line}"\n{more}', encoding="utf-8")
    for name in ("replica.yml", "book.yml"):
        path = project / "journal" / name
        path.write_text(
            path.read_text(encoding="utf-8") + f"remark_private: {next_canary()}\n", encoding="utf-8"
        )
    picture = Image.new("RGB", (640, 480), (120, 110, 90))
    exif = Image.Exif()
    exif[0x010F] = next_canary()  # maker of the camera
    exif[0x9286] = next_canary()  # comment of its owner
    gps = exif.get_ifd(0x8825)
    gps[0x001D] = next_canary()  # date of the place
    picture.save(project / "journal/pictures/canary.jpg", exif=exif, comment=next_canary().encode())
    return canaries


def test_no_canary_is_anywhere_in_the_site(tmp_path: Path) -> None:
    copy_demo(tmp_path)
    canaries = plant(tmp_path)
    assert len(canaries) >= 18
    raw = (tmp_path / "journal/pictures/canary.jpg").read_bytes()
    assert canaries[-1].encode() in raw, "the picture must carry its canaries for the test to mean anything"
    done = run_doublure(tmp_path, "build")
    assert done.returncode == 0, done.stdout + done.stderr
    site = tmp_path / "site"
    assert (site / "inserts/canary-insert.html").is_file()
    assert (site / "pictures/canary.jpg-480.webp").is_file()
    found = [
        (canary, file.relative_to(site).as_posix())
        for file in site.rglob("*")
        if file.is_file()
        for content in (file.read_bytes(),)
        for canary in canaries
        if canary.encode() in content
    ]
    assert found == []
    assert not any(canary in done.stdout + done.stderr for canary in canaries)

"""Where the look of the site lies: templates, style sheets and scripts of the package.

In: nothing. Out: paths. Never: their contents.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import doublure

#: In the order of the cascade.
STYLES = (
    "tokens", "frame", "sheet", "prose", "components", "tables", "cards", "search", "drawing", "pages", "print",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SiteLook:
    """What MkDocs must be told.

    Attributes:
        templates: Folder of templates and assets, to come before the theme's own.
        styles: Style sheets, as addresses under the site, in order.
        scripts: Scripts, likewise.
        polyfill: Script that stands in for web workers where the site is opened from a folder.
    """

    templates: Path
    styles: tuple[str, ...]
    scripts: tuple[str, ...]
    polyfill: str


def site_look() -> SiteLook:
    """Return the look that ships with the package."""
    return SiteLook(
        templates=Path(doublure.__file__).resolve().parent / "theme",
        styles=tuple(f"assets/{name}.css" for name in STYLES),
        scripts=tuple(f"assets/{name}.js" for name in ("page", "gallery", "pictures")),
        polyfill="assets/iframe-worker.js",
    )

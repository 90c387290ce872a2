"""Names that are no notes but may stand where one is asked for: gatherings, plates, pages.

In: nothing. Out: patterns and an example of each. Never: whether the book has it (checks/loose_names.py).
"""

from __future__ import annotations

import re
from collections.abc import Mapping

#: By what may stand for them. A plate is known by the label that the program prints.
LOOSE_NAMES: Mapping[str, re.Pattern[str]] = {
    "gathering": re.compile(r"gathering[- ][1-9][0-9]{0,3}", re.IGNORECASE),
    "plate": re.compile(r"plates?[- ]\S.{0,40}", re.IGNORECASE),
    "page": re.compile(r"pages?[- ][1-9][0-9]{0,3}(?:[-–][1-9][0-9]{0,3})?", re.IGNORECASE),
}
LOOSE_EXAMPLES: Mapping[str, str] = {"gathering": "gathering-3", "plate": "plate-3", "page": "page-12"}

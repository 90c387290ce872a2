"""How much room words take, estimated on the wide side, since the reader's own system font is used.

In: words and a size in mm. Out: widths in mm, words broken into lines or shortened.
Never: font files; a width that a common system font exceeds by more than a hair.
"""

from __future__ import annotations

import functools
import unicodedata

#: Advance widths in em, each the widest of DejaVu Sans and Liberation Sans rounded up to 0.05 em
#: (measured on those fonts, which are among the widest that systems fall back to).
_CLASSES = (
    (0.30, "'Iijl′"),
    (0.35, " ,./:;\\|·‘’"),
    (0.40, "()-[]ft″"),
    (0.45, "!r²³"),
    (0.50, '"*J`°'),
    (0.55, "csz“”"),
    (0.60, "?L_kvxy–§†‡"),
    (0.65, "$0123456789FTabdeghnopqu{}µ"),
    (0.70, "ABEKPSVXYZ"),
    (0.75, "CNRU"),
    (0.80, "&DGHOQ"),
    (0.85, "#+<=>^w~×±"),
    (0.90, "M"),
    (1.00, "%Wm—½¼¾…"),
    (1.05, "@"),
)
_EM = {letter: width for width, letters in _CLASSES for letter in letters}

#: Bold letters are up to a quarter wider than regular ones in the same two fonts.
BOLD_FACTOR = 1.25

#: Parts of the em above and below the baseline that letters with accents and tails may reach.
ASCENT = 0.95
DESCENT = 0.25

#: Height of figures and capitals in em, for centring a line of text on a point.
CAP = 0.72


def text_width_mm(text: str, size_mm: float, bold: bool = False) -> float:
    """Return the room that one line of text takes, on the wide side.

    Args:
        text: The words.
        size_mm: Height of the em, mm.
        bold: True for a bold face.

    Returns:
        Width, mm, >= 0.

    Examples:
        >>> text_width_mm("mm", 3.0)
        6.0
    """
    return _em_width(text) * size_mm * (BOLD_FACTOR if bold else 1.0)


# The same words are measured again and again while a drawing looks for its scale.
@functools.lru_cache(maxsize=8192)
def _em_width(text: str) -> float:
    em = 0.0
    for letter in unicodedata.normalize("NFC", text):
        if letter in _EM:
            em += _EM[letter]
        elif unicodedata.combining(letter) or unicodedata.category(letter) in ("Cf", "Mn"):
            continue
        else:
            base = unicodedata.normalize("NFD", letter)[0]
            wide = unicodedata.east_asian_width(letter) in "WF"
            # An unknown letter is taken as wide as the widest Latin ligatures.
            em += _EM.get(base, 1.05 if not wide else 1.1)
    return em


def centred_baseline_mm(middle_mm: float, size_mm: float) -> float:
    """Return the baseline on which figures and capitals stand centred about a height, mm."""
    return middle_mm + CAP * size_mm / 2


def wrap_words(
    text: str, size_mm: float, width_mm: float, first_indent_mm: float = 0.0
) -> tuple[str, ...] | None:
    """Break words into lines of at most width_mm.

    Args:
        text: The words, broken at spaces and after hyphens.
        size_mm: Height of the em, mm.
        width_mm: Room for each line, mm.
        first_indent_mm: Room already taken on the first line, mm.

    Returns:
        The lines, the first "" where no word fits beside the indent; None where a single word is too wide.

    Examples:
        >>> wrap_words("Harbour pass", 3.0, 18.0)
        ('Harbour', 'pass')
        >>> wrap_words("Harbour pass", 3.0, 4.0) is None
        True
    """
    lines: list[str] = []
    width_mm += 1e-6  # a room measured for just these words must hold them
    line, room = "", width_mm - first_indent_mm
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if text_width_mm(longer, size_mm) <= room:
            line = longer
            continue
        if line or not lines:
            lines.append(line)
        line, room = word, width_mm
        if text_width_mm(word, size_mm) > width_mm:
            return None
    lines.append(line)
    if first_indent_mm == 0 and lines[0] == "" and len(lines) > 1:
        del lines[0]
    return tuple(lines)


def shorten(text: str, size_mm: float, width_mm: float, bold: bool = False) -> str:
    """Return the text, cut after a letter and ended with "…" where it does not fit; "" where nothing does.

    Examples:
        >>> shorten("Harbour pass", 3.0, 16.0)
        'Harbour…'
        >>> shorten("pass", 3.0, 16.0)
        'pass'
    """
    if text_width_mm(text, size_mm, bold) <= width_mm:
        return text
    for end in range(len(text) - 1, 0, -1):
        cut = text[:end].rstrip(" ,;:–—-·") + "…"
        if text_width_mm(cut, size_mm, bold) <= width_mm:
            return cut
    return ""


def wrap_or_shorten(
    text: str, size_mm: float, width_mm: float, lines: int, bold: bool = False
) -> tuple[str, ...]:
    """Break words into at most so many lines, shortening what does not fit.

    Args:
        text: The words.
        size_mm: Height of the em, mm.
        width_mm: Room for each line, mm.
        lines: How many lines there is room for, >= 1.
        bold: True for a bold face.

    Returns:
        One to ``lines`` lines; the last may end with "…".
    """
    room = width_mm / (BOLD_FACTOR if bold else 1.0)
    out: list[str] = []
    words = text.split()
    while words and len(out) < lines:
        if len(out) == lines - 1:
            out.append(shorten(" ".join(words), size_mm, room))
            break
        line = words[0]
        taken = 1
        while taken < len(words) and text_width_mm(f"{line} {words[taken]}", size_mm) <= room:
            line = f"{line} {words[taken]}"
            taken += 1
        out.append(shorten(line, size_mm, room))
        words = words[taken:]
    return tuple(line for line in out if line) or ("",)

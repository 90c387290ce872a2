"""The typeface of our PDF: Bitstream Vera, as reportlab carries it, embedded as a subset of what is used.

In: lines of text. Out: codes for a content stream, widths, font objects of a PDF.
Never: an unembedded font, a letter that is dropped in silence where it would carry meaning.
"""

from __future__ import annotations

import functools
import re
import threading
import unicodedata
from collections.abc import Mapping
from typing import Any, Protocol, cast

from pikepdf import Array, Dictionary, Name, Object, Pdf, Stream, String

#: Style (bold, italic) -> file of the face.
_FILES = {
    (False, False): "Vera.ttf",
    (True, False): "VeraBd.ttf",
    (False, True): "VeraIt.ttf",
    (True, True): "VeraBI.ttf",
}
#: What stands for a letter that the faces lack and that Unicode does not take apart usefully.
_STAND_INS = {
    "′": "'", "‵": "'", "ʹ": "'", "″": '"', "‶": '"', "⁄": "/", "∕": "/", "‐": "-", "‑": "-",
    "‒": "–", "―": "—", "→": "->", "←": "<-", "↔": "<->", "⇒": "=>", "∗": "*", "∙": "·", "⋅": "·",
    "☐": "[ ]", "□": "[ ]", "☑": "[x]", "☒": "[x]", "✓": "x", "✔": "x", "●": "•", "■": "•", "▪": "•",
    "∼": "~", "∥": "||", "α": "alpha", "β": "beta", "σ": "sigma", "Δ": "delta", "∆": "delta",
}  # fmt: skip
#: What is drawn where nothing else will do.
UNKNOWN = "?"
_VULGAR = re.compile(r"(?<=\d)([⅐-⅞↉])")
_RAISED = re.compile("[¹²³⁰ⁱ⁴-ⁿ]+")
_SPACES = re.compile(r"[\t\n\r\v\f\x1c-\x1f\x85\u2028\u2029]")
#: reportlab reads its tables from one place in the file after the other, so one document at a time.
_reading = threading.Lock()


class _Face(Protocol):
    """What we use of reportlab's TTFontFace."""

    name: bytes
    charToGlyph: Mapping[int, int]  # noqa: N815
    charWidths: Mapping[int, float]  # noqa: N815
    ascent: float
    descent: float
    capHeight: float  # noqa: N815
    flags: int
    italicAngle: float  # noqa: N815
    stemV: float  # noqa: N815
    bbox: list[float]
    defaultWidth: float  # noqa: N815

    def makeSubset(self, subset: list[int]) -> bytes:  # noqa: N802
        """Return the file of a font that has the glyphs of these letters alone."""


@functools.cache
def _face(bold: bool, italic: bool) -> _Face:
    from reportlab.pdfbase.ttfonts import TTFontFace  # type: ignore[import-untyped]

    return cast(_Face, TTFontFace(_FILES[bold, italic]))


def spell(text: str) -> str:
    """Return the text as the faces can set it: whatever they lack is replaced by the nearest they have.

    Accents that are lacking fall away, fractions become figures with a stroke, arrows and ticks become
    signs of the keyboard, and what nobody can guess becomes a question mark.

    Examples:
        >>> spell("4⅓″ → ő")
        '4 1/3" -> o'
    """
    known = _letters()
    plain = _SPACES.sub(" ", unicodedata.normalize("NFC", text))
    if all(letter in known for letter in plain):
        return plain
    plain = _RAISED.sub(lambda found: _lower(found.group(), known), plain)
    plain = _VULGAR.sub(r" \1", plain)
    return "".join(letter if letter in known else _replace(letter) for letter in plain)


def _lower(raised: str, known: frozenset[str]) -> str:
    """Return raised figures as they are, or all of them after a ^ where one is lacking."""
    if all(letter in known for letter in raised):
        return raised
    return "^" + unicodedata.normalize("NFKC", raised)


@functools.cache
def _letters() -> frozenset[str]:
    with _reading:
        faces = [_face(*style) for style in _FILES]
    shared = set.intersection(*(set(face.charToGlyph) for face in faces))
    letters = (chr(code) for code in shared if code >= 0x20)
    return frozenset(letter for letter in letters if unicodedata.category(letter) not in ("Cc", "Cf", "Co"))


@functools.lru_cache(maxsize=4096)
def _replace(letter: str) -> str:
    known = _letters()
    if letter in _STAND_INS:
        return _STAND_INS[letter]
    category = unicodedata.category(letter)
    if category in ("Cf", "Mn", "Me", "Cc"):
        return ""
    if category == "Zs":
        return " "
    apart = unicodedata.normalize("NFKD", letter)
    if apart == letter:
        return UNKNOWN
    parts = [part if part in known else _replace(part) for part in apart if not unicodedata.combining(part)]
    return UNKNOWN if UNKNOWN in parts else "".join(parts)


class FontBook:
    """The fonts of one PDF, filled as text is set.

    Attributes:
        pdf: The PDF that the fonts go into.
    """

    def __init__(self, pdf: Pdf) -> None:
        self.pdf = pdf
        self._glyphs: dict[tuple[bool, bool], dict[int, int]] = {}
        self._codes: dict[tuple[bool, bool], list[int]] = {}
        self._fonts: dict[tuple[bool, bool], Object] = {}

    def name_of(self, bold: bool = False, italic: bool = False) -> str:
        """Return the name by which content streams call a face, such as "/Vera"."""
        return f"/{_FILES[bold, italic].removesuffix('.ttf')}"

    def encode(self, text: str, bold: bool = False, italic: bool = False) -> str:
        """Return the operand that shows a line of text, such as "<00010002>"; see spell() for what it shows."""
        style = (bold, italic)
        with _reading:
            face = _face(bold, italic)
        glyphs = self._glyphs.setdefault(style, {0: 0})
        codes = self._codes.setdefault(style, [])
        shown = []
        for letter in spell(text):
            glyph = face.charToGlyph[ord(letter)]
            if glyph not in glyphs:
                glyphs[glyph] = len(glyphs)
                codes.append(ord(letter))
            shown.append(f"{glyphs[glyph]:04X}")
        return f"<{''.join(shown)}>"

    def resources(self) -> Dictionary:
        """Return the font dictionary for the resources of a page or form; shared, and filled by finish()."""
        fonts = Dictionary()
        for bold, italic in self._codes:
            style = (bold, italic)
            if style not in self._fonts:
                self._fonts[style] = self.pdf.make_indirect(Dictionary(Type=Name.Font, Subtype=Name.Type0))
            fonts[self.name_of(bold, italic)] = self._fonts[style]
        return fonts

    def finish(self) -> None:
        """Put the subsets in, once all text is set and before the PDF is saved."""
        for (bold, italic), font in self._fonts.items():
            with _reading:
                face = _face(bold, italic)
                codes = self._codes[bold, italic]
                program = face.makeSubset(codes)
            self._fill(font, face, codes, program)

    def _fill(self, font: Object, face: _Face, codes: list[int], program: bytes) -> None:
        # Six capitals and a plus name a subset (ISO 32000-1, 9.6.4; from memory).
        name = Name(f"/DOUBLR+{face.name.decode('ascii')}")
        stream = Stream(self.pdf, program)
        stream.Length1 = len(program)
        descriptor = Dictionary(
            Type=Name.FontDescriptor,
            FontName=name,
            # Symbolic: its glyphs are called by number.
            Flags=(face.flags & ~32) | 4,
            FontBBox=Array([round(side) for side in face.bbox]),
            ItalicAngle=round(face.italicAngle),
            Ascent=round(face.ascent),
            Descent=round(face.descent),
            CapHeight=round(face.capHeight),
            StemV=round(face.stemV),
            FontFile2=self.pdf.make_indirect(stream),
        )
        descendant = Dictionary(
            Type=Name.Font,
            Subtype=Name.CIDFontType2,
            BaseFont=name,
            CIDSystemInfo=Dictionary(Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0),
            CIDToGIDMap=Name.Identity,
            FontDescriptor=self.pdf.make_indirect(descriptor),
            DW=round(face.defaultWidth),
            W=Array([1, Array([_width(face, code) for code in codes])]),
        )
        font.BaseFont = name
        font.Encoding = Name("/Identity-H")
        font.DescendantFonts = Array([self.pdf.make_indirect(descendant)])
        font.ToUnicode = self.pdf.make_indirect(Stream(self.pdf, _to_unicode(codes)))


def _width(face: _Face, code: int) -> int:
    return round(face.charWidths.get(code, face.defaultWidth))


def set_width_mm(text: str, size_mm: float, bold: bool = False, italic: bool = False) -> float:
    """Return how wide a line of text is as it will be set, mm."""
    with _reading:
        face = _face(bold, italic)
    return sum(_width(face, ord(letter)) for letter in spell(text)) * size_mm / 1000


def fill_box(
    text: str, width_mm: float, height_mm: float, largest_mm: float, least_mm: float
) -> tuple[float, list[str]]:
    """Break a text into lines that fill a box, in letters as large as fit, lines 1.2 em apart.

    Args:
        text: Words; they are broken at spaces.
        width_mm, height_mm: The box.
        largest_mm, least_mm: Height of the em: where to begin, and the least that can be read.

    Returns:
        The height of the em, mm, and the lines. Where even the least size leaves no room, what does not fit is
        left out, and the last line ends in an ellipsis.
    """
    size = largest_mm
    while True:
        lines = _break_lines(text, width_mm / size)
        if (1.2 * len(lines) + 0.1) * size <= height_mm or size <= least_mm:
            break
        size = max(least_mm, size - 0.1)
    rows = max(1, int((height_mm / size - 0.1) / 1.2 + 1e-9))
    shown = lines[:rows]
    if len(lines) > rows:
        shown[-1] = _shorten(f"{shown[-1]} {lines[rows]}", width_mm / size)
    return size, [
        line if set_width_mm(line, 1.0) <= width_mm / size else _shorten(line, width_mm / size)
        for line in shown
    ]


def _break_lines(text: str, width_em: float) -> list[str]:
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if not lines[-1] or set_width_mm(longer, 1.0) <= width_em:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _shorten(line: str, width_em: float) -> str:
    while line and set_width_mm(f"{line}…", 1.0) > width_em:
        line = line[:-1]
    return f"{line.rstrip()}…"


def _to_unicode(codes: list[int]) -> bytes:
    """Return the map from glyphs to letters, so that text can be searched and copied.

    Source:
        ISO 32000-1:2008, 9.10.3 (ToUnicode CMaps); from memory.
    """
    head = (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
        "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
    )
    rows = [f"<{glyph:04X}> <{code:04X}>" for glyph, code in enumerate(codes, 1)]
    # At most 100 rows in a block.
    blocks = [rows[start : start + 100] for start in range(0, len(rows), 100)]
    body = "".join(f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar\n" for block in blocks)
    tail = "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    return (head + body + tail).encode("ascii")


def pdf_text(text: str) -> Any:
    """Return a text string object for titles and names."""
    return String(text.encode("utf-8", "replace").decode("utf-8"))

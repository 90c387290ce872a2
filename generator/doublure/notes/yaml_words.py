"""What the YAML parser's complaints mean, in words for the maker, and the place where one would look.

In: an error of PyYAML and the text. Out: Fault. Never: parsing.
"""

from __future__ import annotations

import re

import yaml

from doublure.notes.frontmatter import Fault
from doublure.notes.manuscript import FILLER

_INDICATORS = {
    "\t": ("a tab stands where only spaces may", "indent with spaces"),
    "@": ('a value cannot begin with "@"', "put it in quotes"),
    "`": ('a value cannot begin with "`"', "put it in quotes"),
    "%": ('a value cannot begin with "%"', "put it in quotes"),
}
#: Part of the parser's words: our message, our hint, and whether the place is where the thing began.
_RULES: tuple[tuple[str, str, str, bool], ...] = (
    ("mapping values are not allowed", 'a ": " inside a value', "put the whole value in quotes", False),
    ("expected ',' or ']'", "the list that begins here is not closed", "add ]", True),
    ("expected ',' or '}'", "the bracket that begins here is not closed", "add }", True),
    ("expected '-' indicator", "this line is neither an entry of the list above nor indented like its key",
     "begin it with -, or indent it like the other keys", False),
    ("expected <block end>, but found '-'", "an entry of a list where none can be",
     "put it under a key, indented like the other entries", False),
    ("expected <block end>", "this line does not fit the indentation of the lines above",
     "indent it like the other keys", False),
    ("did not find expected key", "this line does not fit the indentation of the lines above",
     "indent it like the other keys", False),
    ("could not find expected ':'", 'a key without ":"', "write key: value", True),
    ("unknown escape character", "a backslash means something else in double quotes",
     "write the text in single quotes", False),
    ("block sequence entries are not allowed", "an entry of a list cannot begin on the line of its key",
     "begin it on a line of its own", False),
    ("sequence entries are not allowed", "an entry of a list cannot begin on the line of its key",
     "begin it on a line of its own", False),
    ("violates indentation", "a tab stands where only spaces may", "indent with spaces", False),
    ("tab character", "a tab stands where only spaces may", "indent with spaces", False),
    ("expected alphabetic", 'a value cannot begin with "*" or "&"', "put it in quotes", True),
    ("scanning an alias", 'a value cannot begin with "*"', "put it in quotes", True),
    ("scanning an anchor", 'a value cannot begin with "&"', "put it in quotes", True),
    ("expected chomping or indentation", 'something stands behind "|" or ">"',
     "put the text on the lines below, indented", False),
    ("comment or line break", "something stands where the line should end",
     "put the text on the lines below", False),
    ("expected a comment or a line break", "something stands where the line should end",
     "put the text on a line of its own, or in quotes", False),
    ("parsing a quoted scalar", "these quotes are not closed", "add the closing quote", True),
    ("scanning a quoted scalar", "these quotes are not closed", "add the closing quote", True),
    ("document start", "something stands where the fields should have ended",
     "indent it like the other keys", False),
    ("end of stream", "these quotes are not closed", "add the closing quote", True),
    ("did not find expected node content", "a value cannot be read here", "put it in quotes", False),
)  # fmt: skip
_TAB_INDENT = re.compile(r"^[ ]*\t", re.MULTILINE)


def explain_yaml_error(error: yaml.YAMLError, text: str, start: int, end: int) -> Fault:
    """Return the fault in plain words.

    Args:
        error: What the parser raised for text[start:end].
        text: The whole text of the note.
        start, end: The part that was parsed.
    """
    problem = str(getattr(error, "problem", None) or getattr(error, "reason", None) or "it cannot be read")
    context = str(getattr(error, "context", None) or "")
    mark = getattr(error, "problem_mark", None)
    context_mark = getattr(error, "context_mark", None)
    at = _offset(mark, start, end)
    began = _offset(context_mark, start, end) if context_mark is not None else at
    if "nesting depth" in problem:
        return Fault("Y104", "values lie in each other without end", at, at + 1, "write it flatter")
    if "cannot start any token" in problem:
        character = text[at : at + 1]
        message, hint = _INDICATORS.get(
            character, (f'"{character}" cannot stand here', "put the value in quotes")
        )
        return Fault("Y101", message, at, at + 1, hint)
    if tab := _tab_before(text, at, start):
        return Fault("Y101", *_with_place(_INDICATORS["\t"], tab, tab + 1))
    said = f"{context} {problem}"
    for words, message, hint, from_start in _RULES:
        if words in said:
            place = _on_text(text, began if from_start else at, start)
            return Fault("Y101", message, place, place + 1, hint)
    place = _on_text(text, at, start)
    plain = problem.replace(FILLER, "·")
    return Fault(
        "Y101", f"this is no YAML: {plain}", place, place + 1, "look for a missing quote, bracket or colon"
    )


def _with_place(words: tuple[str, str], start: int, end: int) -> tuple[str, int, int, str]:
    return words[0], start, end, words[1]


def _offset(mark: yaml.Mark | None, start: int, end: int) -> int:
    return min(start + mark.index, end) if mark is not None else start


def _on_text(text: str, at: int, start: int) -> int:
    """Step back from an empty place (the end of the note) to the last character that one can see."""
    if at < len(text) and not text[at].isspace():
        return at
    line_end = text.find("\n", at)
    rest = text[at : line_end if line_end >= 0 else len(text)]
    if rest.strip():
        return at + len(rest) - len(rest.lstrip())
    back = at
    while back > start and (back >= len(text) or text[back].isspace()):
        back -= 1
    return back


def _tab_before(text: str, at: int, start: int) -> int | None:
    """Return where a tab indents the line of the error or the line before it, or None."""
    line = text.rfind("\n", start, at) + 1
    before = text.rfind("\n", start, max(start, line - 1)) + 1
    for begin in {max(start, line), max(start, before)}:
        found = re.compile(r"[ ]*\t").match(text, begin)
        if found:
            return found.end() - 1
    return None

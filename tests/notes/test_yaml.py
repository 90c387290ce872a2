"""YAML: what is broken, where, and that the rest is read all the same."""

from __future__ import annotations

import pytest
import yaml

from doublure.notes import yamltree
from doublure.notes.manuscript import Findings, Manuscript
from doublure.notes.nodes import MapNode, Node, ScalarNode
from doublure.notes.yamltree import parse_tree
from journal_samples import GOOD, decode, make_sources, where


def tree_of(text: str) -> tuple[MapNode | None, Findings]:
    """Parse a text that is YAML as a whole."""
    findings = Findings(Manuscript("a.yml", text))
    return parse_tree(text, 0, len(text), findings), findings


BROKEN = {
    "title: A: B": (1, 9, "quotes"),
    "title: 'A": (1, 8, "closing quote"),
    'title: "A\ncolour: red': (1, 8, "closing quote"),
    "title: [A": (1, 8, "]"),
    "title: {a: b": (1, 8, "}"),
    "title: A\n\tcolour: red": (2, 1, "spaces"),
    "title: A\nstack:\n\theight: 4 mm": (3, 1, "spaces"),
    "title: @A": (1, 8, "quotes"),
    "title: `A`": (1, 8, "quotes"),
    "title: %A": (1, 8, "quotes"),
    "title: A\n  colour: red": (2, 9, "quotes"),
    "stack:\n    height: 4\n  sheets: 3": (3, 3, "indent"),
    "title: A\nopen:\n  - one\n  two": (4, 3, "value"),
    "title: A\n- b": (2, 1, ""),
    "title": (0, 0, ""),
    'title: "C:\\dir"': (1, 11, "single quotes"),
    "title: - a": (1, 8, "own"),
    "title: *": (1, 8, "quotes"),
    "title: |x\n  a": (1, 9, "below"),
    "title: A\ncolour red\n": (2, 1, "key: value"),
}


@pytest.mark.parametrize("loader", ["C", "pure"])
@pytest.mark.parametrize("text", BROKEN)
def test_broken_yaml_is_told_where_one_would_look(
    text: str, loader: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if loader == "pure":
        monkeypatch.setattr(yamltree, "LOADER", yaml.BaseLoader)
    line, _, hint = BROKEN[text]
    _, findings = tree_of(text)
    codes = [problem.code for problem in findings.problems]
    if text == "title":
        assert codes == ["Y108"]
        return
    assert codes == ["Y101"]
    (problem,) = findings.problems
    assert problem.span.line == line, problem.format()
    assert hint in problem.hint, problem.format()
    assert "yaml" not in problem.message.lower(), "plain words are wanted"


@pytest.mark.parametrize("text", [text for text in BROKEN if text != "title"])
def test_broken_yaml_is_told_at_the_right_column(text: str) -> None:
    _, column, _ = BROKEN[text]
    _, findings = tree_of(text)
    assert findings.problems[0].span.column == column, findings.problems[0].format()


def test_other_fields_are_read_all_the_same() -> None:
    text = 'title: "Thin\ncaliper: 4\ngrain: along: x\nstack: {heigth: 4 mm}\n'
    _, problems = decode({"stocks/a.yml": text})
    assert [where(one)[:2] for one in problems] == [
        ("Y101", 1),
        ("Q102", 2),
        ("Y101", 3),
        ("K102", 4),
        ("K101", 4),
    ]


def test_duplicates_are_told_in_groups_and_around_broken_fields() -> None:
    _, problems = decode({"stocks/a.yml": "title: A\nstack: {sheets: 4, height: 4 mm, sheets: 5}\n"})
    assert [where(one) for one in problems] == [("Y102", 2, 34, "sheets")]
    assert problems[0].related[0][0].column == 9
    _, problems = decode({"stocks/a.yml": "title: A\ntitle: B\ncolour: a: b\n"})
    assert [where(one)[:3] for one in problems] == [("Y102", 2, 1), ("Y101", 3, 10)]


def test_alias_bomb_is_one_problem() -> None:
    lines = ["title: &a [x, x]"] + [
        f"k{n}: &{chr(98 + n)} [*{chr(97 + n)}, *{chr(97 + n)}]" for n in range(20)
    ]
    _, findings = tree_of("\n".join(lines))
    assert [problem.code for problem in findings.problems] == ["Y103"]


def test_deep_and_long_notes_are_refused_without_recursion() -> None:
    for text in ("a: " + "[" * 100_000, "a: " + "{b: " * 100_000, "- " * 100_000):
        root, findings = tree_of(text)
        assert root is None
        assert [problem.code for problem in findings.problems] == ["Y104"]


def test_tree_is_what_the_library_makes_of_it() -> None:
    """PyYAML's own constructor, on which nothing of ours rests, is the reference."""

    def plain(node: Node) -> object:
        if isinstance(node, MapNode):
            return {key.value: plain(value) for key, value in node.entries}
        if isinstance(node, ScalarNode):
            return node.value
        return [plain(item) for item in getattr(node, "items", ())]

    for source in make_sources(GOOD):
        text = source.text.split("---\n")[1] if source.text.startswith("---") else source.text
        if source.path.startswith("log/") and not source.text.startswith("---"):
            continue
        root, findings = tree_of(text)
        assert findings.problems == []
        assert root is not None
        assert plain(root) == yaml.load(text, Loader=yaml.BaseLoader)


@pytest.mark.parametrize("loader", ["C", "pure"])
def test_both_parsers_give_the_same_tree(loader: str, monkeypatch: pytest.MonkeyPatch) -> None:
    expected = {source.path: decode({source.path: source.text}) for source in make_sources(GOOD)}
    if loader == "pure":
        monkeypatch.setattr(yamltree, "LOADER", yaml.BaseLoader)
    for source in make_sources(GOOD):
        assert decode({source.path: source.text}) == expected[source.path]


def test_unusual_line_ends_do_not_move_the_lines() -> None:
    """YAML 1.1 takes U+0085 and U+2028 for line ends; an editor does not."""
    _, problems = decode({"stocks/a.yml": "title: A\u2028 B\u0085 C\ncaliper: 4\n"})
    assert [where(one) for one in problems] == [("Q102", 2, 10, "4")]


@pytest.mark.parametrize("sign", ["\0", "\x07", "\x1b", "\x7f", "\ufeff", "\ufffe", "\ufdd0", "\ud800"])
def test_control_characters_are_told_and_the_rest_is_read(sign: str) -> None:
    _, problems = decode({"stocks/a.yml": f"title: A{sign}{sign}\ncaliper: 4\n"})
    assert [where(one)[:3] for one in problems] == [("Y109", 1, 9), ("Q102", 2, 10)]

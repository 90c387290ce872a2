"""What is private never gets into a record, nor into the printed form of a problem."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doublure.notes.frontmatter import hide_private, part_note
from journal_samples import GOOD, decode, decode_well, note, where

CANARY = "zinnober417"


def everything(files: dict[str, str]) -> str:
    """Return all that could be published of a journal: its records, their places, its problems."""
    replica, problems = decode(files)
    told = [problem.format() for problem in problems] + [repr(problem) for problem in problems]
    if replica is None:
        return "\n".join(told)
    told.append(repr(replica))
    for one in replica.notes():
        told += [repr(span) for span in one.origin.spans.values()]
        told += [repr(span) for span in one.origin.key_spans.values()]
    return "\n".join(told)


PRIVATE_TEXTS = {
    "in the body": f"---\ntitle: A\n---\nBefore {{private}}{CANARY}{{/private}} after.\n",
    "over lines of the body": f"---\ntitle: A\n---\nBefore {{private}}one\n\n- {CANARY}\n\ntwo{{/private}} after.\n",
    "in a value": f"---\ntitle: A {{private}}{CANARY}{{/private}} B\n---\n",
    "as the whole of a value": f"---\ntitle: A\nsupplier: {{private}}{CANARY}{{/private}}\n---\n",
    "in quotes": f'---\ntitle: "A {{private}}{CANARY}{{/private}} B"\n---\n',
    "in single quotes": f"---\ntitle: 'A {{private}}{CANARY}{{/private}} B'\n---\n",
    "in a flow list": f"---\ntitle: A\nopen: [one, {{private}}{CANARY},{{/private}} two]\n---\n",
    "in a literal block": f"---\ntitle: A\nsupplier: |\n  one\n  {{private}}{CANARY}{{/private}}\n  two\n---\n",
    "in a folded block": f"---\ntitle: A\nsupplier: >\n  one\n  two {{private}}{CANARY}\n  {{/private}} three\n---\n",
    "whole fields": f"---\ntitle: A\n{{private}}\nsupplier: {CANARY}\nprice: {CANARY}\n{{/private}}\ncolour: red\n---\n",
    "a field on one line": f"---\ntitle: A\n{{private}}supplier: {CANARY}{{/private}}\ncolour: red\n---\n",
    "in a comment": f"---\ntitle: A # {{private}}{CANARY}{{/private}}\n---\n",
    "across a comment": f"---\ntitle: A # {{private}}\n# {CANARY}\n# {{/private}} done\ncolour: red\n---\n",
    "before a comment": f"---\ntitle: A\n{{private}}supplier: {CANARY}{{/private}} # done\ncolour: red\n---\n",
    "before the front matter": f"{{private}}{CANARY}{{/private}}\n---\ntitle: A\n---\n",
    "with windows line ends": f"---\r\ntitle: A\r\n---\r\nBefore {{private}}\r\n{CANARY}\r\n{{/private}}\r\n",
    "with capitals and spaces": f"---\ntitle: A\n---\n{{ Private }}{CANARY}{{ / PRIVATE }} after\n",
    "with broken marks": f"---\ntitle: A\n---\n{{private\n}}{CANARY}{{/\nprivate}} after\n",
    "inside each other": f"---\ntitle: A\n---\n{{private}}a{{private}}b{{/private}}{CANARY}{{/private}} after\n",
    "a private field": f"---\ntitle: A\nseller_private: {CANARY}\n---\n",
    "a private field in capitals": f"---\ntitle: A\nSeller_Private: {CANARY}\n---\n",
    "a private list": f"---\ntitle: A\nnames_private:\n  - {CANARY}\n  - {{a: {CANARY}}}\n---\n",
    "a private block": f"---\ntitle: A\nwhy_private: |\n  one\n\n  {CANARY}\ncolour: red\n---\n",
    "a private field in a group": f"---\ntitle: A\nstack: {{height: 4 mm, sheets: 4, who_private: {CANARY}}}\n---\n",
    "a private field in a list": f"---\ntitle: A\npictures:\n  - {{file: a.png, who_private: [{CANARY}]}}\n---\n",
    "a comment at a private field": f"---\ntitle: A\nwho_private: x # {CANARY}\n---\n",
}


@pytest.mark.parametrize("text", PRIVATE_TEXTS.values(), ids=PRIVATE_TEXTS.keys())
def test_private_text_is_dropped(text: str) -> None:
    replica, problems = decode({"stocks/a.md": text})
    assert problems == ()
    assert replica is not None
    stock = replica.stocks["a"]
    assert stock.title in ("A", "A B")
    assert CANARY not in everything({"stocks/a.md": text})
    for mark in ("private}", "\ufdd0"):
        assert mark not in repr(stock)


def test_what_stands_around_a_passage_closes_up() -> None:
    bodies = {
        "one {private}x{/private} two": "one two",
        "one{private} x {/private}two": "onetwo",
        "one {private}x{/private}, two": "one , two",
        "one\n{private}x{/private}\ntwo": "one\ntwo",
        "- one\n- {private}x{/private}\n- two": "- one\n-\n- two",
        "one\n{private}x\n\ny{/private}\ntwo": "one\ntwo",
        "    code {private}x{/private}\n": "    code",
    }
    for text, body in bodies.items():
        assert part_note(text, pure_yaml=False).body == body


def test_literal_block_keeps_its_other_lines() -> None:
    wording = "wording:\n  front: |\n    one {private}x{/private}\n    {private}y{/private} two\n"
    insert = decode_well({"inserts/a.md": f"---\ntitle: A\n{wording}---\n"}).inserts["a"]
    assert insert.wording_front == "one\n two"


@pytest.mark.parametrize(
    "text",
    [
        f"---\ntitle: A\ncaliper: 4 {{private}}{CANARY}{{/private}}\n---\n",
        f"---\ntitle: A\nstack: {{heigth: 4 mm, sheets: 4, who_private: {CANARY}}}\n---\n",
        f"---\ntitle: A\nwho_private: {CANARY}\nwho_private: {CANARY}\ntitle: B\n---\n",
        f"---\ntitle: A: B\nwho_private: {CANARY}\n---\n",
        f"---\ntitle: A\nwho_private: {CANARY}: x\n---\n",
        f"---\ntitle: A\nwho_private: |\n  {CANARY}\n {CANARY}: x: y\n---\n",
        f"---\ntitle: A\n'who_private': [{CANARY}\n---\n",
        f"---\ntitle: A\nwho_private: [a,\n{CANARY}: x: y]\n---\n",
        f'---\ntitle: A\nwho_private: "\n{CANARY}: x: y\n---\n',
        f"---\ntitle: A: B\nstack: {{who_private: {CANARY}, height: 4}}\n---\n",
        f"---\ntitle: A\nwho_private: {CANARY} \x07\n---\n",
        f"---\ntitle: A\nstack: {{who_private: {CANARY}, height: 4 mm, height: 4 mm, sheets: 4}}\n---\n",
        f"---\ntitle: A\nstack: {{who_private: {CANARY}, height: &a 4 mm, sheets: *a}}\n---\n",
        f"---\ntitle: A\nstack: {{who_private: {CANARY}, height: {'[' * 40}{']' * 40}}}\n---\n",
        f"---\ntitle: A\nstack: {{who_private: {CANARY}, [a]: 4}}\n---\n",
        f"---\ntitle: A\n---\n{{private}}{CANARY}\n",
        f"---\ntitle: A\nsupplier: {{private}}{CANARY}\n---\n{CANARY}\n",
        f"---\ntitle: A {{private}}{CANARY}\n",
        f"---\ntitle: A\n---\n{{/private}} {{private}} {CANARY}\n",
        f'---\ntitle: A\nsupplier: "\\x7bprivate}}{CANARY}{{/\\x70rivate}}"\n---\n',
        f'---\ntitle: A\nsupplier: "{{pri\\\n  vate}}{CANARY}{{/private}}"\n---\n',
        f"---\ntitle: [A, {{private}}{CANARY}{{/private}}\n---\n",
    ],
)
def test_a_wrong_note_tells_nothing_private(text: str) -> None:
    replica, problems = decode({"stocks/a.md": text})
    assert problems
    assert CANARY not in everything({"stocks/a.md": text})


def test_lines_and_columns_are_those_of_the_file() -> None:
    text = "---\ntitle: A {private}x{/private} B\n{private}\na: 1\n{/private}\ncaliper: {private}é{/private} 4 mn\n---\n"
    _, problems = decode({"stocks/a.md": text})
    line = text.split("\n")[5]
    assert [where(one) for one in problems] == [("Q101", 6, line.index("mn") + 1, "mn")]
    assert problems[0].span.text == "caliper: " + "·" * len("{private}é{/private}") + " 4 mn"


def test_unbalanced_marks_are_told_and_the_note_is_left_out() -> None:
    replica, problems = decode(
        {"stocks/a.md": note() + "one {/private}\n{private}two\n", "inserts/b.md": note(stock="a")}
    )
    assert [where(one) for one in problems] == [
        ("F110", 4, 5, "{/private}"),
        ("F110", 5, 1, "{private}"),
    ]
    assert replica is not None
    assert not replica.stocks


def test_private_files_are_never_looked_at() -> None:
    replica, problems = decode({**GOOD, "private/copies.yml": "a: [", "revisions/x.yml": "a: ["})
    assert problems == ()
    assert replica is not None


MARKS = [
    "{private}",
    "{/private}",
    "{ private }",
    "{/ private}",
    "\n",
    "---\n",
    "title: A\n",
    "x: ",
    " ",
    "|\n  ",
    '"',
]


@given(st.lists(st.sampled_from([*MARKS, "a", "- ", "[", "]", "#", "who_private: "]), max_size=24))
def test_hidden_text_is_as_long_and_holds_no_passage(pieces: list[str]) -> None:
    text = "".join(pieces)
    hidden = hide_private(text)
    assert len(hidden.text) == len(text)
    assert hidden.text.count("\n") == text.count("\n")
    assert "{private}" not in hidden.text
    assert all(0 <= fault.start < fault.end <= len(text) for fault in hidden.faults)


@given(
    before=st.lists(st.sampled_from(MARKS), max_size=8),
    after=st.lists(st.sampled_from(MARKS), max_size=8),
    lines=st.booleans(),
    ending=st.sampled_from(["stocks/a.md", "stocks/a.yml", "inserts/a.md", "log/2031-03-14-a.md"]),
)
def test_canary_in_a_passage_never_survives(
    before: list[str], after: list[str], lines: bool, ending: str
) -> None:
    # Closing marks before it could end another passage, so only whole passages stand around it.
    opened = itertools.accumulate((("/" not in m) - ("/" in m)) if "private" in m else 0 for m in before)
    if any(depth < 0 for depth in opened):
        before = [mark for mark in before if "private" not in mark]
    inner = f"\n{CANARY}\n" if lines else f"{CANARY}: {CANARY}"
    text = "".join(before) + "{private}" + inner + "{/private}" + "".join(after)
    assert CANARY not in everything({ending: text})


@given(
    st.recursive(
        st.just(CANARY),
        lambda inner: st.one_of(
            st.lists(inner, min_size=1, max_size=3).map(lambda items: "[" + ", ".join(items) + "]"),
            st.lists(inner, min_size=1, max_size=3).map(
                lambda items: "{" + ", ".join(f"k{n}: {item}" for n, item in enumerate(items)) + "}"
            ),
        ),
        max_leaves=6,
    ),
    st.sampled_from(
        ["{}", "stack: {{height: 4 mm, {}}}", "pictures: [{{file: a.png, {}}}]", "- {}", "x: [{{{}}}]"]
    ),
    st.sampled_from(["a_private", "A_PRIVATE", "_private", '"b_private"']),
)
def test_canary_in_a_private_field_never_survives(value: str, around: str, key: str) -> None:
    text = f"---\ntitle: A\n{around.format(f'{key}: {value}')}\ncaliper: 4\n---\n"
    assert CANARY not in everything({"stocks/a.md": text})

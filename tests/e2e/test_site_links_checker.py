"""The link checker of the tests must be able to fail."""

from __future__ import annotations

from pathlib import Path

from e2e.site_links import find_bad_links


def test_good_and_bad_links_are_told_apart(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "a.html").write_text('<h1 id="top">A</h1><a href="sub/b.html#part">b</a>', encoding="utf-8")
    (tmp_path / "sub/b.html").write_text(
        '<h2 id="part">B</h2><a href="../a.html#top">a</a><a href="#part">here</a>', encoding="utf-8"
    )
    assert find_bad_links(tmp_path) == ([], [], 3)
    (tmp_path / "sub/c.html").write_text(
        '<a href="../a.html#gone">x</a><a href="none.html">y</a><a href="../../out.html">z</a>'
        '<img src="https://elsewhere.example/p.png" srcset="p-1.webp 480w, p-2.webp 1400w">',
        encoding="utf-8",
    )
    broken, elsewhere, count = find_bad_links(tmp_path)
    assert count == 9
    assert len(broken) == 5
    assert elsewhere == ["sub/c.html: https://elsewhere.example/p.png"]

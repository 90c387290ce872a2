"""Swapping a new site in: whole or not at all, one build at a time."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from doublure.errors import UsageError
from doublure.store import output
from doublure.store.output import hold_lock, replace_site


def build(root: Path, words: str, site: Path | None = None) -> None:
    with replace_site(root, site) as fresh:
        (fresh / "index.html").write_text(words)


def fail_half_way(root: Path, error: type[BaseException]) -> None:
    with replace_site(root) as fresh:
        (fresh / "index.html").write_text("half")
        raise error


def names(root: Path) -> list[str]:
    return sorted(path.name for path in root.iterdir() if path.name != ".doublure")


def test_the_first_build_and_the_next(tmp_path: Path) -> None:
    build(tmp_path, "one")
    (tmp_path / "site" / "gone.html").write_text("of the first build")
    build(tmp_path, "two")
    assert (tmp_path / "site/index.html").read_text() == "two"
    assert names(tmp_path / "site") == ["index.html"]
    assert names(tmp_path) == ["site"]


@pytest.mark.parametrize("error", [RuntimeError, KeyboardInterrupt, SystemExit])
def test_a_failed_build_leaves_the_old_site(tmp_path: Path, error: type[BaseException]) -> None:
    build(tmp_path, "one")
    with pytest.raises(error):
        fail_half_way(tmp_path, error)
    assert (tmp_path / "site/index.html").read_text() == "one"
    assert names(tmp_path) == ["site"]


def test_a_failed_first_build_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError), replace_site(tmp_path):
        raise RuntimeError
    assert names(tmp_path) == []


def test_a_failed_rename_brings_the_old_site_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    build(tmp_path, "one")
    rename = os.rename

    def fail_on_the_fresh(source: Path, target: Path) -> None:
        if ".new-" in Path(source).name:
            raise PermissionError("in use")
        rename(source, target)

    monkeypatch.setattr(output.os, "rename", fail_on_the_fresh)
    with pytest.raises(PermissionError):
        build(tmp_path, "two")
    monkeypatch.undo()
    assert (tmp_path / "site/index.html").read_text() == "one"
    assert names(tmp_path) == ["site"]


CHILD = """
import sys, time
from pathlib import Path
from doublure.store.output import replace_site
with replace_site(Path(sys.argv[1])) as fresh:
    (fresh / "index.html").write_text("half")
    print("ready", flush=True)
    time.sleep(60)
"""


def test_a_killed_build_leaves_the_old_site_and_lets_go_of_the_lock(tmp_path: Path) -> None:
    build(tmp_path, "one")
    child = subprocess.Popen([sys.executable, "-c", CHILD, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    with child:
        assert child.stdout is not None
        assert child.stdout.readline() == "ready\n"
        with pytest.raises(UsageError, match="another build is running"):
            build(tmp_path, "two")
        assert len(names(tmp_path)) == 2
        child.send_signal(signal.SIGKILL)
    assert (tmp_path / "site/index.html").read_text() == "one"
    build(tmp_path, "two")
    assert (tmp_path / "site/index.html").read_text() == "two"
    assert names(tmp_path) == ["site"]


def test_a_build_that_died_between_the_renames_is_put_right(tmp_path: Path) -> None:
    build(tmp_path, "one")
    (tmp_path / "site").rename(tmp_path / "site.old-0123abcd")
    (tmp_path / "site.new-0123abcd").mkdir()
    with pytest.raises(RuntimeError), replace_site(tmp_path):
        raise RuntimeError
    assert (tmp_path / "site/index.html").read_text() == "one"
    assert names(tmp_path) == ["site"]


def test_hidden_files_are_carried_over(tmp_path: Path) -> None:
    build(tmp_path, "one")
    (tmp_path / "site/.git").mkdir()
    (tmp_path / "site/.git/HEAD").write_text("ref")
    build(tmp_path, "two")
    assert (tmp_path / "site/.git/HEAD").read_text() == "ref"
    # A build that died after the swap has them still in the old folder.
    (tmp_path / "site.old-0123abcd").mkdir()
    (tmp_path / "site/.git").rename(tmp_path / "site.old-0123abcd/.git")
    build(tmp_path, "three")
    assert (tmp_path / "site/.git/HEAD").read_text() == "ref"
    assert names(tmp_path) == ["site"]


def test_what_is_no_site_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    (tmp_path / "site/thesis.txt").write_text("years of work")
    with pytest.raises(UsageError, match="thesis|no site"):
        build(tmp_path, "one")
    assert (tmp_path / "site/thesis.txt").read_text() == "years of work"
    (tmp_path / "file").write_text("x")
    with pytest.raises(UsageError, match="no folder"):
        build(tmp_path, "one", tmp_path / "file")


def test_a_link_to_the_site_stays_one(tmp_path: Path) -> None:
    (tmp_path / "served").mkdir()
    (tmp_path / "site").symlink_to(tmp_path / "served")
    build(tmp_path, "one")
    build(tmp_path, "two")
    assert (tmp_path / "site").is_symlink()
    assert (tmp_path / "served/index.html").read_text() == "two"


def test_odd_names_of_folders(tmp_path: Path) -> None:
    site = tmp_path / "my [new] site *"
    build(tmp_path, "one", site)
    build(tmp_path, "two", site)
    assert (site / "index.html").read_text() == "two"
    assert names(tmp_path) == [site.name]


def test_the_lock_is_free_again(tmp_path: Path) -> None:
    with hold_lock(tmp_path):
        pass
    with hold_lock(tmp_path):
        script = textwrap.dedent(
            """
            import sys
            from pathlib import Path
            from doublure.errors import UsageError
            from doublure.store.output import hold_lock
            try:
                with hold_lock(Path(sys.argv[1])):
                    print("taken")
            except UsageError:
                print("refused")
            """
        )
        done = subprocess.run(
            [sys.executable, "-c", script, str(tmp_path)], capture_output=True, text=True, check=True
        )
        assert done.stdout == "refused\n"

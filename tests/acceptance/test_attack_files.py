"""Nothing is written over, no link is followed, nothing that a stranger planted is believed.

Each test fails for the program as it was before; the sources are attacks on it, not published ones.
"""

from __future__ import annotations

import json
import os
import sqlite3
from pathlib import Path

import pytest

from helpers_attack import INTAKE, home, run, sealed
from helpers_record import at, names
from proveout.model.problem import BadInputError
from proveout.record import casefile
from proveout.record.index import SUFFIX, CaseIndex
from proveout.text.own import own_directory

__all__ = ["home"]


@pytest.fixture
def case(tmp_path: Path) -> Path:
    shop = tmp_path / "shop"
    shop.mkdir()
    return sealed(shop / "a.yaml", ("intake", INTAKE))


def test_no_output_is_written_over_a_case(case: Path, home: Path) -> None:
    """``report a.yaml --out a.yaml``, ``learn . --plot a.yaml`` and ``cases . --index a.yaml`` lost it."""
    before = case.read_bytes()
    for arguments in (
        ["report", case, "--out", case],
        ["learn", case.parent, "--plot", case],
        ["cases", case.parent, "--index", case],
    ):
        assert run(*arguments, home=home).code in (2, 3), arguments
        assert case.read_bytes() == before, arguments


@pytest.mark.parametrize("content", [b"mine", b"codes: [P0442]\n", b"\x7fELF"])
def test_no_output_is_written_over_a_file_of_another_kind(content: bytes, case: Path, home: Path) -> None:
    mine = case.parent / "mine"
    mine.write_bytes(content)
    for arguments in (["report", case, "--out", mine], ["learn", case.parent, "--plot", mine]):
        answer = run(*arguments, home=home)
        assert answer.code == 3 and "other-file" in answer.err and str(mine) in answer.err
        assert mine.read_bytes() == content


def test_a_page_is_written_over_an_older_page(case: Path, home: Path) -> None:
    page = case.parent / "page.html"
    for _ in range(2):
        assert run("report", case, "--out", page, home=home).code == 0
    assert page.read_text().startswith("<!doctype html>")


@pytest.mark.parametrize("victim", ["there", "missing"])
def test_links_in_a_strangers_directory_lead_nowhere(victim: str, case: Path, home: Path) -> None:
    """Fixed names of temporary files and of the index were links to one's own files."""
    shop, mine = case.parent, case.parent.parent / "mine"
    if victim == "there":
        mine.write_text("mine")
    for name in (
        ".proveout-index.sqlite",
        ".new.yaml.new",
        ".page.html.new",
        "page.html",
        "plot.svg",
        "new.yaml",
    ):
        (shop / name).symlink_to(mine)
    run("cases", shop, home=home)
    run("intake", shop / "new.yaml", "--code", "P0442", home=home)
    run("report", case, "--out", shop / "page.html", home=home)
    run("learn", shop, "--plot", shop / "plot.svg", home=home)
    assert mine.read_text() == "mine" if victim == "there" else not mine.exists()
    with pytest.raises(BadInputError, match="file-exists"):
        casefile.create(shop / "new.yaml", INTAKE, at(1))


def test_a_planted_index_is_not_even_opened(case: Path, home: Path) -> None:
    """An endless view took 4.4 GiB; edited rows were believed."""
    planted = case.parent / ".proveout-index.sqlite"
    with sqlite3.connect(planted) as base:
        base.execute(
            "CREATE VIEW cases AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i+1 FROM n) "
            "SELECT i FROM n"
        )
        base.execute("PRAGMA user_version = 1")
    before = planted.read_bytes()
    listed = json.loads(run("cases", case.parent, "--json", home=home).out)["cases"]
    assert [item["path"] for item in listed] == ["a.yaml"] and planted.read_bytes() == before


@pytest.mark.parametrize(
    "script",
    [
        "DROP TABLE cases; CREATE VIEW cases AS SELECT * FROM files",
        "CREATE TRIGGER t AFTER INSERT ON files BEGIN DELETE FROM cases; END",
        "CREATE TABLE extra(x)",
        "UPDATE cases SET parts_cost = 'much', title = x'00'",
    ],
)
def test_an_index_with_other_tables_or_values_is_made_anew(script: str, case: Path, tmp_path: Path) -> None:
    index = CaseIndex(case.parent, tmp_path / "own")
    index.refresh()
    whole = index.find()
    (file,) = (tmp_path / "own").glob(f"*{SUFFIX}")
    base = sqlite3.connect(file)
    base.executescript(script)
    base.close()
    try:
        index.refresh()
        assert index.find() == whole
    except BadInputError as error:
        assert error.problems[0].check == "cannot-index"
        file.unlink()


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="only root can give files away")
def test_an_index_of_another_owner_or_in_an_open_directory_is_not_believed(
    case: Path, tmp_path: Path
) -> None:
    own = tmp_path / "own"
    CaseIndex(case.parent, own).refresh()
    (file,) = own.glob(f"*{SUFFIX}")
    base = sqlite3.connect(file)
    with base:
        base.execute("UPDATE cases SET title = 'planted'")
    base.close()
    os.chown(file, 2001, 2001)
    index = CaseIndex(case.parent, own)
    index.refresh()
    assert index.find()[0].summary.title == ""
    for mode, owner in ((0o777, 0), (0o700, 2001)):
        own.chmod(mode)
        os.chown(own, owner, owner)
        with pytest.raises(BadInputError, match="not-own-directory"):
            own_directory(own)
        index = CaseIndex(case.parent, own)
        assert index.refresh().problems == () and index.find()[0].summary.title == ""


def test_a_case_changed_with_its_time_set_back_is_read_again(case: Path, tmp_path: Path) -> None:
    index = CaseIndex(case.parent, tmp_path / "own")
    index.refresh()
    status = case.stat()
    sealed(case, ("intake", {**INTAKE, "codes": ["P0452"]}))
    os.utime(case, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert index.refresh().read == 1 and index.find()[0].summary.codes == ("P0452",)


def test_a_rule_is_written_into_its_directory_only(tmp_path: Path, home: Path) -> None:
    arguments = ["--in", tmp_path / "rules", "--observe", "code:P0442", "--cause", "filler-cap-seal-leaking"]
    for name in ("../evil", "/tmp/evil", "a/b", ".hidden", "", "Evil", "a\x1b[2Jb"):
        assert run("rules", "new", name, *arguments, home=home).code == 2, name
    assert names(tmp_path) == set()


def test_a_name_that_cannot_be_read_stops_nothing(case: Path, home: Path) -> None:
    """A damaged case, a link in a circle, a directory named like a case: the rest is listed."""
    shop = case.parent
    sealed(shop / "bad.yaml", ("reading", {"inspection": "x", "result": "y"}))
    torn = sealed(shop / "torn.yaml", ("intake", INTAKE), ("note", {"text": "x" * 200}))
    torn.write_bytes(torn.read_bytes()[:-40])
    (shop / "circle.yaml").symlink_to(shop / "circle.yaml")
    (shop / "dir.yaml").mkdir()
    (shop / "huge.yaml").write_bytes(case.read_bytes())
    os.truncate(shop / "huge.yaml", 1 << 40)
    answer = run("cases", shop, "--json", home=home)
    assert [item["path"] for item in json.loads(answer.out)["cases"]] == ["a.yaml"]
    assert answer.code == 1
    for name in ("bad.yaml", "torn.yaml", "huge.yaml"):
        assert name in answer.err, answer.err
    learned = run("learn", shop, home=home)
    assert learned.code == 0 and "bad.yaml" in learned.err


def test_opening_a_case_is_all_or_nothing(tmp_path: Path) -> None:
    """Where the book cannot be kept, no case is left that has no advice."""
    from helpers_cli import proveout

    (tmp_path / "data").write_text("a file where the directory should be")
    answer = proveout("intake", tmp_path / "car.yaml", "--code", "P0442", home=tmp_path)
    assert answer.code == 3 and not (tmp_path / "car.yaml").exists(), answer


def test_lost_and_altered_packs_are_filled_again(tmp_path: Path) -> None:
    from helpers_book import write_book
    from proveout.record import snapshot

    store, taken = tmp_path / "store", snapshot.take((write_book(tmp_path / "rules"),))
    digest = snapshot.keep(store, taken)
    for gone in (True, False):
        for path in (store / "packs").glob("*.z"):
            path.unlink() if gone else path.write_bytes(b"x")
        (store / "books" / f"{digest}.packs").unlink()
        assert snapshot.keep(store, taken) == digest
        assert snapshot.load(store, digest) == taken
    for path in (store / "packs").glob("*.z"):
        path.unlink()
    assert snapshot.keep(store, taken) == digest and snapshot.load(store, digest) == taken


def test_a_torn_end_is_mended_by_the_command_that_is_named(case: Path, home: Path) -> None:
    whole = case.read_bytes()
    casefile.append(case, "note", {"text": "y" * 300}, at(2))
    case.write_bytes(case.read_bytes()[:-90])
    told = run("audit", case, home=home)
    assert told.code == 4 and f"proveout audit {case} --mend" in " ".join(told.out.split())
    mended = run("audit", case, "--mend", home=home)
    assert mended.code == 0 and "a.yaml.torn" in mended.err, mended
    assert case.read_bytes() == whole and (case.parent / "a.yaml.torn").exists()


def test_a_short_head_counts_as_a_head_and_what_is_none_as_bad_input(case: Path, home: Path) -> None:
    head = casefile.read(case)[-1].digest
    assert run("audit", case, "--head", head[:16], home=home).code == 0
    assert run("audit", case, "--head", "f" * 16, home=home).code == 4
    for wrong in ("", "abc", head[:15], head + "0", head.upper(), "not a head"):
        assert run("audit", case, "--head", wrong, home=home).code == 3, wrong


@pytest.mark.parametrize("content", [b"[" * 100_000, b"\xff", b'{"inspection": 1}', None])
def test_what_lies_beside_a_case_under_the_name_of_a_place_or_draft_keeps_nobody(
    content: bytes | None, tmp_path: Path
) -> None:
    """A pipe there (None) kept the program waiting for ever; brackets without end were an internal fault."""
    from proveout.app.job import forget_place, kept_place
    from proveout.terminal.drafts import _taken_up, draft_of

    case = tmp_path / "van.yaml"
    for path in (tmp_path / "van.yaml.place", draft_of(case)):
        if content is None:
            os.mkfifo(path)
        else:
            path.write_bytes(content)
    assert kept_place(case, "sensor-hose-look") == 0
    assert _taken_up(draft_of(case)).parts == {}
    forget_place(case)

"""The index over a directory of cases: always what the files say."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_record import INTAKE, at, names, write_case
from proveout.model.problem import BadInputError
from proveout.record import casefile
from proveout.record.index import CaseIndex, Query
from proveout.record.summary import summarise
from proveout.show.listing import cases_text, totals_text


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Four cases: closed with a wrong part bought, closed, open with an advice, open."""
    write_case(tmp_path / "closed.yaml")
    wrong = tmp_path / "sub" / "wrong.yaml"
    wrong.parent.mkdir()
    casefile.create(wrong, {"title": "Red car_1", "codes": [{"code": "P0455"}, "P0442"]}, at(2))
    casefile.append(wrong, "purchase", {"cause": "hose-cracked", "cost": 12}, at(3))
    casefile.append(wrong, "purchase", {"cause": "valve-leaks", "cost": 40.5}, at(4))
    casefile.append(wrong, "close", {"outcome": "confirmed", "cause": "valve-leaks"}, at(5))
    advised = tmp_path / "advised.yaml"
    casefile.create(advised, INTAKE, at(6))
    casefile.append(advised, "advice", {"causes": [{"id": "hose-cracked", "confidence": 0.5}]}, at(7))
    casefile.create(tmp_path / "open.yaml", {"symptoms": ["smell"]}, at(8))
    (tmp_path / "intake.yaml").write_text("codes: [P0442]\n")
    return tmp_path


def home_of(shop: Path) -> Path:
    """Return the user's own directory for indexes: not below the cases."""
    return shop.parent / f"{shop.name}-indexes"


def index_of(shop: Path) -> CaseIndex:
    return CaseIndex(shop, home_of(shop))


def found(shop: Path, **query: object) -> list[str]:
    return [row.path.as_posix() for row in index_of(shop).find(Query(**query))]  # type: ignore[arg-type]


def test_every_case_is_found_once_the_latest_first(shop: Path) -> None:
    done = index_of(shop).refresh()
    assert (done.read, done.forgotten, done.unchanged, done.problems) == (5, 0, 0, ())
    assert found(shop) == ["closed.yaml", "open.yaml", "advised.yaml", "sub/wrong.yaml"]


@pytest.mark.parametrize(
    ("query", "paths"),
    [
        ({"code": "P0455"}, ["sub/wrong.yaml"]),
        ({"code": "p0442"}, ["closed.yaml", "advised.yaml", "sub/wrong.yaml"]),
        ({"cause": "valve-leaks"}, ["closed.yaml", "sub/wrong.yaml"]),
        ({"cause": "hose-cracked"}, ["advised.yaml"]),
        ({"closed": True}, ["closed.yaml", "sub/wrong.yaml"]),
        ({"closed": False}, ["open.yaml", "advised.yaml"]),
        ({"outcome": "confirmed"}, ["closed.yaml", "sub/wrong.yaml"]),
        ({"wrong_cost": 1}, ["sub/wrong.yaml"]),
        ({"vehicle": "red"}, ["sub/wrong.yaml"]),
        ({"vehicle": "grey 14"}, ["closed.yaml", "advised.yaml"]),
        ({"vehicle": "car_1"}, ["sub/wrong.yaml"]),
        ({"vehicle": "car%1"}, []),
        ({"vehicle": "advis"}, ["advised.yaml"]),
        ({"order": "wrong_cost", "limit": 1}, ["sub/wrong.yaml"]),
        ({"code": "P0442", "closed": False}, ["advised.yaml"]),
    ],
)
def test_queries(query: dict[str, object], paths: list[str], shop: Path) -> None:
    index_of(shop).refresh()
    assert found(shop, **query) == paths


def test_summaries(shop: Path) -> None:
    index_of(shop).refresh()
    (wrong,) = index_of(shop).find(Query(code="P0455"))
    summary = wrong.summary
    assert (summary.parts_cost, summary.wrong_cost, summary.events) == (52.5, 12, 4)
    assert summary.head == casefile.read(shop / wrong.path)[-1].digest
    assert (summary.opened, summary.last, set(summary.codes)) == (at(2), at(5), {"P0442", "P0455"})
    (closed,) = index_of(shop).find(Query(vehicle="grey", closed=True))
    assert closed.summary.vehicle == "14 y, 183000 km" and closed.summary.title == "Grey van"


def test_what_was_bought_in_vain_counts_where_nothing_was_confirmed(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    casefile.create(path, INTAKE, at(1))
    casefile.append(path, "purchase", {"cause": "valve-leaks", "cost": 10}, at(2))
    assert summarise(path.read_bytes(), "van").wrong_cost == 0
    casefile.append(path, "close", {"outcome": "given-up"}, at(3))
    assert summarise(path.read_bytes(), "van").wrong_cost == 10
    casefile.append(path, "reading", {"inspection": "hose-look", "result": "whole"}, at(4))
    summary = summarise(path.read_bytes(), "van")
    assert not summary.closed and summary.wrong_cost == 0


def test_totals(shop: Path) -> None:
    index_of(shop).refresh()
    assert index_of(shop).totals() == (
        ("confirmed", "valve-leaks", 2, 97.4, 12.0, ""),
        ("open", "", 1, 0.0, 0.0, ""),
        ("open", "hose-cracked", 1, 0.0, 0.0, ""),
    )


def test_amounts_stand_with_their_currency_and_causes_with_their_title(tmp_path: Path) -> None:
    for name, currency in (("a", "EUR"), ("b", "USD")):
        path = tmp_path / f"{name}.yaml"
        casefile.create(path, {**INTAKE, "costs": {"currency": currency}}, at(1))
        casefile.append(path, "purchase", {"cause": "valve-leaks", "cost": 10}, at(2))
        casefile.append(path, "close", {"outcome": "given-up"}, at(3))
    index_of(tmp_path).refresh()
    titles = {"": "", "valve-leaks": "Valve leaks"}
    listed = cases_text(index_of(tmp_path).find(Query(closed=True)), titles)
    assert "given up" in listed and "10 EUR on wrong parts" in listed and "10 USD on wrong parts" in listed
    totals = index_of(tmp_path).totals()
    assert [(row[2], row[4], row[5]) for row in totals] == [(1, 10.0, "EUR"), (1, 10.0, "USD")]
    assert "10 EUR  given up, unknown" in totals_text(totals, titles)


def test_only_changed_files_are_read_again(shop: Path) -> None:
    index_of(shop).refresh()
    assert index_of(shop).refresh().read == 0
    casefile.append(shop / "open.yaml", "close", {"outcome": "referred"}, at(9))
    (shop / "advised.yaml").unlink()
    done = index_of(shop).refresh()
    assert (done.read, done.forgotten, done.unchanged) == (1, 1, 3)
    assert found(shop, closed=False) == []


@pytest.mark.parametrize("harm", ["gone", "empty", "text", "old", "cut"])
def test_a_harmed_index_is_made_anew(harm: str, shop: Path) -> None:
    index_of(shop).refresh()
    before = index_of(shop).find()
    (file,) = home_of(shop).glob("*.sqlite")
    data = file.read_bytes()
    if harm == "gone":
        file.unlink()
    else:
        old = data[:60] + b"\0\0\0\x63" + data[64:]
        file.write_bytes({"empty": b"", "text": b"hello\n" * 99, "old": old, "cut": data[:9000]}[harm])
    index_of(shop).refresh()
    assert index_of(shop).find() == before


def test_an_index_harmed_inside_is_made_anew_or_right(shop: Path) -> None:
    index_of(shop).refresh()
    before = index_of(shop).find()
    (file,) = home_of(shop).glob("*.sqlite")
    data = file.read_bytes()
    page = 4096
    for number in range(1, len(data) // page):
        file.write_bytes(data[: number * page] + b"\xff" * page + data[(number + 1) * page :])
        try:
            index_of(shop).refresh()
            assert index_of(shop).find() == before
        except BadInputError as error:
            assert error.problems[0].check == "cannot-index"
            file.unlink()


def test_a_damaged_case_is_named_and_the_others_are_indexed(shop: Path) -> None:
    bad = shop / "open.yaml"
    bad.write_bytes(bad.read_bytes().replace(b"kind: intake", b"kind: inlake"))
    done = index_of(shop).refresh()
    assert [problem.place.file for problem in done.problems] == [str(bad)]
    assert len(found(shop)) == 3
    assert index_of(shop).refresh().problems == done.problems


def test_the_index_lies_in_the_users_own_directory_and_nowhere_else(shop: Path) -> None:
    before = names(shop)
    index_of(shop).refresh()
    assert names(shop) == before
    (file,) = home_of(shop).glob("*.sqlite")
    assert home_of(shop).stat().st_mode & 0o077 == 0 and file.is_file()


def test_a_directory_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="No such file"):
        index_of(tmp_path / "none").refresh()


def test_an_unknown_order_is_refused(shop: Path) -> None:
    with pytest.raises(BadInputError, match="last, opened"):
        index_of(shop).find(Query(order="1; DROP TABLE cases"))


def test_hidden_files_are_passed_by(shop: Path) -> None:
    (shop / "open.yaml").rename(shop / ".open.yaml")
    index_of(shop).refresh()
    assert "open.yaml" not in " ".join(found(shop))

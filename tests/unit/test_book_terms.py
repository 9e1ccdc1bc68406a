"""Warranty terms and inspection programmes laid over the book; all of them are made up."""

from __future__ import annotations

from math import inf
from pathlib import Path

import pytest

from helpers_book import write_book
from proveout.book.load import check, load_book
from proveout.readiness.inspection import PROGRAMMES, Vehicle, inspect, known_programmes
from proveout.readiness.warranty import FEDERAL, MAY_PAY, OVER, UNKNOWN, known_terms, reminders

WARRANTIES = """\
- id: made-up-club
  title: Made-up club
  years: 5
  distance: 60000 mi
  components: [valve]
  first_model_year: 2010
  source: made up
- {id: made-up-for-life, title: Made-up for life, distance: 300000 km, source: made up}
"""
PROGRAMMES_TEXT = """\
- id: made-up-state
  title: Made-up state
  first_year: 2003
  unready: [{from: 2008, at_most: 0}, {from: 2000, at_most: 2}]
  only: [evap, catalyst]
  permanent_fails: true
  source: made up
"""


def layer(home: Path, warranties: str = WARRANTIES, programmes: str = PROGRAMMES_TEXT) -> Path:
    home.mkdir()
    (home / "made-up.warranties.yaml").write_text(warranties, encoding="utf-8")
    (home / "made-up.programmes.yaml").write_text(programmes, encoding="utf-8")
    return home


def test_terms_of_a_layer_stand_beside_those_that_come_along(tmp_path: Path) -> None:
    book = load_book((layer(tmp_path / "own"),), base=write_book(tmp_path / "rules"))
    club, life, *others = known_terms(book)
    assert (club.id, life.id, *others) == ("made-up-club", "made-up-for-life", *FEDERAL)
    assert (club.years, club.components, club.first_model_year) == (5, ("valve",), 2010)
    assert club.km == pytest.approx(96_560.64) and (life.years, life.km) == (inf, 300_000)
    assert club.place.line == 1 and club.layer == "own"

    def stand(component: str, age: float | None, km: float | None) -> dict[str, str]:
        return {one.term.id: one.stands for one in reminders(component, age, km, 2012, (club, life))}

    assert stand("valve", 4, 96_000) == {"made-up-club": MAY_PAY, "made-up-for-life": MAY_PAY}
    assert stand("valve", 4, 97_000) == {"made-up-club": OVER, "made-up-for-life": MAY_PAY}
    assert stand("hose", None, 97_000) == {"made-up-for-life": MAY_PAY}
    assert stand("hose", 30, None) == {"made-up-for-life": UNKNOWN}


def test_a_programme_of_a_layer_decides_by_its_own_figures(tmp_path: Path) -> None:
    book = load_book((layer(tmp_path / "own"),), base=write_book(tmp_path / "rules"))
    programmes = known_programmes(book)
    assert programmes.keys() == PROGRAMMES.keys() | {"made-up-state"}
    made_up = programmes["made-up-state"]
    assert not inspect(Vehicle(2002), made_up).covered
    assert inspect(Vehicle(2007, unready=("evap", "catalyst")), made_up).passes
    assert not inspect(Vehicle(2007, unready=("oxygen-sensor",)), made_up).passes
    assert not inspect(Vehicle(2008, unready=("evap",)), made_up).passes
    assert inspect(Vehicle(2008, permanent=("P0442",)), made_up).failed


@pytest.mark.parametrize(
    ("old", "new", "name", "line", "words"),
    [
        ("distance: 60000 mi", "distance: 60000 miles", "schema-form", 4, "70000 mi"),
        ("distance: 60000 mi", "distance: 0 mi", "schema-form", 4, "70000 mi"),
        ("years: 5", "years: 0", "schema-value", 3, "more than 0"),
        (", distance: 300000 km", "", "schema-choice", 8, "years, distance"),
        ("components: [valve]", "components: [valv]", "unknown-id", 5, "did you mean 'valve'?"),
        ("id: made-up-club", "id: us-federal-other", "duplicate-id", 1, "rename it"),
        ("first_year: 2003", "first_year: 1999", "first-year", 4, "add one from 1999"),
        ("at_most: 2}", "at_most: -1}", "schema-value", 4, "at least 0"),
        ("only: [evap, catalyst]", "only: [evap, catalist]", "schema-choice", 5, "did you mean 'catalyst'?"),
        ("id: made-up-state", "id: us-california", "duplicate-id", 1, "comes with the program"),
        ("permanent_fails: true", "permanent_fails: maybe", "schema-type", 6, "true or false"),
    ],
)
def test_what_cannot_be_used_is_refused_at_its_line(
    tmp_path: Path, old: str, new: str, name: str, line: int, words: str
) -> None:
    assert (WARRANTIES + PROGRAMMES_TEXT).count(old) == 1
    own = layer(tmp_path / "own", WARRANTIES.replace(old, new), PROGRAMMES_TEXT.replace(old, new))
    (problem,) = check((own,), base=write_book(tmp_path / "rules"))
    assert (problem.check, problem.place.line) == (name, line)
    assert words in str(problem)

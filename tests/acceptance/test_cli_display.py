"""Metric or US units by preference on the command line: texts change, records and JSON do not."""

from __future__ import annotations

from pathlib import Path
from unittest import mock

import pytest

from helpers_cli import proveout, write_yaml

READING = ("purge-valve-holds-vacuum", "-50 kPa")


def opened(tmp_path: Path) -> Path:
    car = tmp_path / "car.yaml"
    assert proveout("intake", car, "--code", "P0442", "--age", "14", home=tmp_path).code == 0
    return car


def test_limits_on_the_page_are_in_the_units_preferred(tmp_path: Path) -> None:
    car = opened(tmp_path)
    pages = {
        display: proveout("steps", car, READING[0], "--display", display, home=tmp_path).out
        for display in ("as-written", "metric", "us")
    }
    assert "holds          -40 kPa or less" in pages["as-written"]
    assert "holds          -11.81 inHg or less" in pages["us"]
    assert pages["as-written"] == pages["metric"] == proveout("steps", car, READING[0], home=tmp_path).out


def test_a_reading_is_told_in_the_units_preferred_and_kept_as_typed(tmp_path: Path) -> None:
    cars = []
    for display in ("us", "metric"):
        (tmp_path / display).mkdir()
        car = opened(tmp_path / display)
        answer = proveout("record", car, *READING, "--display", display, home=tmp_path)
        assert answer.code == 0, answer.err
        assert ("-50 kPa (-14.76 inHg)" in answer.out) == (display == "us")
        assert "counts as holds" in answer.out
        cars.append(car)
    kept = [
        [
            line
            for line in car.read_text().splitlines()
            if not line.startswith(("at:", "previous:", "digest:"))
        ]
        for car in cars
    ]
    assert kept[0] == kept[1]
    assert not any("inHg" in line for line in kept[0])


@pytest.mark.parametrize("command", ["triage", "why"])
def test_a_json_document_never_changes(tmp_path: Path, command: str) -> None:
    car = write_yaml(
        tmp_path / "car.yaml",
        {"codes": ["P0442"], "readings": [{"inspection": READING[0], "value": "-40.2 kPa"}]},
    )
    given = [
        proveout(command, car, "--json", "--display", display, home=tmp_path).out
        for display in ("as-written", "us")
    ]
    assert given[0] == given[1]
    whole = ("--full",) if command == "triage" else ()
    texts = [
        proveout(command, car, *whole, "--display", display, home=tmp_path).out
        for display in ("metric", "us")
    ]
    assert texts[0] != texts[1] and "inHg" in texts[1] and "inHg" not in texts[0]


def test_the_report_and_formulas_follow_the_preference(tmp_path: Path) -> None:
    car = write_yaml(
        tmp_path / "car.yaml",
        {"codes": ["P0442"], "readings": [{"inspection": READING[0], "value": "-50 kPa"}]},
    )
    assert "-50 kPa (-14.76 inHg)" in proveout("report", car, "--display", "us", home=tmp_path).out
    arguments = ("compute", "absolute-pressure", "gauge=20 psi", "barometer=101.325 kPa")
    assert "psi" in proveout(*arguments, "--display", "us", home=tmp_path).out
    assert "kPa" in proveout(*arguments, "--display", "metric", home=tmp_path).out


def test_the_environment_sets_it_for_good_and_an_option_goes_before_it(tmp_path: Path) -> None:
    car = opened(tmp_path)
    with mock.patch.dict("os.environ", {"PROVEOUT_DISPLAY": "us"}):
        assert "inHg or less" in proveout("steps", car, READING[0], home=tmp_path).out
        written = proveout("steps", car, READING[0], "--display", "as-written", home=tmp_path).out
        assert "-40 kPa or less" in written
    with mock.patch.dict("os.environ", {"PROVEOUT_DISPLAY": "imperial"}):
        answer = proveout("steps", car, READING[0], home=tmp_path)
    assert answer.code == 2 and "'imperial' is not one of" in answer.err


def test_why_shows_the_vehicles_own_figure_and_the_generic_one(tmp_path: Path) -> None:
    limits = {"inspection": READING[0], "limits": {"holds": "..-45 kPa"}, "reference": "handbook p. 9"}
    car = write_yaml(
        tmp_path / "car.yaml",
        {
            "codes": ["P0442"],
            "readings": [{"inspection": READING[0], "value": "-40.9 kPa"}],
            "own_figures": [limits],
        },
    )
    told = " ".join(proveout("why", car, "purge-valve-stuck-open", home=tmp_path).out.split())
    assert "read: -40.9 kPa; by handbook p. 9: holds ..-45 kPa (generic ..-40 kPa)" in told
    page = proveout("steps", car, READING[0], home=tmp_path).out
    assert "-45 kPa or less (generic -40 kPa or less)" in page and "Limits: handbook p. 9." in page

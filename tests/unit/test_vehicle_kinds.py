"""What an entry fits is said on each page that tells how it is inspected."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from helpers_shipped import shipped_book
from proveout.cli.main import main
from proveout.model.vehicle import KINDS, NAMES, only_for


def test_every_kind_has_a_name() -> None:
    assert set(NAMES) == set(KINDS)


@pytest.mark.parametrize(
    ("fits", "not_for", "told"),
    [
        ((), (), ""),
        (("turbo",), (), "Only for engines with a turbocharger."),
        (("turbo", "diesel"), (), "Only for engines with a turbocharger that are also diesels."),
        ((), ("diesel", "hybrid"), "Not for diesels, nor for hybrids."),
    ],
)
def test_kinds_in_words(fits: tuple[str, ...], not_for: tuple[str, ...], told: str) -> None:
    assert only_for(fits, not_for) == told


def test_the_page_of_an_inspection_says_what_it_is_not_for() -> None:
    """A page printed for a petrol engine and used on a diesel ruins a pump that lives on its fuel."""
    assert shipped_book().inspections["fuel-pressure-sensor-at-rest"].not_for == ("diesel",)
    shown = CliRunner().invoke(main, ["rules", "show", "fuel-pressure-sensor-at-rest"]).stdout
    assert "\nVehicles: Not for diesels.\n" in shown
    assert "Vehicles:" not in CliRunner().invoke(main, ["rules", "show", "battery-rested-voltage"]).stdout

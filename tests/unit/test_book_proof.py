"""How a repair is proved: fuel joints looked at, leads kept clear of what turns, cleared codes read again."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_state import complaints, layer

PROOF = "after_repair: [Clear the codes; none comes back.]"
FUEL = (
    "  - {id: under-pressure, follows_from: [{pressure: fuel}], title: Fuel, text: Let it down.}\n",
    "{unplugged: [the fan], pressure: [fuel], put_back: true}",
)


def _found(tmp_path: Path, proof: str, fuel: bool = False, action: str = "repair") -> list[str]:
    base, shop = layer(tmp_path, "{key: off, engine: off}")
    path = shop / "fan.yaml"
    text = path.read_text()
    assert PROOF in text
    text = text.replace(PROOF, f'after_repair: ["{proof}"]').replace("action: repair", f"action: {action}")
    if fuel:
        text = text.replace("routines:\n", FUEL[0] + "routines:\n", 1)
        text = text.replace("{unplugged: [the fan], put_back: true}", FUEL[1], 1)
    path.write_text(text)
    return [problem.check for problem in complaints(base, shop)]


@pytest.mark.parametrize(
    ("proof", "fuel", "found"),
    [
        ("It starts at once, and no code comes back.", True, ["fuel-joint-unwatched"]),
        ("Key on, look for drips. No code comes back.", True, []),
        ("It starts at once, and no code comes back.", False, []),
        ("Measure the drop again, engine running. No code comes back.", False, ["leads-at-running-engine"]),
        ("Charging voltage at 2,000 rpm; no code comes back.", False, ["leads-at-running-engine"]),
        ("Leads clear of belt and fan, measure at idle. No code comes back.", False, []),
        ("Measure the drop again, key on. No code comes back.", False, []),
        ("Clear the codes and look at the lead.", False, ["cleared-for-good"]),
        ("It is quiet; codes clear.", False, ["cleared-for-good"]),
        ("Clear the codes and drive until the monitor has run.", False, []),
        ("Clear any codes and drive; read again.", False, []),
    ],
)
def test_a_repair_is_proved_without_harm_and_by_what_was_read(
    tmp_path: Path, proof: str, fuel: bool, found: list[str]
) -> None:
    assert _found(tmp_path, proof, fuel) == found


def test_what_is_handed_over_is_proved_by_those_who_do_it(tmp_path: Path) -> None:
    assert _found(tmp_path, "Clear the codes; measure again at idle.", True, "refer") == []

"""What entries are written with can be listed and shown, so that nobody need look into the book's files."""

from __future__ import annotations

import json
from pathlib import Path

from helpers_cli import proveout
from proveout.app.checking import checked

PATTERN = """\
pattern: wired
takes:
  say: {note: what it is called}
  at: {note: how one gets at it, default: [engine-bay]}
sources: {base_rate: own jobs}
causes:
  - {id: "{as}-open", title: "{say} open", component: fuel-cap, base_rate: 1 per 1000,
    remedy: {action: repair, minutes: 5}}
groups: [{id: "{as}.dead", causes: ["{as}-open"]}]
texts: [{id: our-warning, text: Nobody beneath.}]
"""


def shop(home: Path) -> Path:
    (home / "own").mkdir()
    (home / "own" / "wired.yaml").write_text(PATTERN)
    return home / "own"


def test_patterns_groups_and_texts_are_listed_a_shops_own_among_them(tmp_path: Path) -> None:
    own = shop(tmp_path)
    for kind, key, said in (
        ("patterns", "wired", "asks for say"),
        ("patterns", "three-wire-sensor", "asks for say, value"),
        ("groups", "five-volt-reference.dead", "five-volt-trunk-open"),
        ("texts", "our-warning", "Nobody beneath."),
        ("safety-limits", "same-rating-fuse", "never a bigger one"),
    ):
        found = proveout("rules", "list", kind, "--rules", own, "--json", home=tmp_path)
        assert said in json.loads(found.out)["kinds"][kind][key], (kind, key)
    wrong = proveout("rules", "list", "pattern", home=tmp_path)
    assert (wrong.code, "patterns, groups, texts" in wrong.err) == (2, True)


def test_a_pattern_shows_what_a_use_gives_and_what_comes_of_it(tmp_path: Path) -> None:
    shown = proveout("rules", "show", "wired", "--rules", shop(tmp_path), home=tmp_path).out.splitlines()
    assert shown[0] == f"pattern wired  ({tmp_path}/own/wired.yaml:1:1)"
    for line in (
        "  - {pattern: wired, as: ID, say: ...}",
        "  say  what it is called",
        "  at  how one gets at it (else engine-bay)",
        "  causes  -open",
        "  groups  .dead",
    ):
        assert line in shown
    wrong = proveout("rules", "show", "three-wires-sensors", home=tmp_path)
    assert (wrong.code, "[unknown-id]" in wrong.err) == (3, True)


SENDER = """\
components: [{id: oil-heat, title: Gearbox oil temperature sender}]
uses:
  - {pattern: two-wire-resistor-sensor, as: oil-heat, say: gearbox oil temperature sender,
    value: gearbox oil temperature}
  - {pattern: thermistor, as: oil-heat, say: gearbox oil temperature sender, value: gearbox oil temperature,
    first: [oil-heat-plug-look]}
codes:
  - {id: P0712, meaning: It reads hot., family: transmission, replaces: P0712, source: own jobs,
    seen_with: {oil-heat.reads-hot: often}, otherwise: 0.0002}
  - {id: P0713, meaning: It reads cold., family: transmission, replaces: P0713, source: own jobs,
    seen_with: {oil-heat.reads-cold: often, oil-heat-connector-corroded: seldom, oil-heat-biased: 0.01},
    otherwise: 0.0002}
"""


def test_a_pattern_tells_which_other_makes_what_it_names_and_the_two_together_pass(tmp_path: Path) -> None:
    """An element was refused as an unknown cause, and nothing said that a second pattern makes it."""
    shown = proveout("rules", "show", "two-wire-resistor-sensor", home=tmp_path).out.splitlines()
    at = shown.index("It names, and a use of thermistor as the same ID would make")
    assert shown[at + 1] == "  -open, -shorted"
    (tmp_path / "sender.yaml").write_text(SENDER)
    assert not checked((tmp_path,)).problems

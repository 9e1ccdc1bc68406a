"""The declared state of the vehicle: cautions and steps follow from it, and contradictions are refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_shipped import shipped_book
from helpers_state import complaints, layer
from proveout.book.load import load_book
from proveout.book.state import alternatives
from proveout.model.entries import Inspection
from proveout.model.state import State, follows

WHOLE = "{key: on, engine: running, vehicle: on-wheels, unplugged: [the fan, the relay], probed: {plug: terminal}, put_back: true, codes: cleared}"  # noqa: E501


def test_cautions_and_steps_follow_from_the_state(tmp_path: Path) -> None:
    base, shop = layer(tmp_path, WHOLE)
    book = load_book([shop], base=base)
    fan = book.inspections["fan-feed"]
    assert fan.cautions == ("fumes", "pins", "hot")
    assert fan.steps == (
        "Write the codes down.",
        "Measure.",
        "Plug in the fan and the relay again.",
        "Clear the codes.",
    )
    assert fan.state is not None
    assert fan.state.all_of("unplugged") == ("the fan", "the relay")
    assert book.causes["fan-wire-open"].remedy.notes == ("Mend it.", "Plug in the fan again.")


def test_nothing_follows_where_no_state_is_declared(tmp_path: Path) -> None:
    base, shop = layer(tmp_path, "")
    path = shop / "fan.yaml"
    path.write_text(path.read_text().replace("kind: functional", "kind: visual"))
    fan = load_book([shop], base=base).inspections["fan-feed"]
    assert (fan.cautions, fan.steps, fan.state, fan.fits) == (("hot",), ("Measure.",), None, ("diesel",))


#: Each contradiction that is refused: its check, the state, and what is told.
BAD = {
    "running-on-stands": ("{engine: running, vehicle: on-stands, helper: x, beneath: true}", "beneath"),
    "running-on-stands ": ("{engine: cranking, vehicle: wheels-raised}", "nobody at the key"),
    "nobody-at-the-key": ("{engine: cranking}", "reads an instrument elsewhere"),
    "engine-without-key": ("{key: off, engine: running}", "key off and engine running"),
    "left-off": ("{unplugged: [the fan]}", "is unplugged and stays so"),
    "left-off ": ("{opened: [the hose], put_back: false}", "is opened and stays so"),
    "fed-too-high": ("{powered: [{what: the signal wire, volts: 12, rated: 5, fuse: 1}]}", "rated for 5 V"),
    "fed-without-fuse": ("{powered: [{what: the coil, volts: 12}]}", "without a fuse"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_contradiction_is_refused_at_its_place(tmp_path: Path, name: str) -> None:
    state, told = BAD[name]
    base, shop = layer(tmp_path, state)
    found = [problem for problem in complaints(base, shop) if problem.check == name.strip()]
    assert found
    assert told in found[0].saw
    assert found[0].place.file.endswith("fan.yaml")
    assert found[0].place.line == 24
    assert found[0].mend


GOOD = (
    "{engine: running, vehicle: on-stands, helper: sits at the key}",
    "{engine: cranking, helper: at the key}",
    "{unplugged: [the fan], put_back: true}",
    "{removed: [the filter], stays: a new one is fitted}",
    "{powered: [{what: the coil, volts: 12.6, rated: 12, fuse: 3}]}",
)


@pytest.mark.parametrize("state", GOOD)
def test_what_is_safe_passes(tmp_path: Path, state: str) -> None:
    base, shop = layer(tmp_path, state)
    assert complaints(base, shop) == ()


@pytest.mark.parametrize(
    ("step", "refused"),
    [
        ("Push the red tip into the supply terminal.", True),
        ("Insert a probe in each terminal and read.", True),
        ("Touch the terminal; never push the tip into it.", False),
        ("Do not press anything into a terminal.", False),
        ("Press the lock and pull the plug.", False),
    ],
)
def test_a_tip_pushed_into_a_terminal_is_refused(tmp_path: Path, step: str, refused: bool) -> None:
    base, shop = layer(tmp_path, "{key: off, unplugged: [the fan], put_back: true}")
    path = shop / "fan.yaml"
    path.write_text(path.read_text().replace("steps: [Measure.]", f"steps: [{step}]"))
    assert [p.check for p in complaints(base, shop)] == ["pushed-into-terminal"] * refused


@pytest.mark.parametrize(
    ("steps", "said_again"),
    [("[Measure., Plug in the fan.]", False), ("[Plug in a lamp., Measure., Read.]", True)],
)
def test_a_closing_step_that_is_told_at_the_end_is_not_said_twice(
    tmp_path: Path, steps: str, said_again: bool
) -> None:
    base, shop = layer(tmp_path, "{unplugged: [the fan], put_back: true}")
    path = shop / "fan.yaml"
    text = path.read_text().replace('{unplugged} again."}', '{unplugged} again.", unless_said: ["plug in "]}')
    path.write_text(text.replace("steps: [Measure.]", f"steps: {steps}"))
    told = load_book([shop], base=base).inspections["fan-feed"].steps
    assert ("Plug in the fan again." in told) is said_again


@pytest.mark.parametrize(
    ("old", "new", "name"),
    [
        ("    state: {engine: off}\n", "", "state-undeclared"),
        (", state: {unplugged: [the fan], put_back: true}}", "}", "state-undeclared"),
        ("steps: [Measure.]", "steps: [Start the engine outdoors.]", "engine-undeclared"),
        ("steps: [Measure.]", "steps: [A helper cranks it.]", "engine-undeclared"),
        ("\n    after_repair: [Clear the codes; none comes back.]", "", "codes-unread"),
    ],
)
def test_what_is_told_and_not_declared_is_refused(tmp_path: Path, old: str, new: str, name: str) -> None:
    base, shop = layer(tmp_path, "{engine: off}")
    path = shop / "fan.yaml"
    text = path.read_text()
    assert old in text
    assert complaints(base, shop) == ()
    path.write_text(text.replace(old, new))
    assert [problem.check for problem in complaints(base, shop)] == [name]


def test_an_engine_that_is_not_to_turn_is_not_taken_for_one_that_does(tmp_path: Path) -> None:
    base, shop = layer(tmp_path, "{engine: off}")
    path = shop / "fan.yaml"
    path.write_text(
        path.read_text().replace("[Measure.]", "[Key on; never start the engine., Look at the crank sensor.]")
    )
    assert complaints(base, shop) == ()


def test_what_fits_and_does_not_fit_at_once_is_refused(tmp_path: Path) -> None:
    base, shop = layer(tmp_path, "", "\n    not_for: [diesel]")
    assert [p.check for p in complaints(base, shop)] == ["fits-nothing"]


def _declared() -> list[tuple[str, State, tuple[str, ...]]]:
    book = shipped_book()
    entries: list[Inspection] = list(book.inspections.values())
    return [(entry.id, entry.state, entry.cautions) for entry in entries if entry.state is not None]


def test_no_shipped_inspection_runs_the_engine_without_its_cautions() -> None:
    """Common practice, no source: who runs an engine is told of exhaust gas and of moving parts."""
    lacking = [
        name
        for name, state, cautions in _declared()
        if state.engine == "running" and not {"running-engine-indoors", "moving-parts"} <= set(cautions)
    ]
    assert lacking == []


def test_no_shipped_inspection_drives_under_a_caution_that_asks_for_a_gear_on_stands() -> None:
    """Eleven ran the engine or drove under a caution that said "gear engaged"."""
    for name, state, cautions in _declared():
        if state.engine == "driven":
            assert "on-stands" not in cautions, name
        if state.engine in ("running", "cranking") and state.vehicle not in ("", "on-wheels"):
            assert "running-on-stands" in cautions, name
    texts = shipped_book().words.cautions
    assert "only while the engine stays off" in texts["on-stands"].text
    assert "never a gear" in texts["running-on-stands"].text


def test_no_shipped_inspection_probes_a_plug_without_the_warning() -> None:
    lacking = [
        name
        for name, state, cautions in _declared()
        if {"probed terminal", "probed back-probe"} & state.words() and "back-probing" not in cautions
    ]
    assert lacking == []


def test_alternatives_are_any_of_sets_that_hold_whole() -> None:
    from proveout.text.compose import compose

    node = compose("follows_from: [{engine: running, vehicle: on-stands}, {powered: any}]", "x")
    either = alternatives(node)  # type: ignore[arg-type]
    assert follows(either, frozenset({"engine running", "vehicle on-stands", "key on"}))
    assert follows(either, frozenset({"powered any"}))
    assert not follows(either, frozenset({"engine running"}))


def test_every_shipped_inspection_and_remedy_done_by_hand_declares_its_state() -> None:
    book = shipped_book()
    by_hand = ("replace", "repair", "clean", "tighten", "clear-passage", "relearn")
    lacking = [i.id for i in book.inspections.values() if i.state is None and i.kind != "visual"]
    lacking += [c.id for c in book.causes.values() if c.remedy.state is None and c.remedy.action in by_hand]
    assert lacking == []

"""The whole job at a terminal: from the complaint to the confirmed repair, left and resumed."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

import pytest

from helpers_cli import proveout
from helpers_job import Terminal
from helpers_shipped import lend_books
from proveout.record import casefile

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")


@pytest.fixture
def car(tmp_path: Path) -> Path:
    lend_books(tmp_path / "cache")
    path = tmp_path / "car.yaml"
    code = proveout(
        "intake", path, "--code", "P0442", "--age", 14, "--tool", "hand-vacuum-pump", home=tmp_path
    )
    assert code.code == 0, code.err
    return path


def proposed(car: Path) -> tuple[str, int, list[str]]:
    """Return the inspection proposed, its number of steps, and its results."""
    from helpers_shipped import shipped_book

    answer = proveout("triage", car, "--json", home=car.parent)
    name = json.loads(answer.out)["next"]["id"]
    entry = shipped_book().inspections[name]
    return name, len(entry.steps), [result.id for result in entry.results]


def kinds(car: Path) -> list[str]:
    return [event.kind for event in casefile.read(car) if event.kind != "advice"]


def test_an_inspection_is_left_in_the_middle_and_gone_on_with(car: Path) -> None:
    name, steps, results = proposed(car)
    first = Terminal(car, car.parent)
    seen = first.answer("cautions, and can you keep to them? (yes/no)", "")  # Enter is no answer
    assert "Before you start" in seen and "!" in seen
    first.answer("Please answer yes or no.", "yes")
    first.answer(f"Step 1 of {steps}", "")
    first.child.expect_exact(f"Step 2 of {steps}" if steps > 1 else "What it gave")
    first.child.expect_exact(": ")
    time.sleep(0.5)  # until it waits: what comes between the question and the wait is taken with the next key
    first.child.sendintr()
    assert f"proveout work {car}" in first.ends() and first.child.exitstatus == 130
    assert kinds(car) == ["intake"] and car.with_name("car.yaml.place").exists()

    again = Terminal(car, car.parent)
    again.answer("keep to them? (yes/no)", "yes")  # cautions are shown anew
    again.answer(f"You left after step 1 of {steps}", "")
    for number in range(2, steps + 1):
        again.answer(f"Step {number} of {steps}", "")
    again.answer("What it gave", "gibberish")
    again.answer("What it gave", results[0])
    shown = again.answer("keep to them? (yes/no)", "undo")
    assert "What changed" in shown
    again.answer("keep to them? (yes/no)", "why")
    assert "Ledger" in again.answer("keep to them? (yes/no)", "can't")
    again.answer("Why not", "1")
    again.answer("keep to them? (yes/no)", "later")
    again.answer("keep to them? (yes/no)", "stop")
    assert "Go on with" in again.ends() and again.child.exitstatus == 0
    assert kinds(car) == ["intake", "reading", "withdrawal", "amendment", "amendment"]
    assert not car.with_name("car.yaml.place").exists()
    aside = casefile.read(car)
    assert [list(e.body["adds"]["set_aside"].values()) for e in aside if e.kind == "amendment"] == [
        ["cannot-reach"],
        ["not-today"],
    ]
    assert name in str(aside[-1].body) or name in str([e.body for e in aside])


def test_from_the_proven_cause_to_the_closed_case(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    car = tmp_path / "car.yaml"
    proveout("intake", car, "--code", "P0451", "--age", 15, home=tmp_path)
    proveout("record", car, "sensor-hose-look", "cracked-or-off", home=tmp_path)
    buying = Terminal(car, tmp_path)
    assert "Who else may pay" in buying.answer("What the part cost", "much")
    buying.answer("What the part cost", "6,50")
    buying.answer("Is it mended? (yes/no)", "later")
    assert "Go on with" in buying.ends()
    mending = Terminal(car, tmp_path)  # the part is not asked about again
    shown = mending.answer("Is it mended? (yes/no)", "yes")
    assert "What the part cost" not in shown and "!" in shown
    mending.answer("How many minutes it took", "12")
    mending.answer("record of it now? (yes/no)", "yes")
    mending.answer("done again", "cracked-or-off")
    mending.answer("Were the codes cleared", "yes")
    mending.answer("Codes stored now", "")  # nothing said is not that there are none
    mending.answer("Codes stored now", "none")
    mending.answer("Readiness monitors", "")
    mending.answer("How far it was driven", "12 parsecs")
    mending.answer("is no distance", "12 miles")
    mending.answer("Nothing is proven yet", "")  # it came back: the search goes on
    mending.child.close(force=True)
    assert kinds(car) == ["intake", "reading", "purchase", "repair", "verification"]


def test_a_repair_that_held_is_verified_and_closed(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    car = tmp_path / "car.yaml"
    proveout("intake", car, "--code", "P0451", "--age", 15, home=tmp_path)
    proveout("record", car, "sensor-hose-look", "cracked-or-off", home=tmp_path)
    proveout("repair", car, "sensor-hose-cracked", home=tmp_path)
    job = Terminal(car, tmp_path, columns=60)
    job.answer("record of it now? (yes/no)", "yes")
    job.answer("done again", "sound")
    job.answer("Were the codes cleared", "yes")
    job.answer("Codes stored now", "none")
    job.answer("Readiness monitors", "engine")
    job.answer("one of catalyst", "evap")
    job.answer("How far it was driven", "25 km")
    assert "Confirmed: " in job.answer("Close the case? (yes/no)", "yes")
    head = casefile.read(car)[-1].digest
    assert "Closed as confirmed" in job.child.read()
    assert kinds(car)[-1] == "close" and len(head) == 64
    assert "This case is closed" in Terminal(car, tmp_path).ends()


def test_without_a_terminal_it_says_what_to_use(car: Path) -> None:
    answer = proveout("work", car, home=car.parent)
    assert answer.code == 2 and "needs a terminal" in answer.err


def test_what_is_plainly_broken_is_put_right_and_watched(car: Path) -> None:
    seen = proveout("record", car, "intake-hoses-look", "split", home=car.parent)
    assert "mend it and watch" in seen.out, seen.err
    screen = Terminal(car, car.parent)
    screen.answer("Is it put right?", "yes")
    screen.answer("How many minutes", "12")
    screen.answer("stayed away since?", "")
    screen.ends()
    assert kinds(car)[-1] == "mending"
    screen = Terminal(car, car.parent)
    screen.answer("stayed away since?", "comes-back")
    screen.child.sendline("stop")
    screen.ends()
    assert kinds(car)[-1] == "watch"

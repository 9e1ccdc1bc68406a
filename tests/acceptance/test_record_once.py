"""Recording does each thing once, whatever the units; advice of the first form is made again as it was."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_book
from helpers_cli import proveout
from helpers_record import advice_of, at
from proveout.audit.replay import audit
from proveout.book import load
from proveout.intake import document, readings
from proveout.plan import advice
from proveout.record import casefile, snapshot
from proveout.record.advice import ADVICE, FIFTH_ADVICE, FOURTH_ADVICE, THIRD_ADVICE
from proveout.weigh import cpts, inference

#: What is counted: where a name is looked up when it is called, and what one call stands for.
COUNTED = (
    (load, "load_book", "book"),
    (document, "_Reader", "case"),
    (readings, "judge", "judged"),
    (inference, "close", "chained"),
    (inference, "posterior", "weighed"),
    (advice, "decide", "planned"),
)


class Counts:
    """How often each thing was done, and of which observables tables were made."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.times: Counter[str] = Counter()
        self.cpts: Counter[Any] = Counter()
        for module, name, what in COUNTED:
            patch.setattr(module, name, self._counting(getattr(module, name), what))
        made = cpts._cpt

        def cpt(observable: Any, rules: Any) -> Any:
            self.cpts[observable] += 1
            return made(observable, rules)

        patch.setattr(cpts, "_cpt", cpt)
        patch.setattr(cpts, "_RECENT", [])

    def _counting(self, call: Callable[..., Any], what: str) -> Callable[..., Any]:
        def counted(*args: Any, **kwargs: Any) -> Any:
            self.times[what] += 1
            return call(*args, **kwargs)

        return counted


@pytest.fixture
def car(tmp_path: Path) -> Path:
    path = tmp_path / "car.yaml"
    assert proveout("intake", path, "--code", "P0442", "--age", "14", home=tmp_path).code == 0
    assert proveout("record", path, "purge-valve-holds-vacuum", "-50 kPa", home=tmp_path).code == 0
    return path


@pytest.fixture
def counts() -> Iterator[Counts]:
    with pytest.MonkeyPatch.context() as patch:
        yield Counts(patch)


@pytest.mark.parametrize("display", ["as-written", "us"])
def test_one_reading_is_one_pass(car: Path, tmp_path: Path, display: str, counts: Counts) -> None:
    """Two readings on the sheet: each is judged once, and nothing else is done twice."""
    reading = ("purge-valve-holds-vacuum", "-40.2 kPa")
    answer = proveout("record", car, *reading, "--display", display, home=tmp_path)
    assert answer.code == 0, answer.err
    assert counts.times == {"book": 1, "case": 1, "judged": 2, "chained": 1, "weighed": 1, "planned": 1}
    assert set(counts.cpts.values()) == {1}
    told = " ".join(answer.out.split())
    assert "counts now, no longer “-50 kPa”" in told
    assert ("inHg" in told) == (display == "us")


def test_after_a_note_the_former_state_is_inferred_and_not_planned(
    car: Path, tmp_path: Path, counts: Counts
) -> None:
    casefile.append(car, "note", {"text": "came back after a week"}, at(9))
    answer = proveout("record", car, "cap-seal-look", "damaged", home=tmp_path)
    assert answer.code == 0, answer.err
    assert counts.times == {"book": 1, "case": 2, "judged": 1, "chained": 2, "weighed": 2, "planned": 1}


def test_the_change_is_told_alike_from_the_record_and_inferred(car: Path, tmp_path: Path) -> None:
    other = tmp_path / "cab.yaml"  # a name as long, since the text ends with the command to go on with
    other.write_bytes(car.read_bytes())
    casefile.append(other, "note", {"text": "came back after a week"}, at(9))
    told = [
        proveout("record", path, "purge-valve-holds-vacuum", "-10 kPa", home=tmp_path).out
        for path in (car, other)
    ]
    assert told[0] == told[1].replace("cab.yaml", "car.yaml")
    assert "What changed" in told[0]
    assert "counts now, no longer “-50 kPa”" in " ".join(told[0].split())


@pytest.mark.parametrize("form", ["first", "second", "third"])
def test_an_advice_of_a_former_form_is_made_again_identically(tmp_path: Path, form: str) -> None:
    """Kept by the versions before the trace, driving on and the last look came, on the tests' small book."""
    file = Path(__file__).parent / f"advice_of_the_{form}_form.json"
    kept = json.loads(file.read_text(encoding="utf-8"))
    small = snapshot.book_of(snapshot.take((write_book(tmp_path / "rules"),)))
    path = tmp_path / "van.yaml"
    facts = {"codes": ["P0455"], "happens_when": ["in-rain"]}
    casefile.create(path, {**facts, "vehicle": {"age_years": 3, "mileage_km": 50000}}, at(1))
    casefile.append(path, "reading", {"inspection": "hose-look", "result": "whole"}, at(2))
    casefile.append(path, "reading", {"inspection": "valve-holds", "value": "-39 kPa"}, at(3))
    casefile.append(path, "advice", kept, at(4))
    found = audit(path, tmp_path / "store", today=small)
    assert found.replays[0].differences == () and found.verification.sound
    assert kept["causes"][0]["confidence"] > 0
    other = [{**kept["causes"][0], "confidence": 0.123456789}, *kept["causes"][1:]]
    broken = {**kept, "causes": other}
    casefile.append(path, "advice", broken, at(5))
    assert not audit(path, tmp_path / "store", today=small).clean


@pytest.mark.parametrize("form", [THIRD_ADVICE, FOURTH_ADVICE, FIFTH_ADVICE])
def test_what_was_planned_otherwise_before_is_told_apart(form: str, tmp_path: Path) -> None:
    """An advice of a former form may have said to buy at once; what was believed must come out the same."""
    small = snapshot.book_of(snapshot.take((write_book(tmp_path / "rules"),)))
    path = tmp_path / "van.yaml"
    casefile.create(path, {"codes": ["P0455"]}, at(1))
    kept = advice_of(small, {"codes": ["P0455"]}, form=form)
    at_once = {"kind": "repair", "cause": "valve-leaks", "reasons": ["“Valve leaks” is proven."]}
    casefile.append(path, "advice", {**kept, "verdict": at_once, "next": None}, at(2))
    casefile.append(path, "advice", {**kept, "schema": ADVICE, "verdict": at_once}, at(3))
    former, present = audit(path, tmp_path / "store", today=small).replays
    assert former.identical and {one.where.split(".")[0] for one in former.planned} == {"verdict", "next"}
    assert not present.identical


def test_an_advice_of_a_later_form_is_said_to_be_one(tmp_path: Path) -> None:
    small = snapshot.book_of(snapshot.take((write_book(tmp_path / "rules"),)))
    path = tmp_path / "van.yaml"
    casefile.create(path, {"codes": ["P0455"]}, at(1))
    later = {**advice_of(small, {"codes": ["P0455"]}), "schema": "proveout/advice/9"}
    casefile.append(path, "advice", later, at(2))
    (replay,) = audit(path, tmp_path / "store", today=small).replays
    assert "proveout/advice/9" in replay.problem

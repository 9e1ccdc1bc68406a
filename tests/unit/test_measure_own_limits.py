"""The vehicle's own figures in the place of the book's generic limits."""

from __future__ import annotations

import pytest

from proveout.measure.judging import judge
from proveout.measure.own import read_limits, with_own_limits
from proveout.model.problem import BadInputError
from proveout.model.specs import Band, ReadingSpec

COIL = ReadingSpec(
    "resistance",
    "ohm",
    "",
    (Band("shorted", None, 10.0), Band("in-range", 10.0, 60.0), Band("open", 60.0)),
    (0.0, None),
    limits_source="common practice, no source",
)
REFERENCE = "maker's service manual, page 12"


def test_own_limits_move_their_neighbours() -> None:
    replaced = with_own_limits(COIL, {"in-range": "20..26 ohm"}, REFERENCE)
    assert [judge(replaced.spec, value=text).decided for text in ("15", "23", "40", "OL")] == [
        "shorted", "in-range", "open", "open",
    ]  # fmt: skip
    assert judge(COIL, value="15").decided == "in-range"


def test_both_are_kept_for_the_record() -> None:
    replaced = with_own_limits(COIL, {"in-range": "20..26 ohm"}, REFERENCE)
    assert replaced.spec.limits_source == REFERENCE
    assert replaced.generic is COIL
    assert ("in-range", "10..60 ohm", "20..26 ohm") in replaced.changes()
    assert ("shorted", "..10 ohm", "..20 ohm") in replaced.changes()


def test_an_otherwise_band_stays() -> None:
    spec = ReadingSpec(
        "pressure", "kPa", "atmosphere", (Band("holds", None, -40.0), Band("leaks")), (-101.3, 200.0)
    )
    replaced = with_own_limits(spec, {"holds": "..-15 inHg"}, REFERENCE)
    assert judge(replaced.spec, value="-48 kPa").states[0][0] == "leaks"
    assert judge(spec, value="-48 kPa").decided == "holds"
    assert replaced.changes() == (("holds", "..-40 kPa", "..-50.7958 kPa"),)


def test_a_result_with_several_bands() -> None:
    bands = (Band("off", None, 2.3), Band("good", 2.3, 2.7), Band("off", 2.7))
    spec = ReadingSpec("voltage", "V", "", bands, (0.0, 5.5))
    moved = with_own_limits(spec, {"good": "2.0..2.4 V"}, REFERENCE).spec
    assert [judge(moved, value=text).decided for text in ("1.8", "2.2", "2.6")] == ["off", "good", "off"]
    replaced = with_own_limits(spec, {"off": "..2.1 V"}, REFERENCE)
    assert replaced.changes() == (
        ("off", "..2.3 V", "..2.1 V"),
        ("good", "2.3..2.7 V", "2.1..2.7 V"),
        ("off", "2.7.. V", "none"),
    )


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("2.3..2.7 V", (2.3, 2.7)),
        ("2.3-2.7", (2.3, 2.7)),
        ("..4.8", (None, 4.8)),
        ("4800 mV..", (4.8, None)),
        ("5 ± 0.1 V", (4.9, 5.1)),
    ],
)
def test_limits_as_typed(text: str, ends: tuple[float | None, float | None]) -> None:
    assert read_limits(text, "voltage", "V") == pytest.approx(ends)


@pytest.mark.parametrize(
    ("limits", "reference", "check"),
    [
        ({"in-range": "20..26"}, " ", "missing-reference"),
        ({"good": "20..26"}, REFERENCE, "unknown-id"),
        ({"in-range": "20..26 V"}, REFERENCE, "wrong-dimension"),
        ({"in-range": "some"}, REFERENCE, "unreadable-value"),
        ({"in-range": ""}, REFERENCE, "unreadable-value"),
    ],
)
def test_refused(limits: dict[str, str], reference: str, check: str) -> None:
    with pytest.raises(BadInputError) as error:
        with_own_limits(COIL, limits, reference)
    assert error.value.problems[0].check == check

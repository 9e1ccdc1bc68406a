"""Trouble codes as people write them."""

from __future__ import annotations

import pytest

from proveout.book.codes import CodeForm, bytes_of_code, code_of_bytes, parse_code
from proveout.model.problem import BadInputError, Place


@pytest.mark.parametrize("text", ["P0442", "p0442", " P 0442 ", "p04 42\n", "P\u00a00442"])
def test_small_letters_and_blanks_do_not_matter(text: str) -> None:
    assert parse_code(text) == CodeForm("P0442", "", "powertrain", "generic", "auxiliary emission controls")


@pytest.mark.parametrize("text", ["P0113-15", "p0113-15", "P 0113 - 15"])
def test_the_failure_type_is_told_apart(text: str) -> None:
    form = parse_code(text)
    assert (form.code, form.failure_type) == ("P0113", "15")


@pytest.mark.parametrize(
    ("text", "mend"),
    [
        ("", "begin with"),
        ("P013", "give five characters, not 4"),
        ("P04421", "give five characters, not 6"),
        ("P4123", "0 to 3"),
        ("X0101", "begin with"),
        ("0442", "begin with"),
        ("P01G3", "A to F"),
        ("PO442", "did you mean P0442?"),
        ("P0l42", "did you mean P0142?"),
        ("P0000", "no code stored"),
        ("P0113-", "P0113-15"),
        ("P0113-1", "P0113-15"),
        ("P0113-1G", "P0113-15"),
        ("P0442 P0455", "give five characters, not 10"),
        ("P" * 1000, "0 to 3"),
        ("ſ0442", "begin with"),
    ],
)
def test_what_is_no_code_is_refused_with_a_mend(text: str, mend: str) -> None:
    with pytest.raises(BadInputError) as raised:
        parse_code(text, Place("f", 3, 4))
    (problem,) = raised.value.problems
    assert problem.place == Place("f", 3, 4)
    assert problem.check == "code-form"
    assert mend in problem.mend
    assert len(problem.saw) < 70


def test_padding_is_no_code() -> None:
    assert code_of_bytes(0, 0) == ""
    assert bytes_of_code("") == b"\x00\x00"
    with pytest.raises(BadInputError):
        bytes_of_code("nonsense")


def test_only_generic_powertrain_codes_name_a_subsystem() -> None:
    assert parse_code("P2187").subsystem == "fuel and air metering"
    assert parse_code("P0A7F").subsystem == "hybrid propulsion"
    assert parse_code("P0D00").subsystem == ""
    assert parse_code("P1135").subsystem == ""
    assert parse_code("U0100").subsystem == ""

"""Structure of trouble codes as in SAE J2012 and ISO 15031-6.

The ranges and who controls them were seen in documents quoting the standard; the two-byte coding, the digits
allowed and what P3A00 to P3FFF stand for are from memory of it.
"""

from __future__ import annotations

import re

import pytest

from proveout.book.codes import bytes_of_code, code_of_bytes, controlled_by, parse_code
from proveout.model.problem import BadInputError

#: Code, its two bytes.
BYTES = [
    ("P0133", "01 33"),
    ("P0300", "03 00"),
    ("P0442", "04 42"),
    ("P0A7F", "0A 7F"),
    ("P1135", "11 35"),
    ("P2187", "21 87"),
    ("P3400", "34 00"),
    ("C0123", "41 23"),
    ("B1234", "92 34"),
    ("U0100", "C1 00"),
    ("U3FFF", "FF FF"),
]

#: First code, last code, who controls the range.
RANGES = [
    ("P0001", "P0FFF", "generic"),
    ("P1000", "P1FFF", "manufacturer"),
    ("P2000", "P2FFF", "generic"),
    ("P3000", "P33FF", "manufacturer"),
    ("P3400", "P39FF", "generic"),
    ("P3A00", "P3FFF", "reserved"),
    ("C0000", "C0FFF", "generic"),
    ("C1000", "C2FFF", "manufacturer"),
    ("C3000", "C3FFF", "reserved"),
    ("B0000", "B0FFF", "generic"),
    ("B1000", "B2FFF", "manufacturer"),
    ("B3000", "B3FFF", "reserved"),
    ("U0000", "U0FFF", "generic"),
    ("U1000", "U2FFF", "manufacturer"),
    ("U3000", "U3FFF", "generic"),
]

#: Third character of P0 and P2 codes, a word of what it stands for; 9 and A to C from memory.
SUBSYSTEMS = [
    ("0", "auxiliary emission"),
    ("1", "fuel and air"),
    ("2", "injector"),
    ("3", "misfire"),
    ("4", "auxiliary emission"),
    ("5", "idle"),
    ("6", "control unit"),
    ("7", "transmission"),
    ("8", "transmission"),
    ("9", "transmission"),
    ("A", "hybrid"),
    ("B", "hybrid"),
    ("C", "hybrid"),
]


@pytest.mark.parametrize(("code", "octets"), BYTES)
def test_two_bytes_of_known_codes(code: str, octets: str) -> None:
    high, low = bytes.fromhex(octets)
    assert code_of_bytes(high, low) == code
    assert bytes_of_code(code) == bytes([high, low])


def test_every_two_byte_value_comes_back_both_ways() -> None:
    seen = set()
    for value in range(65_536):
        code = code_of_bytes(value >> 8, value & 255)
        assert bytes_of_code(code) == value.to_bytes(2, "big")
        if value:
            assert re.fullmatch(r"[PCBU][0-3][0-9A-F]{3}", code)
            assert parse_code(code).code == code
        seen.add(code)
    assert len(seen) == 65_536


def test_two_zero_bytes_are_padding_and_no_code() -> None:
    assert code_of_bytes(0, 0) == ""
    with pytest.raises(BadInputError):
        parse_code("P0000")


def test_letters_are_coded_in_the_order_p_c_b_u() -> None:
    """Not P, B, C, U, as is often written down."""
    assert [code_of_bytes(top << 6, 1)[0] for top in range(4)] == ["P", "C", "B", "U"]


@pytest.mark.parametrize(("first", "last", "who"), RANGES)
def test_who_controls_each_range(first: str, last: str, who: str) -> None:
    """Every code of the range, its ends included."""
    start, end = (int.from_bytes(bytes_of_code(code), "big") for code in (first, last))
    assert {controlled_by(code_of_bytes(v >> 8, v & 255)) for v in range(start, end + 1)} == {who}


def test_the_ranges_leave_no_code_out() -> None:
    def value(code: str) -> int:
        return int.from_bytes(bytes_of_code(code), "big")

    assert sum(value(last) - value(first) + 1 for first, last, _ in RANGES) == 65_535


def test_the_second_digit_alone_does_not_tell() -> None:
    """Reading 0 as generic and 1 as the manufacturer's, and stopping there, misreads P2 and P3."""
    assert parse_code("P2FFF").controlled_by == "generic"
    assert parse_code("P3000").controlled_by == "manufacturer"
    assert parse_code("P33FF").controlled_by == "manufacturer"
    assert parse_code("P3400").controlled_by == "generic"
    assert parse_code("P1000").controlled_by == "manufacturer"


@pytest.mark.parametrize("code", ["P0A7F", "P00B7"])
def test_the_last_three_characters_are_hexadecimal(code: str) -> None:
    assert parse_code(code).code == code


@pytest.mark.parametrize("code", ["P4123", "P01G3", "X0101", "P013"])
def test_codes_outside_the_form_are_refused(code: str) -> None:
    with pytest.raises(BadInputError):
        parse_code(code)


@pytest.mark.parametrize(("character", "word"), SUBSYSTEMS)
def test_the_third_character_names_the_subsystem(character: str, word: str) -> None:
    for start in ("P0", "P2"):
        assert word in parse_code(f"{start}{character}01").subsystem


def test_a_failure_type_byte_follows_a_hyphen() -> None:
    """Written form of the three-byte code; the base code must still be recognised."""
    form = parse_code("P0113-15")
    assert (form.code, form.failure_type) == ("P0113", "15")

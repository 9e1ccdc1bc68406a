"""The common paths stay light: no unit library is imported but for a rare conversion."""

from __future__ import annotations

import subprocess
import sys

import pytest

from proveout.measure.convert import KNOWN, by_pint

PRELUDE = (
    "import sys\n"
    "from proveout.measure.judging import judge\n"
    "from proveout.model.specs import Band, ReadingSpec\n"
    "def spec(quantity, unit, relative_to=''):\n"
    "    return ReadingSpec(quantity, unit, relative_to, (Band('low', None, 2.0), Band('high')))\n"
)


def imports_pint(code: str) -> bool:
    done = subprocess.run(
        [sys.executable, "-c", f"{PRELUDE}{code}\nprint('pint' in sys.modules)"],
        capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    return done.stdout.strip() == "True"


@pytest.mark.parametrize(
    "call",
    [
        "judge(spec('voltage', 'V'), value='2500 mV')",
        "judge(spec('resistance', 'ohm'), value='4k7')",
        "judge(spec('pressure', 'kPa', 'atmosphere'), value='-250 Pa')",
        "judge(spec('temperature', 'degC'), value='83')",
        "judge(spec('time', 's'), value='1:30')",
        "judge(spec('length', 'mm'), value='1 cm')",
        "judge(spec('pressure', 'kPa', 'atmosphere'), value='-10 inHg')",
        "judge(spec('temperature', 'degC'), value='180 F')",
    ],
)
def test_no_conversion_no_library(call: str) -> None:
    assert not imports_pint(call)


def test_a_rare_conversion_uses_it() -> None:
    assert imports_pint("judge(spec('pressure', 'kPa', 'atmosphere'), value='-10 cmH2O')")


@pytest.mark.parametrize("pair", KNOWN, ids=" to ".join)
def test_what_is_known_beforehand_is_what_pint_has(pair: tuple[str, str]) -> None:
    """Source: pint's own definitions; ``tests/published/test_nist_sp811_units.py`` holds both to NIST's."""
    assert KNOWN[pair] == pytest.approx(by_pint(*pair), rel=1e-14, abs=0)


def test_prose_in_both_systems_loads_none() -> None:
    """Making a book says thousands of figures in the other system: whatever unit they are written in."""
    assert not imports_pint(
        "from proveout.measure.both import _SAID, in_both\n"
        "told = [in_both(f'{n} {unit}{v}') for unit in _SAID for n in (1, 200) for v in ('', ' vacuum')]\n"
        "assert any('inH2O)' in text for text in told) and any('psi)' in text for text in told)"
    )

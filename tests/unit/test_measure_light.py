"""The common paths stay light: no unit library is imported where no conversion is needed."""

from __future__ import annotations

import subprocess
import sys

import pytest

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
    ],
)
def test_no_conversion_no_library(call: str) -> None:
    assert not imports_pint(call)


def test_a_conversion_uses_it() -> None:
    assert imports_pint("judge(spec('pressure', 'kPa', 'atmosphere'), value='-10 inHg')")

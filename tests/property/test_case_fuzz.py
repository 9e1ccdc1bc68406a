"""Mutated intakes and case files: either an answer or a located complaint, never a traceback, never a hang.

``PROVEOUT_FUZZ=10000`` raises the number of examples.
"""

from __future__ import annotations

import os
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helpers_shipped import shipped_book, shipped_cases
from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import casefile, state
from proveout.text.compose import compose
from proveout.text.node import find, plain
from proveout.text.schema import validate

EXAMPLES = int(os.environ.get("PROVEOUT_FUZZ", "150"))
SEEDS = [path.read_text(encoding="utf-8") for path in shipped_cases()]
_PIECES = ": |- |[|]|{|}|&a|*a|!!x|'|\"|>|#|é|1e999|-|OL|0x|null|true|NaN|kPa|codes|value|series|P0442|..."
SPICE = st.sampled_from([*_PIECES.split("|"), "\t", "\x00", "\ufeff", "\n", "|"])


@st.composite
def mutated(draw: st.DrawFn, seeds: list[str]) -> str:
    """A seed with a few pieces deleted, doubled, moved or replaced."""
    text = draw(st.sampled_from(seeds))
    for _ in range(draw(st.integers(1, 5))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 30)))
        piece = draw(st.one_of(SPICE, st.text(max_size=6), st.just(text[start:end] * 2), st.just("")))
        text = text[:start] + piece + text[end:]
    return text


@given(mutated(SEEDS))
@settings(max_examples=EXAMPLES, deadline=5000, suppress_health_check=[HealthCheck.too_slow])
def test_a_mutated_intake_gives_facts_or_a_located_complaint(text: str) -> None:
    book = shipped_book()
    try:
        node = compose(text, "case.yaml")
        problems = validate(node, "intake")
        if problems:
            raise BadInputError(*problems)
        case = case_of(plain(node), book, lambda path: find(node, path).place)
        sheet = sheet_of(case, book)
    except BadInputError as error:
        assert error.problems
        for problem in error.problems:
            assert problem.saw and problem.place.file == "case.yaml", problem
        return
    close(book, sheet.atoms, "reference")


def _case_file() -> str:
    with TemporaryDirectory() as directory:
        path = Path(directory) / "case.yaml"
        casefile.create(path, {"codes": ["P0442"], "vehicle": {"age_years": 14}}, "2031-05-04T09:30:00Z")
        for result in ("sound", "damaged"):
            body = {"inspection": "cap-seal-look", "result": result}
            casefile.append(path, "reading", body, "2031-05-04T09:31:00Z")
        return path.read_text(encoding="utf-8")


@given(mutated([_case_file()]))
@settings(max_examples=EXAMPLES, deadline=5000, suppress_health_check=[HealthCheck.too_slow])
def test_a_mutated_case_file_is_read_or_called_damaged(text: str) -> None:
    with TemporaryDirectory() as directory:
        path = Path(directory) / "case.yaml"
        try:
            path.write_text(text, encoding="utf-8")
        except UnicodeEncodeError:
            return
        try:
            state.merged(casefile.read(path))
        except (BadInputError, DamagedRecordError) as error:
            assert error.problems

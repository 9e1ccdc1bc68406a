"""A case file put through everything at random always says what a plain list of what was done says."""

from __future__ import annotations

import shutil
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from helpers_record import INTAKE, at
from proveout.model.problem import DamagedRecordError
from proveout.record import casefile
from proveout.record.state import merged, withdrawal, withdrawn

READINGS = st.fixed_dictionaries(
    {"inspection": st.sampled_from(["a", "b", "c"]), "result": st.sampled_from(["x", "no", "130"])}
)


class CaseMachine(RuleBasedStateMachine):
    """Appends, withdraws, tears and tampers; ``self.kept`` is the model: number to reading."""

    def __init__(self) -> None:
        super().__init__()
        self.home = Path(mkdtemp())
        self.path = self.home / "van.yaml"
        self.head = casefile.create(self.path, INTAKE, at(1)).digest
        self.kept: dict[int, dict[str, Any]] = {}
        self.count = 1

    def append(self, kind: str, body: dict[str, Any]) -> None:
        self.head = casefile.append(self.path, kind, body, at(2), expect_head=self.head).digest
        self.count += 1

    @rule(reading=READINGS)
    def read(self, reading: dict[str, Any]) -> None:
        self.append("reading", reading)
        self.kept[self.count] = reading

    @rule(text=st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
    def note(self, text: str) -> None:
        self.append("note", {"text": text})

    @precondition(lambda self: self.kept)
    @rule(data=st.data())
    def withdraw(self, data: st.DataObject) -> None:
        number = data.draw(st.sampled_from(sorted(self.kept)))
        self.append("withdrawal", withdrawal(casefile.read(self.path), number).kept())
        del self.kept[number]
        assert number in withdrawn(casefile.read(self.path))

    @rule(data=st.data())
    def tear(self, data: st.DataObject) -> None:
        """The power goes in the middle of an append; the torn part is set aside."""
        whole = self.path.read_bytes()
        casefile.append(self.path, "note", {"text": "never finished"}, at(3))
        grown = self.path.read_bytes()
        self.path.write_bytes(grown[: data.draw(st.integers(len(whole) + 1, len(grown) - 1))])
        found = casefile.verify(self.path)
        assert found.torn_at == len(whole) and not found.sound
        aside = casefile.mend_torn(self.path)
        assert aside is not None and self.path.read_bytes() == whole
        aside.unlink()

    @rule(data=st.data())
    def tamper(self, data: st.DataObject) -> None:
        """One byte is changed, and set right again."""
        whole = self.path.read_bytes()
        offset = data.draw(st.integers(0, len(whole) - 1))
        changed = whole[offset] ^ data.draw(st.integers(1, 255))
        self.path.write_bytes(whole[:offset] + bytes([changed]) + whole[offset + 1 :])
        try:
            casefile.read(self.path)
            raise AssertionError(f"byte {offset} was changed unnoticed")
        except DamagedRecordError:
            self.path.write_bytes(whole)

    @invariant()
    def sound_and_complete(self) -> None:
        found = casefile.verify(self.path, self.head)
        assert found.sound and len(found.events) == self.count and found.head == self.head
        assert merged(found.events).get("readings", []) == list(self.kept.values())

    def teardown(self) -> None:
        shutil.rmtree(self.home)


TestCaseMachine = CaseMachine.TestCase
TestCaseMachine.settings = settings(max_examples=25, stateful_step_count=15, deadline=None)

"""What may be given about a case, by whichever face."""

from __future__ import annotations

from proveout.app.facts import NOT_GIVEN
from proveout.cli.intake import command


def test_every_option_of_an_intake_can_be_left_out_by_another_face() -> None:
    options = {option.name: option.multiple for option in command.params if hasattr(option, "multiple")}
    facts = {
        name: many for name, many in options.items() if name not in ("case", "document", "layers", "as_json")
    }
    assert {name: value == () for name, value in NOT_GIVEN.items()} == facts

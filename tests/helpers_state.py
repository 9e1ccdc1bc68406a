"""A small layer of one inspection and one cause, whose declared state a test gives."""

from __future__ import annotations

from pathlib import Path

from helpers_book import write_book
from proveout.book.load import checked_from_texts
from proveout.model.problem import Problem

TOPIC = """\
sources: {base_rate: from memory, inspections: from memory, seen_with: from memory}
cautions:
  - {id: fumes, follows_from: [{engine: running}], title: Exhaust gas, text: Outdoors only.}
  - {id: pins, follows_from: [{probed: back-probe}, {probed: terminal}], title: Pins, text: Touch only.}
  - {id: fed, follows_from: [{powered: any}], title: Fed by hand, text: Through the fuse.}
routines:
  - {id: back, follows_from: [{unplugged: any, put_back: any}], closing: "Plug in {unplugged} again."}
  - {id: first, follows_from: [{codes: cleared}], opening: Write the codes down., closing: Clear the codes.}
components: [{id: fan, title: Fan}]
causes:
  - id: fan-wire-open
    title: Wire of the fan open
    component: fan
    base_rate: 1 per 1000
    remedy: {action: repair, minutes: 9, notes: [Mend it.], state: {unplugged: [the fan], put_back: true}}
    after_repair: [Clear the codes; none comes back.]
inspections:
  - id: fan-feed
    title: Feed at the fan
    kind: functional
    minutes: 3
    access: [bay]
    cautions: [hot]
    STATE
    results:
      fed: {is: normal, means: Fed.}
      missing: {is: abnormal, means: No., shows: [fan-wire-open], seen_with: {fan-wire-open: 0.9}, otherwise: 0.01}
    steps: [Measure.]
"""  # noqa: E501


def complaints(base: Path, shop: Path) -> tuple[Problem, ...]:
    """Return what ``rules check`` says, but not that nothing at intake brings the one cause up."""
    return tuple(p for p in checked_from_texts([shop], base=base)[1] if p.check != "unraised-cause")


def layer(tmp_path: Path, state: str, extra: str = "") -> tuple[Path, Path]:
    base = write_book(tmp_path / "base")
    (tmp_path / "shop").mkdir()
    said = f"state: {state}" if state else "fits: [diesel]"
    (tmp_path / "shop" / "fan.yaml").write_text(TOPIC.replace("STATE", said + extra))
    return base, tmp_path / "shop"

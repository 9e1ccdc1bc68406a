"""A pattern, what its circuits share, and two uses of it, as texts of rule files."""

from __future__ import annotations

#: A circuit of two wires with a coil.
PATTERN = """\
pattern: two-wire-coil
takes:
  component: {}
  say: {note: what it is called in a sentence}
  at: {}
  feed: {default: feed}
sources: {base_rate: from memory, inspections: from memory, limits: from memory, seen_with: from memory}
causes:
  - id: "{as}-coil-open"
    title: "Coil of the {say} open"
    component: "{component}"
    base_rate: 2 per 1000
    remedy: {action: replace, part: "{say}", part_cost: 10..20, minutes: 5, access: "{at}"}
    before_buying: ["{as}-ohms"]
  - id: "{as}-wire-open"
    title: "Wire of the {say} open"
    component: "{component}"
    base_rate: 1 per 1000
    remedy: {action: repair, minutes: 30, access: ["{at}"]}
inspections:
  - id: "{as}-ohms"
    title: "Resistance of the {say}"
    kind: measurement
    minutes: 5
    access: "{at}"
    reading:
      {quantity: resistance, unit: ohm, possible: 0.., limits: {good: 10..80, open: 80.., low: otherwise}}
    results:
      good: {is: normal, means: "The coil of the {say} is whole."}
      open:
        is: abnormal
        means: No current passes.
        shows: ["{as}-coil-open"]
        seen_with: {"{as}-coil-open": 0.9}
        otherwise: 0.01
      low: {is: abnormal, means: Turns touch., seen_with: {"{as}-coil-open": 0.03}, otherwise: 0.005}
    steps: ["Measure the {say}."]
  - id: "{as}-feed"
    title: "Feed at the {say}"
    kind: measurement
    minutes: 3
    access: "{at}"
    reading: {quantity: voltage, unit: V, possible: -1..18, limits: {fed: 11.., missing: otherwise}}
    results:
      fed: {is: normal, means: It is fed.}
      missing:
        is: abnormal
        means: Nothing arrives.
        shows: ["{as}-wire-open"]
        seen_with: {"{as}-wire-open": 0.93, "{feed}.dead": 0.8}
        otherwise: 0.01
    steps: [Measure.]
"""

#: What the circuits share: a feed with two causes.
SHARED = """\
sources: {base_rate: from memory, inspections: from memory, seen_with: from memory}
groups:
  - {id: feed.dead, causes: [fuse-blown, relay-stuck]}
components:
  - {id: fuse, title: Fuse}
  - {id: pump-coil, title: Coil of the pump}
  - {id: fan-coil, title: Coil of the fan}
causes:
  - id: fuse-blown
    title: Fuse blown
    component: fuse
    base_rate: 1 per 1000
    remedy: {action: replace, part: fuse, part_cost: 1..2, minutes: 2}
  - id: relay-stuck
    title: Relay stuck
    component: fuse
    base_rate: 1 per 1000
    remedy: {action: replace, part: relay, part_cost: 9..12, minutes: 2}
inspections:
  - id: fuse-look
    title: Fuse whole
    kind: visual
    minutes: 1
    results:
      whole: {is: normal, means: Whole.}
      blown: {is: abnormal, means: Blown., shows: [fuse-blown],
        seen_with: {fuse-blown: 0.97}, otherwise: 0.001}
      dark: {is: abnormal, means: No feed., shows: [relay-stuck],
        seen_with: {relay-stuck: 0.9}, otherwise: 0.001}
    steps: [Look.]
"""

#: Two circuits made from the pattern.
USES = """\
uses:
  - pattern: two-wire-coil
    as: pump
    component: pump-coil
    say: pump
    at: [bay]
    rates: {coil-open: 5 per 1000}
    ids: {ohms: pump-resistance}
  - pattern: two-wire-coil
    as: fan
    component: fan-coil
    say: fan
    at: [bay]
    differs:
      ohms: {reading: {limits: {good: 1..5, open: 5..}}, because: The fan's coil is thicker.}
"""

"""A small clean book for tests in both forms, as texts by file name, and ways to spoil it."""

from __future__ import annotations

from pathlib import Path

#: A clean book of two causes in files of the first form; the scenario is invented.
CLEAN = {
    "components.yaml": """\
- {id: valve, title: Shut-off valve, words: [solenoid]}
- {id: hose, title: Hose, new_part_bad: 0.01}
""",
    "causes.yaml": """\
- id: valve-leaks
  title: Valve leaks
  component: valve
  base_rate: 20 per 1000
  base_rate_source: from memory
  more_likely_when:
    - {fact: vehicle.age, at_least: 12 y, times: 1.5}
    - {recent_work: tank-out, times: 4}
  remedy: {action: replace, part: shut-off valve, part_cost: 30..60, minutes: 20, access: [bay],
    cautions: [hot]}
  before_buying: [valve-holds]
  after_repair: [Clear the codes; none comes back.]
- id: hose-cracked
  title: Hose cracked
  component: hose
  base_rate: 12.5 per 1000
  base_rate_source: from memory
  remedy: {action: repair, minutes: 10}
""",
    "inspections.yaml": """\
- id: valve-holds
  title: Valve holds vacuum
  kind: measurement
  proves: {valve-leaks: [leaks]}
  tools: [pump]
  access: [bay]
  minutes: 6
  consumables: 0..2
  after: [hose-look]
  reading:
    quantity: pressure
    unit: kPa
    relative_to: atmosphere
    possible: -101.3..200
    limits: {holds: ..-40, leaks: otherwise}
    limits_source: common practice, no source
  results:
    holds: {is: normal, means: It seals.}
    leaks: {is: abnormal, means: It passes air.}
  cautions: [hot]
  steps: [Pump., Wait.]
  source: common practice, no source
- id: hose-look
  title: Hose is whole
  kind: visual
  proves: {hose-cracked: [cracked]}
  minutes: 2
  results:
    whole: {is: normal, means: No crack.}
    cracked: {is: abnormal, means: A crack.}
    loose: {is: abnormal, means: It came off.}
  steps: [Look.]
  source: common practice, no source
""",
    "symptoms.yaml": "- {id: smell, title: Smell, words: [stinks]}\n",
    "circumstances.yaml": "- {id: in-rain, title: In rain}\n",
    "recent-work.yaml": "- {id: tank-out, title: Tank was out}\n",
    "findings.yaml": "- {id: open-system, title: The system is open}\n- {id: wet, title: Water is about}\n",
    "tools.yaml": "- {id: pump, title: Hand pump, basic: false, price: 25..50}\n",
    "access.yaml": "- {id: bay, title: Engine bay, minutes: 2, cautions: [hot]}\n",
    "cautions.yaml": "- {id: hot, title: Hot parts, text: Let it cool.}\n",
    "evap.codes.yaml": """\
- id: P0442
  meaning: A small leak.
  family: evap
  source: from memory
- id: P0455
  meaning: A large leak.
  family: evap
  usually_with: [P0442]
  source: from memory
""",
    "rules.yaml": """\
- id: valve-fails
  when: {inspection: valve-holds, result: leaks}
  weigh: {valve-leaks: almost-always}
  otherwise: rarely
  because: A closed valve passes no air.
  source: common practice, no source
  examples:
    fires: [{results: {valve-holds: leaks}}]
    silent: [{results: {valve-holds: holds}}]
- id: hose-seen
  when: {inspection: hose-look, result: cracked}
  weigh: {hose-cracked: 0.6}
  otherwise: almost-never
  because: It can be seen.
  source: common practice, no source
  examples:
    fires: [{results: {hose-look: cracked}}]
    silent: [{results: {hose-look: whole}}]
- id: hose-off
  when: {inspection: hose-look, result: loose}
  weigh: {hose-cracked: 0.3}
  otherwise: 0.01
  because: It can be seen.
  source: common practice, no source
  examples:
    fires: [{results: {hose-look: loose}}]
    silent: [{results: {hose-look: whole}}]
- id: system-open
  when: {all: [{code: P0442}, {symptom: smell}], none: [{code: P0455}]}
  conclude: open-system
  because: A leak that smells.
  source: common practice, no source
  examples:
    fires: [{codes: [P0442], symptoms: [smell]}]
    silent: [{codes: [P0442]}]
- id: open-weighs
  when: {finding: open-system}
  weigh: {hose-cracked: often, valve-leaks: sometimes}
  otherwise: 0.001
  because: Both leak.
  source: common practice, no source
  examples:
    fires: [{codes: [P0442], symptoms: [smell]}]
    silent: [{symptoms: [smell]}]
- id: rain-wets
  when: {happens: in-rain}
  conclude: wet
  because: Rain is water.
  source: common practice, no source
  examples:
    fires: [{happens_when: [in-rain]}]
    silent: [{symptoms: [smell]}]
- id: large-leak
  when: {code: P0455}
  weigh: {hose-cracked: often, valve-leaks: seldom}
  otherwise: 0.0005
  because: A large leak.
  source: common practice, no source
  examples:
    fires: [{codes: [P0455]}]
    silent: [{codes: [P0442]}]
- id: large-leak-wet
  when: {all: [{code: P0455}, {finding: wet}]}
  weigh: {hose-cracked: usually}
  because: Water opens cracks.
  source: common practice, no source
  examples:
    fires: [{codes: [P0455], happens_when: [in-rain]}]
    silent: [{codes: [P0455]}]
""",
}

#: Lines that a further rule needs besides id, condition and what it does.
REST = """\
  because: So it is.
  source: common practice, no source
  examples:
    fires: [{codes: [P0442]}]
    silent: [{codes: [P0455]}]
"""


def rule(name: str, when: str, does: str) -> str:
    """Return the text of a further rule: ``does`` is its ``weigh`` or ``conclude`` lines, by ``; ``."""
    lines = "".join(f"  {line}\n" for line in does.split("; "))
    return f"- id: {name}\n  when: {when}\n{lines}{REST}"


def write_book(home: Path, *, edit: dict[str, list[tuple[str, str]]] | None = None, add: str = "") -> Path:
    """Write the clean book with each ``edit`` (file: old, new text) made and ``add`` added to the rules."""
    home.mkdir(parents=True, exist_ok=True)
    for name, text in CLEAN.items():
        for old, new in (edit or {}).get(name, ()):
            assert text.count(old) >= 1, f"{old!r} is not in {name}"
            text = text.replace(old, new, 1)
        (home / name).write_text(text + (add if name == "rules.yaml" else ""), encoding="utf-8")
    return home


#: The same book as topic files: a valve, a hose, and what both share.
TOPICS = {
    "common.yaml": """\
recent-work:
  - {id: tank-out, title: Tank was out}
tools:
  - {id: pump, title: Hand pump, basic: false, price: 25..50}
access:
  - {id: bay, title: Engine bay, minutes: 2, cautions: [hot]}
cautions:
  - {id: hot, title: Hot parts, text: Let it cool.}
circumstances:
  - {id: in-rain, title: In rain}
""",
    "evap/valve.yaml": """\
sources:
  base_rate: from memory
  inspections: common practice, no source
  limits: common practice, no source
  seen_with: common practice, no source
components:
  - {id: valve, title: Shut-off valve, words: [solenoid]}
causes:
  - id: valve-leaks
    title: Valve leaks
    component: valve
    base_rate: 20 per 1000
    more_likely_when:
      - {fact: vehicle.age, at_least: 12 y, times: 1.5}
      - {recent_work: tank-out, times: 4}
    remedy: {action: replace, part: shut-off valve, part_cost: 30..60, minutes: 20, access: [bay],
      cautions: [hot]}
    before_buying: [valve-holds]
    after_repair: [Clear the codes; none comes back.]
inspections:
  - id: valve-holds
    title: Valve holds vacuum
    kind: measurement
    tools: [pump]
    access: [bay]
    minutes: 6
    consumables: 0..2
    after: [hose-look]
    reading:
      quantity: pressure
      unit: kPa
      relative_to: atmosphere
      possible: -101.3..200
      limits: {holds: ..-40, leaks: otherwise}
    results:
      holds: {is: normal, means: It seals.}
      leaks:
        is: abnormal
        means: It passes air.
        shows: [valve-leaks]
        seen_with: {valve-leaks: almost-always}
        otherwise: rarely
        because: A closed valve passes no air.
    cautions: [hot]
    steps: [Pump., Wait.]
""",
    "evap/hose.yaml": """\
sources:
  base_rate: from memory
  inspections: common practice, no source
  seen_with: common practice, no source
components:
  - {id: hose, title: Hose, new_part_bad: 0.01}
causes:
  - id: hose-cracked
    title: Hose cracked
    component: hose
    base_rate: 12.5 per 1000
    remedy: {action: repair, minutes: 10}
inspections:
  - id: hose-look
    title: Hose is whole
    kind: visual
    minutes: 2
    results:
      whole: {is: normal, means: No crack.}
      cracked: {is: abnormal, means: A crack., shows: [hose-cracked], seen_with: {hose-cracked: 0.6},
        otherwise: almost-never, because: It can be seen.}
      loose: {is: abnormal, means: It came off., seen_with: {hose-cracked: 0.3}, otherwise: 0.01,
        because: It can be seen.}
    steps: [Look.]
""",
    "evap/evap.yaml": """\
sources:
  codes: from memory
  seen_with: common practice, no source
  conclude: common practice, no source
symptoms:
  - {id: smell, title: Smell, words: [stinks]}
codes:
  - {id: P0442, meaning: A small leak., family: evap}
  - id: P0455
    meaning: A large leak.
    family: evap
    usually_with: [P0442]
    seen_with: {hose-cracked: often, valve-leaks: seldom}
    otherwise: 0.0005
findings:
  - id: open-system
    title: The system is open
    seen_with: {hose-cracked: often, valve-leaks: sometimes}
    otherwise: 0.001
    because: Both leak.
  - {id: wet, title: Water is about}
rules:
  - id: system-open
    when: {all: [{code: P0442}, {symptom: smell}], none: [{code: P0455}]}
    conclude: open-system
    because: A leak that smells.
    examples:
      fires: [{codes: [P0442], symptoms: [smell]}]
      silent: [{codes: [P0442]}]
  - id: rain-wets
    when: {happens: in-rain}
    conclude: wet
    because: Rain is water.
    examples:
      fires: [{happens_when: [in-rain]}]
      silent: [{symptoms: [smell]}]
  - id: large-leak-wet
    when: {all: [{code: P0455}, {finding: wet}]}
    seen_with: {hose-cracked: usually}
    because: Water opens cracks.
    examples:
      fires: [{codes: [P0455], happens_when: [in-rain]}]
      silent: [{codes: [P0455]}]
""",
}


def write_topics(home: Path, *edits: tuple[str, str, str]) -> Path:
    """Write the topic files, each edit (file, old, new text) made."""
    for name, text in TOPICS.items():
        for _, old, new in (edit for edit in edits if edit[0] == name):
            assert old in text, f"{old!r} is not in {name}"
            text = text.replace(old, new, 1)
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_text(text, encoding="utf-8")
    return home

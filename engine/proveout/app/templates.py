"""The texts that ``rules new`` writes, by kind of entry, and what each of them asks for."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct


class Template(Struct, frozen=True):
    """A text with holes.

    Attributes:
        asks: what must be answered, in the order in which it is asked.
        text: with ``{name}``, a hole for each answer, and ``{background}`` for an `otherwise`.
        quoted: answers that are free text, which is quoted.
        may_say: what can be said besides.
    """

    asks: tuple[str, ...]
    text: str
    may_say: tuple[str, ...] = ()
    quoted: frozenset[str] = frozenset({"title", "reference", "engine", "say", "value"})


_RULE = """\
rules:
  - id: {name}
    when:
      all:
        - {{{observed}}}
        - {{fact: vehicle.age, at_least: 10 y}}   # put your own context here
    seen_with: {{{cause}: {frequency}}}{background}
    because: Say in a sentence why this is seen more or less often in these circumstances.
    source: own jobs
    examples:
      fires:
        - {fires}
      silent:
        - {silent}
"""
_ROW = """\
rules:
  - replaces: {row}
    seen_with: {{{cause}: {frequency}}}
    otherwise: {otherwise}
    because: Say in a sentence why it is seen so often here.
    source: own jobs
"""
_SYMPTOM = """\
symptoms:
  - id: {name}
    title: {title}
    words: []   # what people say for it
    seen_with: {{{cause}: {frequency}}}
    otherwise: {otherwise}
    because: Say in a sentence why the fault shows like this.
    source: own jobs
"""
_CAUSE = """\
components:
  - {{id: {name}-part, title: {title}}}

causes:
  - id: {name}
    title: {title}
    component: {name}-part
    base_rate: {rate} per 1000   # of check-engine jobs
    base_rate_source: own jobs
    remedy: {{action: repair, minutes: 20}}

inspections:
  - id: {name}-look
    title: {title}
    kind: visual
    minutes: 5
    results:
      sound: {{is: normal, means: Nothing is wrong there.}}
      faulty: {{is: abnormal, means: It can be seen., shows: [{name}],
        seen_with: {{{name}: usually}}, otherwise: rarely}}
    steps: [Say what to look at for {name} and how it looks when it is faulty.]
    source: own jobs

rules:
  - id: {name}-raised
    when: {{{observed}}}
    seen_with: {{{name}: {frequency}}}{background}
    because: Say in a sentence why the fault shows like this.
    source: own jobs
"""
_INSPECTION = """\
inspections:
  - id: {name}
    title: {title}
    kind: visual
    minutes: 5
    results:
      sound: {{is: normal, means: Nothing is wrong there.}}
      faulty: {{is: abnormal, means: It can be seen., shows: [{cause}],
        seen_with: {{{cause}: {frequency}}}, otherwise: rarely}}
    steps: [Say what to look at for {name} and how it looks when it is faulty.]
    source: own jobs
"""
_OWN = """\
own-figures:
  - id: {name}
    inspection: {inspection}
    when: {{fact: vehicle.engine, is: {engine}}}
    limits: {{{result}: {limits}}}
    reference: {reference}
"""
_CIRCUIT = """\
components:
  - {{id: {name}, title: {title}}}

uses:
  - {{pattern: {pattern}, as: {name}, say: {say}, value: {value}}}

codes:
  - {{id: {code}, meaning: Its signal is out of range., family: {family}, source: own jobs, replaces: {code},
      seen_with: {{{name}.reads-low: often, {name}.reads-high: sometimes,
        {name}-connector-corroded: seldom}}, otherwise: 0.0002}}
"""

#: By kind of entry. A cause comes with its component, an inspection that shows it, and what brings it up.
TEMPLATES: Mapping[str, Template] = {
    "rule": Template(("observe", "cause", "frequency"), _RULE, ("otherwise",)),
    "row": Template(("row", "cause", "frequency", "otherwise"), _ROW),
    "symptom": Template(("title", "cause", "frequency", "otherwise"), _SYMPTOM),
    "cause": Template(("title", "rate", "observe", "frequency"), _CAUSE, ("otherwise",)),
    "inspection": Template(("title", "cause", "frequency"), _INSPECTION),
    "own-figures": Template(("inspection", "engine", "result", "limits", "reference"), _OWN),
    "circuit": Template(("title", "pattern", "say", "value", "code", "family"), _CIRCUIT),
}

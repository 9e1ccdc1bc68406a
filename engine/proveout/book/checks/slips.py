"""Checks of what can be used but is most probably not meant."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.book.entry import RawEntry
from proveout.book.references import USUAL
from proveout.book.remembered import remembered
from proveout.model.atom import FINDING, RESULT, Atom
from proveout.model.problem import Place, Problem
from proveout.text.near import did_you_mean
from proveout.text.node import Listing, Mapping, Scalar, mappings_in

#: Beyond these no vehicle is: (least, most) of each fact in its unit (common sense, no source).
_BOUNDS = {
    "vehicle.age": (0, 150),
    "vehicle.mileage": (0, 5_000_000),
    "frame.coolant": (-60, 200),
    "frame.speed": (0, 500),
    "frame.rpm": (0, 20_000),
    "frame.load": (0, 400),
    "frame.fuel_level": (0, 100),
    "frame.short_trim": (-100, 100),
    "frame.long_trim": (-100, 100),
    "frame.intake_air": (-60, 250),
}
#: A number whose dot may set off thousands: three digits after it and none of them needed, or three groups.
_THOUSANDS = re.compile(r"-?\d{1,3}\.000\b")


def out_of_proportion(draft: Draft) -> Iterator[Problem]:
    """Complain of a condition on a fact that every vehicle, or none, would meet."""
    for entry, node in _conditions(draft):
        fact = _text(node, "fact")
        for op in ("at_least", "below"):
            number = re.match(r"-?[0-9.]+", _text(node, op))
            low, high = _BOUNDS.get(fact, (0, 0))
            if number and fact in _BOUNDS and not low <= float(number[0]) <= high:
                saw = f"{fact} {op} {_text(node, op)} in '{entry.id}'"
                yield Problem(
                    _place(node, op), "out-of-proportion", saw, f"{low} to {high}", "check the figure"
                )


def thousands(draft: Draft) -> Iterator[Problem]:
    """Complain of ``40.000 km``: read as forty, and perhaps meant as forty thousand."""
    for _, node in _conditions(draft):
        for op in ("at_least", "below"):
            text = _text(node, op)
            if _THOUSANDS.match(text):
                mend = f"write {text.replace('.', '', 1)} or {text.replace('.000', '', 1)}"
                yield Problem(
                    _place(node, op), "thousands", f"`{text}`", "a number without a dot for thousands", mend
                )


def unlikely_text(draft: Draft) -> Iterator[Problem]:
    """Complain of a fact's text that nothing else asks for and that is nearly one that others do."""
    nodes = [node for _, node in _conditions(draft) if _text(node, "is")]
    said = Counter((_text(node, "fact"), _text(node, "is").casefold()) for node in nodes)
    for node in nodes:
        fact, text = _text(node, "fact"), _text(node, "is")
        others = {other for of, other in said if of == fact} - {text.casefold()}
        near = did_you_mean(text.casefold(), others) if said[fact, text.casefold()] == 1 else ""
        if near and max(said[fact, other] for other in others if f"'{other}'" in near) > 1:
            yield Problem(
                _place(node, "is"),
                "unlikely-text",
                f"{fact} is '{text}'",
                "a text that a case may have",
                near,
            )


def said_twice(draft: Draft) -> Iterator[Problem]:
    """Complain of a word that an entry lists twice, its title counted."""
    for kind in ("symptoms", "circumstances", "recent-work", "components", "tools", "inspections"):
        for entry in draft.raw.of(kind).values():
            words = entry.node.get("words")
            before = {_plain(_text(entry.node, "title"))}
            for item in words.items if isinstance(words, Listing) else ():
                text = _plain(item.text) if isinstance(item, Scalar) else ""
                if text in before:
                    saw = f"“{item.text}” of '{entry.id}' a second time" if isinstance(item, Scalar) else ""
                    yield Problem(item.place, "said-twice", saw, "each word once", "remove it")
                before.add(text)


def nothing_abnormal(draft: Draft) -> Iterator[Problem]:
    """Complain of an inspection whose results are all normal: whatever it finds, nothing would be wrong."""
    for name, inspection in draft.inspections.items():
        if all(result.normal for result in inspection.results):
            saw, mend = f"{name}, whose results are all normal", "say which result is abnormal"
            place = draft.place("inspections", name, "results")
            yield Problem(place, "nothing-abnormal", saw, "a result that is abnormal", mend)


def unnamed_text(draft: Draft) -> Iterator[Problem]:
    """Complain of a text of a section ``texts`` that nothing names."""
    for name, place in draft.raw.texts.unnamed() if draft.raw.whole else ():
        saw, mend = f"the text '{name}', which nothing names", "remove it, or name it where it is meant"
        yield Problem(place, "unnamed-text", saw, "a text that entries share", mend)


def unknown_companion(draft: Draft) -> Iterator[Problem]:
    """Complain of a code that is said to come along and that no layer knows."""
    known = draft.raw.declared["codes"]
    for _, reference in draft.references:
        if reference.way == USUAL and reference.id not in known and "codes" not in draft.raw.unread:
            mend = did_you_mean(reference.id, known) or "declare it in a section 'codes:', or leave it out"
            saw = f"the companion code '{reference.id}', which no layer has"
            yield Problem(reference.place, "unknown-companion", saw, "a known code", mend)


def unraised_cause(draft: Draft) -> Iterator[Problem]:
    """Complain of a cause that no code, symptom or circumstance brings up, but inspections only."""
    raising = {
        rule.concludes for rule in draft.rules.values() if rule.concludes and _from_intake(rule.when.atoms)
    }
    raised: set[str] = set()
    for rule in draft.rules.values():
        seen = rule.observes
        if seen and (seen.kind != RESULT) and (seen.kind != FINDING or seen.key in raising):
            raised |= set(rule.weights)
    for cause in draft.causes.values():
        if cause.id not in raised:
            saw = f"the cause '{cause.id}', which only inspections speak for"
            mend = "say with which code, symptom or circumstance it is seen"
            yield Problem(cause.place, "unraised-cause", saw, "something at intake that brings it up", mend)


def _from_intake(atoms: Iterable[Atom]) -> bool:
    """Say whether a condition can hold before anything is inspected."""
    return not any(atom.kind == RESULT for atom in atoms)


def _conditions(draft: Draft) -> Iterator[tuple[RawEntry, Mapping]]:
    """Return every condition on a fact with the entry that it stands in; those of a pattern's uses, too."""
    for kind in ("rules", "causes", "own-figures"):
        for entry in draft.raw.of(kind).values():
            for node in _on_facts(entry):
                yield entry, node


@remembered
def _on_facts(entry: RawEntry) -> tuple[Mapping, ...]:
    """Return the conditions on a fact within an entry."""
    return tuple(node for node in mappings_in(entry.node) if "fact" in node)


def _text(node: Mapping, key: str) -> str:
    value = node.get(key)
    return value.text if isinstance(value, Scalar) else ""


def _place(node: Mapping, key: str) -> Place:
    """Return where the value under a key stands."""
    value = node.get(key)
    return value.place if value is not None else node.place


def _plain(text: str) -> str:
    """Return a text in lower case, without marks, its words one blank apart."""
    return " ".join(re.findall(r"\w+", text.casefold()))


#: What there is to say about each check.
PAGES: dict[str, Page] = {
    "out-of-proportion": Page(
        "Every vehicle, or none, meets this condition: most probably a digit too many or another unit.",
        "{fact: vehicle.age, at_least: 900 y}",
        "{fact: vehicle.age, at_least: 9 y}",
    ),
    "nothing-abnormal": Page(
        "An inspection tells sound from faulty; where all of its results are normal it tells nothing.",
        "results: {warm: {is: normal, means: It works.}, cold: {is: normal, means: It does not.}}",
        "results: {warm: {is: normal, means: It works.}, cold: {is: abnormal, means: It does not.}}",
    ),
    "thousands": Page(
        "A dot is a decimal point here: 40.000 km is forty.",
        "at_least: 40.000 km",
        "at_least: 40000 km",
    ),
    "unlikely-text": Page(
        "A text that nothing else asks for and that is nearly one that others do is most probably mistyped.",
        "{fact: vehicle.fuel, is: petol}",
        "{fact: vehicle.fuel, is: petrol}",
    ),
    "said-twice": Page(
        "A word listed twice, or beside a title that says the same, adds nothing.",
        "title: Fuel smell, words: [fuel smell]",
        "words: [smells of petrol]",
    ),
    "unnamed-text": Page(
        "A sentence of a section `texts` is there to be named by several entries; this one none names.",
        "texts: [{id: sensor-circuit, text: ...}] and no {text: sensor-circuit} anywhere",
        "does_not_mean: {text: sensor-circuit} at the codes that it is meant for",
    ),
    "unknown-companion": Page(
        "A code under `usually_with` that no layer knows is most probably mistyped.",
        "usually_with: [P0465]",
        "usually_with: [P0456]",
    ),
    "unraised-cause": Page(
        "Only inspections speak for this cause, so that it comes up when something is inspected for "
        "another reason, and never by itself.",
        "a cause that no code or symptom names",
        "seen_with: {that-cause: 0.3} at a symptom",
    ),
}

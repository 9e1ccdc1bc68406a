"""Checks that what one entry says agrees with what others say."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cached_property

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.book.references import CONDITION
from proveout.model.atom import FINDING, RESULT, Atom
from proveout.model.entries import Cause, CodeEntry, Inspection
from proveout.model.problem import Problem
from proveout.model.rule import Rule
from proveout.text.node import Listing, Scalar

#: Quantities of which a negative figure means that the leads were changed over.
_SIGNED_BY_LEADS = ("voltage", "current")
#: Figures that differ by less than this share count as the same.
_NEARLY = 1e-4
_BANK = re.compile(r"\bbank ([12])\b", re.IGNORECASE)


def unsettled_cause(draft: Draft) -> Iterator[Problem]:
    """Complain of a cause that codes or findings name and that no inspection of the same vehicles can settle.

    An inspection settles a cause where a result shows it and says how often it is seen with it, so that the
    other results clear it; and where whatever vehicle has the cause can be inspected so.
    """
    seen = {
        (rule.observes, cause) for rule in draft.rules.values() if rule.observes for cause in rule.weights
    }
    proved_by: dict[str, list[Inspection]] = {}
    for inspection in draft.inspections.values():
        for name in inspection.proves:
            proved_by.setdefault(name, []).append(inspection)
    for cause in draft.causes.values():
        proving = proved_by.get(cause.id, ())
        if not proving or cause.remedy.action == "nothing":
            continue
        telling = [
            i for i in proving if any((Atom(RESULT, i.id, r), cause.id) in seen for r in i.proves[cause.id])
        ]
        if not telling:
            saw = f"'{cause.id}' is shown by results that do not say how often they are seen with it"
            yield Problem(
                cause.place, "unsettled-cause", saw, "'seen_with' beside 'shows'", "add its frequency"
            )
        elif not any(_as_wide(inspection, cause) for inspection in telling):
            saw = f"'{cause.id}' is shown on some of its vehicles only: by {', '.join(i.id for i in telling)}"
            mend = "give the cause the same 'fits' and 'not_for', or show it in another way as well"
            yield Problem(
                cause.place, "unsettled-cause", saw, "an inspection for each vehicle that has it", mend
            )


def _as_wide(inspection: Inspection, cause: Cause) -> bool:
    """Say whether every vehicle that can have a cause can be inspected so."""
    return set(inspection.fits) <= set(cause.fits) and set(inspection.not_for) <= set(cause.not_for)


def background_above_part(draft: Draft) -> Iterator[Problem]:
    """Complain of a finding that is commoner without its causes than one of the parts that it needs."""
    bounds = _Bounds(draft)
    for finding, rules in bounds.concluding.items():
        atom = Atom(FINDING, finding, "true")
        own = bounds.stated.get(atom)
        most = min(1.0, sum(bounds.of_rule(rule, frozenset({atom})) for rule in rules))
        if own is not None and own[0] > most * (1 + _NEARLY):
            saw = f"'otherwise: {own[0]:g}' for {finding}, of which a part is seen by {most:g} at most"
            mend = f"write {most:g} or less: all of its parts together are no commoner than the rarest"
            yield Problem(own[1].place, "background-above-part", saw, f"at most {most:g}", mend)


class _Bounds:
    """How often something is seen at most where none of the named causes is present."""

    def __init__(self, draft: Draft) -> None:
        self._draft = draft

    @cached_property
    def stated(self) -> Mapping[Atom, tuple[float, Rule]]:
        """The largest background stated for each observed state, context left out, with its rule."""
        found: dict[Atom, tuple[float, Rule]] = {}
        for rule in self._draft.rules.values():
            if rule.observes and rule.otherwise is not None and not rule.context:
                before = found.get(rule.observes)
                if before is None or before[0] < rule.otherwise:
                    found[rule.observes] = (rule.otherwise, rule)
        return found

    @cached_property
    def concluding(self) -> Mapping[str, list[Rule]]:
        """The rules that conclude each finding."""
        found: dict[str, list[Rule]] = {}
        for rule in self._draft.rules.values():
            if rule.concludes:
                found.setdefault(rule.concludes, []).append(rule)
        return found

    def of_rule(self, rule: Rule, on_the_way: frozenset[Atom]) -> float:
        """Return the bound for a condition: the rarest of all parts, the sum of alternatives."""
        parts = [self._of(atom, on_the_way) for atom in rule.when.all_of]
        if rule.when.any_of:
            parts.append(sum(self._of(atom, on_the_way) for atom in rule.when.any_of))
        return min(1.0, *parts) if parts else 1.0

    def _of(self, atom: Atom, on_the_way: frozenset[Atom]) -> float:
        own = self.stated[atom][0] if atom in self.stated else 1.0
        if atom.kind != FINDING or atom in on_the_way:
            return own
        rules = self.concluding.get(atom.key, ())
        return min(own, sum(self.of_rule(rule, on_the_way | {atom}) for rule in rules))


def reversed_leads(draft: Draft) -> Iterator[Problem]:
    """Complain of a reading of which a fault reads as sound when the leads are changed over.

    Where no limit is negative, a figure below minus the smallest limit is the same one the wrong way round.
    """
    for inspection in draft.inspections.values():
        spec = inspection.reading
        if spec is None or spec.series or spec.quantity not in _SIGNED_BY_LEADS:
            continue
        edges = [
            edge for band in spec.bands for edge in (band.low, band.high) if edge is not None and edge != 0
        ]
        low = spec.possible[0]
        if edges and min(edges) > 0 and low is not None and low < -min(edges):
            saw = f"'possible' of {inspection.id} from {low:g} {spec.unit}: leads changed over would misjudge"
            mend = f"begin at -{min(edges):g} or above, so that such a reading is refused, or give it a limit"
            place = draft.place("inspections", inspection.id, "reading", "possible")
            yield Problem(place, "reversed-leads", saw, f"-{min(edges):g} {spec.unit} or more", mend)


def wrong_bank(draft: Draft) -> Iterator[Problem]:
    """Complain of a companion code of the other bank where the own bank's one is not named."""
    codes = draft.words.codes
    said = {entry.meaning.lower(): entry.id for entry in codes.values()}
    for code in codes.values():
        bank = _bank(code)
        for name in code.usually_with if bank else ():
            other = codes.get(name)
            if other is None or _bank(other) in ("", bank):
                continue
            own = said.get(_BANK.sub(f"bank {bank}", other.meaning.lower()), "")
            if own and own != code.id and own not in code.usually_with:
                saw = f"{code.id} is bank {bank}, and {name} under 'usually_with' is not"
                place = draft.place("codes", code.id, "usually_with")
                yield Problem(place, "wrong-bank", saw, own, f"write {own}, or name both")


def _bank(code: CodeEntry) -> str:
    """Return the one bank that a code's meaning names, or nothing."""
    banks = set(_BANK.findall(code.meaning))
    return banks.pop() if len(banks) == 1 else ""


def unexplained_code(draft: Draft) -> Iterator[Problem]:
    """Complain of a code that no rule asks for and of which nothing says why."""
    asked = {ref.id for _, ref in draft.references if ref.kind == "codes" and ref.way == CONDITION}
    for name, entry in draft.raw.of("codes").items():
        if name not in asked and "unweighed" not in entry.node:
            saw = f"{name}, which no rule asks for"
            mend = "add 'seen_with', or say why there is none under 'unweighed', in the entry or at the head"
            yield Problem(entry.place, "unexplained-code", saw, "a rule, or why there is none", mend)


def twin_inspections(draft: Draft) -> Iterator[Problem]:
    """Complain of two inspections by the same title, or with the same steps, that are not one pattern's."""
    titles: dict[str, str] = {}
    acts: dict[tuple[str, ...], str] = {}
    for name, entry in draft.raw.of("inspections").items():
        steps = entry.node.get("steps")
        told = (
            tuple(step.text for step in steps.items if isinstance(step, Scalar))
            if isinstance(steps, Listing)
            else ()
        )
        title = draft.inspections[name].title.casefold()
        before = titles.setdefault(title, name)
        if before == name and told and not entry.node.place.used_at:
            before = acts.setdefault(told, name)
        if before != name:
            saw = f"{name} does the same as {before}"
            mend = "make one of the two, with the causes of both; its former name goes under 'formerly'"
            yield Problem(entry.place, "twin-inspections", saw, "one inspection for one act", mend)


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "unsettled-cause": Page(
        "A code or finding can bring this cause up, and then nothing lets anybody leave it again: no "
        "result that shows it says how often it is seen with it, so a good result clears nothing; or "
        "it is shown on some kinds of vehicle only while all can have it.",
        "poor: {is: abnormal, means: ..., shows: [wire-open]}",
        "poor: {is: abnormal, means: ..., shows: [wire-open], seen_with: {wire-open: 0.9}, otherwise: 0.01}",
    ),
    "background-above-part": Page(
        "A finding holds only where all of its parts hold, so by chance it cannot be commoner than "
        "its rarest part. A larger 'otherwise' lets the finding speak less clearly than one part of "
        "it alone.",
        "symptom with otherwise: 0.002 as a part, finding with otherwise: 0.006",
        "finding with otherwise: 0.002 or less",
    ),
    "reversed-leads": Page(
        "A meter whose leads are changed over shows the same figure with a minus. Where no limit is "
        "negative that figure counts as the lowest result: half a volt lost in a ground reads as "
        "good. Let 'possible' end above it, and the reading is refused instead.",
        'possible: "-16..16" with limits: {good: ..0.2, poor: otherwise}',
        'possible: "-0.2..16"',
    ),
    "wrong-bank": Page(
        "A code of bank 1 that is usually seen with a code of bank 2, while bank 1 has that code as "
        "well, is most probably a slip of copying, and sends people to the wrong side of the engine.",
        "P0135 (bank 1): usually_with: [P0161]",
        "P0135 (bank 1): usually_with: [P0141]",
    ),
    "unexplained-code": Page(
        "A code without a rule leaves triage with nothing to say. Either it gets a row, or its entry, "
        "or 'sources' at the head of the file for all of them, says why there is none; people are "
        "told.",
        "{id: P0505, meaning: ..., family: idle}",
        "{id: P0505, meaning: ..., family: idle, unweighed: why not}",
    ),
    "twin-inspections": Page(
        "Two inspections by one title or with the same steps are one act under two names: it is "
        "offered twice, and what it tells is parted between them. Inspections that one pattern gives "
        "for several circuits are no twins.",
        "two entries with steps: [Look at it.]",
        "one entry with the causes of both; the other name under 'formerly'",
    ),
}

"""Checks of the book as a whole: everything in it is used, provable and can be done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.draft import Draft
from proveout.book.references import CONDITION, EXAMPLE, RESULTS, STANDS, WEIGHS
from proveout.book.strata import knots
from proveout.model.atom import RESULT, Atom
from proveout.model.problem import Problem

_WAYS = {
    "symptoms": (CONDITION,),
    "circumstances": (CONDITION,),
    "recent-work": (CONDITION,),
    "findings": (CONDITION,),
    "components": None,
    "tools": None,
    "access": None,
    "cautions": None,
    "safety-limits": None,
}
_USERS = {
    "symptoms": "a rule",
    "circumstances": "a rule",
    "recent-work": "a rule or factor",
    "findings": "a rule",
    "components": "a cause",
    "tools": "an inspection",
    "access": "an inspection or remedy",
    "cautions": "an inspection, access or remedy",
    "safety-limits": "an inspection",
}


#: What makes an entry of use by itself.
_SPEAKS = frozenset({"follows_from", "brings_on"})


def unused_entry(draft: Draft) -> Iterator[Problem]:
    """Refuse a word of the vocabularies that nothing uses; examples and places are no use."""
    used: dict[str, set[str]] = {kind: set() for kind in _WAYS}
    for _, ref in draft.references:
        ways = _WAYS.get(ref.kind, ())
        if ref.way not in (EXAMPLE, STANDS) and (ways is None or ref.way in ways):
            used[ref.kind].add(ref.id)
    for kind, names in used.items():
        for name, entry in draft.raw.of(kind).items():
            if name not in names and not _SPEAKS.intersection(key.name for key, _ in entry.node):
                saw = f"'{name}', which nothing uses"
                yield Problem(
                    entry.place, "unused-entry", saw, f"used by {_USERS[kind]}", "use it or remove it"
                )


def unused_result(draft: Draft) -> Iterator[Problem]:
    """Refuse an abnormal result that no rule uses: finding it would tell nothing.

    Where rules weigh the normal result instead, the abnormal ones tell the opposite.
    """
    used = {ref.id for _, ref in draft.references if ref.kind == RESULTS and ref.way == CONDITION}
    weighed = {rule.observes for rule in draft.rules.values() if rule.observes}
    for inspection in draft.inspections.values():
        if any(r.normal and Atom(RESULT, inspection.id, r.id) in weighed for r in inspection.results):
            continue
        for result in inspection.results:
            if not result.normal and f"{inspection.id}/{result.id}" not in used:
                saw = f"the abnormal result '{result.id}' of {inspection.id}, which no rule uses"
                place = draft.place("inspections", inspection.id, "results", result.id)
                mend = "say with which causes it is seen ('seen_with'), or remove the result"
                yield Problem(place, "unused-result", saw, "causes that it is seen with", mend)


def unproved_cause(draft: Draft) -> Iterator[Problem]:
    """Refuse a cause that no inspection proves."""
    proved = {cause for inspection in draft.inspections.values() for cause in inspection.proves}
    for cause in draft.causes.values():
        if cause.id not in proved:
            saw = f"the cause '{cause.id}', which no inspection proves"
            yield Problem(cause.place, "unproved-cause", saw, "a result with it in 'shows'", "add one")


def unweighed_cause(draft: Draft) -> Iterator[Problem]:
    """Refuse a cause that no rule weighs: it could never come up."""
    weighed = {ref.id for _, ref in draft.references if ref.way == WEIGHS}
    for cause in draft.causes.values():
        if cause.id not in weighed:
            saw = f"the cause '{cause.id}', which no rule weighs"
            yield Problem(cause.place, "unweighed-cause", saw, "something that is seen with it", "add one")


def proves_normal(draft: Draft) -> Iterator[Problem]:
    """Refuse a fault shown by a normal result; only "nothing wrong" can be."""
    for inspection in draft.inspections.values():
        normal = {result.id for result in inspection.results if result.normal}
        for name, results in inspection.proves.items():
            cause = draft.causes.get(name)
            if cause and cause.remedy.action != "nothing" and normal & set(results):
                result = min(normal & set(results))
                saw = f"{inspection.id} shows '{name}' by the normal result '{result}'"
                place = draft.place("inspections", inspection.id, "proves", name)
                yield Problem(place, "proves-normal", saw, "abnormal results", "name an abnormal result")


def after_cycle(draft: Draft) -> Iterator[Problem]:
    """Refuse inspections that each must come after the other."""
    for group in _after_knots(draft):
        saw = "inspections that must each come after the other: " + ", ".join(group)
        place = draft.place("inspections", group[0], "after")
        yield Problem(place, "after-cycle", saw, "one that can be done first", "remove one 'after'")


def before_buying(draft: Draft) -> Iterator[Problem]:
    """Refuse an inspection asked for before buying that can never be done."""
    stuck = _never_done(draft)
    for cause in draft.causes.values():
        for name in cause.before_buying:
            if name in stuck:
                saw = f"'{name}' in 'before_buying' of {cause.id}, which can never be done"
                place = draft.place("causes", cause.id, "before_buying")
                yield Problem(place, "before-buying", saw, "one that can be done", "mend its 'after'")


def _never_done(draft: Draft) -> set[str]:
    """Return the inspections that must come after others which wait for each other."""
    later: dict[str, list[str]] = {}
    for name, inspection in draft.inspections.items():
        for earlier in inspection.after:
            later.setdefault(earlier, []).append(name)
    stuck: set[str] = set()
    todo = [name for group in _after_knots(draft) for name in group]
    while todo:
        name = todo.pop()
        if name not in stuck:
            stuck.add(name)
            todo += later.get(name, ())
    return stuck


def _after_knots(draft: Draft) -> tuple[tuple[str, ...], ...]:
    known = draft.inspections
    return knots({n: frozenset(one.after).intersection(known) for n, one in known.items() if one.after})


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "after-cycle": Page(
        "Inspections that must each come after the other can never be begun.",
        "a: after: [b], b: after: [a]",
        "a: after: [b]",
    ),
    "before-buying": Page(
        "A part counts as proven only when all of 'before_buying' was done; this one never can be.",
        "before_buying: [one that waits for itself]",
        "before_buying: [one that can be done]",
    ),
    "proves-normal": Page(
        "A fault is shown by what is amiss. Only 'nothing wrong' can be shown by a normal result.",
        "fine: {is: normal, shows: [valve-leaks]}",
        "leaks: {is: abnormal, shows: [valve-leaks]}",
    ),
    "unproved-cause": Page(
        "No inspection shows this cause, so that it can never be proven, and the part never bought "
        "with a good conscience.",
        "a cause that no result names under 'shows'",
        "poor: {is: abnormal, shows: [that-cause], ...}",
    ),
    "unused-entry": Page(
        "Nothing uses this word. It costs whoever reads the book time, and may be a slip in another "
        "place's spelling.",
        "an access id that no inspection names",
        "use it or remove it",
    ),
    "unused-result": Page(
        "The result is abnormal and no rule uses it: finding it would tell nothing.",
        "loose: {is: abnormal, means: It came off.}",
        "loose: {is: abnormal, means: ..., seen_with: {hose-off: 0.9}, otherwise: 0.01}",
    ),
    "unweighed-cause": Page(
        "No rule says what is seen with this cause: it could never come up.",
        "a cause that no 'seen_with' names",
        "seen_with: {that-cause: 0.6} at a code, symptom or result",
    ),
}

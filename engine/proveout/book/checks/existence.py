"""Checks that everything referred to exists."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.codes import controlled_by
from proveout.book.draft import Draft
from proveout.book.references import EXAMPLE, RESULTS, USUAL, Reference
from proveout.model.atom import CANNOT_TELL
from proveout.model.problem import Problem
from proveout.text.near import did_you_mean, one_of

_NOUNS = {
    "causes": "cause",
    "inspections": "inspection",
    "symptoms": "symptom",
    "findings": "finding",
    "components": "component",
    "circumstances": "circumstance",
    "recent-work": "kind of recent work",
    "tools": "tool",
    "access": "access",
    "cautions": "caution",
    "safety-limits": "safety limit",
    "codes": "code",
}


def unknown_id(draft: Draft) -> Iterator[Problem]:
    """Refuse a reference to an entry that no layer has; codes in conditions must be in the catalogue."""
    for _, ref in draft.references:
        known = draft.raw.declared.get(ref.kind, set())
        if ref.id in known or ref.kind == RESULTS or ref.way == USUAL or ref.kind in draft.raw.unread:
            continue
        noun = _NOUNS[ref.kind]
        mend = _mend(ref, known)
        yield Problem(
            ref.place, "unknown-id", f"the {noun} '{ref.id}', which no layer has", f"a known {noun}", mend
        )


def _mend(ref: Reference, known: set[str]) -> str:
    """Say what to do about an unknown id; a maker's code is hardly a slip for one of the standard's."""
    declare = f"declare it in a section '{ref.kind}:'"
    if ref.kind != "codes":
        return did_you_mean(ref.id, known) or declare
    own = [code for code in known if controlled_by(code) == controlled_by(ref.id)]
    near = did_you_mean(ref.id, own)
    return f"{declare}, with its meaning" + (f", or {near}" if near else "")


def unknown_result(draft: Draft) -> Iterator[Problem]:
    """Refuse a result that its inspection does not have."""
    for _, ref in draft.references:
        if ref.kind != RESULTS:
            continue
        name, _, result = ref.id.partition("/")
        inspection = draft.inspections.get(name)
        if inspection is None:
            continue
        known = [r.id for r in inspection.results]
        if result not in known:
            saw = f"the result '{result}', which {name} does not have"
            mend = did_you_mean(result, known) or "add it to the inspection's results"
            if result == CANNOT_TELL and ref.way != EXAMPLE:
                mend = "leave it out; it is no evidence"
            yield Problem(ref.place, "unknown-result", saw, one_of(known), mend)


def reserved_result(draft: Draft) -> Iterator[Problem]:
    """Refuse an inspection that declares the result that every inspection has by itself."""
    for inspection in draft.inspections.values():
        if any(result.id == CANNOT_TELL for result in inspection.results):
            saw = f"the result '{CANNOT_TELL}' in {inspection.id}"
            mend = "remove it: every inspection accepts it"
            yield Problem(inspection.place, "reserved-result", saw, "results of its own", mend)


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "unknown-id": Page(
        "The book and its layers have nothing of that name. Names are kebab-case; the message offers "
        "the nearest.",
        "component: valv",
        "component: valve",
    ),
    "unknown-result": Page(
        "The inspection has no such result.",
        "{inspection: hose-look, result: craked}",
        "{inspection: hose-look, result: cracked}",
    ),
    "reserved-result": Page(
        "`cannot-tell` and its like are said of every inspection and mean nothing by themselves; a "
        "result needs another name.",
        "results: {cannot-tell: ...}",
        "results: {unclear: ...}",
    ),
}

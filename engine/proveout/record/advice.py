"""What a case file keeps of a triage: the answer in short, and the digest of the whole in place of it.

So case files stay short enough to be read, and the digest shows that nothing else came out.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.record.documents import triage_document
from proveout.text.canonical import canonical

#: Forms of what a case file keeps of a triage, the present one first. Those before stay readable, and are
#: made again when a record of theirs is audited. The fourth to sixth differ from the third only in how they
#: were planned: with a last look before a part is bought; with more time for mending what is seen before a
#: case is handed over; and with a needless part counting for more before one is bought.
ADVICE_FORMS = tuple(f"proveout/advice/{n}" for n in (6, 5, 4, 3, 2, 1))
ADVICE, FIFTH_ADVICE, FOURTH_ADVICE, THIRD_ADVICE, SECOND_ADVICE, _ = ADVICE_FORMS
#: Forms whose triage document is the present one.
WHOLE_ADVICE = (ADVICE, FIFTH_ADVICE, FOURTH_ADVICE, THIRD_ADVICE)

#: Keys that came with the third form: of the document, of each cause, of each step.
_THIRD_KEYS = (
    frozenset({"driving_on", "without_rules"}),
    frozenset({"part", "counted", "roots", "mended"}),
    frozenset({"apart", "worth", "why"}),
)
#: Keys of a triage document of the first form.
_FIRST_KEYS = (
    "schema",
    "book",
    "causes",
    "not_in_book",
    "next",
    "others",
    "tool_worth_buying",
    "verdict",
    "unmatched",
    "evidence",
    "fired",
    "ledgers",
    "sensitivity",
)


def triage_digest(document: Mapping[str, Any]) -> str:
    """Return a digest of a triage as JSON, the same wherever the rules lay and whichever engine ran.

    What is asked about the vehicle is no advice, and no part of it.
    """
    kept = _without(document, frozenset({"ask"}))
    if isinstance(kept.get("book"), dict):
        kept["book"] = _without(kept["book"], frozenset({"engine"}))
    for part in {"fired", "spoke", "silent"} & kept.keys():
        kept[part] = [_without(rule, frozenset({"place"})) for rule in kept[part]]
    if "held" in kept.get("driving_on", {}):
        held = [_without(entry, frozenset({"place"})) for entry in kept["driving_on"]["held"]]
        kept["driving_on"] = {**kept["driving_on"], "held": held}
    return hashlib.sha256(canonical(kept)).hexdigest()


def advice_document(triage: Triage, book: Book, form: str = ADVICE) -> dict[str, Any]:
    """Return what a case file keeps of a triage: the answer in short, and the digest of the whole document.

    The whole can be computed again from the case and the book; its digest shows that nothing else came out.

    Args:
        triage: the answer.
        book: that it rests on.
        form: one of ``ADVICE_FORMS``; a former one gives what that version of the program kept.

    Raises:
        BadInputError: there is no such form.
    """
    if form not in ADVICE_FORMS:
        known = " or ".join(ADVICE_FORMS)
        mend = "audit it with the version of the program that wrote it, or a later one"
        raise BadInputError(Problem(NOWHERE, "unknown-form", f"an advice of form {form!r}", known, mend))
    whole = triage_document(triage, book)
    kept = as_kept(whole, form)
    return {
        "schema": form,
        "book": whole["book"],
        **({"driving_on": kept["driving_on"]["do"] or None} if "driving_on" in kept else {}),
        "verdict": whole["verdict"],
        "next": whole["next"]["id"] if whole["next"] else None,
        "causes": [
            {key: cause[key] for key in ("id", "confidence", "direct", "missing")}
            for cause in whole["causes"]
        ],
        "not_in_book": whole["not_in_book"],
        "inputs": {"facts": sorted(list(atom) for atom in triage.sheet.atoms), **whole["evidence"]},
        "triage_digest": triage_digest(kept),
    }


def as_kept(whole: Mapping[str, Any], form: str) -> dict[str, Any]:
    """Return a triage document as it was when advice had a form: what its digest is made of."""
    if form in WHOLE_ADVICE:
        return dict(whole)
    own, of_cause, of_step = _THIRD_KEYS
    second = {
        **_without(whole, own),
        "causes": [_without(cause, of_cause) for cause in whole["causes"]],
        "next": _without(whole["next"], of_step) if whole["next"] else None,
        "others": [_without(step, of_step) for step in whole["others"]],
        "schema": "proveout/triage/2",
    }
    if form == SECOND_ADVICE:
        return second
    return {**{key: second[key] for key in _FIRST_KEYS}, "schema": "proveout/triage/1"}


def _without(item: Mapping[str, Any], keys: frozenset[str]) -> dict[str, Any]:
    return {key: value for key, value in item.items() if key not in keys}

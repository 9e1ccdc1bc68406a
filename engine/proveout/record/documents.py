"""A triage as a plain JSON document: what is printed, and what the digest of recorded advice is made over.

Figures are rounded to nine decimals so that the same case gives the same bytes on every machine.
"""

from __future__ import annotations

from typing import Any

from proveout.intake.telling import notes, said
from proveout.model.advice import Next, Triage
from proveout.model.book import Book
from proveout.model.chained import Fired
from proveout.model.preference import AS_WRITTEN
from proveout.model.rule import Rule
from proveout.model.trace import Silent, Spoken
from proveout.model.urgency import DrivingOn
from proveout.plan.reasons import doubts


def _figure(number: float) -> float:
    return round(float(number), 9) + 0.0  # + 0.0 turns -0.0 into 0.0


def _next(step: Next, book: Book) -> dict[str, Any]:
    inspection = book.inspections[step.inspection]
    cautions = dict.fromkeys(inspection.cautions)
    for access in inspection.access:
        cautions.update(dict.fromkeys(book.words.access[access].cautions))
    return {
        "id": step.inspection,
        "title": inspection.title,
        "minutes": _figure(step.minutes),
        "cost": _figure(step.cost),
        "expected_saving": _figure(step.expected_saving),
        "tools": list(inspection.tools),
        "opens": list(step.opens),
        "cautions": list(cautions),
        "again": step.again,
        "apart": list(step.apart),
        "worth": _figure(step.worth),
        "why": step.why,
        **({"bring_on": list(step.bring_on)} if step.bring_on else {}),
        "results": [
            {
                "result": outcome.result,
                "probability": _figure(outcome.probability),
                "leads_to": outcome.leads_to,
            }
            for outcome in step.outcomes
        ],
    }


def _rule(rule: Rule) -> dict[str, Any]:
    return {"id": rule.id, "place": str(rule.place), "layer": rule.layer, "because": rule.because}


def _fired(fired: Fired, book: Book) -> dict[str, Any]:
    return {
        **_rule(book.rules[fired.rule]),
        "depth": fired.depth,
        "matched": [list(atom) for atom in fired.matched],
        "concludes": fired.concludes or None,
    }


def _spoken(spoken: Spoken, book: Book) -> dict[str, Any]:
    return {
        **_rule(book.rules[spoken.rule]),
        "kind": spoken.observable.kind,
        "key": spoken.observable.key,
        "causes": list(spoken.causes),
        "background": spoken.background,
    }


def _silent(silent: Silent, book: Book) -> dict[str, Any]:
    return {
        **_rule(book.rules[silent.rule]),
        "how": silent.how,
        "by": silent.by,
        "causes": list(silent.causes),
        "background": silent.background,
    }


def reasons(triage: Triage, book: Book, display: str = AS_WRITTEN) -> tuple[str, ...]:
    """Return the reasons of the verdict, the deciding one first, units by preference."""
    if display == AS_WRITTEN:
        return triage.verdict.reasons
    written = doubts(book, triage.sheet, triage.sensitivity)
    deciding = triage.verdict.reasons[: len(triage.verdict.reasons) - len(written)]
    return (*deciding, *doubts(book, triage.sheet, triage.sensitivity, display))


def _evidence(triage: Triage, display: str) -> dict[str, Any]:
    return {
        "observations": [
            {
                "kind": seen.observable.kind,
                "key": seen.observable.key,
                "states": [{"state": state, "weight": _figure(weight)} for state, weight in seen.states],
                "said": said(triage.sheet, seen.observable, display),
            }
            for seen in triage.sheet.observations
        ],
        "notes": list(notes(triage.sheet, display)),
    }


def _ledgers(triage: Triage) -> list[dict[str, Any]]:
    return [
        {
            "cause": ledger.cause,
            "total": _figure(ledger.total),
            "entries": [
                {
                    "what": entry.what,
                    "said": entry.said,
                    "decibans": _figure(entry.decibans),
                    "rules": list(entry.rules),
                }
                for entry in ledger.entries
            ],
        }
        for ledger in triage.ledgers
    ]


def _driving_on(found: DrivingOn) -> dict[str, Any]:
    return {
        "do": found.do,
        "held": [
            {
                "id": entry.id,
                "do": entry.do,
                "because": entry.because,
                "source": entry.source,
                "cautions": list(entry.cautions),
                "place": str(entry.place),
                "layer": entry.layer,
            }
            for entry in found.held
        ],
    }


def _sensitivity(triage: Triage) -> dict[str, Any]:
    return {
        "surprises": [
            {
                "kind": surprise.observable.kind,
                "key": surprise.observable.key,
                "said": surprise.said,
                "expected": _figure(surprise.expected),
            }
            for surprise in triage.sensitivity.surprises
        ],
        "pivots": [
            {"kind": kind, "key": key, "leads_to": leader, "confidence": _figure(confidence)}
            for (kind, key), leader, confidence in triage.sensitivity.pivots
        ],
    }


def triage_document(triage: Triage, book: Book, display: str = AS_WRITTEN) -> dict[str, Any]:
    """Return a triage as a document of schema ``proveout/triage/3``.

    What is recorded or printed as JSON is made without a preference for units; one may be given where a text
    is made of the document.
    """
    return {
        "schema": "proveout/triage/3",
        "driving_on": _driving_on(triage.driving_on),
        "book": {"digest": triage.book_digest, "layers": list(book.layers), "engine": triage.engine},
        "causes": [
            {
                "id": hypothesis.cause,
                "title": book.causes[hypothesis.cause].title,
                "confidence": _figure(hypothesis.confidence),
                "direct": hypothesis.direct,
                "missing": list(hypothesis.missing),
                "replaced": hypothesis.replaced,
                "part": _figure(hypothesis.part),
                "counted": list(hypothesis.counted),
                "roots": list(hypothesis.roots),
                "mended": hypothesis.mended,
            }
            for hypothesis in triage.hypotheses
        ],
        "not_in_book": _figure(triage.not_in_book),
        "left_out": _figure(triage.left_out),
        "next": _next(triage.next, book) if triage.next else None,
        "others": [_next(other, book) for other in triage.others],
        "tool_worth_buying": {
            "id": triage.tool.tool,
            "title": book.words.tools[triage.tool.tool].title,
            "price": _figure(triage.tool.price),
            "saving": _figure(triage.tool.saving),
            "inspection": triage.tool.inspection,
        }
        if triage.tool
        else None,
        "verdict": {
            "kind": triage.verdict.kind,
            "cause": triage.verdict.cause,
            "reasons": list(reasons(triage, book, display)),
        },
        "without_rules": [
            {"code": one.code, "meaning": one.meaning, "nearest": list(one.nearest)}
            for one in triage.without_rules
        ],
        "ask": {"kinds": list(triage.ask.kinds), "text": triage.ask.text, "why": triage.ask.why}
        if triage.ask
        else None,
        "unmatched": list(triage.sheet.unmatched),
        "evidence": _evidence(triage, display),
        "fired": [_fired(fired, book) for fired in triage.chained.fired],
        "spoke": [_spoken(spoken, book) for spoken in triage.spoken],
        "silent": [_silent(silent, book) for silent in triage.silent],
        "ledgers": _ledgers(triage),
        "sensitivity": _sensitivity(triage),
    }

"""Result objects as plain JSON documents with a versioned schema name.

Figures are rounded to nine decimals so that the same case gives the same bytes on every machine.
"""

from __future__ import annotations

from typing import Any

from proveout.model.advice import Next, Triage
from proveout.model.book import Book
from proveout.model.chained import Fired
from proveout.model.problem import Problem
from proveout.model.rule import Rule
from proveout.record.digests import triage_digest


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


def _evidence(triage: Triage) -> dict[str, Any]:
    return {
        "observations": [
            {
                "kind": seen.observable.kind,
                "key": seen.observable.key,
                "states": [{"state": state, "weight": _figure(weight)} for state, weight in seen.states],
                "said": seen.said,
            }
            for seen in triage.sheet.observations
        ],
        "notes": list(triage.sheet.notes),
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


def triage_document(triage: Triage, book: Book) -> dict[str, Any]:
    """Give a triage as a document of schema ``proveout/triage/1``."""
    return {
        "schema": "proveout/triage/1",
        "book": {"digest": triage.book_digest, "layers": list(book.layers), "engine": triage.engine},
        "causes": [
            {
                "id": standing.cause,
                "title": book.causes[standing.cause].title,
                "confidence": _figure(standing.confidence),
                "direct": standing.direct,
                "missing": list(standing.missing),
                "replaced": standing.replaced,
            }
            for standing in triage.standings
        ],
        "not_in_book": _figure(triage.not_in_book),
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
            "reasons": list(triage.verdict.reasons),
        },
        "unmatched": list(triage.sheet.unmatched),
        "evidence": _evidence(triage),
        "fired": [_fired(fired, book) for fired in triage.chained.fired],
        "ledgers": _ledgers(triage),
        "sensitivity": _sensitivity(triage),
    }


def problems_document(problems: tuple[Problem, ...]) -> dict[str, Any]:
    """Give located problems as a document of schema ``proveout/problems/1``."""
    return {
        "schema": "proveout/problems/1",
        "problems": [
            {
                "file": problem.place.file,
                "line": problem.place.line,
                "column": problem.place.column,
                "check": problem.check,
                "saw": problem.saw,
                "expected": problem.expected,
                "mend": problem.mend,
            }
            for problem in problems
        ],
    }


def advice_document(triage: Triage, book: Book) -> dict[str, Any]:
    """Give what a case file keeps of a triage: the answer in short, and the digest of the whole document.

    The whole can be computed again from the case and the book; its digest shows that nothing else came out.
    """
    whole = triage_document(triage, book)
    return {
        "schema": "proveout/advice/1",
        "book": whole["book"],
        "verdict": whole["verdict"],
        "next": whole["next"]["id"] if whole["next"] else None,
        "causes": [
            {key: cause[key] for key in ("id", "confidence", "direct", "missing")}
            for cause in whole["causes"]
        ],
        "not_in_book": whole["not_in_book"],
        "inputs": {"facts": sorted(list(atom) for atom in triage.sheet.atoms), **whole["evidence"]},
        "triage_digest": triage_digest(whole),
    }

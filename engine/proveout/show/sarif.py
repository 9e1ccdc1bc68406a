"""Findings of a check as SARIF 2.1.0 (OASIS standard, 27 March 2020), for what reviews a change."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import quote

from proveout import __version__
from proveout.book.checks.page import Page
from proveout.model.problem import Place, Problem
from proveout.text.extent import extent


def sarif_document(
    problems: Sequence[Problem], lines: Mapping[str, Sequence[str]], pages: Mapping[str, Page]
) -> dict[str, Any]:
    """Return a log of one run; columns count characters from 1."""
    names = sorted({problem.check for problem in problems})
    return {
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "proveout",
                        "version": __version__,
                        "rules": [_rule(name, pages.get(name)) for name in names],
                    }
                },
                "columnKind": "unicodeCodePoints",
                "results": [_result(problem, lines, names) for problem in problems],
            }
        ],
    }


def _rule(name: str, page: Page | None) -> dict[str, Any]:
    rule: dict[str, Any] = {"id": name}
    if page is not None:
        examples = "".join(
            f"\n{word}: {text}" for word, text in (("Refused", page.bad), ("Passes", page.good))
        )
        rule["shortDescription"] = {"text": page.why.partition(". ")[0].rstrip(".?") + "."}
        rule["help"] = {"text": page.why + (examples if page.bad else "")}
    return rule


def _result(problem: Problem, lines: Mapping[str, Sequence[str]], names: Sequence[str]) -> dict[str, Any]:
    expected = f"; expected {problem.expected}" if problem.expected else ""
    mend = f"; {problem.mend}" if problem.mend else ""
    result: dict[str, Any] = {
        "ruleId": problem.check,
        "ruleIndex": names.index(problem.check),
        "level": problem.severity,
        "message": {"text": f"{problem.saw}{expected}{mend}"},
    }
    if problem.place.file:
        result["locations"] = [{"physicalLocation": _location(problem.place, lines)}]
    return result


def _location(place: Place, lines: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    found: dict[str, Any] = {"artifactLocation": {"uri": quote(place.file.replace("\\", "/"))}}
    if place.line:
        region: dict[str, Any] = {"startLine": place.line}
        text = lines.get(place.file, ())
        if place.column:
            region["startColumn"] = place.column
            if place.line <= len(text):
                region["endColumn"] = place.column + extent(text[place.line - 1], place.column)
        if place.line <= len(text):
            region["snippet"] = {"text": text[place.line - 1]}
        found["region"] = region
    return found

"""Documents that use names of before: an intake or a record may name an entry by an id that it had once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from proveout.model.book import Book


def today(document: Mapping[str, Any], book: Book) -> Mapping[str, Any]:
    """Return an intake document in which inspections, results and symptoms have the names of today."""
    changed: dict[str, Any] = {}
    for key in ("symptoms", "symptoms_absent"):
        if key in document:
            changed[key] = [book.former.get(f"symptom {name}", name) for name in document[key]]
    if "readings" in document:
        changed["readings"] = [_reading(item, book) for item in document["readings"]]
    if "results" in document:
        found = (
            _reading({"inspection": name, "result": said}, book) for name, said in document["results"].items()
        )
        changed["results"] = {item["inspection"]: item["result"] for item in found}
    if "own_figures" in document:
        changed["own_figures"] = [_own_figures(item, book) for item in document["own_figures"]]
    if "set_aside" in document:
        changed["set_aside"] = {_inspection(name, book): why for name, why in document["set_aside"].items()}
    return {**document, **changed}


def _inspection(name: str, book: Book) -> str:
    return book.former.get(f"inspection {name}", name)


def _result(inspection: str, result: str, book: Book) -> str:
    return book.former.get(f"result {inspection} {result}", result)


def _reading(item: Mapping[str, Any], book: Book) -> dict[str, Any]:
    inspection = _inspection(item["inspection"], book)
    said = {"result": _result(inspection, item["result"], book)} if "result" in item else {}
    return {**item, "inspection": inspection, **said}


def _own_figures(item: Mapping[str, Any], book: Book) -> dict[str, Any]:
    inspection = _inspection(item["inspection"], book)
    limits = {_result(inspection, name, book): limit for name, limit in item["limits"].items()}
    return {**item, "inspection": inspection, "limits": limits}

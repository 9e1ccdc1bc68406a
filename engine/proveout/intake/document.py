"""An intake document, already valid by its schema, checked against the book and turned into a case."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from proveout.book.codes import parse_code
from proveout.intake.former import today
from proveout.model.atom import CANNOT_TELL
from proveout.model.book import Book
from proveout.model.case import Case, CodeSeen, Costs, History, Mended, Taken
from proveout.model.entries import Inspection
from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.model.specs import OwnFigures

Path = tuple[str | int, ...]
#: Gives the place of the value at a path of the document.
Locate = Callable[[Path], Place]

#: Keys of an intake document to names of facts.
VEHICLE_FACTS: Mapping[str, str] = {
    "age_years": "vehicle.age",
    "mileage_km": "vehicle.mileage",
    "engine": "vehicle.engine",
    "fuel": "vehicle.fuel",
    "climate": "vehicle.climate",
}
FRAME_FACTS: Mapping[str, str] = {
    "coolant_c": "frame.coolant",
    "speed_kmh": "frame.speed",
    "rpm": "frame.rpm",
    "load_pct": "frame.load",
    "fuel_level_pct": "frame.fuel_level",
    "short_trim_pct": "frame.short_trim",
    "long_trim_pct": "frame.long_trim",
    "intake_air_c": "frame.intake_air",
}


def unknown_id(kind: str, given: str, known: Iterable[str], place: Place) -> Problem:
    """Return the complaint about an id that the book does not have, with the nearest ones it has."""
    near = difflib.get_close_matches(given, list(known), n=3, cutoff=0.5)
    mend = f"did you mean {' or '.join(near)}?" if near else "list them with: proveout rules list"
    return Problem(place, "unknown-id", f"{kind} {given!r}", f"one of the book's ids for: {kind}", mend)


class _Reader:
    """Reads one document, collecting complaints instead of stopping at the first."""

    def __init__(self, document: Mapping[str, Any], book: Book, locate: Locate) -> None:
        self.document = document
        self.book = book
        self.locate = locate
        self.problems: list[Problem] = []

    def ids(self, key: str, kind: str, known: Iterable[str]) -> tuple[str, ...]:
        """Return the ids under a key, each once, complaining about those that the book does not have."""
        names = set(known)
        given = self.document.get(key, ())
        for index, item in enumerate(given):
            if item not in names:
                self.problems.append(unknown_id(kind, item, sorted(names), self.locate((key, index))))
        return tuple(dict.fromkeys(item for item in given if item in names))

    def codes(self) -> tuple[CodeSeen, ...]:
        """Return the codes, each once."""
        seen: dict[str, CodeSeen] = {}
        for index, item in enumerate(self.document.get("codes", ())):
            place = self.locate(("codes", index))
            bare = isinstance(item, str)
            try:
                form = parse_code(item if bare else item["code"], place)
            except BadInputError as error:
                self.problems += error.problems
                continue
            status = "confirmed" if bare else item.get("status", "confirmed")
            seen.setdefault(form.code, CodeSeen(form.code, status, form.failure_type, place))
        return tuple(seen.values())

    def taken(self) -> tuple[Taken, ...]:
        """Return the inspections recorded: ``readings`` in order, then the short form."""
        given = [(item, ("readings", index)) for index, item in enumerate(self.document.get("readings", ()))]
        for inspection, result in self.document.get("results", {}).items():
            given.append(({"inspection": inspection, "result": result}, ("results", inspection)))
        read = (self._one_taken(item, path) for item, path in given)
        return tuple(item for item in read if item is not None)

    def _one_taken(self, item: Mapping[str, Any], path: Path) -> Taken | None:
        place = self.locate(path)
        inspection = self.book.inspections.get(item["inspection"])
        if inspection is None:
            self.problems.append(unknown_id("inspection", item["inspection"], self.book.inspections, place))
            return None
        problem = _unusable(inspection, item, place)
        if problem:
            self.problems.append(problem)
            return None
        return Taken(
            inspection.id,
            result=item.get("result", ""),
            value=str(item.get("value", "")),
            series=tuple((str(stimulus), str(response)) for stimulus, response in item.get("series", ())),
            conditions=tuple(item.get("conditions", ())),
            instrument=item.get("instrument", ""),
            place=place,
            fault=item.get("fault", ""),
            old_part=item.get("old_part", False),
        )

    def mended(self) -> tuple[Mended, ...]:
        """Return what was mended and watched, complaining about causes that the book does not have."""
        found = []
        for index, item in enumerate(self.document.get("mended", ())):
            if item["cause"] in self.book.causes:
                found.append(Mended(item["cause"], item.get("since", "")))
            else:
                place = self.locate(("mended", index))
                self.problems.append(unknown_id("cause", item["cause"], self.book.causes, place))
        return tuple(found)

    def history(self) -> History:
        """Return what was so before, complaining about components that the book does not have."""
        given: Mapping[str, Any] = self.document.get("history", {})
        known = self.book.words.components
        for key in ("replaced_again", "never_changed"):
            for index, item in enumerate(given.get(key, ())):
                if item not in known:
                    place = self.locate(("history", key, item if key == "replaced_again" else index))
                    self.problems.append(unknown_id("component", item, known, place))
        return History(
            for_years=given.get("for_years", False),
            replaced_again=tuple(given.get("replaced_again", {}).items()),
            never_changed=tuple(given.get("never_changed", ())),
            engine_exchanged=given.get("engine_exchanged", False),
        )

    def own_figures(self) -> tuple[OwnFigures, ...]:
        """Return the vehicle's own limits, complaining about inspections that take no value."""
        found = []
        for index, item in enumerate(self.document.get("own_figures", ())):
            place = self.locate(("own_figures", index))
            inspection = self.book.inspections.get(item["inspection"])
            if inspection is None:
                self.problems.append(
                    unknown_id("inspection", item["inspection"], self.book.inspections, place)
                )
            elif inspection.reading is None or inspection.reading.series:
                self.problems.append(
                    Problem(
                        place, "no-limits", f"own limits for {inspection.id}", "an inspection with limits"
                    )
                )
            else:
                found.append(OwnFigures(inspection.id, item["limits"], item["reference"], place=place))
        return tuple(found)

    def set_aside(self) -> dict[str, str]:
        """Return the inspections that cannot be done, complaining about those that the book does not have."""
        given: Mapping[str, str] = self.document.get("set_aside", {})
        for name in given:
            if name not in self.book.inspections:
                place = self.locate(("set_aside", name))
                self.problems.append(unknown_id("inspection", name, self.book.inspections, place))
        return {name: why for name, why in given.items() if name in self.book.inspections}

    def costs(self) -> Costs:
        """Return the prices, complaining about components that the book does not have."""
        given = dict(self.document.get("costs", {}))
        parts: Mapping[str, float] = given.pop("parts", {})
        known = self.book.words.components
        for name in parts:
            if name not in known:
                place = self.locate(("costs", "parts", name))
                self.problems.append(unknown_id("component", name, known, place))
        return Costs(**given, parts=tuple(sorted(parts.items())))

    def facts(self) -> dict[str, float | str]:
        """Return the vehicle and freeze-frame facts under their names."""
        found: dict[str, float | str] = {}
        for key, names in (("vehicle", VEHICLE_FACTS), ("freeze_frame", FRAME_FACTS)):
            given = self.document.get(key, {})
            found.update({names[item]: given[item] for item in given if item in names})
        return found


def _unusable(inspection: Inspection, item: Mapping[str, Any], place: Place) -> Problem | None:
    """Say what is wrong with a recorded inspection, or give None."""
    results = [result.id for result in inspection.results]
    word = item.get("result", "")
    if word and word not in results and word != CANNOT_TELL:
        return Problem(
            place,
            "unknown-result",
            f"result {word!r} of {inspection.id}",
            f"one of {', '.join(results)}, or {CANNOT_TELL}",
        )
    if word:
        return None
    if inspection.reading is None:
        return Problem(
            place,
            "no-reading",
            f"a value for {inspection.id}, which has none to read",
            f"one of the results {', '.join(results)}",
        )
    if bool(inspection.reading.series) != ("series" in item):
        wanted = "a series of (stimulus, response) pairs" if inspection.reading.series else "a single value"
        return Problem(place, "reading-form", f"the other form of reading for {inspection.id}", wanted)
    return None


def case_of(document: Mapping[str, Any], book: Book, locate: Locate | None = None) -> Case:
    """Return the case that an intake document describes.

    Args:
        document: plain data, valid by ``intake.schema.json``.
        book: gives the ids that may be used.
        locate: gives the place of the value at a path of the document.

    Raises:
        BadInputError: ids, codes or readings that cannot be used; all of them at once.
    """
    place_of = locate or (lambda _path: NOWHERE)
    document = today(document, book)
    reader = _Reader(document, book, place_of)
    words = book.words
    # The whole catalogue is read only where it must be.
    families = {code.family for code in words.codes.values()} if document.get("code_families") else set()
    monitors = {code.monitor for code in words.codes.values()} if document.get("monitors_run") else set()
    history = reader.history()
    case = Case(
        facts=reader.facts(),
        has=tuple(document.get("vehicle", {}).get("has", ())),
        lacks=tuple(document.get("vehicle", {}).get("lacks", ())),
        codes=reader.codes(),
        symptoms=reader.ids("symptoms", "symptom", words.symptoms),
        symptoms_absent=reader.ids("symptoms_absent", "symptom", words.symptoms),
        happens_when=reader.ids("happens_when", "circumstance", words.circumstances),
        recent_work=reader.ids("recent_work", "kind of recent work", words.recent_work),
        replaced=tuple(
            dict.fromkeys(
                (*reader.ids("replaced", "component", words.components), *dict(history.replaced_again))
            )
        ),
        said=tuple(document.get("said", ())),
        tools=reader.ids("tools", "tool", words.tools),
        monitors_run=reader.ids("monitors_run", "monitor", monitors),
        taken=reader.taken(),
        own_figures=reader.own_figures(),
        set_aside=reader.set_aside(),
        costs=reader.costs(),
        place=place_of(()),
        mended=reader.mended(),
        history=history,
        code_families=reader.ids("code_families", "family of codes", families),
    )
    if reader.problems:
        raise BadInputError(*reader.problems)
    return case

"""Entries of the book as text: what they say, where they stand, what uses them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.book import Book
from proveout.model.entries import Cause, Inspection
from proveout.model.rule import Rule
from proveout.model.vehicle import only_for
from proveout.model.whereabouts import ZONES
from proveout.readiness.inspection import known_programmes
from proveout.readiness.warranty import known_terms
from proveout.show.cautions import remedy_lines
from proveout.show.figures import wrapped
from proveout.show.glossary import term_lines
from proveout.show.inspection import steps_page


def catalogue(book: Book) -> dict[str, dict[str, str]]:
    """Return, for each kind of entry, id to title."""
    words = book.words
    titled: dict[str, Mapping[str, Any]] = {
        "causes": book.causes,
        "inspections": book.inspections,
        "symptoms": words.symptoms,
        "circumstances": words.circumstances,
        "recent-work": words.recent_work,
        "findings": words.findings,
        "components": words.components,
        "tools": words.tools,
        "access": words.access,
        "cautions": words.cautions,
        "warranties": {term.id: term for term in known_terms(book)},
        "programmes": known_programmes(book),
        "glossary": words.glossary,
    }
    kinds = {name: {key: entry.title for key, entry in entries.items()} for name, entries in titled.items()}
    kinds["places"] = {key: ZONES[entry.zone] for key, entry in words.places.items()}
    kinds["codes"] = {key: entry.meaning for key, entry in words.codes.items()}
    kinds["own-figures"] = {f.id: f"{f.inspection}, by {f.reference}" for f in book.own_figures}
    kinds["rules"] = {key: rule.because for key, rule in book.rules.items()}
    return kinds


def _atoms(lead: str, atoms: Iterable[Atom]) -> list[str]:
    return [f"  {lead} {atom}" for atom in atoms]


def _elsewhere(rule: Rule, cause: str) -> str:
    return f" ({rule.elsewhere[cause]})" if cause in rule.elsewhere else ""


def rule_text(book: Book, rule: Rule, width: int) -> str:
    """Return a rule: its conditions, what it concludes or weighs, why, and where it stands.

    Where further rules speak of the same, they are named: what those weigh is not at this one's
    "none of these".
    """
    lines = [f"rule {rule.id}  ({rule.place}, layer {rule.layer})", "when"]
    lines += _atoms("all ", rule.when.all_of) + _atoms("any ", rule.when.any_of)
    lines += _atoms("none", rule.when.none_of)
    if rule.concludes:
        lines.append(f"concludes {rule.concludes}")
    else:
        lines.append("weighs (how often it is seen where the cause is present)")
        lines += [
            f"  {cause:<40} {frequency:<7g}{_elsewhere(rule, cause)}".rstrip()
            for cause, frequency in sorted(rule.weights.items(), key=lambda one: -one[1])
        ]
        if rule.otherwise is not None:
            lines.append(f"  {'none of these':<40} {rule.otherwise:g}")
    lines += wrapped(rule.because, width, "because ")
    lines += wrapped(rule.source, width, "source  ")
    return "\n".join([*lines, *_besides(book, rule, width)])


def _besides(book: Book, rule: Rule, width: int) -> list[str]:
    """Return which other rules weigh causes by the same observation as one that weighs some."""
    asked = {*rule.when.all_of, *rule.when.any_of} if rule.weights else set()
    others = [
        other.id
        for other in book.rules.values()
        if other.id != rule.id
        and other.weights
        and not asked.isdisjoint((*other.when.all_of, *other.when.any_of))
    ]
    return wrapped(", ".join(others), width, "weighed besides by ") if others else []


def cause_text(book: Book, cause: Cause, width: int) -> str:
    """Return a cause: base rate, remedy, proof, and the rules that weigh it."""
    lines = [f"cause {cause.id}: {cause.title}  ({cause.place}, layer {cause.layer})"]
    rate = f"base rate {cause.base_rate * 1000:g} per 1000 jobs ({cause.base_rate_source})"
    lines += wrapped(rate, width)
    kinds = only_for(cause.fits, cause.not_for)
    lines += wrapped(kinds, width) if kinds else []
    lines += [f"  times {factor.times:g} where {_where(factor.when.atoms)}" for factor in cause.factors]
    lines += ["remedy", *remedy_lines(book, cause.remedy, width, "")]
    lines.append("shown directly by " + ", ".join(book.proved_by.get(cause.id, ())))
    if cause.before_buying:
        lines.append("before buying " + ", ".join(cause.before_buying))
    for step in cause.after_repair:
        lines += wrapped(step, width, "after repair: ", "  ")
    rules = [rule.id for rule in book.rules.values() if cause.id in rule.weights]
    return "\n".join([*lines, *wrapped("weighed by " + ", ".join(rules), width)])


def _where(atoms: Iterable[Atom]) -> str:
    return " and ".join(str(atom) for atom in sorted(atoms))


def _users(book: Book, entry: str) -> list[str]:
    return [
        rule.id
        for rule in book.rules.values()
        if rule.concludes == entry or any(atom.key == entry for atom in rule.when.atoms)
    ]


def _term_text(book: Book, entry: str, width: int) -> str:
    for kind, titles in catalogue(book).items():
        if entry in titles:
            lines = wrapped(f"{kind}: {entry}: {titles[entry]}", width)
            if kind == "cautions":
                caution = book.words.cautions[entry]
                lines += [*wrapped(caution.text, width, "  "), *wrapped(f"Source: {caution.source}.", width)]
            users = _users(book, entry)
            return "\n".join([*lines, *(wrapped("used by " + ", ".join(users), width) if users else [])])
    raise KeyError(entry)


def _inspection_text(book: Book, inspection: Inspection, width: int) -> str:
    where = f"inspection {inspection.id}  ({inspection.place}, layer {inspection.layer})"
    rules = book.weighing.get(Observable(RESULT, inspection.id), ())
    used = wrapped("weighed by " + ", ".join(rules), width)
    return "\n".join([where, steps_page(book, inspection, width).text(), "", *used])


def entry_text(book: Book, entry: str, width: int = 80) -> str:
    """Return an entry of any kind as text.

    Raises:
        KeyError: the book has none of that id.
    """
    if entry in book.rules:
        return rule_text(book, book.rules[entry], width)
    if entry in book.causes:
        return cause_text(book, book.causes[entry], width)
    if entry in book.inspections:
        return _inspection_text(book, book.inspections[entry], width)
    if entry in book.words.glossary:
        return "\n".join(term_lines(book.words.glossary[entry], width))
    return _term_text(book, entry, width)

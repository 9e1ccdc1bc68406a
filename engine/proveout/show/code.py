"""A trouble code as text and JSON: its structure, its meaning, and what it does not mean."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from proveout.model.atom import CODE, Observable
from proveout.show.figures import wrapped
from proveout.show.first_look import first_look_text
from proveout.text.lowered import lowered

if TYPE_CHECKING:
    from proveout.book.codes import CodeForm
    from proveout.model.book import Book
    from proveout.model.first_look import FirstLook


def _causes(book: Book, code: str) -> list[str]:
    rules = book.weighing.get(Observable(CODE, code), ())
    return sorted({cause for rule in rules for cause in book.rules[rule].weights})


def code_text(form: CodeForm, book: Book, width: int = 80) -> str:
    """Return what is known of a code; a code that the catalogue does not know says so."""
    lines = [form.code + (f"-{form.failure_type}" if form.failure_type else "")]
    lines += [f"  {name:<14} {value}" for name, value in _structure(form)]
    entry = book.words.codes.get(form.code)
    if entry is None:
        lines += ["", *wrapped(_unknown(form), width)]
        return "\n".join(lines)
    lines += ["", *wrapped(entry.meaning, width, "Means: ")]
    if entry.does_not_mean:
        lines += wrapped(entry.does_not_mean, width, "Does not mean: ")
    if entry.monitor:
        from proveout.readiness.status import monitor_said  # which short commands do not need

        lines += wrapped(f"Set by the {monitor_said(entry.monitor)} monitor.", width)
    if entry.usually_with:
        lines += wrapped("Often set together with " + ", ".join(entry.usually_with) + ".", width)
    causes = _causes(book, form.code)
    if causes:
        titles = ", ".join(lowered(book.causes[cause].title) for cause in causes)
        lines += ["", *wrapped(f"{len(causes)} causes are known for it: {titles}.", width)]
    elif entry.unweighed:
        lines += ["", *wrapped(f"No rule weighs it: {entry.unweighed}.", width)]
    if entry.source:
        lines += ["", *wrapped(f"Source: {entry.source}.", width)]
    return "\n".join(lines)


def code_short(form: CodeForm, look: FirstLook | None, width: int = 80) -> str:
    """Return what a code means and does not mean, what is usually behind it, and what to do first.

    Args:
        form: the code.
        look: what the book says of it alone; None where it does not have it.
        width: columns.
    """
    if look is None:
        return "\n".join([form.code, *wrapped(_unknown(form), width, "  ")])
    return first_look_text(form.code, look, width)


def _structure(form: CodeForm) -> list[tuple[str, str]]:
    pairs = [("system", form.system), ("defined by", form.controlled_by)]
    if form.subsystem:
        pairs.append(("subsystem", form.subsystem))
    if form.failure_type:
        pairs.append(("failure type", form.failure_type))
    return pairs


def _unknown(form: CodeForm) -> str:
    if form.controlled_by == "manufacturer":
        return (
            "The vehicle's maker defines this code: its meaning stands in the maker's own documents. "
            "Triage goes by what you notice: give the symptoms."
        )
    return "This code is not in the catalogue of this book; only its structure is known."


def code_document(form: CodeForm, book: Book) -> dict[str, Any]:
    """Return a code as a document of schema ``proveout/code/1``."""
    entry = book.words.codes.get(form.code)
    return {
        "schema": "proveout/code/1",
        "code": form.code,
        "failure_type": form.failure_type,
        "structure": dict(_structure(form)),
        "known": entry is not None,
        "meaning": entry.meaning if entry else "",
        "does_not_mean": entry.does_not_mean if entry else "",
        "family": entry.family if entry else "",
        "monitor": entry.monitor if entry else "",
        "usually_with": list(entry.usually_with) if entry else [],
        "causes": _causes(book, form.code),
        "source": entry.source if entry else "",
    }


def codes_document(forms: Sequence[CodeForm], book: Book) -> dict[str, Any]:
    """Return several codes as a document of schema ``proveout/codes/1``."""
    return {"schema": "proveout/codes/1", "codes": [code_document(form, book) for form in forms]}

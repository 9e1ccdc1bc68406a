"""What examples and cases reach of a book, as text and JSON."""

from __future__ import annotations

from typing import Any

from proveout.model.book import Book
from proveout.show.figures import percent
from proveout.trial.coverage import REACHED, Reached, causes_short_of, one_sided, share, silent_rules


def covered_text(book: Book, found: Reached, most: int) -> str:
    """Return the shares reached, and by name what never is, at most so many of each kind."""
    silent, sided = silent_rules(book, found), one_sided(book, found)
    lines = [
        f"{found.cases} examples and cases tried, {found.unread} of them cannot be read.",
        f"{percent(share(book, found))} of {len(book.rules)} rules speak somewhere.",
    ]
    for how in REACHED:
        short = causes_short_of(book, found, how)
        lines.append(f"{len(book.causes) - len(short)} of {len(book.causes)} causes: {how}.")
    lines += _listed("Rules that never speak", [f"{rule.place}: {rule.id}" for rule in silent], most)
    never = [
        f"{rule.place}: {rule.id}: '{atom}' always {'holds' if held else 'fails'}"
        for rule, atom, held in sided
    ]
    lines += _listed("Conditions that were seen one way only", never, most)
    for how in REACHED[1:]:
        lines += _listed(f"Causes never so far as: {how}", causes_short_of(book, found, how), most)
    return "\n".join(lines)


def covered_document(book: Book, found: Reached) -> dict[str, Any]:
    """Return the same as a document of schema ``proveout/covered/1``."""
    return {
        "schema": "proveout/covered/1",
        "cases": found.cases,
        "unread": found.unread,
        "share": round(share(book, found), 6),
        "rules": {name: found.rules[name] for name in book.rules},
        "one_sided": [
            {"rule": rule.id, "condition": list(atom), "always": held}
            for rule, atom, held in one_sided(book, found)
        ],
        "causes": {
            name: {how.replace(" ", "_"): found.causes[name, how] for how in REACHED} for name in book.causes
        },
    }


def _listed(head: str, names: list[str], most: int) -> list[str]:
    if not names:
        return []
    left = len(names) - most
    rest = [f"  and {left} more: --most {len(names)}"] if left > 0 else []
    return ["", f"{head} ({len(names)}):", *(f"  {name}" for name in names[:most]), *rest]

"""Numbers and names as people read them: no more digits than the figure deserves."""

from __future__ import annotations

import re
import textwrap

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from proveout.model.atom import Atom
    from proveout.model.book import Book

#: The space between a figure and its unit, at which no line ends.
_UNIT = re.compile(r"(?<=\d) (?=(?:%|V|mV|A|mA|Ω|ohm|kPa|bar|psi|min|h|s|ms|km|mm)(?!\w))")


def percent(share: float) -> str:
    """Return a probability in whole percent, with ``<1 %`` and ``>99 %`` at the ends."""
    if 0 < share < 0.01:
        return "<1 %"
    if 0.99 < share < 1:
        return ">99 %"
    return f"{share * 100:.0f} %"


def money(amount: float, currency: str) -> str:
    """Return an amount with its currency, or which it is meant to be in where none was named."""
    return f"{price(amount)} {currency or 'in your currency'}"


def price(amount: float) -> str:
    """Return an amount whose currency stands beside it, without decimals from 10 on."""
    return f"{amount:.0f}" if amount >= 9.95 else f"{amount:.2f}"


def minutes(amount: float) -> str:
    """Return a time in minutes, or in hours and minutes from 90 on."""
    whole = round(amount)
    if whole < 90:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60:02d} min"


def shortened(text: str, room: int) -> str:
    """Return a text that fits so many columns, cut with an ellipsis where it is longer."""
    return text if len(text) <= room else text[: room - 1].rstrip() + "…"


def cause_title(book: Book, cause: str) -> str:
    """Return the title of a cause; the empty id stands for "not in the book"."""
    return book.causes[cause].title if cause else "something the book does not know"


def atom_said(book: Book, atom: Atom) -> str:
    """Return what a fact is called; of an inspection also the result."""
    from proveout.book.around import CAUSE  # none of these is needed by short commands
    from proveout.intake.called import came_out, observable_title
    from proveout.model.atom import FACT, RESULT, Observable

    if atom.kind == CAUSE:
        return cause_title(book, atom.key)
    title = observable_title(book, Observable(atom.kind, atom.key))
    if atom.kind == RESULT:
        return came_out(title, atom.value)
    return title if title != atom.key or atom.kind == FACT else f"{atom.kind} {title}: {atom.value}"


def wrapped(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """Wrap a text to lines of at most ``width`` characters, with a lead for the first and the other lines."""
    indent = " " * len(first) if rest is None else rest
    lines = textwrap.wrap(
        _UNIT.sub("\u00a0", " ".join(text.split())),
        width,
        initial_indent=first,
        subsequent_indent=indent,
        break_on_hyphens=False,
        break_long_words=False,
    )
    return [line.replace("\u00a0", " ") for line in lines] or [first.rstrip()]

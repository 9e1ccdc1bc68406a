"""A first look at codes as text; what it needs loads little, since it is asked for most often."""

from __future__ import annotations

from proveout.show.figures import percent, wrapped
from proveout.text.lowered import lowered

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Iterable

    from proveout.model.first_look import FirstLook

_FURTHER = "More of them: --full. Together with what you notice: proveout intake"


def first_look_text(code: str, look: FirstLook, width: int = 80) -> str:
    """Return what a code means and does not mean, what is usually behind it, and what to do first.

    Args:
        code: its five characters.
        look: what the book says of it alone.
        width: columns.
    """
    lines = wrapped(look.meaning, width, f"{code}  ")
    if look.does_not_mean:
        lines += wrapped(look.does_not_mean, width, "  Does not mean: ", "    ")
    if look.unweighed:
        lines += wrapped(f"No rule weighs it: {look.unweighed}.", width, "  ", "    ")
    if look.usual:
        usual = (f"{lowered(title)} ({percent(confidence)})" for title, confidence in look.usual)
        lines += wrapped(", ".join(usual) + ".", width, "  Usually behind it: ", "    ")
    if look.first:
        title, name = look.first
        lines += wrapped(f"{title} ({name}).", width, "  First: ", "    ")
    return "\n".join(lines)


def first_looks_text(texts: Iterable[str]) -> str:
    """Return the texts of several codes, and how to learn more."""
    return "\n\n".join((*texts, _FURTHER))

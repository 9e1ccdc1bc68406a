"""What a case means for driving on, in words; it stands above everything else."""

from __future__ import annotations

from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.urgency import SCALE, Driving, DrivingOn
from proveout.show.figures import wrapped

#: Said where the book says nothing: silence must not reassure. Common practice, no source.
UNKNOWN = (
    "Driving on: nothing known here says how urgent it is. Stop at once if a red lamp comes on or the engine "
    "lamp flashes, if there is a smell of fuel or smoke, or if brakes or steering feel wrong."
)
#: Said where the repair is confirmed.
SETTLED = "Driving on: the repair is confirmed; how urgent it was before counts no longer."


def heading(found: DrivingOn) -> str:
    """Return what to do, as one sentence."""
    if found.settled:
        return SETTLED
    if not found.do:
        return UNKNOWN
    words = SCALE[found.do]
    return f"Driving on: {words}."


def deciding(found: DrivingOn) -> tuple[Driving, ...]:
    """Return the entries that the answer rests on."""
    return tuple(entry for entry in found.held if entry.do == found.do and entry.do)


def reasons(found: DrivingOn) -> tuple[str, ...]:
    """Return why, each reason with its source."""
    return tuple(f"{entry.because} ({entry.source})" for entry in deciding(found))


def cautions(found: DrivingOn, book: Book) -> tuple[str, ...]:
    """Return the cautions of all that holds, each with its title and the reason it is shown for."""
    ids = dict.fromkeys(name for entry in found.held for name in entry.cautions)
    known = book.words.cautions
    return tuple(f"{known[name].title}: {known[name].text}" for name in ids if name in known)


def driving_lines(triage: Triage, book: Book, width: int) -> list[str]:
    """Return it as lines for the terminal, with an empty line after them."""
    found = triage.driving_on
    lines = wrapped(heading(found), width)
    for reason in reasons(found):
        lines += wrapped(reason, width, "  ")
    for caution in cautions(found, book):
        lines += wrapped(caution, width, "  ! ", "    ")
    return [*lines, ""]

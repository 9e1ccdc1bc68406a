"""Which words each command takes, as lines of text, so that a shell can be answered without click.

Nothing is imported here: whoever presses Tab waits for it. ``terminal.keeping`` makes it from the commands.
"""

from __future__ import annotations

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    #: How a word is completed, by the first item: a name of the book (kind; "within" where what was typed
    #: may stand within), a case file, one of some words, a path for the shell to complete (file or dir),
    #: nothing, or as only click can say.
    How = tuple[str, ...]

NAMES, CASES, WORDS, PATH, NOTHING, UNSURE = "names", "cases", "words", "path", "nothing", "unsure"
#: Whether an option takes a word.
NONE, ONE, MAYBE = "none", "one", "maybe"


class Option:
    """One option.

    Attributes:
        names: of it.
        how: its word is completed.
        note: its help.
        takes: ``NONE``, ``ONE`` or ``MAYBE``: whether it takes a word.
        is_shown: whether it is offered.
        is_many: whether it may be given again.
    """

    def __init__(self, names: How, how: How, note: str, *, takes: str, is_shown: bool, is_many: bool) -> None:
        self.names, self.how, self.takes = names, how, takes
        self.is_shown, self.is_many, self.note = is_shown, is_many, note


class Takes:
    """What a command takes.

    Attributes:
        note: one line of help.
        options: in the order of the help.
        arguments: how each is completed; None where their order cannot be told.
        is_endless: whether the last argument comes any number of times.
        below: of a group, its commands by name; None for a plain command.
    """

    def __init__(
        self, note: str, *, arguments: list[How] | None, is_endless: bool, below: dict[str, Takes] | None
    ) -> None:
        self.note, self.options, self.below = note, list[Option](), below
        self.arguments, self.is_endless = arguments, is_endless


def written(name: str, takes: Takes) -> Iterator[str]:
    """Return what a command takes as lines: itself, its options, and the commands below it."""
    kind = "command" if takes.below is None else "group"
    arguments = ["?"] if takes.arguments is None else [" ".join(how) for how in takes.arguments]
    yield "\t".join((kind, name, _plain(takes.note), str(int(takes.is_endless)), *arguments))
    for one in takes.options:
        marks = f"{one.takes} {int(one.is_shown)} {int(one.is_many)}"
        yield "\t".join(("option", " ".join(one.names), marks, " ".join(one.how), _plain(one.note)))
    for inner, below in (takes.below or {}).items():
        yield from written(inner, below)
    if takes.below is not None:
        yield "end"


def read(lines: Iterable[str]) -> Takes:
    """Return what was written as lines.

    Raises:
        ValueError: it was not.
    """
    top = Takes("", arguments=[], is_endless=False, below={})
    groups, at = [top], top
    for line in lines:
        kind, *fields = line.split("\t")
        if kind == "option":
            at.options.append(_option(*fields))
        elif kind == "end":
            groups.pop()
        else:
            at = _command(kind == "group", *fields[1:])
            below = groups[-1].below
            assert below is not None
            below[fields[0]] = at
            groups += [at] if kind == "group" else []
    (whole,) = (top.below or {}).values()
    return whole


def _option(names: str, marks: str, how: str, note: str) -> Option:
    takes, shown, many = marks.split(" ")
    return Option(
        tuple(names.split(" ")),
        tuple(how.split(" ")),
        note,
        takes=takes,
        is_shown=shown == "1",
        is_many=many == "1",
    )


def _command(is_group: bool, note: str, endless: str, *arguments: str) -> Takes:
    known = None if arguments == ("?",) else [tuple(one.split(" ")) for one in arguments]
    return Takes(note, arguments=known, is_endless=endless == "1", below={} if is_group else None)


def _plain(text: str) -> str:
    """Return a text on one line, its spaces single."""
    return " ".join(text.split())

"""The answer to a shell that asks for a completion, without click: from what was kept.

Whoever presses Tab waits for it, and loading click with the command's module takes longer than all the rest.
What was not kept, or takes more than reading words one by one, is left to click, which answers the same (a
test holds the two together).
"""

from __future__ import annotations

from proveout.app.places import cache_at
from proveout.terminal import tab_notes
from proveout.terminal.asked import lines, question
from proveout.terminal.candidates import candidates
from proveout.terminal.grammar import MAYBE, NONE, NOTHING, UNSURE, Takes, read

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Mapping

    from proveout.terminal.candidates import Candidate
    from proveout.terminal.grammar import How, Option

#: Names of the notes, and what stands between the layers that a line names.
GRAMMAR, NAMES_OF, SETTLED = "grammar", "names-{}", "\t"
_LAYERS = "--rules"


def home() -> str:
    """Return the directory of the notes."""
    return f"{cache_at()}/tab"


def answer(environment: Mapping[str, str]) -> str | None:
    """Return what the shell is to be told that asks by its environment, or None where only click can say."""
    asked = question(environment)
    kept = tab_notes.read(home(), GRAMMAR) if asked else None
    if asked is None or kept is None:
        return None
    shell, words, typed = asked
    try:
        found = complete(read(kept), words, typed)
    except ValueError:
        return None
    return None if found is None else lines(shell, found)


def complete(whole: Takes, words: list[str], typed: str) -> list[Candidate] | None:
    """Return what a word may become, or None where only click can say.

    Args:
        whole: what the program takes.
        words: before that one.
        typed: of it so far.
    """
    line = _Line(whole)
    if "--" in words or not all(line.take(word) for word in words):
        return None
    if typed.startswith("-"):
        return line.options(typed)
    how = line.how()
    if how is not None:
        return candidates(how, typed, line.names)
    inner = line.at.below or {}
    return [("plain", name, one.note) for name, one in inner.items() if name.startswith(typed)]


class _Line:
    """The words of a line, read one after the other.

    Attributes:
        at: what the command takes that the words have come to.
        given: the options that were given, by their first name.
        waiting: the option that still waits for its word.
        count: of the arguments so far.
        layers: directories named by ``--rules``.
    """

    def __init__(self, whole: Takes) -> None:
        self.layers: list[str] = []
        self._enter(whole)

    def _enter(self, at: Takes) -> None:
        self.at, self.count = at, 0
        self.given: set[str] = set()
        self.waiting: Option | None = None

    def take(self, word: str) -> bool:
        """Read one word; return whether it was understood."""
        option = self.waiting
        if option is not None and not (option.takes == MAYBE and word.startswith("-")):
            self.waiting = None
            self.given.add(option.names[0])
            self.layers += [word] if _LAYERS in option.names else []
            return True
        if word.startswith("-") and word != "-":
            return self._take_option(word)
        self.waiting = None
        if self.at.below is None:
            self.count += 1
        elif word in self.at.below:
            self._enter(self.at.below[word])
        else:
            return False
        return True

    def _take_option(self, word: str) -> bool:
        found = next((option for option in self.at.options if word in option.names), None)
        if found is None:
            return False
        self.waiting = found if found.takes != NONE else None
        if found.takes in (NONE, MAYBE):
            self.given.add(found.names[0])
        return True

    def options(self, typed: str) -> list[Candidate]:
        """Return the options that begin so and may still be given."""
        free = (
            one for one in self.at.options if one.is_shown and (one.is_many or one.names[0] not in self.given)
        )
        return [("plain", name, one.note) for one in free for name in one.names if name.startswith(typed)]

    def how(self) -> How | None:
        """Return how the next word is completed; None where it is a command."""
        arguments = self.at.arguments
        if self.waiting is not None:
            return self.waiting.how
        if arguments is None:
            return (UNSURE,)
        if arguments and (self.count < len(arguments) or self.at.is_endless):
            return arguments[min(self.count, len(arguments) - 1)]
        return (NOTHING,) if self.at.below is None else None

    def names(self, kind: str) -> Mapping[str, str] | None:
        """Return the ids of a kind with their titles, where they are at hand."""
        kept = tab_notes.read(home(), NAMES_OF.format(kind))
        if kept is None or kept[0] != SETTLED.join(self.layers):
            return None
        return dict(line.split("\t", 1) for line in kept[1:])

"""How shells ask for completions, and how they are answered.

Nothing is imported here: whoever presses Tab waits for it.
"""

from __future__ import annotations

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

#: The environment variable by which a shell asks.
ASKED = "_PROVEOUT_COMPLETE"
SHELLS = ("bash", "zsh", "fish", "powershell")
_ASKS = "_complete"
#: What makes words of a line into something else than its parts between spaces, or an option into two words.
_NOT_PLAIN = "\"'\\="


def question(environment: Mapping[str, str]) -> tuple[str, list[str], str] | None:
    """Return the shell, the words before the one to be completed, and that one.

    Returns None where this is no question, or one that takes more than parting words at spaces.
    """
    shell = environment.get(ASKED, "").removesuffix(_ASKS)
    line, at = environment.get("COMP_WORDS", ""), environment.get("COMP_CWORD", "")
    if f"{shell}{_ASKS}" != environment.get(ASKED) or any(mark in line + at for mark in _NOT_PLAIN):
        return None
    if shell == "powershell":
        return (shell, *powershell_words(line, at))
    words = line.split()
    if shell == "fish":
        given = words[1:]
        return shell, (given[:-1] if at and given[-1:] == [at] else given), at
    if shell in SHELLS and at.isdecimal():
        return shell, words[1 : int(at)], "".join(words[int(at) : int(at) + 1])
    return None


def powershell_words(line: str, typed: str) -> tuple[list[str], str]:
    """Return the words before the one to be completed, and that one, of a line with one word a row."""
    words = line.split("\n")[1:]
    return (words[:-1] if typed and words else words), typed


def told(shell: str, kind: str, value: str, note: str) -> str:
    """Return one completion as a shell's script takes it.

    Args:
        shell: which.
        kind: ``plain``, or ``file`` or ``dir`` where the shell shall complete a path.
        value: the word.
        note: what the word means; may be empty.
    """
    note = " ".join(note.split())
    if shell == "powershell":
        return f"{kind}\t{value}\t{note}"
    if shell == "zsh":
        value = value.replace(":", "\\:") if note else value
        return f"{kind}\n{value}\n{note or '_'}"
    return f"{kind},{value}\t{note}" if note and shell == "fish" else f"{kind},{value}"


def lines(shell: str, found: Iterable[tuple[str, str, str]]) -> str:
    """Return all that a shell is told."""
    return "".join(f"{told(shell, *one)}\n" for one in found)

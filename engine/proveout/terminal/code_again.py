"""Codes that were asked for before, told without click: loading it takes longer than all the rest.

What was kept is read here with little loaded. What was not, or takes more than telling codes one by one, is
left to the command, which says the same (a test holds the two together).
"""

from __future__ import annotations

import os
import sys

from proveout.app.looks_kept import KEPT, unsealed
from proveout.app.places import cache_at, config_at
from proveout.book.compiled.stamp import ADVISING, stamp
from proveout.book.tree import BASE, SHOWN
from proveout.show.first_look import first_look_text, first_looks_text
from proveout.terminal.columns import columns
from proveout.terminal.tab_notes import is_own
from proveout.text.shipped import shipped_at
from proveout.text.visible import PLAINER, visible

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Sequence

    from proveout.model.first_look import FirstLook

#: The characters of a code in the order in which they stand.
_FORM = ("PCBU", "0123", *["0123456789ABCDEF"] * 3)


def answer(words: Sequence[str]) -> bytes | None:
    """Return what is told of codes, as standard output takes it, or None where only the command can say.

    Args:
        words: behind the command's name.
    """
    encoding = getattr(sys.stdout, "encoding", None)
    if not words or not encoding or not all(map(_is_code, words)):
        return None
    try:
        looks = _kept(words)
    except (OSError, ValueError):
        return None
    if looks is None:
        return None
    texts = (first_look_text(code, look, columns()) for code, look in zip(words, looks, strict=True))
    return f"{visible(first_looks_text(texts))}\n".encode(encoding, PLAINER)


def _is_code(word: str) -> bool:
    """Say whether a word is a code as it is kept."""
    return len(word) == len(_FORM) and all(char in chars for char, chars in zip(word, _FORM, strict=True))


def _kept(codes: Sequence[str]) -> list[FirstLook] | None:
    """Return the looks at some codes where all of them are kept for what the files are now.

    Raises:
        OSError: something is missing or cannot be read.
        ValueError: it is no text.
    """
    home = f"{cache_at()}/{KEPT}"
    if os.path.exists(f"{config_at()}/standing.yaml") or not is_own(home):  # noqa: PTH110  # which names layers
        return None
    now, _ = stamp([(BASE, shipped_at("rules"), SHOWN)], ADVISING)
    looks = [_read(f"{home}/seen/{now}-{code}") for code in codes]
    found = [look for look in looks if look is not None]
    return found if len(found) == len(codes) else None


def _read(path: str) -> FirstLook | None:
    """Return the look that a file holds, or None where it does not hold what it was given."""
    import json
    from types import SimpleNamespace

    if not is_own(path):
        return None
    with open(path, encoding="utf-8") as file:  # noqa: PTH123  # without pathlib
        data = unsealed(file.read())
    said = json.loads(data) if data is not None else None
    return SimpleNamespace(**said) if isinstance(said, dict) else None  # type: ignore[return-value]

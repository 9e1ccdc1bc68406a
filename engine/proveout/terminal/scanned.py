"""An address as a code that a phone's camera reads, drawn with half blocks."""

from __future__ import annotations

import os
import sys

from proveout.terminal.common import tell

#: Two rows of the code in one line of text: dark above, dark below.
_BLOCKS = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
#: Light modules at the edge, in modules; ISO/IEC 18004 asks for four.
_QUIET = 4
#: White on black, whatever the colours of the terminal.
_COLOURS, _PLAIN = "\x1b[97;40m", "\x1b[0m"


def code_of(text: str) -> str:
    """Return a text as a code, light modules drawn, in lines of equal length."""
    import segno

    rows = [list(row) for row in segno.make(text, micro=False, error="m").matrix_iter(border=_QUIET)]
    if len(rows) % 2:
        rows.append([0] * len(rows[0]))
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return "\n".join(
        "".join(_BLOCKS[(int(bool(above)), int(bool(below)))] for above, below in zip(*pair, strict=True))
        for pair in pairs
    )


def invite(address: str, scanned: bool) -> None:
    """Tell the address that lets somebody in, with a code to scan where another machine is to use it."""
    if scanned and _can_draw():
        lit = sys.stderr.isatty() and "NO_COLOR" not in os.environ
        lines = code_of(address).splitlines()
        sys.stderr.write("\n".join(f"{_COLOURS}{line}{_PLAIN}" if lit else line for line in lines) + "\n")
    elif scanned:
        tell("This output cannot show the code to scan; type the address.")
    tell(f"Open:  {address}")
    tell("Whoever has this address gets in until it is stopped with Ctrl-C.")


def _can_draw() -> bool:
    try:
        "".join(_BLOCKS.values()).encode(sys.stderr.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True

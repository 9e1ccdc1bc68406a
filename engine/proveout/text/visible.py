r"""Text made safe to look at: nothing in it moves the cursor, hides, or turns the reading direction.

Whatever comes from a file, a name or a command line may hold such characters; shown as they are, they can
make a terminal print other than what is there. They become escapes such as ``\u001b``, which also mean the
same character to every reader of JSON. Where an output cannot hold a character, ``plainer`` gives one like
it.
"""

from __future__ import annotations

import codecs
import re

#: Control characters but line feed and tab (C0, DEL, C1), line and paragraph separators, marks and overrides
#: of direction (Unicode 15, Bidi_Control), characters of no width, annotations, tags and the byte order mark.
_HIDDEN = (
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)

#: What stands for a character that an output cannot hold.
_LIKE = {
    "\u2013": "-",
    "\u2014": "-",
    "\u2212": "-",
    "\u2010": "-",
    "\u2011": "-",
    "\u201c": '"',
    "\u201d": '"',
    "\u2018": "'",
    "\u2019": "'",
    "\u2026": "..",
    "\u2192": "->",
    "\u2190": "<-",
    "\u2264": "<=",
    "\u2265": ">=",
    "\u00b1": "+/-",
    "\u00d7": "x",
    "\u00b0": "deg",
    "\u00b5": "u",
    "\u03bc": "u",
    "\u03a9": "ohm",
    "\u2126": "ohm",
    "\u00b7": ".",
    "\u2022": "*",
    "\u00b2": "2",
    "\u00b3": "3",
    "\u00bd": "1/2",
    "\u2588": "#",
    **dict.fromkeys("▉▊▋▌", "#"),
    **dict.fromkeys("▍▎▏", ":"),
    "\u2502": "|",
}

#: Name of the handler for ``errors=`` of an output.
PLAINER = "proveout.plainer"


def visible(text: str) -> str:
    """Return the text with an escape in place of each character that hides or moves others."""
    return re.sub(_HIDDEN, _escape, text.replace("\r\n", "\n"))


def _escape(found: re.Match[str]) -> str:
    """Spell a character as JSON does, beyond 16 bits as a pair."""
    code = ord(found[0])
    if code < 0x10000:
        return f"\\u{code:04x}"
    code -= 0x10000
    return f"\\u{0xD800 + (code >> 10):04x}\\u{0xDC00 + (code & 0x3FF):04x}"


def plainer(error: UnicodeError) -> tuple[str, int]:
    """Return what stands for characters that an encoding lacks, as handlers of ``codecs`` do.

    What is longer than the characters it stands for takes the spaces that follow but for one, so that columns
    stay where they are.
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lost, end = error.object[error.start : error.end], error.end
    found = "".join(_LIKE.get(char, "?") for char in lost)
    rest = error.object[end:]
    spare = len(rest) - len(rest.lstrip(" ")) - 1
    return found, end + max(0, min(len(found) - len(lost), spare))


codecs.register_error(PLAINER, plainer)

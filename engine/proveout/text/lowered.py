"""Titles in the middle of a sentence."""

from __future__ import annotations


def lowered(title: str) -> str:
    """Return a title as it stands in a sentence: its first letter small, unless its first word must keep it.

    A symbol, an abbreviation or a word such as O-ring keeps it, and so does every word behind the first:
    ``5 V supply``, ``EGR valve``.
    """
    first = title.split(" ", 1)[0]
    if first == "A" or (len(first) > 1 and first[1:].islower() and first[1].isalpha()):
        return title[:1].lower() + title[1:]
    return title

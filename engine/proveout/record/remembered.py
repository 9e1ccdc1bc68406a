"""Events that were checked before, so that a process that serves the same files need not read them anew.

What an event is, and whether it is as it was written, follows from its bytes alone, by which it is known;
its place in the chain is checked each time. Nothing is remembered unless that is asked for.
"""

from __future__ import annotations

from collections import OrderedDict
from typing import TypeAlias

from proveout.record.event import Event

#: Name of the file, line where the event begins, and its bytes.
Key: TypeAlias = tuple[str, int, bytes]


class Remembered:
    """Sound events by their bytes; the one remembered first goes first."""

    def __init__(self) -> None:
        """Remember nothing yet."""
        self._most = 0
        self._events: OrderedDict[Key, Event] = OrderedDict()

    def up_to(self, most: int) -> None:
        """Remember so many events at most, 0 for none."""
        self._most = most
        self._events.clear()

    def find(self, key: Key) -> Event | None:
        """Return an event that was found sound before, or None."""
        return self._events.get(key) if self._most else None

    def keep(self, key: Key, event: Event) -> None:
        """Remember a sound event."""
        if self._most:
            self._events[key] = event
            if len(self._events) > self._most:
                self._events.popitem(last=False)


#: Of this process.
REMEMBERED = Remembered()

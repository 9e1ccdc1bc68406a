"""The one place where work is done: a thread that holds the book and takes one request after another.

The book's entries are read by the thread that opened it, and working out an answer keeps a core busy; so more
threads would gain nothing, and within one server two people never write at once. Another process may all the
same, for which the record has its lock and its check of the head.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from http import HTTPStatus
from pathlib import Path
from typing import Any, TypeVar

from proveout.app.filing import events_of
from proveout.app.job import Stage, settled, stage_of
from proveout.app.places import open_book
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.record.event import Event
from proveout.record.index import Row
from proveout.record.remembered import REMEMBERED
from proveout.record.state import merged
from proveout.record.written import WRITTEN
from proveout.web.asking import RefusedError
from proveout.web.folder import Folder

T = TypeVar("T")

#: Requests that wait at most, and answers that are remembered.
_MOST_WAITING, _MOST_KEPT = 64, 64
_MOST_CALLED = 2000
#: Events of cases that need not be checked again: some 50 MiB.
_MOST_EVENTS = 4000


def called(document: Mapping[str, Any], name: str) -> str:
    """Return what a case is called on its pages: its title, the vehicle, or its file."""
    about = document.get("about", {})
    return str(document.get("title") or about.get("vehicle") or name.removesuffix(".yaml"))


class Desk:
    """Does the work of a server.

    Attributes:
        folder: the cases.
        layers: directories laid over the shipped rules.
        display: preference for units.
        book: the rules; it is opened by ``open``, and used by the thread of ``do`` alone.
    """

    book: Book

    def __init__(self, directory: Path, layers: tuple[Path, ...], display: str) -> None:
        """Take the directory of cases; nothing is read yet."""
        self.folder = Folder(directory)
        self.layers = layers
        self.display = display
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="desk")
        self._waiting = 0
        self._answers: OrderedDict[str, Triage] = OrderedDict()
        self._called: dict[str, str] = {}

    def open(self, tell: Callable[[str], None]) -> None:
        """Open the book.

        Raises:
            BadInputError: the rules cannot be used.
        """
        REMEMBERED.up_to(_MOST_EVENTS)
        self.book = self._thread.submit(open_book, self.layers, tell).result()

    def shut(self) -> None:
        """Let the thread end."""
        self._thread.shutdown(cancel_futures=True)

    async def do(self, work: Callable[[], T]) -> T:
        """Have something done and return what comes of it.

        Raises:
            RefusedError: too much is waiting.
        """
        if self._waiting >= _MOST_WAITING:
            raise RefusedError(HTTPStatus.SERVICE_UNAVAILABLE, "Too much is waiting. Try again in a moment.")
        self._waiting += 1
        try:
            return await asyncio.get_running_loop().run_in_executor(self._thread, work)
        finally:
            self._waiting -= 1
            WRITTEN.clear()

    def path(self, name: str) -> Path:
        """Return the file of a case.

        Raises:
            RefusedError: there is none of that name.
        """
        found = self.folder.path(name)
        if found is None:
            raise RefusedError(HTTPStatus.NOT_FOUND, "There is no case of that name here.")
        return found

    def unmoved(self, name: str, seen: str) -> tuple[Event, ...]:
        """Return the events of a case, if nothing came since somebody looked at it.

        Raises:
            BadInputError: something came; the page must be looked at again.
        """
        events = events_of(self.path(name))
        if events[-1].digest != seen:
            saw = f"the case has gone on: event {events[-1].n}, {events[-1].kind}, came meanwhile"
            raise BadInputError(Problem(NOWHERE, "moved-on", saw, mend="look at the case, then do it again"))
        return events

    def stage(self, events: Sequence[Event]) -> Stage:
        """Return the stage of a case; what was worked out for these very events is remembered."""
        head = events[-1].digest
        stage = stage_of(events, self.book, self._answers.get(head))
        if stage.answer is not None:
            self.remember(head, stage.answer)
        return stage

    def called(self, row: Row) -> str:
        """Return what a case of the list is called; it is looked up once for each of its heads."""
        head = row.summary.head
        if head not in self._called:
            if len(self._called) > _MOST_CALLED:
                self._called.clear()
            document = merged(events_of(self.path(row.path.name)))
            self._called[head] = called(document, row.path.name)
        return self._called[head]

    def remember(self, head: str, answer: Triage) -> None:
        """Keep an answer to a case with this head for the next look at it."""
        self._answers[head] = answer
        self._answers.move_to_end(head)
        if len(self._answers) > _MOST_KEPT:
            self._answers.popitem(last=False)

    def settle(self, path: Path) -> None:
        """Keep the advice that is due in a case after something was done.

        Raises:
            BadInputError: the case cannot be used.
        """
        settled(path, self.book, self.layers)

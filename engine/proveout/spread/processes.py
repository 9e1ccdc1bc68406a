"""Work on the cores of this machine: one process each, which outlive neither the work nor their parent.

Processes are started afresh ("spawn"), as every system can, and not forked from one that runs threads.
"""

from __future__ import annotations

import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context, parent_process
from threading import Thread
from typing import Generic

from proveout.spread.order import Answer, Item, Lost, through_window

#: Items handed out for each process: enough that none waits, few enough that a stop loses little.
AHEAD = 4


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def on_processes(task: Callable[[Item], Answer], items: Iterable[Item], jobs: int) -> Iterator[Answer | Lost]:
    """Return the answer to each item, in order, worked out by so many processes.

    Where a process ends in the middle, what was handed out is tried again one by one; an item with which a
    process ends that has nothing else to do is given up, as ``Lost``, and the rest goes on.
    """
    pool = _Pool(task, jobs)
    try:
        yield from through_window(pool.submit, items, AHEAD * jobs, pool.settle)
    finally:
        pool.close()


class _Pool(Generic[Item, Answer]):
    """The processes, started anew when one of them ended."""

    def __init__(self, task: Callable[[Item], Answer], jobs: int) -> None:
        self.task, self.jobs = task, jobs
        self.executor = self._started()

    def _started(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(self.jobs, mp_context=get_context("spawn"), initializer=_begin)

    def submit(self, item: Item) -> Future[Answer | Lost]:
        """Return the promise of an answer, already broken where the processes are."""
        try:
            return self.executor.submit(self.task, item)
        except BrokenProcessPool as error:
            broken: Future[Answer | Lost] = Future()
            broken.set_exception(error)
            return broken

    def settle(self, out: deque[tuple[Item, Future[Answer | Lost]]]) -> Answer | Lost:
        """Return the answer to the first of the items that were handed out."""
        if not isinstance(out[0][1].exception(), BrokenProcessPool):
            return out.popleft()[1].result()
        self._restart()
        again = [(item, given if _is_kept(given) else self._alone(item)) for item, given in out]
        out.clear()
        out.extend(again)
        return out.popleft()[1].result()

    def _alone(self, item: Item) -> Future[Answer | Lost]:
        """Return the answer to an item, worked on while nothing else is."""
        promise = self.submit(item)
        if isinstance(promise.exception(), BrokenProcessPool):
            self._restart()
            promise = Future()
            promise.set_result(
                Lost(item, "the process that worked on it ended, twice (out of memory, or killed)")
            )
        return promise

    def _restart(self) -> None:
        self.executor.shutdown(cancel_futures=True)
        self.executor = self._started()

    def close(self) -> None:
        """Call off what was not begun and wait for the rest."""
        self.executor.shutdown(cancel_futures=True)


def _is_kept(promise: Future[Answer]) -> bool:
    """Say whether a promise was kept, be it by an exception of the task's own."""
    return promise.done() and not isinstance(promise.exception(), BrokenProcessPool)


def _begin() -> None:
    """Leave a stop from the keyboard to the parent, and end with it should it vanish."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)

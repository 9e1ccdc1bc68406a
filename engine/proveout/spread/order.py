"""Answers in the order of the items, from whatever does the work.

A task is a function of a module, called with one item; both go to another process, so that the function must
be importable there and the item, like the answer, must pickle. What a task gives may depend on its item
alone: then neither the number of workers nor their order shows in the answers.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator
from itertools import islice
from typing import Any, TypeVar

from msgspec import Struct

Item = TypeVar("Item")
Answer = TypeVar("Answer")
Promise = TypeVar("Promise")


class Lost(Struct, frozen=True):
    """What stands in the place of an answer where each worker that tried ended in the middle.

    Attributes:
        item: that was worked on.
        why: in words, there is no answer.
    """

    item: Any
    why: str


def in_order(
    task: Callable[[Item], Answer], items: Iterable[Item], *, jobs: int, scheduler: str = ""
) -> Generator[Answer | Lost, None, None]:
    """Return the answer to each item, in the order of the items.

    Items are taken from the iterable only as they are needed. Closing the iterator calls off what was not
    begun. With one job and no scheduler the work is done here, in this process.

    Args:
        task: called with each item; an exception that it raises ends the whole.
        items: what to work on.
        jobs: how many processes work on this machine.
        scheduler: address of a Dask scheduler whose workers do the work instead; "" for none.

    Raises:
        ClusterError: the cluster cannot be used.
    """
    if scheduler:
        from proveout.spread.cluster import on_cluster

        yield from on_cluster(task, items, scheduler)
    elif jobs == 1:
        yield from map(task, items)
    else:
        from proveout.spread.processes import on_processes

        yield from on_processes(task, items, jobs)


def through_window(
    submit: Callable[[Item], Promise],
    items: Iterable[Item],
    window: int,
    settle: Callable[[deque[tuple[Item, Promise]]], Answer],
) -> Iterator[Answer]:
    """Return answers in order, with no more than a window of items handed out at once.

    Args:
        submit: hands out one item and gives a promise of its answer.
        items: what to work on.
        window: how many.
        settle: waits for the first of those handed out, takes it from the left and gives its answer.
    """
    source = iter(items)
    out = deque((item, submit(item)) for item in islice(source, window))
    while out:
        yield settle(out)
        out.extend((item, submit(item)) for item in islice(source, window - len(out)))

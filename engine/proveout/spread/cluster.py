"""Work on a Dask cluster that somebody runs; the extra ``fleet`` installs what is needed.

What a worker that was lost had in hand is given to another by the scheduler itself.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from importlib import import_module
from threading import Lock
from typing import Any

from proveout.spread.order import Answer, Item, Lost, through_window

#: Items handed out for each thread of the cluster, and how many at least: workers may join at any time.
AHEAD, LEAST = 4, 64
#: How long the scheduler may take to answer, in seconds.
PATIENCE = 10

_ONE_AT_A_TIME = Lock()


class ClusterError(Exception):
    """A cluster that cannot be used: no scheduler answers, no worker is there, or Dask is not installed."""


def on_cluster(
    task: Callable[[Item], Answer], items: Iterable[Item], address: str
) -> Iterator[Answer | Lost]:
    """Return the answer to each item, in order, worked out by the workers of a cluster.

    Args:
        task: a function of a module that each worker can import.
        items: what to work on.
        address: of the scheduler, such as ``tcp://127.0.0.1:8786``.

    Raises:
        ClusterError: the cluster cannot be used.
    """
    client = _client(address)

    def submit(item: Item) -> Any:
        return client.submit(_guarded, task, item, pure=False)

    try:
        threads = sum(client.nthreads().values())
        if not threads:
            raise ClusterError(f"the scheduler at {address} has no worker; start one: dask worker {address}")
        yield from through_window(submit, items, max(LEAST, AHEAD * threads), _settle)
    finally:
        client.close()


def _client(address: str) -> Any:
    """Return a connection to the scheduler."""
    try:
        distributed: Any = import_module("distributed")
    except ImportError:
        raise ClusterError("Dask is not installed; install it: pip install 'proveout[fleet]'") from None
    try:
        return distributed.Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise ClusterError(f"no Dask scheduler answers at {address}: {error}") from None


def _settle(out: deque[tuple[Item, Any]]) -> Any:
    """Return the answer to the first of the items that were handed out."""
    item, promise = out.popleft()
    try:
        return promise.result()
    except import_module("distributed").KilledWorker as error:
        return Lost(item, f"each worker that tried it ended: {error}")


def _guarded(task: Callable[[Item], Answer], item: Item) -> Answer:
    """Return the answer to an item; a worker may have several threads, and a book is for one."""
    with _ONE_AT_A_TIME:
        return task(item)

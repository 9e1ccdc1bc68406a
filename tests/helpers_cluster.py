"""A real Dask cluster on this machine: a scheduler and two workers, each a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

#: How long the parts of a cluster may take to find each other, in seconds; long, since machines can be busy.
PATIENCE = 120


@dataclass(frozen=True)
class Cluster:
    """A running cluster.

    Attributes:
        address: of its scheduler.
        workers: its processes, of which one may be killed.
    """

    address: str
    workers: tuple[subprocess.Popen[bytes], ...]


@contextmanager
def local_cluster(home: Path) -> Iterator[Cluster]:
    """Run a cluster of two workers with one thread each, on the loopback address, until the context ends."""
    meeting = home / "scheduler.json"
    common = ("--scheduler-file", str(meeting), "--host", "127.0.0.1")
    with ExitStack() as stack:
        stack.enter_context(_running(home, "scheduler", *common, "--port", "0", "--no-dashboard"))
        deadline = time.monotonic() + PATIENCE
        while not meeting.exists():
            assert time.monotonic() < deadline, (home / "scheduler.log").read_text()
            time.sleep(0.1)
        of_its_own = ("--nthreads", "1", "--no-nanny", "--no-dashboard", "--local-directory", str(home))
        workers = [
            stack.enter_context(_running(home, "worker", *common, *of_its_own, "--name", f"worker-{n}"))
            for n in range(2)
        ]
        address = json.loads(meeting.read_text("utf-8"))["address"]
        _wait_for_workers(address)
        yield Cluster(address, tuple(workers))


@contextmanager
def _running(home: Path, part: str, *options: str) -> Iterator[subprocess.Popen[bytes]]:
    """Run one part of the cluster, and end it."""
    command = [sys.executable, "-m", "dask", part, *options]
    with (
        (home / f"{part}.log").open("ab") as log,
        subprocess.Popen(command, stdout=log, stderr=log, cwd=home) as process,
    ):
        try:
            yield process
        finally:
            process.kill()


def _wait_for_workers(address: str) -> None:
    distributed: Any = import_module("distributed")
    with distributed.Client(address, timeout=PATIENCE, set_as_default=False) as client:
        client.wait_for_workers(2, timeout=PATIENCE)

"""The same work on a Dask cluster: a real one on this machine, of which a worker is killed in the middle."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

import pytest

from helpers_cli import proveout, write_yaml
from helpers_cluster import PATIENCE, Cluster, local_cluster

pytestmark = pytest.mark.skipif(find_spec("distributed") is None, reason="the extra `fleet` is not installed")

CASES = 40
SIMULATE = ("rules", "simulate", "--cases", CASES, "--code", "P0128", "--json")


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[Cluster]:
    home = tmp_path / "cluster"
    home.mkdir()
    with local_cluster(home) as running:
        yield running


def _lines(path: Path) -> int:
    return len(path.read_bytes().splitlines()) if path.exists() else 0


@pytest.mark.long(10)
def test_a_cluster_that_loses_a_worker_gives_what_this_machine_gives(
    cluster: Cluster, tmp_path: Path
) -> None:
    """The worker is killed once some cases are finished, while others are not begun."""
    kept = tmp_path / "kept.jsonl"
    at = []

    def kill() -> None:
        deadline = time.monotonic() + PATIENCE
        while _lines(kept) < 4 and time.monotonic() < deadline:
            time.sleep(0.01)
        cluster.workers[0].kill()
        at.append(_lines(kept) - 1)

    killer = threading.Thread(target=kill)
    killer.start()
    spread = proveout(*SIMULATE, "--scheduler", cluster.address, "--resume", kept, home=tmp_path)
    killer.join()
    assert spread.code == 0, spread.err
    assert 3 <= at[0] < CASES, at
    assert cluster.workers[0].poll() is not None and cluster.workers[1].poll() is None
    alone = tmp_path / "alone.jsonl"
    local = proveout(*SIMULATE, "--jobs", 1, "--resume", alone, home=tmp_path)
    assert spread.out == local.out
    assert kept.read_bytes() == alone.read_bytes()


def test_a_batch_on_a_cluster_is_the_batch_of_this_machine(cluster: Cluster, tmp_path: Path) -> None:
    cases = tmp_path / "cases"
    cases.mkdir()
    for number, code in enumerate(["P0128", "P0125", "P01", "P0116"]):
        write_yaml(cases / f"{number}.yaml", {"codes": [code]})
    spread = proveout("batch", cases, "--scheduler", cluster.address, home=tmp_path)
    local = proveout("batch", cases, "--jobs", 1, home=tmp_path)
    assert (spread.code, spread.out) == (local.code, local.out)
    assert ["problems" in json.loads(line) for line in local.out.splitlines()] == [False, False, True, False]


def test_where_no_scheduler_answers_it_says_so(tmp_path: Path) -> None:
    """Port 9 of the loopback address (RFC 863, "discard") is served nowhere today."""
    document = write_yaml(tmp_path / "a.yaml", {"codes": ["P0128"]})
    answer = proveout("batch", document, "--scheduler", "tcp://127.0.0.1:9", home=tmp_path)
    assert (answer.code, answer.out) == (2, "")
    assert "no Dask scheduler answers at tcp://127.0.0.1:9" in answer.err

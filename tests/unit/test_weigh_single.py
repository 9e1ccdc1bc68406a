"""Matrix products on one thread, whatever the process is set to, and that setting as it was afterwards."""

from __future__ import annotations

import subprocess
import sys

import pytest

#: In a process of its own: among the tests other libraries bring threads of theirs, which nothing here uses.
PROGRAM = """
import sys
from threadpoolctl import threadpool_info, threadpool_limits
from proveout.weigh.single import on_one_thread

def threads():
    return {one["num_threads"] for one in threadpool_info() if one["user_api"] == "blas"}

@on_one_thread
def within(fails):
    if fails:
        raise ArithmeticError
    return threads()

before = int(sys.argv[1])
with threadpool_limits(before, user_api="blas"):
    said = [threads(), within(False)]
    try:
        within(True)
    except ArithmeticError:
        said.append(threads())
print(said)
"""


@pytest.mark.parametrize("before", [1, 2])
def test_one_thread_within_and_as_many_as_before_after_it(before: int) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(before)], capture_output=True, text=True, timeout=60, check=False
    )
    assert (done.stdout.strip(), done.stderr) == (f"[{{{before}}}, {{1}}, {{{before}}}]", "")

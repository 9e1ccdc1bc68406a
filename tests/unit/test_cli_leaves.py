"""A command ends at once and loses nothing: output, what was registered for the end, threads at work."""

from __future__ import annotations

import subprocess
import sys

import pytest

BEGIN = "import atexit, sys, threading, time\nfrom proveout.cli.entry import leave\n"


def ended(program: str, **given: object) -> tuple[int, str, str]:
    """Return exit code, output and messages of a program."""
    done = subprocess.run(
        [sys.executable, "-c", BEGIN + program],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        **given,  # type: ignore[call-overload]
    )
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize("code", [0, 3, 130])
def test_output_and_what_is_registered_is_not_lost(code: int) -> None:
    program = (
        "atexit.register(print, 'last')\n"
        "print('first ' * 100_000)\nprint('told', end='', file=sys.stderr)\n"
        f"leave({code})\nprint('never')"
    )
    assert ended(program) == (code, "first " * 100_000 + "\nlast\n", "told")


def test_a_thread_at_work_is_waited_for() -> None:
    program = (
        "def late():\n    time.sleep(0.5)\n    print('late')\nthreading.Thread(target=late).start()\nleave(1)"
    )
    assert ended(program) == (1, "late\n", "")


def test_what_fails_at_the_end_changes_nothing_of_the_rest() -> None:
    code, out, told = ended("atexit.register(print, 'last')\natexit.register(lambda: 1 / 0)\nleave(4)")
    assert (code, out) == (4, "last\n")
    assert "ZeroDivisionError" in told


def test_closed_outputs_are_no_fault() -> None:
    assert ended("sys.stdout.close()\nsys.stderr = None\nleave(2)") == (2, "", "")

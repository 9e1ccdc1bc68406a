"""Plans followed row by row by the compiled ``follow.c``, where the package was built beside a C compiler.

The library needs no Python headers: it is handed the addresses of numpy's arrays.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import numpy as np

from proveout.plan.problem import Bools, Floats, Ints, States
from proveout.plan.used import LONGEST, NOTHING, REMNANT, Used

#: What is compiled, and the library that the build makes of it (``engine/build_hook.py``); both lie here.
SOURCE, LIBRARY = Path(__file__).with_name("follow.c"), Path(__file__).with_name("_follow.so")

#: Chances that two sets give alike but for rounding.
SAME = 1e-14

_Array = np.ndarray[tuple[int, ...], np.dtype[np.generic]]


class _Plan(ctypes.Structure):
    """``struct plan`` of ``follow.c``."""

    _fields_ = (
        ("sets", ctypes.c_int64),
        ("steps", ctypes.c_int64),
        ("shared", ctypes.c_int64),
        ("longest", ctypes.c_int64),
        ("causes", ctypes.c_int64),
        ("remnant", ctypes.c_double),
        ("nothing", ctypes.c_double),
        ("same", ctypes.c_double),
        ("value", ctypes.c_void_p),
        ("cause", ctypes.c_void_p),
        ("held_from", ctypes.c_void_p),
        ("held", ctypes.c_void_p),
        ("goal", ctypes.c_void_p),
        ("share", ctypes.c_void_p),
        ("slope", ctypes.c_void_p),
        ("level", ctypes.c_void_p),
        ("barred_from", ctypes.c_void_p),
        ("barred", ctypes.c_void_p),
        ("takes", ctypes.c_void_p),
        ("saved", ctypes.c_void_p),
    )


def loaded(library: Path) -> Callable[..., int] | None:
    """Return the function of a library; None where there is none, or it was made from another text."""
    try:
        found = ctypes.CDLL(str(library))
        found.source.restype = ctypes.c_char_p
        if found.source() != sha256(SOURCE.read_bytes()).hexdigest().encode():
            return None
        follow = found.follow
    except (OSError, AttributeError):
        return None
    follow.argtypes = [ctypes.c_void_p, ctypes.c_int64, *[ctypes.c_void_p] * 8]
    follow.restype = ctypes.c_int
    function: Callable[..., int] = follow
    return function


_FOLLOW = loaded(LIBRARY)


def _row_by_row(used: Used, states: States, fits: Bools) -> tuple[Floats, Ints]:
    """Return the expected cost (B,) of each row's plan times its mass, and its first step (B,), -1 for none.

    Args:
        used: the M steps.
        states: B rows.
        fits: (B, M) which steps fit each row.

    Raises:
        MemoryError: there is not room for one row's figures.
    """
    assert _FOLLOW is not None
    rows, sets = states.weight.shape
    value = np.ascontiguousarray(used.chances[:-1])
    step, held = used.hits[:, :sets].nonzero()
    goal = used.leaves[step, held]
    ender, barred = used.barred.nonzero()
    causes, cause = np.unique(used.cause, return_inverse=True)
    closed = np.hstack([~states.done[:, used.checks], ~states.open])
    tables = _in_rows(
        value,
        cause,
        _starts(step, used.count),
        held,
        np.where(goal < sets, goal, -1),
        used.hits[step, held],
        used.slope,
        used.level,
        _starts(ender, used.count),
        barred,
        used.takes > 0,
        used.shared_prices,
    )
    sizes = sets, used.count, len(used.shared), LONGEST, len(causes)
    plan = _Plan(*sizes, REMNANT, NOTHING, SAME, *(one.ctypes.data for one in tables))
    best, first = np.empty(rows), np.empty(rows, dtype=np.int64)
    given = _in_rows(
        states.weight,
        states.weight @ value,
        states.history,
        closed.astype(float) @ used.prices + used.fixed,
        closed[:, used.shared],
        fits,
        best,
        first,
    )
    if _FOLLOW(ctypes.addressof(plan), rows, *(one.ctypes.data for one in given)):
        raise MemoryError
    return best, first


def _in_rows(*arrays: _Array) -> list[_Array]:
    """Return the arrays with their entries one after the other, as C reads them."""
    return [np.ascontiguousarray(one) for one in arrays]


def _starts(owner: Ints, count: int) -> Ints:
    """Return (count + 1,) where the entries of each owner begin in a sorted list of owners."""
    return np.searchsorted(owner, np.arange(count + 1))


#: Follows plans, or None where the library is missing.
row_by_row: Callable[[Used, States, Bools], tuple[Floats, Ints]] | None = _row_by_row if _FOLLOW else None

"""Work whose matrix products are made on one thread.

Matrices of this size cost more spread over threads than on one, and the last digits may then change from run
to run.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

import numpy  # noqa: F401  # what is not loaded yet would not be limited
from threadpoolctl import ThreadpoolController

_Given = ParamSpec("_Given")
_Answer = TypeVar("_Answer")

#: What counts the threads of matrix products; asked directly, since a limit of the whole looks much more up.
_BLAS = ThreadpoolController().select(user_api="blas").lib_controllers


def on_one_thread(function: Callable[_Given, _Answer]) -> Callable[_Given, _Answer]:
    """Return a function that makes its matrix products on one thread."""

    @wraps(function)
    def limited(*given: _Given.args, **named: _Given.kwargs) -> _Answer:
        wide = [(library, count) for library in _BLAS if (count := library.get_num_threads()) != 1]
        for library, _ in wide:
            library.set_num_threads(1)
        try:
            return function(*given, **named)
        finally:
            for library, count in wide:
                library.set_num_threads(count)

    return limited

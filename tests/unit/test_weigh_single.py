"""Matrix products on one thread, whatever the process is set to, and that setting as it was afterwards."""

from __future__ import annotations

import pytest
from threadpoolctl import threadpool_info, threadpool_limits

from proveout.weigh.single import on_one_thread


def threads() -> set[int]:
    return {one["num_threads"] for one in threadpool_info() if one["user_api"] == "blas"}


@pytest.mark.parametrize("before", [1, 2])
def test_one_thread_within_and_as_many_as_before_after_it(before: int) -> None:
    @on_one_thread
    def within(fails: bool) -> set[int]:
        if fails:
            raise ArithmeticError
        return threads()

    with threadpool_limits(before, user_api="blas"):
        assert threads() == {before}
        assert within(False) == {1}
        with pytest.raises(ArithmeticError):
            within(True)
        assert threads() == {before}

"""What was made of a thing that is still the very same is not made again.

Nodes and entries never change, and those of a file stay the same as long as its bytes do (``raw``). So who
lays a layer over the book, or checks it again after a change, pays for what is new. Things are told apart by
identity, since comparing trees would cost what it saves.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar

from proveout.model.problem import Problem

#: Most things of which a function remembers what it made; what was remembered first goes first.
MOST = 50_000

_Thing = TypeVar("_Thing")
_Made = TypeVar("_Made")
_Context = ParamSpec("_Context")


def remembered(
    make: Callable[Concatenate[_Thing, _Context], _Made],
) -> Callable[Concatenate[_Thing, _Context], _Made]:
    """Return a function of a thing, and of a context that can be hashed, which remembers what it made."""
    # The thing is kept beside what was made of it, lest another come to have its identity.
    kept: OrderedDict[tuple[object, ...], tuple[_Thing, _Made]] = OrderedDict()

    @wraps(make)
    def made(thing: _Thing, /, *context: _Context.args, **none: _Context.kwargs) -> _Made:
        key = (id(thing), *context, *none.items())
        found = kept.get(key)
        if found is None:
            if len(kept) >= MOST:
                kept.popitem(last=False)
            found = kept[key] = (thing, make(thing, *context, **none))
        return found[1]

    return made


def remembered_with_problems(
    make: Callable[Concatenate[_Thing, list[Problem], _Context], _Made],
) -> Callable[Concatenate[_Thing, list[Problem], _Context], _Made]:
    """Return the like for a function that complains to a list: the complaints are remembered, too."""

    @remembered
    def told(thing: _Thing, *context: Any, **none: Any) -> tuple[_Made, tuple[Problem, ...]]:
        problems: list[Problem] = []
        return make(thing, problems, *context, **none), tuple(problems)

    @wraps(make)
    def made(
        thing: _Thing, problems: list[Problem], /, *context: _Context.args, **none: _Context.kwargs
    ) -> _Made:
        found, complaints = told(thing, *context, **none)
        problems.extend(complaints)
        return found

    return made

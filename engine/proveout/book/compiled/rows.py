"""Entries as rows of bytes: MessagePack of the model's own types, which checks every value on reading."""

from __future__ import annotations

from functools import cache
from typing import Any, TypeVar

import msgspec

from proveout.model.problem import BadInputError, Place, Problem

_Entry = TypeVar("_Entry")


def packed(entry: object) -> bytes:
    """Return an entry of the model as bytes."""
    return msgspec.msgpack.encode(entry)


def unpacked(data: bytes, form: Any) -> Any:
    """Return the entry of the type ``form`` that some bytes hold.

    Raises:
        BadInputError: they hold something else.
    """
    try:
        return _decoder(form).decode(data)
    except msgspec.MsgspecError as error:
        saw = f"a row that is no {getattr(form, '__name__', form)}: {error}"
        mend = "remove the compiled book; it is made again"
        raise BadInputError(Problem(Place("compiled book"), "compiled-row", saw, mend=mend)) from error


@cache
def _decoder(form: Any) -> msgspec.msgpack.Decoder[Any]:
    return msgspec.msgpack.Decoder(form)

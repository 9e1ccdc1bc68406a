"""A simulation on all cores, whose finished cases are kept in a file and not played twice."""

from __future__ import annotations

import json
import os
from collections.abc import Generator, Iterator, Sequence
from contextlib import closing, contextmanager
from functools import lru_cache
from pathlib import Path

from msgspec import Struct

from proveout.app.naming import refuse_unknown
from proveout.app.working import BookKey, Watch, held, unseen, work
from proveout.model.book import Book
from proveout.model.problem import BadInputError, Place, Problem, WrongUsageError
from proveout.spread.order import Lost
from proveout.text.read import decode
from proveout.trial.kept import finished, heading, line
from proveout.trial.played import Played
from proveout.trial.simulate import Drawing, Shop, by_code, weighed_codes

#: Most cases that one process plays without giving any of them away.
BATCH = 50
#: What is wrong with a file that nothing of a simulation stands in.
_OTHER = ("a file of another kind, which is not written over", "a free name", "name another file")


class StoppedError(Exception):
    """A simulation was stopped from the keyboard; its argument says after how many cases."""


class Run(Struct, frozen=True):
    """What every process must know to play a case of a simulation."""

    book: BookKey
    drawn: Drawing


def chosen_codes(book: Book, codes: Sequence[str], families: Sequence[str]) -> list[str]:
    """Return the codes that cases may begin with, as the options say.

    Raises:
        WrongUsageError: a code or family that the book does not weigh, or none is left.
    """
    codes = [code.upper() for code in codes]
    family = {code: book.words.codes[code].family for code in weighed_codes(book)}
    refuse_unknown(codes, family, "code that the book weighs")
    refuse_unknown(families, family.values(), "family that the book weighs")
    chosen = [code for code in codes or family if not families or family[code] in families]
    if not chosen:
        raise WrongUsageError("None of these codes is of that family.")
    return chosen


def played_cases(
    run: Run, cases: int, kept: Path | None, *, jobs: int | None, scheduler: str, watch: Watch = unseen
) -> list[Played]:
    """Return the first cases of a simulation.

    Args:
        run: what is drawn.
        cases: how many.
        kept: the file of finished cases, made where it is not there; None for none.
        jobs: processes, or None for one a core.
        scheduler: of a Dask cluster, or "".
        watch: sees the answers pass.

    Raises:
        StoppedError: it was stopped from the keyboard.
        BadInputError: the file belongs to another run or cannot be written.
        WrongUsageError: a worker ended in the middle of a case, again and again.
    """
    played = _before(kept, run) if kept else {}
    missing = [number for number in range(cases) if number not in played]
    answers = _each(work(play, batches_of(run, missing), jobs=jobs, scheduler=scheduler))
    try:
        with closing(watch(answers, cases, cases - len(missing))) as watched:
            for number, answer in watched:
                played[number] = answer
                if kept:
                    _append(kept, line(number, answer))
    except KeyboardInterrupt:
        raise StoppedError(sum(number < cases for number in played)) from None
    return [played[number] for number in range(cases)]


def play(batch: tuple[Run, tuple[int, ...]]) -> list[tuple[int, Played]]:
    """Return some cases of a simulation with their numbers, played in whichever process."""
    run, numbers = batch
    return [(number, _shop(run).play(number)) for number in numbers]


def batches_of(run: Run, numbers: Sequence[int]) -> list[tuple[Run, tuple[int, ...]]]:
    """Return cases in batches of one code each: they come to many of the same situations.

    A process that plays them one after the other decides these once. A batch is no more than a hundredth of
    the work, so that all processes have some, and a stop loses little.
    """
    most = max(1, min(BATCH, len(numbers) // 100))
    return [
        (run, tuple(some[start : start + most]))
        for some in by_code(run.drawn, numbers).values()
        for start in range(0, len(some), most)
    ]


def _each(
    batches: Generator[list[tuple[int, Played]] | Lost, None, None],
) -> Generator[tuple[int, Played], None, None]:
    """Return the cases of all batches one by one.

    Raises:
        WrongUsageError: a worker ended in the middle of a batch, again and again.
    """
    with closing(batches):
        for batch in batches:
            if isinstance(batch, Lost):
                raise WrongUsageError(f"Cases {', '.join(map(str, batch.item[1]))}: {batch.why}.")
            yield from batch


@lru_cache(maxsize=1)
def _shop(run: Run) -> Shop:
    return Shop(held(run.book), run.drawn)


def _before(kept: Path, run: Run) -> dict[int, Played]:
    """Return the cases that a file keeps; a line torn by a stop is cut off, and a new file begun."""
    first = heading(run.drawn, run.book.digest)
    begin = json.dumps(first).encode() + b"\n"
    with _usable(kept):
        data = kept.read_bytes() if kept.exists() else b""
        if begin.startswith(data):
            kept.write_bytes(begin)
            return {}
    whole = data[: data.rfind(b"\n") + 1]
    if not whole:
        raise BadInputError(Problem(Place(str(kept), 1, 1), "kept-cases", *_OTHER))
    played = finished(decode(whole, str(kept)).split("\n")[:-1], first, str(kept))
    if len(whole) < len(data):
        with _usable(kept):
            os.truncate(kept, len(whole))
    return played


def _append(kept: Path, text: str) -> None:
    with _usable(kept), kept.open("a", encoding="utf-8", newline="\n") as stream:
        stream.write(text)


@contextmanager
def _usable(kept: Path) -> Iterator[None]:
    """Turn what the system says of the file into a complaint about it."""
    try:
        yield
    except OSError as error:
        saw = f"cannot be used: {error.strerror or error}"
        raise BadInputError(Problem(Place(str(kept)), "kept-cases", saw, "", "name another file")) from None

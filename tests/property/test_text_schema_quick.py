"""The quick checker of schemas says yes only where the one that explains has nothing to complain of."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from proveout.book.shipped import cases_dir, rules_dir
from proveout.text.compose import compose
from proveout.text.node import plain
from proveout.text.plainly import fits_plainly
from proveout.text.schema import _quick, _schema, _validator

#: What takes the place of a value, in turn: other types, other texts, other sizes.
STRANGE: tuple[Any, ...] = (
    None, True, 0, -1, 1.5, 1e300, "", "x\n", "otherwise\n", "Not An Id", "a" * 5000, "..", "5..3", "P0442\n",
    [], {},
    [1, 1], ["a", "a"], [[]], {"id": "x"}, {"": ""}, {"seen_with": {}}, "é", "\u202e",
)  # fmt: skip


def spoiled(document: Any, rng: random.Random) -> Any:
    """Return a copy with one value replaced, left out, doubled or renamed."""
    if isinstance(document, dict) and document and rng.random() < 0.9:
        copy = dict(document)
        key = rng.choice(sorted(copy))
        how = rng.random()
        if how < 0.7:
            copy[key] = spoiled(copy[key], rng)
        elif how < 0.8:
            del copy[key]
        else:
            copy[rng.choice([key + "\n", "Id", "strange", ""])] = copy.pop(key) if how < 0.9 else copy[key]
        return copy
    if isinstance(document, list) and document and rng.random() < 0.9:
        items = list(document)
        at = rng.randrange(len(items))
        if rng.random() < 0.2:
            items.append(items[at])
        else:
            items[at] = spoiled(items[at], rng)
        return items
    return rng.choice(STRANGE)


def documents() -> Iterator[tuple[str, Any]]:
    """Small shipped documents, by the name of their schema."""
    for path in sorted(rules_dir().rglob("*.yaml")):
        root = plain(compose(path.read_text(), path.name))
        yield from (
            ("book", {key: items[:2] if isinstance(items, list) else items}) for key, items in root.items()
        )
    for path in sorted(Path(cases_dir()).glob("*.yaml"))[:40]:
        document = plain(compose(path.read_text(), path.name))
        yield "intake", {key: value for key, value in document.items() if key != "expect"}


@pytest.mark.parametrize("seed", range(4))
def test_the_quick_answer_is_that_of_the_other(seed: int) -> None:
    rng = random.Random(seed)
    chosen = rng.sample(list(documents()), 60)
    answers = {True: 0, False: 0}
    for name, document in chosen:
        for one in (document, *(spoiled(document, rng) for _ in range(12))):
            schema = f"{name}.schema.json"
            quick = _quick(schema).is_valid(one)
            assert quick == (next(_validator(schema).iter_errors(one), None) is None), one
            answers[quick] += 1
    assert min(answers.values()) > 50, "both answers were met"


@pytest.mark.parametrize("seed", range(4))
def test_what_plainly_fits_fits(seed: int) -> None:
    rng, schema = random.Random(seed), "intake.schema.json"
    whole = [document for name, document in documents() if name == "intake"]
    assert all(fits_plainly(document, schema, _schema) for document in whole), (
        "what is shipped is known to fit"
    )
    answers = {True: 0, False: 0}
    for document in rng.sample(whole, 30):
        for one in (spoiled(spoiled(document, rng), rng) for _ in range(40)):
            quick = _quick(schema).is_valid(one)
            plainly = fits_plainly(one, schema, _schema)
            assert quick or not plainly, one
            answers[plainly] += 1
    assert min(answers.values()) > 50, "both answers were met"

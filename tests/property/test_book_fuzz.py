"""Any text and any spoiled book gives a book or located complaints: never another exception, never a hang.

``PROVEOUT_FUZZ`` sets the number of examples a test; the default keeps the suite quick.
"""

from __future__ import annotations

import os
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helpers_book import CLEAN, TOPICS, write_book, write_topics
from proveout.book.files import KINDS
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.text.compose import compose_stream
from proveout.text.schema import validate

#: Most processor time that one spoiled book of this size may take, in seconds.
BOUND = 5.0

fuzz = settings(
    max_examples=int(os.environ.get("PROVEOUT_FUZZ", "200")),
    deadline=None,
    suppress_health_check=list(HealthCheck),
)

#: Pieces that matter to YAML or to the book, for putting where they do not belong.
PIECES = [
    *"[]{}:,-?&*!|>'\"%@`#~\\\n\t ",
    *(
        "- ",
        ": ",
        "\n- ",
        "\n  ",
        "---\n",
        "...\n",
        "<<: ",
        "*a",
        "&a ",
        "!!str ",
        "? ",
        "null",
        "true",
        "0x",
        "1e9",
    ),
    *(
        "1e999",
        "-1",
        "0",
        "9" * 30,
        "..",
        "5..2",
        "otherwise",
        "P0442",
        "P9999",
        "valve-leaks",
        "hose-look",
        "wet",
    ),
    *(
        "open-system",
        "cannot-tell",
        "almost-always",
        "12 y",
        "12 km",
        "id",
        "when",
        "all",
        "any",
        "none",
        "weigh",
    ),
    *(
        "finding",
        "replaces",
        "\ufeff",
        "\u2028",
        "\x85",
        "\x00",
        "\x07",
        "é",
        "\U0001f527",
        "\ud800",
        "a" * 300,
    ),
    *("seen_with", "shows", "sources", "rules:\n", "replaces: valve-holds=leaks", "code:P0455"),
    *("[" * 60, "{a: " * 60, "- " * 60, "results", "limits", "series", "conclude: wet", "{finding: wet}"),
]


@st.composite
def spoiled(draw: st.DrawFn, text: str) -> str:
    """Cut, double, swap and put in pieces at a few places of a text."""
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(text)))
        end = min(len(text), at + draw(st.integers(0, 60)))
        kind = draw(st.sampled_from(["cut", "double", "put", "swap", "line"]))
        if kind == "cut":
            text = text[:at] + text[end:]
        elif kind == "double":
            text = text[:end] + text[at:end] + text[end:]
        elif kind == "put":
            text = text[:at] + draw(st.sampled_from(PIECES)) + text[at:]
        elif kind == "swap":
            text = text[:at] + draw(st.sampled_from(PIECES)) + text[end:]
        else:
            lines = text.split("\n")
            one = draw(st.integers(0, len(lines) - 1))
            other = draw(st.integers(0, len(lines) - 1))
            lines[one], lines[other] = lines[other], lines[one]
            text = "\n".join(lines)
    return text


def load_or_refuse(home: Path) -> Book | None:
    """Load a book in time; complaints must be located in its files and worded."""
    start = time.process_time()
    try:
        return load_book(base=home)
    except BadInputError as error:
        assert error.problems
        for problem in error.problems:
            assert problem.place.file.startswith(str(home))
            assert problem.check
            assert problem.saw
            assert "\n" not in str(problem)
        return None
    finally:
        assert time.process_time() - start < BOUND


@fuzz
@given(data=st.data())
def test_a_spoiled_book_is_loaded_or_refused(data: st.DataObject) -> None:
    with TemporaryDirectory() as there:
        home = write_book(Path(there))
        for name in data.draw(st.lists(st.sampled_from(sorted(CLEAN)), min_size=1, max_size=3, unique=True)):
            text = data.draw(spoiled(CLEAN[name]))
            (home / name).write_bytes(text.encode("utf-8", "surrogatepass"))
        load_or_refuse(home)


@fuzz
@given(data=st.data())
def test_spoiled_topics_are_loaded_or_refused(data: st.DataObject) -> None:
    with TemporaryDirectory() as there:
        home = write_topics(Path(there))
        for name in data.draw(st.lists(st.sampled_from(sorted(TOPICS)), min_size=1, max_size=3, unique=True)):
            text = data.draw(spoiled(TOPICS[name]))
            (home / name).write_bytes(text.encode("utf-8", "surrogatepass"))
        load_or_refuse(home)


@fuzz
@given(kind=st.sampled_from(KINDS), content=st.text() | st.binary())
def test_any_text_is_loaded_or_refused(kind: str, content: str | bytes) -> None:
    data = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
    with TemporaryDirectory() as there:
        (Path(there) / f"{kind}.yaml").write_bytes(data)
        load_or_refuse(Path(there))


#: Plain content of any shape, with the words of the book among its keys and values.
WORDS = st.sampled_from(
    sorted({word.strip("{}[],:") for text in CLEAN.values() for word in text.split() if word.isascii()})
)
SHAPES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | WORDS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS, inner, max_size=5),
    max_leaves=25,
)


@fuzz
@given(kind=st.sampled_from(KINDS), content=SHAPES)
def test_any_shape_is_loaded_or_refused(kind: str, content: object) -> None:
    """JSON is YAML: any content gets past the reader and meets the schemas."""
    import json

    with TemporaryDirectory() as there:
        (Path(there) / f"{kind}.yaml").write_text(json.dumps(content), encoding="utf-8")
        load_or_refuse(Path(there))


INTAKE = """\
vehicle: {age_years: 12, mileage_km: 180000, engine: 1.8 petrol}
codes: [P0442, {code: P0455, status: pending}]
symptoms: [smell]
said: ["it stinks after rain"]
replaced: [valve]
readings:
  - {inspection: valve-holds, value: -50 kPa}
  - {inspection: hose-look, result: whole}
  - {inspection: valve-holds, series: [[0 kPa, 2.5 V], [-1 kPa, 2.2 V]]}
costs: {per_hour: 30, refer_out: 150}
expect: {verdict: inspect, next: hose-look}
"""


@fuzz
@given(text=spoiled(INTAKE) | st.text())
def test_a_spoiled_intake_is_read_or_refused(text: str) -> None:
    start = time.process_time()
    try:
        for node in compose_stream(text, "i"):
            for problem in validate(node, "intake"):
                assert problem.place.line > 0
                assert "\n" not in str(problem)
    except BadInputError as error:
        assert all(problem.place.line > 0 for problem in error.problems)
    assert time.process_time() - start < BOUND

"""``rules fmt`` changes blanks and line breaks and nothing else, and what it has laid out stays."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from proveout.book.shipped import rules_dir
from proveout.model.problem import BadInputError
from proveout.text.compose import compose
from proveout.text.layout import laid_out
from proveout.text.node import plain
from proveout.text.wrapping import WIDTH

#: Words, and what has to be quoted, folded or kept as it is.
_TEXTS = st.one_of(
    st.sampled_from(
        ["a", "often", "0.5", "no", "- x", "a: b", "it's", "# no", "? ", "[", "x #y", "\\ ", '"q" r']
    ),
    st.text("ab \n\t#-:,'\"\\[]{}|>&*!%@?é\x07", max_size=40),
    st.lists(st.sampled_from(["word", "-", "it's", "to:", "#1", "a,", "\\"]), max_size=90).map(" ".join),
)
_KEYS = st.text("abc", min_size=1, max_size=3)
_DOCUMENTS = st.recursive(
    st.one_of(_TEXTS, st.integers(-9, 9), st.sampled_from([None, True, 1.0])),
    lambda inner: st.one_of(st.lists(inner, max_size=6), st.dictionaries(_KEYS, inner, max_size=6)),
    max_leaves=40,
)


def _as_it_was(text: str) -> str:
    """Lay a text out, require that it says the same in the same characters, and stays; give it."""
    new = laid_out(text, "f")
    assert repr(plain(compose(new, "f"))) == repr(plain(compose(text, "f")))
    assert "".join(new.split()) == "".join(text.split())
    assert laid_out(new, "f") == new
    return new


@given(
    _DOCUMENTS,
    st.sampled_from([True, False, None]),
    st.sampled_from([None, "'", '"', "|", ">"]),
    st.integers(2, 8),
    st.sampled_from([20, 80, 1000]),
    st.randoms(use_true_random=False),
)
@settings(deadline=None)
def test_nothing_but_blanks_changes(
    document: Any, flow: bool | None, style: str | None, indent: int, width: int, draw: Any
) -> None:
    text = yaml.safe_dump(
        document,
        default_flow_style=flow,
        default_style=style if isinstance(document, str) else None,
        indent=indent,
        width=width,
        allow_unicode=True,
    )
    _as_it_was(_commented(text, draw))


def _commented(text: str, draw: Any) -> str:
    """Put comments and empty lines anywhere, if they are none of the content there."""
    rows = text.split("\n")
    for at in sorted(draw.sample(range(len(rows)), min(3, len(rows))), reverse=True):
        rows.insert(at, " " * draw.randrange(6) + "# by the way" * draw.randrange(2))
    new = "\n".join(rows)
    try:
        return new if repr(plain(compose(new, "f"))) == repr(plain(compose(text, "f"))) else text
    except BadInputError:
        return text


@given(_DOCUMENTS, st.integers(3, 8))
@settings(deadline=None)
def test_however_deep_it_stood_it_comes_to_stand_alike(document: Any, indent: int) -> None:
    def dumped(deep: int) -> str:
        return laid_out(yaml.safe_dump(document, default_flow_style=False, indent=deep, width=100_000), "f")

    assert dumped(indent) == dumped(2)


@pytest.mark.parametrize("path", sorted(rules_dir().rglob("*.yaml"))[::16], ids=lambda path: path.stem)
def test_a_file_of_the_book_on_lines_that_are_too_long(path: Any) -> None:
    rows: list[str] = []
    for row in path.read_text("utf-8").split("\n"):
        if row.startswith("  ") and rows and rows[-1].endswith(",") and "#" not in rows[-1]:
            rows[-1] += f" {row.strip()}"
        else:
            rows.append(row)
    new = _as_it_was("\n".join(rows))
    assert all(len(row) <= WIDTH for row in new.split("\n") if "#" not in row)

"""The YAML language server of editors reads our schemas: marks, completion and words while rules are typed.

The server is the package yaml-language-server of the npm registry, an independent reader of JSON Schema.
"""

from __future__ import annotations

from pathlib import Path

import jsonschema_rs
import pytest

from helpers_cli import proveout
from helpers_language_server import editor
from proveout.book.editor import editor_schema
from proveout.book.shipped import rules_dir, schemas_dir
from proveout.text.compose import compose
from proveout.text.node import Mapping, plain

SHOP = """\
components:
  - {id: roof-drain, title: Drain of the sunroof}
causes:
  - id: roof-drain-blocked
    title: Sunroof drain blocked
    component: roof-drain
    base_rate: 0.4 per 1000
    base_rate_source: own jobs
    remedy: {action: clean, minutes: 20}
"""
TYPED = """\
# yaml-language-server: $schema=ids.json
rules:
  - id: own-drain
    when: {symptom: damp-insid}
    seen_with: {roof-drain-bloked: often}
    because: Water runs inside.
    source: own jobs
"""


def test_the_shipped_schemas_mark_a_wrong_key_and_offer_the_right_ones(tmp_path: Path) -> None:
    first = f"# yaml-language-server: $schema={(schemas_dir() / 'book.schema.json').as_posix()}\n"
    with editor(tmp_path) as used:
        wrong = used.marks(tmp_path / "wrong.yaml", f"{first}components:\n  - id: x\n    tittle: X\n")
        assert any("tittle" in mark["message"] for mark in wrong)
        assert used.marks(tmp_path / "right.yaml", f"{first}components:\n  - id: x\n    title: X\n") == []
        used.marks(tmp_path / "open.yaml", f"{first}inspections:\n  - id: x\n    \n")
        offered = used.offered(tmp_path / "open.yaml", 3, 4)
        assert {"title", "kind", "minutes", "results", "steps"} <= offered.keys()
        assert "Short name" in used.said(tmp_path / "right.yaml", 3, 6)


@pytest.mark.long(10)
def test_known_ids_are_offered_and_unknown_ones_marked_while_typing(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "drain.yaml").write_text(SHOP, "utf-8")
    given = proveout("rules", "schema", "--rules", shop, "--out", shop / "ids.json", home=tmp_path)
    assert given.code == 0
    with editor(shop) as used:
        marks = used.marks(shop / "rule.yaml", TYPED)
        told = " ".join(mark["message"] for mark in marks)
        assert "roof-drain-bloked" in told
        assert {mark["range"]["start"]["line"] for mark in marks} == {3, 4}
        right = TYPED.replace("damp-insid", "damp-inside").replace("bloked", "blocked")
        assert used.marks(shop / "right.yaml", right) == []
        text = TYPED.replace("{roof-drain-bloked: often}", "\n      ")
        used.marks(shop / "open.yaml", text)
        offered = used.offered(shop / "open.yaml", 5, 6)
        assert {"roof-drain-blocked", "filler-cap-seal-leaking"} <= offered.keys()
        used.marks(shop / "symptom.yaml", TYPED.replace("{symptom: damp-insid}", "\n      symptom: "))
        assert {"damp-inside", "fuel-smell"} <= used.offered(shop / "symptom.yaml", 4, 15).keys()


def test_the_shipped_book_passes_the_schema_with_its_own_ids() -> None:
    """Ids, kinds and former names are all there: else an editor would mark what the check accepts."""
    checker = jsonschema_rs.Draft202012Validator(editor_schema(()))
    read = 0
    for path in sorted(rules_dir().rglob("*.yaml")):
        root = compose(path.read_text("utf-8"), str(path))
        if isinstance(root, Mapping) and "pattern" not in root:
            error = next(checker.iter_errors(plain(root)), None)
            assert error is None, f"{path}: {error and (error.instance_path, error.message[:200])}"
            read += 1
    assert read > 100


@pytest.mark.parametrize("out", ["", "ids.json"])
def test_the_schema_is_written_even_where_the_rules_cannot_be_used(tmp_path: Path, out: str) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "drain.yaml").write_text(SHOP, "utf-8")  # nothing proves its cause
    given = proveout(
        "rules", "schema", "--rules", shop, *(["--out", shop / out] if out else []), home=tmp_path
    )
    assert given.code == 0
    text = (shop / out).read_text("utf-8") if out else given.out
    assert '"roof-drain-blocked"' in text

"""Snapshots of the book: kept once, given back whole, or refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_record import names
from proveout.book.load import load_book
from proveout.book.shipped import rules_dir
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import snapshot


def test_a_snapshot_makes_the_same_book(tmp_path: Path) -> None:
    rules = write_book(tmp_path / "rules")
    store = tmp_path / "store"
    digest = snapshot.keep(store, snapshot.take((rules,)))
    kept, loaded = snapshot.book_of(snapshot.load(store, digest)), load_book(base=rules)
    assert kept.digest == loaded.digest
    assert kept.causes.keys() == loaded.causes.keys() and kept.layers == loaded.layers
    assert str(kept.rules["hose-seen"].place).startswith("rules/rules.yaml:")


def test_the_shipped_book_is_kept_with_the_places_of_its_rules() -> None:
    kept, loaded = snapshot.book_of(snapshot.take((rules_dir(),))), load_book()
    assert kept == loaded


def test_layers_keep_their_order_and_names(tmp_path: Path) -> None:
    rules = write_book(tmp_path / "rules")
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "more.symptoms.yaml").write_text("- {id: smell, replaces: smell, title: A strong smell}\n")
    taken = snapshot.take((rules, shop))
    assert [layer.name for layer in taken.layers] == ["book", "shop"]
    book = snapshot.book_of(taken)
    assert book.words.symptoms["smell"].title == "A strong smell"
    assert book.words.symptoms["smell"].layer == "shop"
    assert book.digest == load_book((shop,), base=rules).digest


def test_a_snapshot_does_not_depend_on_where_the_layers_lie(tmp_path: Path) -> None:
    here, there = write_book(tmp_path / "a" / "rules"), write_book(tmp_path / "b" / "rules")
    assert snapshot.take((here,)).digest == snapshot.take((there,)).digest


def test_texts_that_did_not_change_are_kept_once(tmp_path: Path) -> None:
    rules, store = write_book(tmp_path / "rules"), tmp_path / "store"
    old = snapshot.keep(store, snapshot.take((rules,)))
    before = names(store)
    assert snapshot.keep(store, snapshot.take((rules,))) == old and names(store) == before
    (rules / "symptoms.yaml").write_text("- {id: smell, title: Another smell}\n")
    new = snapshot.keep(store, snapshot.take((rules,)))
    assert len(names(store) - before) == 3  # one text, one list, the names of its packs
    assert snapshot.book_of(snapshot.load(store, old)).words.symptoms["smell"].title == "Smell"
    assert snapshot.book_of(snapshot.load(store, new)).words.symptoms["smell"].title == "Another smell"


def test_texts_are_compressed(tmp_path: Path) -> None:
    store = tmp_path / "store"
    taken = snapshot.take((rules_dir(),))
    snapshot.keep(store, taken)
    size = sum(path.stat().st_size for path in store.rglob("*") if path.is_file())
    assert size < 0.5 * sum(len(text) for layer in taken.layers for _, text in layer.files)


def test_every_altered_byte_of_the_store_is_noticed(tmp_path: Path) -> None:
    store = tmp_path / "store"
    digest = snapshot.keep(store, snapshot.take((write_book(tmp_path / "rules"),)))
    for name in (name for name in names(store) if not name.endswith(".packs")):
        path = store / name
        whole = path.read_bytes()
        for at in range(0, len(whole), 1 + len(whole) // 40):
            path.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
            with pytest.raises(DamagedRecordError, match="altered"):
                snapshot.load(store, digest)
        path.write_bytes(whole)
    assert snapshot.load(store, digest).digest == digest


@pytest.mark.parametrize("digest", ["0" * 64, "", "../../etc/passwd", "x" * 64])
def test_a_snapshot_that_is_not_there_is_named(digest: str, tmp_path: Path) -> None:
    with pytest.raises(BadInputError) as caught:
        snapshot.load(tmp_path, digest)
    assert caught.value.problems[0].check == "no-snapshot"


def test_a_directory_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="no such directory"):
        snapshot.take((tmp_path / "none",))

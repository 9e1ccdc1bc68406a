"""The compiled book: equal to the one that was read, found again, never believed when anything is amiss."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from helpers_book import write_book
from proveout.book.compiled import made_from, shelf, stamp
from proveout.book.compiled.file import open_book
from proveout.book.compiled.file import write_book as write_compiled
from proveout.book.compiled.shelf import Shelf
from proveout.book.files import Layer, lay
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.model.problem import BadInputError

LAYER = "- {id: hot, replaces: hot, title: Hot, text: Beware of it.}\n"


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_book(tmp_path_factory.mktemp("rules") / "book")


@pytest.fixture(scope="module")
def plain(base: Path) -> Book:
    """The book as read from its texts."""
    return load_book(base=base)


class Opened:
    """Loads with a cache of its own, counts how often the texts are read, and keeps what is told."""

    def __init__(self, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        from proveout.book import making

        self.cache = home / "books"
        self.read = 0
        self.told: list[str] = []
        really = making.made

        def made(*args: object) -> Book:
            self.read += 1
            return really(*args)  # type: ignore[arg-type]

        monkeypatch.setattr(making, "made", made)
        monkeypatch.setattr(shelf, "RACY", 0.0)

    def __call__(self, base: Path, *layers: Path) -> Book:
        return load_book(layers, base=base, cache=self.cache, tell=self.told.append)

    @property
    def books(self) -> list[Path]:
        return sorted(self.cache.glob(f"*{shelf.SUFFIX}"))


@pytest.fixture
def opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Opened:
    return Opened(tmp_path, monkeypatch)


def test_the_file_holds_the_very_same_book(tmp_path: Path, plain: Book) -> None:
    path = tmp_path / "one.book"
    write_compiled(plain, path)
    book = open_book(path)
    assert book == plain
    assert list(book.rules) == list(plain.rules)
    assert list(book.weighing) == list(plain.weighing)
    assert "no-such" not in book.rules
    assert book.rules.get("no-such") is None
    again = tmp_path / "two.book"
    write_compiled(book, again)
    assert again.read_bytes() == path.read_bytes()


def test_a_book_is_read_once_until_something_changes(
    opened: Opened, base: Path, tmp_path: Path, plain: Book
) -> None:
    assert opened(base) == plain == opened(base)
    assert (opened.read, len(opened.told), len(opened.books)) == (1, 1, 1)
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "cautions.yaml").write_text(LAYER)
    assert opened(base, shop).words.cautions["hot"].text == "Beware of it."
    assert f"with {shop} laid over it" in opened.told[-1]
    assert (opened(base, shop).layers, opened.read) == (("book", "shop"), 2)
    (shop / "cautions.yaml").write_text(LAYER.replace("Beware", "Mind", 1))
    assert opened(base, shop).words.cautions["hot"].text == "Mind of it."
    assert opened.read == 3


def test_a_change_that_keeps_size_and_time_is_seen(opened: Opened, tmp_path: Path) -> None:
    base = write_book(tmp_path / "b")
    opened(base)
    path = base / "cautions.yaml"
    state, text = path.stat(), path.read_text()
    path.write_text(text.replace("Beware", "beware") if "Beware" in text else text.swapcase())
    os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(made_from, "key_of", lambda _: pytest.fail("the stamp alone must tell"))
        stamp, _ = made_from.stamp_of(_layers(base))
    assert Shelf(opened.cache).noted(stamp) == ""


def _layers(base: Path) -> tuple[Layer, ...]:
    return lay(base, [])


def test_files_changed_just_now_are_not_noted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    base = write_book(tmp_path / "b")
    load_book(base=base, cache=tmp_path / "books")
    assert not list((tmp_path / "books").glob("seen/*"))
    monkeypatch.setattr(time, "time_ns", lambda: 2**62)
    load_book(base=base, cache=tmp_path / "books")
    assert len(list((tmp_path / "books").glob("seen/*"))) == 1


def test_all_code_that_makes_a_book_counts(base: Path) -> None:
    """Making a book loads nothing of the program outside the rooms that the key covers, and uses each."""
    script = (
        "import sys; from pathlib import Path; from proveout.book.load import load_book\n"
        "load_book(base=Path(sys.argv[1]))\n"
        "print(*(name for name in sys.modules if name.startswith('proveout.')))"
    )
    command = [sys.executable, "-c", script, str(base)]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert {name.split(".")[1] for name in loaded.split()} == set(stamp.ROOMS)


def test_the_key_tells_program_texts_names_and_layers_apart(
    base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = write_book(tmp_path / "book")
    keys = {made_from.key_of([Layer("book", base, "rules")])}
    keys.add(made_from.key_of([Layer("book", base, "elsewhere")]))
    keys.add(made_from.key_of([Layer("shop", base, "rules")]))
    (other / "tools.yaml").rename(other / "more.tools.yaml")
    keys.add(made_from.key_of([Layer("book", other, "rules")]))
    fewer = stamp.program_files()[1:]
    monkeypatch.setattr(made_from, "program_files", lambda: fewer)
    keys.add(made_from.key_of([Layer("book", base, "rules")]))
    assert len(keys) == 5


def test_a_bad_book_is_never_kept(opened: Opened, tmp_path: Path) -> None:
    base = write_book(tmp_path / "b", edit={"causes.yaml": [("component: valve", "component: valv")]})
    for _ in range(2):
        with pytest.raises(BadInputError):
            opened(base)
    assert not opened.cache.exists()


def _torn(data: bytes) -> Iterator[bytes]:
    rng = random.Random(7)
    for _ in range(1000):
        at = rng.randrange(len(data))
        yield data[:at] + bytes([data[at] ^ rng.randrange(1, 256)]) + data[at + 1 :]
    for length in range(0, len(data), 1000):
        yield data[:length]
    yield data + b"\0"


def test_no_altered_byte_and_no_cut_is_believed(opened: Opened, base: Path, plain: Book) -> None:
    opened(base)
    (path,) = opened.books
    data, key = path.read_bytes(), path.stem.partition("-")[0]
    for torn in _torn(data):
        path.write_bytes(torn)
        assert Shelf(opened.cache).find(key) is None
        assert not path.exists(), "what is torn is taken away, to be made again"
    path.write_bytes(data)
    assert Shelf(opened.cache).find(key) == path
    path.write_bytes(data[:-1])
    assert opened(base) == plain
    assert opened.books == [path]


def test_a_file_whose_rows_are_of_another_shape_is_made_again(
    opened: Opened, base: Path, plain: Book
) -> None:
    import sqlite3

    opened(base)
    (path,) = opened.books
    key = path.stem.partition("-")[0]
    path.chmod(0o600)
    with sqlite3.connect(path) as file:
        file.execute("UPDATE entry SET row = x'c0' WHERE kind = 'head'")
    file.close()
    path.rename(path.with_name(f"{key}-{shelf._digest(path)}{shelf.SUFFIX}"))
    assert opened(base) == plain
    assert opened.read == 2


@pytest.mark.parametrize("mode", [0o770, 0o707, 0o777])
def test_a_directory_that_others_may_write_is_not_used(
    opened: Opened, base: Path, plain: Book, mode: int
) -> None:
    opened(base)
    opened.cache.chmod(mode)
    assert opened(base) == plain
    assert opened.read == 2
    assert "is not yours alone" in opened.told[-1]


def test_a_directory_of_somebody_else_is_not_used(
    opened: Opened, base: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened(base)
    monkeypatch.setattr(os, "geteuid", lambda: os.getuid() + 1)
    opened(base)
    assert opened.read == 2


def test_a_book_of_somebody_else_and_a_link_are_not_used(opened: Opened, base: Path, tmp_path: Path) -> None:
    opened(base)
    (path,) = opened.books
    key = path.stem.partition("-")[0]
    path.chmod(0o666)
    assert Shelf(opened.cache).find(key) is None
    opened(base)
    (path,) = opened.books
    aside = path.rename(tmp_path / "aside")
    path.symlink_to(aside)
    assert Shelf(opened.cache).find(key) is None
    assert aside.exists()


def test_a_linked_directory_is_not_used(opened: Opened, base: Path, plain: Book, tmp_path: Path) -> None:
    (tmp_path / "real").mkdir(mode=0o700)
    opened.cache.symlink_to(tmp_path / "real")
    assert opened(base) == plain
    assert not list((tmp_path / "real").iterdir())


def _no_space(*_: object, **__: object) -> None:
    raise OSError(28, "No space left on device")


@pytest.mark.parametrize("what", ["mkstemp", "replace", "write_book"])
def test_a_cache_that_cannot_be_written_is_done_without(
    opened: Opened, base: Path, plain: Book, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    target: dict[str, tuple[object, str]] = {
        "mkstemp": (tempfile, "mkstemp"),
        "replace": (Path, "replace"),
        "write_book": (sys.modules["proveout.book.load"], "write_book"),
    }
    monkeypatch.setattr(*target[what], _no_space)
    assert opened(base) == plain
    assert not opened.books
    assert "cannot be written" in opened.told[-1]


def test_a_cache_below_a_file_is_done_without(base: Path, plain: Book, tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file")
    assert load_book(base=base, cache=tmp_path / "cache" / "books") == plain


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path) -> None:
    def half(path: Path) -> None:
        path.write_bytes(b"half a file")
        _no_space()

    assert Shelf(tmp_path / "books").put("0" * 64, half) is None
    assert list((tmp_path / "books").iterdir()) == []


def test_ten_processes_at_once_all_get_the_book(base: Path, tmp_path: Path, plain: Book) -> None:
    script = (
        "import sys; from pathlib import Path; from proveout.book.load import load_book\n"
        "book = load_book(base=Path(sys.argv[1]), cache=Path(sys.argv[2]))\n"
        "print(book.digest, len(book.rules), sum(len(rule.weights) for rule in book.rules.values()))"
    )
    command = [sys.executable, "-c", script, str(base), str(tmp_path / "books")]
    running = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(10)]
    said = {process.communicate()[0].strip() for process in running}
    weights = sum(len(rule.weights) for rule in plain.rules.values())
    assert said == {f"{plain.digest} {len(plain.rules)} {weights}"}
    assert len(list((tmp_path / "books").glob("*.book"))) == 1
    assert not list((tmp_path / "books").glob(".new-*"))


def test_old_books_and_notes_are_taken_away(tmp_path: Path) -> None:
    home = Shelf(tmp_path / "books")
    for number in range(shelf.MOST_BOOKS + 5):
        assert home.put(f"{number:064}", _writes(bytes([number])))
    for number in range(shelf.MOST_NOTES + 5):
        home.note(f"{number:064}", "key", 0)
    assert len(list(home.home.glob("*.book"))) == shelf.MOST_BOOKS
    assert len(list(home.home.glob("seen/*"))) == shelf.MOST_NOTES


def _writes(data: bytes) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        path.write_bytes(data)

    return write

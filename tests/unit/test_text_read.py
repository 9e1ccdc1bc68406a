"""Files and bytes to text, and every way in which that can fail."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from proveout.model.problem import BadInputError
from proveout.text.read import MAX_BYTES, decode, read_text


def refused(path: Path) -> str:
    with pytest.raises(BadInputError) as raised:
        read_text(path)
    (problem,) = raised.value.problems
    assert problem.place.file == str(path)
    assert problem.mend
    return problem.check


def test_a_file_is_read_and_its_byte_order_mark_dropped(tmp_path: Path) -> None:
    (tmp_path / "f").write_bytes(b"\xef\xbb\xbfa: \xc3\xa9\n")
    assert read_text(tmp_path / "f") == "a: é\n"


def test_a_missing_file_and_a_directory_are_told_apart(tmp_path: Path) -> None:
    assert refused(tmp_path / "none") == "file-missing"
    assert refused(tmp_path) == "file-kind"
    assert refused(Path(str(tmp_path) + "/a\0b")) == "file-unreadable"


def test_a_link_to_itself_is_refused(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert refused(tmp_path / "loop") == "file-unreadable"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_without_rights_is_refused(tmp_path: Path) -> None:
    (tmp_path / "f").write_text("a")
    (tmp_path / "f").chmod(0)
    assert refused(tmp_path / "f") == "file-unreadable"


def test_too_large_a_file_is_refused_and_the_limit_named(tmp_path: Path) -> None:
    (tmp_path / "f").write_bytes(b" " * MAX_BYTES)
    assert len(read_text(tmp_path / "f")) == MAX_BYTES
    (tmp_path / "f").write_bytes(b" " * (MAX_BYTES + 1))
    assert refused(tmp_path / "f") == "file-size"
    with pytest.raises(BadInputError, match="2 MiB"):
        decode(b" " * (MAX_BYTES + 1), "-")


@pytest.mark.parametrize(
    ("data", "line", "column"), [(b"a: 1\nb: \xff", 2, 4), (b"\xff\xfea\x00", 1, 1), (b"\xc3", 1, 1)]
)
def test_bytes_that_are_not_utf8_are_located(data: bytes, line: int, column: int) -> None:
    with pytest.raises(BadInputError) as raised:
        decode(data, "-")
    (problem,) = raised.value.problems
    assert (problem.check, problem.place.line, problem.place.column) == ("not-utf8", line, column)

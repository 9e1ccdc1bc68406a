"""The case file: creating, appending, reading, refusing."""

from __future__ import annotations

import hashlib
import os
from itertools import pairwise
from pathlib import Path

import pytest

from helpers_record import EVENTS, INTAKE, at, write_case
from proveout.model.problem import BadInputError, DamagedRecordError, Place
from proveout.record import casefile
from proveout.record.event import NO_PREVIOUS, TAG, seal
from proveout.record.header import HEADER


def check_of(error: pytest.ExceptionInfo[BadInputError]) -> str:
    return error.value.problems[0].check


def test_events_come_back_as_they_were_given(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    write_case(path)
    events = casefile.read(path)
    assert [event.n for event in events] == list(range(1, 13))
    assert events[0].body == INTAKE and events[0].previous == NO_PREVIOUS
    assert [(event.kind, event.body) for event in events[1:]] == list(EVENTS)
    assert all(a.digest == b.previous for a, b in pairwise(events))


def test_appending_gives_the_event_that_is_read_later(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    first = casefile.create(path, INTAKE, at(1))
    second = casefile.append(path, "note", {"text": "on", "pair": (1, 2.0)}, at(2))
    assert casefile.read(path) == (first, second)
    assert casefile.read(path)[1].place == Place(
        str(path), path.read_text().split("---\nn: 2")[0].count("\n") + 1, 1
    )


def test_the_digest_is_sha256_over_tag_and_canonical_json() -> None:
    """RFC 8785 by hand: keys sorted, no spaces, 2.50 as 2.5, the text as UTF-8."""
    event = seal(2, "2031-05-04T09:30:00Z", "note", "0" * 64, {"b": 2.50, "a": "ü"})
    by_hand = (
        '{"at":"2031-05-04T09:30:00Z","body":{"a":"ü","b":2.5},"kind":"note","n":2,'
        '"previous":"' + "0" * 64 + '"}'
    )
    assert event.digest == hashlib.sha256(TAG + by_hand.encode()).hexdigest()


def test_a_file_is_readable_yaml_with_a_document_an_event(tmp_path: Path) -> None:
    """Checked with PyYAML's own loader."""
    import yaml

    path = tmp_path / "van.yaml"
    write_case(path)
    documents = list(yaml.safe_load_all(path.read_text(encoding="utf-8")))
    assert [document["n"] for document in documents] == list(range(1, 13))
    assert [document["body"] for document in documents[1:]] == [body for _, body in EVENTS]


def test_a_file_that_is_there_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    path.write_text("mine")
    with pytest.raises(BadInputError) as caught:
        casefile.create(path, INTAKE, at(1))
    assert check_of(caught) == "file-exists" and path.read_text() == "mine"
    link = tmp_path / "link.yaml"
    link.symlink_to(tmp_path / "nowhere.yaml")
    with pytest.raises(BadInputError):
        casefile.create(link, INTAKE, at(1))


def test_a_directory_that_is_missing_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadInputError, match="No such file") as caught:
        casefile.create(tmp_path / "none" / "van.yaml", INTAKE, at(1))
    assert str(tmp_path / "none") in str(caught.value)


def test_another_head_than_expected_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    seen = casefile.create(path, INTAKE, at(1)).digest
    casefile.append(path, "note", {"text": "meanwhile"}, at(2), expect_head=seen)
    with pytest.raises(BadInputError) as caught:
        casefile.append(path, "note", {"text": "too late"}, at(3), expect_head=seen)
    assert check_of(caught) == "moved-on"
    assert len(casefile.read(path)) == 2


@pytest.mark.parametrize(
    ("kind", "body", "time", "check"),
    [
        ("intake", {}, at(2), "second-intake"),
        ("opinion", {}, at(2), "unknown-kind"),
        ("note", {}, "yesterday", "bad-time"),
        ("note", {}, "2031-05-04T09:30:00", "bad-time"),
        ("note", {}, "2031-02-30T09:30:00Z", "bad-time"),
        ("note", {"x": float("nan")}, at(2), "unfit-value"),
        ("note", {"x": 2**53}, at(2), "unfit-value"),
        ("note", {"x": {1: 2}}, at(2), "unfit-value"),
        ("note", {"x": b"bytes"}, at(2), "unfit-value"),
        ("note", {"x": "\ud800"}, at(2), "unfit-value"),
        ("note", {"x" * 2000: 1}, at(2), "unfit-value"),
    ],
)
def test_what_cannot_be_kept_is_refused_and_nothing_written(
    kind: str, body: dict[str, object], time: str, check: str, tmp_path: Path
) -> None:
    path = tmp_path / "van.yaml"
    old = write_case(path, 2)
    with pytest.raises(BadInputError) as caught:
        casefile.append(path, kind, body, time)
    assert check_of(caught) == check
    assert path.read_bytes() == old


def test_nesting_without_end_is_refused(tmp_path: Path) -> None:
    deep: dict[str, object] = {}
    for _ in range(5000):
        deep = {"in": deep}
    with pytest.raises(BadInputError, match="deeper"):
        casefile.create(tmp_path / "van.yaml", deep, at(1))


def test_an_altered_last_event_refuses_to_be_followed(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    data = write_case(path, 3)
    path.write_bytes(data.replace(b"result: whole", b"result: loose"))
    with pytest.raises(DamagedRecordError, match="event 3"):
        casefile.append(path, "note", {}, at(4))


def test_every_problem_is_listed(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    data = write_case(path)
    path.write_bytes(
        data.replace(b"183000", b"138000")
        .replace(b"44.9", b"14.9")
        .replace(b"result: holds", b"result: leaks")
    )
    found = casefile.verify(path)
    assert [problem.saw.partition(":")[0] for problem in found.problems] == ["event 1", "event 8", "event 10"]
    assert [problem.place.line for problem in found.problems] == [
        found.events[n - 1].place.line for n in (1, 8, 10)
    ]


def test_a_head_that_is_an_earlier_event_still_holds(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    write_case(path, 4)
    head = casefile.read(path)[-1].digest
    casefile.append(path, "note", {}, at(5))
    assert casefile.verify(path, head).sound
    assert not casefile.verify(path, "f" * 64).sound


def test_a_linked_case_file_stays_linked(tmp_path: Path) -> None:
    real = tmp_path / "real.yaml"
    write_case(real, 2)
    link = tmp_path / "link.yaml"
    link.symlink_to(real)
    casefile.append(link, "note", {}, at(3))
    assert link.is_symlink() and len(casefile.read(real)) == 3


def test_case_files_are_told_by_their_beginning(tmp_path: Path) -> None:
    data = write_case(tmp_path / "van.yaml", 1)
    assert casefile.is_case_file(data) and casefile.is_case_file(data.decode())
    assert casefile.is_case_file(HEADER)
    assert not casefile.is_case_file("codes: [P0442]\n") and not casefile.is_case_file(b"")


def test_a_writer_that_holds_the_lock_too_long_is_named(tmp_path: Path) -> None:
    from proveout.record import files

    path = tmp_path / "van.yaml"
    write_case(path, 1)
    with files.held(path), pytest.raises(BadInputError) as caught, files.held(path, timeout=0.05):
        pass
    assert check_of(caught) == "in-use"


def test_a_reader_waits_for_a_writer_before_it_says_torn(tmp_path: Path) -> None:
    """Half an event is on the disk while its writer holds the lock; the reader gets the whole one."""
    from proveout.record import files

    path = tmp_path / "van.yaml"
    whole = write_case(path, 3)
    path.write_bytes(whole[:-30])
    ready, go = os.pipe()
    pid = os.fork()
    if pid == 0:
        with files.held(path):
            os.write(go, b".")
            import time

            time.sleep(0.2)
            path.write_bytes(whole)
        os._exit(0)
    os.read(ready, 1)
    assert casefile.verify(path).sound
    os.waitpid(pid, 0)

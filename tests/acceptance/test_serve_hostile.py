"""``serve`` against whoever means harm: none of 2,000 requests gets in, nothing is lost, nothing breaks."""

from __future__ import annotations

import contextlib
import itertools
import random
import socket
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from urllib.parse import urlencode

import pytest

from helpers_serve import Served, ask, opened, serving
from proveout.record import casefile
from proveout.web.application import LOOKED_AT, SENT

MANY = 2000
#: What would be seen if somebody had got in, or out of the directory of cases.
SECRETS = ("hatchback", "root:x:", "-----BEGIN", "Traceback", 'File "')

PATHS = (
    *("/", "/new", "/find?q=P0442", "/case/{name}", "/case/{name}/why", "/case/{name}/report?for=assessor"),
    *("/case/{name}/head", "/case/{name}/do/%2e%2e", "/case/{name}%00.yaml", "/case/{name}/reading"),
    *("/case/../../etc/passwd", "/case/..%2f..%2fetc%2fpasswd", "/case/%2e%2e/%2e%2e/etc/passwd"),
    *("/case/..%5c..%5cwindows", "/case/%00", "/case/con", "/case/.hidden", "/case/" + "%c3%28" * 50),
    *("/static/../cases/{name}", "/static/%2e%2e/%2e%2e/door.py", "/static//etc/passwd", "//etc/passwd"),
    *("/enter/", "/enter/wrong", "/enter/" + "a" * 3000, "/enter/%c3%a9", "/" + "a/" * 400, "/worker.js/.."),
    *("/new?x=" + "y" * 5000, "http://evil.example/new", "*", "/case/\u202e", "/case/{name}/mended"),
)
METHODS = ("PUT", "DELETE", "OPTIONS", "TRACE", "CONNECT", "PATCH", "PROPFIND", "get", "G\u00cbT")
HOSTS = (
    *("localhost:1", "evil.example", "evil.example:{port}", "{host}", "", "{host}:{port}.evil.example"),
    *("169.254.169.254", "{host}:{port}@evil.example", "[::1]", "{host}:{port}\r\nHost: evil.example"),
)
ORIGINS = (
    *("", "null", "http://evil.example", "http://{host}:1", "https://{host}:{port}", "file://"),
    *("http://localhost.evil.example", "http://{host}:{port}.evil.example", "http://{host}:{port}/"),
)
COOKIES = (
    *("", "proveout-{port}=", "proveout-{port}=wrong", "proveout-{port}={almost}", "; ; =;proveout-{port}"),
    *("proveout-{port}=" + "A" * 6000, "proveout-1={token}", "proveout-{port}=\u00e9", "{token}"),
)
BODIES = (
    *(b"", b"seen=&mark=hostile-1&result=sound&inspection=cap-seal-look", b"codes=P0442&mark=hostilehostile"),
    *(b"{}", b"\x00\xff\xfe" * 200, b"a=" + b"b" * 70_000, b"&".join(b"f%d=1" % n for n in range(600))),
    *(b"a=%ff%fe", "a=\u202e".encode(), b"<xml/>"),
)
FORM = "application/x-www-form-urlencoded"
KINDS = (FORM, "application/json", "multipart/form-data; boundary=x", "text/plain", "\x01")
LENGTHS = {
    "short": "Content-Length: 1",
    "negative": "Content-Length: -5",
    "twice": "Content-Length: 1\r\nContent-Length: 2",
    "chunked": "Transfer-Encoding: chunked",
    "huge": "Content-Length: 99999999999999999999",
    "both": "Content-Length: 3\r\nTransfer-Encoding: chunked",
}
#: What a request that is kept out is answered; "closed" where it is no HTTP at all.
REFUSED = frozenset("400 401 403 404 405 413 415 421 429 431 closed".split())
#: What can be wrong with a request; each of these alone must keep it out.
FAULTS = ("host", "cookie", "origin", "method")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("hostile")) as found:
        yield found


def raw(served: Served, data: bytes, patience: float = 20.0) -> bytes:
    """Send bytes as they are, and return what comes back until the other end closes or says no more."""
    with socket.create_connection((served.host, served.port), timeout=patience) as link:
        parts = []
        with contextlib.suppress(OSError):
            link.sendall(data)
        with contextlib.suppress(OSError):
            while part := link.recv(65536):
                parts.append(part)
        return b"".join(parts)


def hostile(served: Served, name: str, chance: random.Random) -> bytes:
    """Return a request with one to four faults, of which each must keep it out; all else is as it must be."""
    faults = chance.sample(FAULTS, chance.choice((1, 1, 1, 2, 3, 4)))
    almost = served.token[:-1] + ("a" if served.token[-1] != "a" else "b")
    known = {"name": name, "host": served.host, "port": served.port, "token": served.token, "almost": almost}

    def part(fault: str, wrong: Sequence[str], right: str) -> str:
        return (chance.choice(wrong) if fault in faults else right).format(**known)

    usual = "POST" if faults == ["origin"] else chance.choice(("GET", "POST", "HEAD"))
    body = chance.choice(BODIES)
    path, minor = chance.choice(PATHS).format(**known), chance.choice("0111")
    lines = [
        f"{part('method', METHODS, usual)} {path} HTTP/1.{minor}",
        f"Host: {part('host', HOSTS, '{host}:{port}')}",
        f"Cookie: {part('cookie', COOKIES, 'proveout-{port}={token}')}",
        f"Origin: {part('origin', ORIGINS, 'http://{host}:{port}')}",
        f"Content-Type: {chance.choice(KINDS)}",
        "Connection: close",
    ]
    if chance.random() < 0.1:
        lines.append("X-Forwarded-For: 127.0.0.1\r\nX-Forwarded-Host: localhost\r\nForwarded: for=127.0.0.1")
    if chance.random() < 0.05:
        lines.append("X: " + "z" * 20_000)
    length = chance.choice((*LENGTHS, *["right"] * 6))
    lines.append(LENGTHS.get(length, f"Content-Length: {len(body)}"))
    return "\r\n".join(lines).encode() + b"\r\n\r\n" + body


def whole(served: Served, name: str) -> tuple[list[str], list[str]]:
    """Return the files of the directory of cases, and the kinds of event of the case."""
    return sorted(path.name for path in served.cases.iterdir()), [
        event.kind for event in casefile.read(served.cases / name)
    ]


def test_two_thousand_hostile_requests(served: Served) -> None:
    name = opened(served, "hostilehostile0", ("vehicle", "grey hatchback"))
    before, said = whole(served, name), len(served.said)
    chance, statuses = random.Random(13), Counter[str]()
    for _ in range(MANY):
        answer = raw(served, hostile(served, name, chance))
        status = answer.split(b" ", 2)[1].decode() if answer.startswith(b"HTTP/") else "closed"
        statuses[status] += 1
        text = answer.decode("latin-1")
        assert not any(secret in text for secret in SECRETS), text[:500]
        assert status in REFUSED, answer[:300]
    assert sum(statuses.values()) == MANY and len(statuses) > 4, statuses
    assert whole(served, name) == before
    assert served.process.poll() is None
    assert len(served.said) == said, served.said  # not a line, let alone a traceback
    time.sleep(1)  # strangers of this address have used up their turns; who is known has not
    assert ask(served, f"/case/{name}").status == 200


def test_strange_fields_of_somebody_who_was_let_in(served: Served) -> None:
    """Whoever is in may type anything: it is used, or refused with a message."""
    name = opened(served, "strangestrange00", ("vehicle", "grey hatchback"))
    texts = (
        "",
        "x",
        "-1",
        "1e999",
        "nan",
        "\u202e",
        "<script>alert(1)</script>",
        "P0442",
        "'" * 400,
        "../..",
    )
    names = (
        *("seen", "mark", "inspection", "result", "value", "unit", "stimulus", "response", "under-current"),
        *(
            "codes",
            "symptoms",
            "typed",
            "said",
            "age",
            "mileage",
            "tools",
            "replaced",
            "drop",
            "cause",
            "cost",
        ),
        *("minutes", "since", "outcome", "reason", "why", "driven", "counters", "monitor", "gone", "cleared"),
        *("for", "q", "kind", "words", "read", "happens_when", "fuel", "engine", "vehicle", "instrument"),
    )
    chance, said = random.Random(7), len(served.said)
    seen = ask(served, f"/case/{name}/head", waits=True).body.split('"')[3]
    for turn in range(120):
        fields = [(chance.choice(names), chance.choice(texts)) for _ in range(chance.randint(0, 8))]
        fields += chance.choice(([], [("seen", seen)], [("seen", seen), ("mark", f"strange-{turn}")]))
        path = chance.choice((*LOOKED_AT, *SENT)).format(name=name, inspection="cap-seal-look")
        reply = ask(served, f"{path}?{urlencode(fields)}", None if turn % 3 else fields)
        assert reply.status in (200, 303, 404, 405, 409, 422), (path, fields, reply.body)
        assert "<script>alert" not in reply.body
    assert len(served.said) == said, served.said
    assert casefile.verify(served.cases / name).sound


def test_slow_requests_end_and_keep_nobody_waiting(served: Served) -> None:
    slow = [socket.create_connection((served.host, served.port), timeout=40) for _ in range(60)]
    head = f"POST /new HTTP/1.1\r\nHost: {served.host}:{served.port}\r\n"
    head += f"Cookie: {served.cookie}\r\nOrigin: {served.origin}\r\n"
    form = "Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 50\r\n\r\na"
    for number, link in enumerate(slow):
        link.sendall((head if number % 2 else head + form).encode())
    began = time.monotonic()
    assert ask(served, "/new").status == 200
    assert time.monotonic() - began < 10
    for link in slow:  # a body is waited for 10 s, a head 20 s
        answer = b""
        with contextlib.suppress(OSError):
            answer = link.recv(100)
        assert answer[:12] in (b"", b"HTTP/1.1 408"), answer
        link.close()
    assert time.monotonic() - began < 35


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": "http://evil.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Host": "rebound.example"}, 421),
        ({"Cookie": "proveout=1"}, 401),
        ({"Content-Type": "application/json"}, 415),
        ({"Content-Type": "text/plain"}, 415),
    ],
)
def test_what_keeps_a_form_out(served: Served, headers: dict[str, str], status: int) -> None:
    fields = [("mark", "keptoutkeptout"), ("codes", "P0442")]
    assert ask(served, "/new", fields, more=headers).status == status
    assert not list(served.cases.glob("*keptout*"))


def test_a_page_of_another_site_loads_nothing(served: Served) -> None:
    site = {"Sec-Fetch-Site": "cross-site"}
    shown = ask(served, "/", more={**site, "Sec-Fetch-Mode": "no-cors"})
    followed = ask(served, "/", more={**site, "Sec-Fetch-Mode": "navigate"})
    assert (shown.status, followed.status) == (403, 200)
    policy = followed.headers["content-security-policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "frame-ancestors 'none'" in policy


def test_names_lead_nowhere_but_to_cases(served: Served, tmp_path: Path) -> None:
    name = opened(served, "namesnamesnames")
    outside = tmp_path / "outside.yaml"
    outside.write_bytes((served.cases / name).read_bytes())
    (served.cases / "linked.yaml").symlink_to(outside)
    (served.cases / "notes.yaml").write_text("not a case: true\n")
    try:
        for wanted in (
            "linked.yaml",
            "notes.yaml",
            "..%2foutside.yaml",
            ".",
            "..",
            "%2e%2e",
            f".{name}",
            f"{name}%20",
        ):
            assert ask(served, f"/case/{wanted}").status in (404, 401), wanted
        assert ask(served, f"/case/{name}").status == 200
    finally:
        (served.cases / "linked.yaml").unlink()
        (served.cases / "notes.yaml").unlink()


def test_guessing_the_token_is_slowed_down(served: Served) -> None:
    statuses = Counter(ask(served, f"/enter/{n}", known=False).status for n in range(60))
    assert statuses[429] > 20 and not set(statuses) - {401, 429}
    assert ask(served, "/new").status == 200  # nobody else is kept out by it


def test_a_form_sent_twice_opens_one_case_and_a_reading_sent_twice_is_kept_once(served: Served) -> None:
    name = opened(served, "twicetwicetwice")
    assert opened(served, "twicetwicetwice") == name
    other = [("mark", "twicetwicetwice"), ("codes", "P0442"), ("symptoms", "rough-idle")]
    assert ask(served, "/new", other).status == 422  # another form under the same mark is not taken for it
    seen = ask(served, f"/case/{name}/head", waits=True).body.split('"')[3]
    reading = [("seen", seen), ("mark", "m" * 24), ("inspection", "cap-seal-look"), ("result", "sound")]
    for _ in range(3):
        assert ask(served, f"/case/{name}/reading", reading, waits=True).status == 200
    changed = [*reading[:3], ("result", "damaged")]
    assert ask(served, f"/case/{name}/reading", changed, waits=True).status == 422
    kinds = [event.kind for event in casefile.read(served.cases / name)]
    assert kinds.count("reading") == 1


def test_a_reading_from_before_a_repair_is_not_counted_after_it(served: Served) -> None:
    name = opened(served, "beforebeforebefore")
    seen = ask(served, f"/case/{name}/head", waits=True).body.split('"')[3]
    mended = [("seen", seen), ("cause", "filler-cap-seal-leaking"), ("minutes", "5")]
    assert ask(served, f"/case/{name}/mended", mended).status == 303
    late = [("seen", seen), ("mark", "l" * 24), ("inspection", "cap-seal-look"), ("result", "damaged")]
    answer = ask(served, f"/case/{name}/reading", late, waits=True)
    assert answer.status == 409 and "repair" in answer.body
    assert [e.kind for e in casefile.read(served.cases / name)].count("reading") == 0


def test_only_loopback_unless_said() -> None:
    from helpers_cli import proveout

    for host in ("0.0.0.0", "::", "garage.example"):
        answer = proveout("serve", ".", "--host", host, home=Path(".pytest_cache"))
        assert answer.code == 2 and "address" in answer.err


def test_every_path_of_a_case_is_closed_to_strangers(served: Served) -> None:
    name = opened(served, "closedclosedclosed")
    for path, send in itertools.chain(((p, False) for p in LOOKED_AT), ((p, True) for p in SENT)):
        time.sleep(0.05)
        wanted = path.format(name=name, inspection="cap-seal-look")
        status = ask(served, wanted, [("mark", "x" * 10)] if send else None, known=False).status
        assert status in (401, 429), path

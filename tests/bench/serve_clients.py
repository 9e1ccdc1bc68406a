"""Do many phones at once lose a reading, and how long does each wait?

``python tests/bench/serve_clients.py --clients 50 --readings 40 --cases 25`` starts a server of its own and
lets so many clients send so many readings each, several clients on each case. A client does as the page does:
it sends a reading with a mark, and again where the server is busy or the answer is lost. Every tenth answer
is thrown away on purpose. In the end each mark must stand once in the record of its case, and every chain
must hold.
"""

from __future__ import annotations

import argparse
import secrets
import statistics
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from helpers_serve import Served, ask, opened, serving
from proveout.record import casefile

#: What is read again and again, with results in turn.
INSPECTION, RESULTS = "cap-seal-look", ("sound", "cannot-tell")
#: Every so many answers one is lost.
LOST = 10


class Client(threading.Thread):
    """One phone: it sends readings into one case.

    Attributes:
        marks: of the readings that it was told are kept.
        took: seconds of each, from the first try to the answer.
        again: how often it had to send again, by why.
    """

    def __init__(self, served: Served, case: str, readings: int) -> None:
        """Take the server, the case and how many readings."""
        super().__init__()
        self.served, self.case, self.readings = served, case, readings
        self.marks: list[str] = []
        self.took: list[float] = []
        self.again = Counter[str]()

    def run(self) -> None:
        """Send them all."""
        seen = ask(self.served, f"/case/{self.case}/head", waits=True, timeout=300).body.split('"')[3]
        for number in range(self.readings):
            mark, result = secrets.token_hex(12), RESULTS[number % len(RESULTS)]
            fields = [("seen", seen), ("mark", mark), ("inspection", INSPECTION), ("result", result)]
            began = time.perf_counter()
            self._send(fields, lose=number % LOST == LOST - 1)
            self.took.append(time.perf_counter() - began)
            self.marks.append(mark)

    def _send(self, fields: list[tuple[str, str]], *, lose: bool) -> None:
        while True:
            try:
                reply = ask(self.served, f"/case/{self.case}/reading", fields, waits=True, timeout=300)
            except OSError as error:
                self.again[type(error).__name__] += 1
                continue
            if reply.status == 200 and not lose:
                return
            if reply.status not in (200, 429, 503):
                raise AssertionError(f"{reply.status}: {reply.body}")
            self.again["lost answer" if reply.status == 200 else str(reply.status)] += 1
            time.sleep(0.0 if reply.status == 200 else 1.0)
            lose = False


def main() -> None:
    """Measure and print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--readings", type=int, default=40)
    parser.add_argument("--cases", type=int, default=25)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as home, serving(Path(home)) as served:
        names = [opened(served, f"bench{number:08}") for number in range(given.cases)]
        clients = [Client(served, names[n % given.cases], given.readings) for n in range(given.clients)]
        began = time.perf_counter()
        for client in clients:
            client.start()
        for client in clients:
            client.join()
        whole = time.perf_counter() - began
        kept = Counter(
            event.body.get("mark", "")
            for name in names
            for event in casefile.read(served.cases / name)
            if event.kind == "reading"
        )
        told(clients, kept, whole)


def told(clients: list[Client], kept: Counter[str], whole: float) -> None:
    """Print what came of it; fail where a reading is missing or stands twice."""
    sent = [mark for client in clients for mark in client.marks]
    took = sorted(seconds for client in clients for seconds in client.took)
    again = sum((client.again for client in clients), Counter[str]())
    lost, twice = [mark for mark in sent if mark not in kept], [mark for mark in kept if kept[mark] > 1]
    print(f"{len(clients)} clients, {len(sent)} readings in {whole:.0f} s: {len(sent) / whole:.1f} a second")
    print(f"lost {len(lost)}, twice {len(twice)}; sent again: {dict(again)}")
    print("| latency of a reading | s |\n|---|---|")
    parts = statistics.quantiles(took, n=100)
    for name, value in (("median", parts[49]), ("90 %", parts[89]), ("99 %", parts[98]), ("most", took[-1])):
        print(f"| {name} | {value:.2f} |")
    if lost or twice or len(kept) != len(sent):
        raise SystemExit("readings were lost or kept twice")


if __name__ == "__main__":
    main()

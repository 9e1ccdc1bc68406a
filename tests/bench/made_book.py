"""Books of any size, made up, for measuring: codes, causes and inspections, and the rules between them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import count, islice
from pathlib import Path

#: Codes of which the maker sets the meaning, so that the shipped book has none of them.
AREAS = ("P1", "C1", "C2", "U1", "U2", "B1", "B2")
#: Entries a file; a file has a limit on its size.
TOGETHER = 1000


def codes() -> Iterator[str]:
    """Return codes of AREAS, one after the other."""
    return (f"{area}{number:03X}" for area in AREAS for number in range(0x1000))


def write_book(home: Path, *, codes_: int, causes: int, inspections: int, behind: int) -> int:
    """Write a book as one layer and return how many rules it has.

    Args:
        home: the directory; made where it is not there.
        codes_: number of codes, each with one rule.
        causes: number of causes, each with a component of its own.
        inspections: of each cause, each with one rule.
        behind: causes that the rule of a code weighs.
    """
    home.mkdir(parents=True, exist_ok=True)
    kinds = {
        "components": [f"- {{id: made-part-{n}, title: Part {n}}}\n" for n in range(causes)],
        "causes": [_cause(n) for n in range(causes)],
        "inspections": [_inspection(n, m) for n in range(causes) for m in range(inspections)],
        "codes": [_code(code) for code in islice(codes(), codes_)],
    }
    rules = [_code_rule(n, code, causes, behind) for n, code in enumerate(islice(codes(), codes_))]
    kinds["rules"] = rules + [_result_rule(n, m) for n in range(causes) for m in range(inspections)]
    for kind, entries in kinds.items():
        _write(home, kind, entries)
    return len(kinds["rules"])


def _write(home: Path, kind: str, entries: Iterable[str]) -> None:
    source = iter(entries)
    for number in count():
        together = "".join(islice(source, TOGETHER))
        if not together:
            return
        (home / f"made-{number}.{kind}.yaml").write_text(together, encoding="utf-8")


def _cause(n: int) -> str:
    return f"""\
- id: made-cause-{n}
  title: Part {n} failed
  component: made-part-{n}
  base_rate: {1 + n % 20} per 1000
  base_rate_source: from memory
  remedy: {{action: replace, part: part {n}, part_cost: 20..{40 + n % 60}, minutes: {10 + n % 30}}}
  after_repair: [Clear the codes; none comes back.]
"""


def _inspection(n: int, m: int) -> str:
    return f"""\
- id: made-look-{n}-{m}
  title: Part {n} is sound, look {m}
  kind: visual
  proves: {{made-cause-{n}: [bad]}}
  minutes: {3 + (n + m) % 15}
  results:
    sound: {{is: normal, means: It is sound.}}
    bad: {{is: abnormal, means: It failed.}}
  steps: [Look.]
  source: made up
"""


def _code(code: str) -> str:
    return f"- {{id: {code}, meaning: Made up., family: made, source: made up}}\n"


def _rule(name: str, when: str, weigh: str, otherwise: str, fires: str, silent: str) -> str:
    return f"""\
- id: {name}
  when: {when}
  weigh: {{{weigh}}}
  otherwise: {otherwise}
  because: So it was made up.
  source: made up
  examples:
    fires: [{fires}]
    silent: [{silent}]
"""


def _code_rule(n: int, code: str, causes: int, behind: int) -> str:
    weigh = ", ".join(f"made-cause-{(n + k) % causes}: {0.2 + 0.6 * k / behind:.3f}" for k in range(behind))
    silent = f"{{results: {{made-look-{n % causes}-0: sound}}}}"
    return _rule(
        f"made-code-{code.lower()}", f"{{code: {code}}}", weigh, "0.0005", f"{{codes: [{code}]}}", silent
    )


def _result_rule(n: int, m: int) -> str:
    look = f"made-look-{n}-{m}"
    return _rule(
        f"made-{n}-{m}",
        f"{{inspection: {look}, result: bad}}",
        f"made-cause-{n}: {0.80 + 0.15 / (m + 1):.3f}",
        "0.02",
        f"{{results: {{{look}: bad}}}}",
        f"{{results: {{{look}: sound}}}}",
    )

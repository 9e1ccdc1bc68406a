"""Where the knowledge of a book comes from, counted: the table that the README states."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping

from proveout.model.book import Book

#: Kinds of source, as columns.
PUBLISHED, COMPUTED, PRACTICE, MEMORY = "published page", "computed", "common practice", "from memory"
KINDS = (PUBLISHED, COMPUTED, PRACTICE, MEMORY)
#: A published source says how it was read; what is from memory or computed does not.
READ = re.compile(r", read\b|\bread in (?:excerpt|part)|\(read|\bquoted\b|named from")
#: How a source begins that has none, though a word on safety behind it may be published.
NONE = re.compile(r"common practice|from memory|meaning of the codes? from memory")
#: How many inspections count as common: those that show the likeliest causes.
COMMON = 200
_WORDS = r"(?i:one|two|three|five|six|ten|twenty|half an?|quarter of an?|few|an?)"
_UNITS = r"(?:milliamps?|amperes?|seconds?|minutes?|hours?|teaspoon|cup|litres?)"
_SYMBOLS = r"(?:kPa|psi|inHg|inH2O|degC|°[CF]|kohm|ohm|mm2|mm|cm|rpm|V|A|s)"
#: A figure that can be exceeded: a number, in digits or words, with a unit.
FIGURE = re.compile(rf"\b(?:(?:\d[\d,.]*|{_WORDS}) {_UNITS}|\d[\d,.]* {_SYMBOLS})\b")
#: The table in the README stands between these.
BEGIN, END = "<!-- sources -->\n", "<!-- end of sources -->"


def kind(source: str) -> str:
    """Return what kind of source a text states; common practice is what says nothing else."""
    if READ.search(source) and not NONE.match(source):
        return PUBLISHED
    if source.startswith(("computed", "speed-density")):
        return COMPUTED
    return MEMORY if source.startswith(("from memory", "meaning of the code")) else PRACTICE


def states_a_figure(text: str) -> bool:
    """Return whether a limit states a figure that can be exceeded."""
    return FIGURE.search(text) is not None


def common(book: Book) -> list[str]:
    """Return the inspections that show the likeliest causes, likeliest first."""
    likely = sorted(book.causes.values(), key=lambda cause: -cause.base_rate)
    shown = dict.fromkeys(name for cause in likely for name in book.proved_by.get(cause.id, ()))
    return list(shown)[:COMMON]


def sources(book: Book) -> Mapping[str, list[str]]:
    """Return the sources of each sort of knowledge, one for each piece."""
    inspections = book.inspections
    limits = [limit for one in inspections.values() for limit in one.safety_limits]
    return {
        "inspections": [one.source for one in inspections.values()],
        f"of them the {COMMON} that show the likeliest causes": [inspections[n].source for n in common(book)],
        "limits of readings": [one.reading.limits_source for one in inspections.values() if one.reading],
        "safety limits that state a figure": [one.source for one in limits if states_a_figure(one.text)],
        "safety limits, all": [one.source for one in limits],
        "cautions": [one.source for one in book.words.cautions.values()],
        "base rates": [one.base_rate_source for one in book.causes.values()],
        "rows and rules": [rule.source for rule in book.rules.values()],
        "codes": [one.source for one in book.words.codes.values()],
    }


def counted(texts: Iterable[str]) -> tuple[int, ...]:
    """Return how many sources there are, then how many of each kind."""
    found = Counter(map(kind, texts))
    return (found.total(), *(found[name] for name in KINDS))


def table(book: Book) -> str:
    """Return the counts as a table, as the README states them."""
    lines = [f"| | all | {' | '.join(KINDS)} |", f"|---|{'---|' * (len(KINDS) + 1)}"]
    for sort, texts in sources(book).items():
        lines.append(f"| {sort} | {' | '.join(f'{count:,}' for count in counted(texts))} |")
    return "\n".join(lines) + "\n"


def stated(readme: str) -> Mapping[str, tuple[int, ...]]:
    """Return the counts that a README states, by sort.

    Raises:
        ValueError: it has no table.
    """
    rows = readme[readme.index(BEGIN) : readme.index(END)].splitlines()[3:]
    cells = ([cell.strip() for cell in row.strip("| ").split("|")] for row in rows)
    return {sort: tuple(int(count.replace(",", "")) for count in counts) for sort, *counts in cells}


def rewritten(readme: str, book: Book) -> str:
    """Return a README with the counts of a book."""
    before, after = readme.split(BEGIN)[0], readme.split(END)[1]
    return f"{before}{BEGIN}{table(book)}{END}{after}"

"""What is remembered of files read before never shows: laid over them, a layer makes the very same book.

The answer held against is that of reading all anew, which is what happens where every node is a new one.
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helpers_book import write_topics
from helpers_patterns import PATTERN, SHARED, USES
from helpers_state import TOPIC
from proveout.book import raw
from proveout.book.compiled.file import _all_rows
from proveout.book.files import lay
from proveout.book.making import run
from proveout.book.shipped import rules_dir
from proveout.model.problem import Problem

SOURCES = """\
sources: {base_rate: from memory, inspections: from memory, seen_with: from memory, conclude: from memory,
  codes: from memory}
"""

#: What a layer of its own may say; each reaches something else of what stands below it.
SAYS = {
    "a row": """\
rules:
  - {replaces: hose-look=cracked, seen_with: {hose-cracked: 0.7}, otherwise: 0.02, because: Ours., source: own}
""",  # noqa: E501
    "a row without": """\
rules:
  - {replaces: hose-look=loose, otherwise: 0.02, because: Ours., source: own}
""",
    "a cause": """\
causes:
  - {id: valve-leaks, replaces: valve-leaks, title: Leaks badly, component: valve, base_rate: 3 per 1000,
     remedy: {action: refer}, seen_at: {"code:P0442": 0.3, hose-look=loose: 0.1}}
""",
    "a new cause": """\
causes:
  - {id: hose-kinked, title: Hose kinked, component: hose, base_rate: 3 per 1000,
     before_buying: [hose-look], remedy: {action: repair, minutes: 4, access: [bay]},
     seen_at: {"code:P0455": 0.3, hose-look=cracked: 0.1}}
""",
    "a caution that follows": """\
cautions:
  - {id: hot, replaces: hot, follows_from: [{engine: running}], title: Hot, text: Wait 3 minutes.}
""",
    "a routine": """\
routines:
  - {id: back, replaces: back, follows_from: [{put_back: any}], closing: "Plug {unplugged} in."}
""",
    "an access": "access: [{id: bay, replaces: bay, title: Bay, minutes: 9, cautions: []}]\n",
    "a text": 'texts: [{id: ours, replaces: ours, text: "Not that it is bad."}]\n',
    "a new text": """\
texts: [{id: also, text: "Look twice."}]
codes: [{id: P0456, meaning: A very small leak., family: evap, does_not_mean: {text: also}}]
""",
    "an unknown text": "codes: [{id: P0457, meaning: Cap, family: evap, does_not_mean: {text: nobodys}}]\n",
    "a safety limit": 'safety-limits: [{id: vacuum, replaces: vacuum, text: "At most 20 kPa."}]\n',
    "a finding that is weighed": """\
rules:
  - {id: wet-weighs, when: {finding: wet}, seen_with: {hose-cracked: 0.3}, otherwise: 0.1, because: Wet.,
     examples: {fires: [{happens_when: [in-rain]}], silent: [{symptoms: [smell]}]}}
""",
    "a group": "groups: [{id: feed.dead, replaces: feed.dead, causes: [fuse-blown]}]\n",
    "a use": USES.replace("as: pump", "as: blower").replace("{ohms: pump-resistance}", "{ohms: blower-ohms}"),
    "a twin": """\
codes:
  - {id: P0456, meaning: Same, family: evap, seen_as: {code: P0455, times: 0.5}, otherwise: 0.001}
  - {id: P0455, replaces: P0455, meaning: Big, family: evap, seen_with: {hose-cracked: 0.4}, otherwise: 0.01}
""",
    "a former name": """\
symptoms: [{id: stink, title: Stink, words: [reeks], formerly: [fumes]}]
rules:
  - {id: stinks, when: {symptom: fumes}, seen_with: {hose-cracked: 0.3}, otherwise: 0.1, because: So.,
     examples: {fires: [{symptoms: [fumes]}], silent: [{codes: [P0442]}]}}
""",
    "driving on": """\
driving-on:
  - {id: open-fuel, do: tow, when: {finding: open-system}, because: Fuel burns., source: own, cautions: [hot]}
""",
    "sources for all": "all_sources: {base_rate: our jobs, seen_with: our jobs, conclude: our jobs}\n",
    "an unknown cause": "rules: [{id: x, when: {code: P0442}, seen_with: {nobody: 0.3}, otherwise: 0.1}]\n",
    "an unknown group": "rules: [{id: y, when: {code: P0442}, seen_with: {no.group: 0.3}, otherwise: 0.1}]\n",
    "a stranger": "causes: [{id: valve-leaks, replaces: valve-leaks, seen_at: {nowhere: 0.1}}]\n",
    "a wrong key": "tools: [{id: pump, replaces: pump, titel: Pump}]\n",
    "no YAML": "tools: [\n",
    "an entry again": "tools: [{id: pump, title: Pump, basic: true, price: 1..2}]\n",
}


def base(home: Path) -> Path:
    """Write a book in which everything is shared that entries can share."""
    write_topics(
        home,
        ("evap/evap.yaml", "A large leak.", "A large leak.\n    does_not_mean: {text: ours}"),
        ("evap/valve.yaml", "    cautions: [hot]\n    steps", "    safety_limits: [vacuum]\n    steps"),
    )
    (home / "ours.yaml").write_text(
        'texts: [{id: ours, text: "Not that the valve is bad."}]\n'
        'safety-limits: [{id: vacuum, text: "At most 60 kPa.", source: from memory}]\n'
    )
    state = "state: {engine: running, key: on, unplugged: [the vent], put_back: true, codes: cleared}"
    (home / "vent.yaml").write_text(TOPIC.replace("STATE", state).replace("fan", "vent"))
    (home / "coil.yaml").write_text(PATTERN)
    (home / "shared.yaml").write_text(SHARED)
    (home / "uses.yaml").write_text(USES)
    return home


def made(home: Path, layers: list[Path], *, shown: str = "") -> tuple[object, tuple[Problem, ...]]:
    """Return all that a book holds, row by row, and what is complained of."""
    book, problems = run(lay(home, layers, shown), slips=True)
    return book and (sorted(_all_rows(book)), book.layers, book.layout), problems


def anew(home: Path, layers: list[Path], *, shown: str = "") -> tuple[object, tuple[Problem, ...]]:
    """Return the same where nothing of what was read before is used."""
    raw._composed.cache_clear()
    return made(home, layers, shown=shown)


def write(home: Path, *says: str) -> Path:
    home.mkdir(parents=True)
    for number, name in enumerate(says):
        (home / f"{number}.yaml").write_text(SOURCES + SAYS[name])
    return home


def test_the_book_below_is_clean_and_each_layer_changes_what_is_said(tmp_path: Path) -> None:
    home = base(tmp_path / "base")
    below = made(home, [])
    assert below[0] and not [one for one in below[1] if one.severity == "error"], below[1]
    for name in SAYS:
        assert made(home, [write(tmp_path / name, name)]) != below, name


_LAYERS = st.lists(st.lists(st.sampled_from(sorted(SAYS)), min_size=1, max_size=3, unique=True), max_size=2)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(_LAYERS, _LAYERS)
def test_layers_laid_over_what_was_read_make_the_same_as_reading_all_anew(
    before: list[list[str]], says: list[list[str]]
) -> None:
    with TemporaryDirectory() as place:
        home = base(Path(place) / "base")
        made(home, [write(Path(place) / f"before-{n}", *names) for n, names in enumerate(before)])
        layers = [write(Path(place) / f"layer-{n}", *names) for n, names in enumerate(says)]
        remembering = made(home, layers)
        assert remembering == anew(home, layers)


def test_the_same_over_the_shipped_book(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "ours.yaml").write_text("""\
rules:
  - {replaces: cap-seal-look=damaged, seen_with: {filler-cap-seal-leaking: 0.7}, otherwise: 0.02,
     because: Ours., source: own jobs}
""")
    made(rules_dir(), [], shown="rules")
    remembering = made(rules_dir(), [shop], shown="rules")
    assert remembering[0] and remembering == anew(rules_dir(), [shop], shown="rules")

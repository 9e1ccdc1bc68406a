"""``rules new``: whatever kind of entry it writes passes the check and its own examples at once."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from helpers_book import write_topics
from helpers_cli import proveout
from helpers_shipped import shipped_book
from proveout.app.checking import checked
from proveout.app.entry_answers import settled
from proveout.app.scaffold import Scaffolded, _background
from proveout.app.templates import TEMPLATES
from proveout.book.load import load_book
from proveout.cli.rules_new import _ANSWERS, command
from proveout.model.problem import BadInputError, WrongUsageError

#: Kind, id and what is said of it; the last ones need the entries of the first.
KINDS = [
    ("rule", "shop-old-cap", ["--observe", "code:P0442", "--cause", "filler-cap-seal-leaking"]),
    ("row", "shop-cap-row", ["--row", "cap-seal-look=damaged", "--cause", "filler-cap-seal-leaking"]),
    (
        "symptom",
        "roof-drips",
        ["--title", "Drips from the roof lining", "--cause", "filler-cap-seal-leaking"],
    ),
    ("cause", "roof-drain-blocked", ["--title", "Sunroof drain blocked", "--observe", "symptom:damp-inside"]),
    ("inspection", "cap-under-lamp", ["--title", "Cap under a lamp", "--cause", "filler-cap-seal-leaking"]),
    (
        "own-figures",
        "two-litre-battery",
        [
            "--inspection",
            "battery-rested-voltage",
            "--engine",
            "2.0 petrol",
            "--result",
            "charged",
            "--limits",
            "12.4 V..",
            "--reference",
            "workshop sheet: page 2",
        ],
    ),
    (
        "circuit",
        "refrigerant-sensor",
        [
            "--title",
            "Refrigerant pressure sensor",
            "--say",
            "refrigerant pressure sensor",
            "--value",
            "refrigerant pressure",
            "--code",
            "P0532",
            "--family",
            "air-conditioning",
        ],
    ),
]


@pytest.mark.parametrize(("kind", "name", "said"), KINDS, ids=[kind for kind, _, _ in KINDS])
def test_each_kind_passes_at_once(tmp_path: Path, kind: str, name: str, said: list[str]) -> None:
    shop = tmp_path / "shop"
    given = proveout("rules", "new", name, "--kind", kind, "--in", shop, *said, home=tmp_path)
    assert given.code == 0, given.err
    first = (shop / f"{name}.yaml").read_text("utf-8").splitlines()[0]
    assert first.startswith("# yaml-language-server: $schema=../")
    assert yaml.safe_load((shop / f"{name}.yaml").read_text("utf-8"))
    assert not checked((shop,)).problems


def test_a_title_that_leads_to_an_entry_of_the_book_is_refused_as_the_check_would(tmp_path: Path) -> None:
    """It was written and said to pass, and `rules check` then refused the directory."""
    given = proveout(
        "rules", "new", "own-sensor", "--kind", "circuit", "--in", tmp_path / "shop",
        "--title", "Boost pressure sensor", "--say", "boost pressure sensor", "--value", "boost pressure",
        "--code", "P0237", "--family", "boost", home=tmp_path,
    )  # fmt: skip
    assert (given.code, "[stray-phrase]" in given.err) == (3, True), given
    assert not (tmp_path / "shop").exists()


def test_what_another_layer_has_is_seen(tmp_path: Path) -> None:
    lower, upper = tmp_path / "lower", tmp_path / "upper"
    first = ["--title", "Sunroof drain blocked", "--observe", "symptom:damp-inside"]
    made = proveout("rules", "new", "roof-drain", "--kind", "cause", "--in", lower, *first, home=tmp_path)
    assert made.code == 0, made.err
    rule = ["rules", "new", "drain-again", "--in", upper, "--observe", "code:P0442", "--cause", "roof-drain"]
    assert proveout(*rule, home=tmp_path).code == 3
    assert not upper.exists()
    assert proveout(*rule, "--rules", lower, home=tmp_path).code == 0
    assert "drain-again" in load_book((lower, upper)).rules


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    given = proveout("rules", "new", "x", "--kind", "symptom", "--in", tmp_path / "s", home=tmp_path)
    assert given.code == 2
    assert "--title is missing" in given.err


def test_a_background_that_nobody_states_is_taken_with_a_word_on_it(tmp_path: Path) -> None:
    """P203B is catalogued, and no rule weighs it; of P0442 the book says the background."""
    shop = tmp_path / "shop"
    new = ["rules", "new", "--in", shop, "--cause", "filler-cap-seal-leaking", "--observe"]
    made = proveout(*new, "P203B", "dosing-cap", home=tmp_path)
    assert made.code == 0, made.err
    assert "0.0005 for code:P203B was taken" in made.err
    text = (shop / "dosing-cap.yaml").read_text("utf-8")
    assert "otherwise: 0.0005   # taken for granted: put your own figure here" in text
    said = proveout(*new, "P203B", "--otherwise", "0.002", "--in", tmp_path / "two", "x", home=tmp_path)
    assert said.code == 0 and "was taken" not in said.err, said.err
    assert "otherwise: 0.002\n" in (tmp_path / "two" / "x.yaml").read_text("utf-8")


@pytest.mark.parametrize(
    ("observed", "taken"),
    [
        ("code:P0442", ""),
        ("cap-seal-look=damaged", ""),
        ("symptom:rough-idle", ""),
        ("code:P203B", "0.0005 for code:P203B"),
        ("cap-seal-look=sound", "0.01 for cap-seal-look=sound"),
    ],
)
def test_a_background_is_taken_only_where_no_general_rule_states_one(observed: str, taken: str) -> None:
    assert _background({"observe": observed}, shipped_book()) == taken


def test_what_cannot_be_an_entry_is_told_before_anything_is_written(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    new = ["rules", "new", "--in", shop, "--kind"]
    for words, told in [
        (["rule", "Old Cap"], "'Old Cap' is no id"),
        (["symptom", "x", "--row", "code:P0442"], "--row says nothing of a new entry of the kind symptom"),
    ]:
        given = proveout(*new, *words, home=tmp_path)
        assert (given.code, told in given.err) == (2, True), given.err
    assert not shop.exists()
    shop.mkdir()
    (shop / "x.yaml").write_text("causes: []\n", "utf-8")
    there = proveout(*new, "rule", "x", home=tmp_path)
    assert there.code == 2 and "is there already" in there.err
    assert (shop / "x.yaml").read_text("utf-8") == "causes: []\n"


@pytest.mark.parametrize(
    ("key", "said", "told"),
    [
        ("observe", "filler cap", "expected code:P0442"),
        ("observe", "cap-seal-look=broken", "has no result 'broken': expected"),
        ("cause", "flux-capacitor-empty", "cause 'flux-capacitor-empty'"),
        ("frequency", "mostly", "almost-always"),
        ("otherwise", "1.5", "between 0 and 1"),
        ("rate", "rarely", "number of jobs in 1000"),
        ("row", "cap-seal-look=damagd", "damaged"),
        ("inspection", "cap-seal-look", "has no limits"),
        ("code", "X0442", "X0442"),
        ("title", "  ", "--title is empty"),
    ],
)
def test_an_answer_that_cannot_be_used(key: str, said: str, told: str) -> None:
    with pytest.raises((BadInputError, WrongUsageError)) as refused:
        settled(key, said, shipped_book(), {})
    assert told in str(refused.value)


def test_limits_are_of_the_inspection_named_before() -> None:
    earlier = {"inspection": "battery-rested-voltage"}
    with pytest.raises(BadInputError, match=r"\bbar\b"):
        settled("limits", "12 bar..", shipped_book(), earlier)
    assert settled("limits", "12.4 V..", shipped_book(), earlier) == "12.4 V.."


@pytest.mark.parametrize("kind", TEMPLATES)
def test_what_no_option_says_is_asked_for_at_a_terminal(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is then written is settled by the same answers as options, which the tests above try."""
    taken: list[dict[str, str]] = []

    def kept(_kind: str, _name: str, home: Path, _layers: object, answers: dict[str, str]) -> Scaffolded:
        taken.append(answers)
        return Scaffolded(home)

    monkeypatch.setattr("proveout.app.scaffold.scaffold", kept)
    monkeypatch.setattr("proveout.app.scaffold.known_book", lambda *_: shipped_book())
    monkeypatch.setattr("proveout.app.entry_answers.settled", lambda _key, said, *_: said)
    monkeypatch.setattr("proveout.cli.rules_new.at_terminal", lambda: True)
    asks = TEMPLATES[kind].asks
    typed = "".join("\n" if _ANSWERS[key][1] else f"my {key}\n" for key in asks)
    done = CliRunner().invoke(command, ["x", "--kind", kind, "--in", str(tmp_path)], input=typed)
    assert done.exit_code == 0, done.output
    assert taken == [{key: _ANSWERS[key][1] or f"my {key}" for key in asks}]
    assert all(_ANSWERS[key][0] in done.output for key in asks)
    broken_off = CliRunner().invoke(command, ["x", "--kind", kind, "--in", str(tmp_path)], input="")
    assert broken_off.exit_code != 0 and len(taken) == 1


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_the_questions_are_answered_at_a_terminal_and_what_is_broken_off_leaves_nothing(
    tmp_path: Path,
) -> None:
    """Over a small book, which is compiled in a moment."""
    from helpers_terminal import talk

    book, shop = write_topics(tmp_path / "book"), tmp_path / "shop"
    small = (
        "import proveout.book.load as load; from pathlib import Path; "
        f"load.rules_dir = lambda: Path({str(book)!r})"
    )
    asked = ["rules", "new", "roof-drips", "--kind", "symptom", "--in", shop]
    title = ("Title, as people would read it.", "Drips from the roof lining")
    code, shown = talk(tmp_path, tmp_path / "cache", asked, [title, ("Id of the cause", "^C")], before=small)
    assert code == 130 and "Stopped" in shown, shown
    assert not shop.exists()
    rest = [
        ("Id of the cause", "hose-craked"),
        ("did you mean", "hose-cracked"),
        ("[often]", ""),
        ("[0.01]", "0.02"),
    ]
    code, shown = talk(tmp_path, tmp_path / "cache", asked, [title, *rest], before=small)
    assert code == 0 and "it passes" in shown, shown
    (entry,) = yaml.safe_load((shop / "roof-drips.yaml").read_text("utf-8"))["symptoms"]
    assert entry["title"] == title[1]
    assert (entry["seen_with"], entry["otherwise"]) == ({"hose-cracked": "often"}, 0.02)

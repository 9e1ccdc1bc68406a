"""Free text is matched cautiously: the clear is taken, the unclear is asked about, the rest is kept."""

from __future__ import annotations

import pytest

from proveout.intake.index import index_of
from proveout.intake.resolve import choose, resolve
from proveout.intake.words import Match, match
from proveout.model.atom import SYMPTOM
from proveout.model.entries import Component, Term, Vocabulary

INDEX = index_of(
    Vocabulary(
        symptoms={
            "fuel-smell": Term("fuel-smell", "Smell of fuel", ("smells of petrol", "gas smell")),
            "rough-idle": Term("rough-idle", "Engine idles roughly", ("shakes at the lights", "rough idle")),
            "fan-dead": Term("fan-dead", "Fan never runs", ("fan does not come on",)),
            "no-start": Term("no-start", "Cranks but does not start", ("cranks but won't start",)),
            "hunts": Term("hunts", "Idle goes up and down", ("idle hunts",)),
            "stalls-ac": Term(
                "stalls-ac", "Stalls with the air conditioning", ("dies when the ac comes on",)
            ),
        },
        circumstances={
            "rain": Term("rain", "In rain", ("when it rains", "wet weather")),
            "shaking": Term("shaking", "When shaken", ("when it shakes",)),
        },
        recent_work={"tank-out": Term("tank-out", "Tank lowered", ("tank was out",))},
    )
)


def found(said: str) -> tuple[tuple[Match, ...], tuple[str, ...]]:
    return match([said], INDEX)


@pytest.mark.parametrize(
    ("said", "symptom"),
    [
        ("It smells of petrol", "fuel-smell"),
        ("there is a smell of the fuel", "fuel-smell"),
        ("strong gasoline odor", "fuel-smell"),
        ("Shakes at the lights!", "rough-idle"),
        ("rough idling", "rough-idle"),
        ("ruogh idle", "rough-idle"),
        ("the fan doesn't come on", "fan-dead"),
        ("engine cranks but won't start", "no-start"),
        ("turns over but does not start", "no-start"),
        ("idle goes up and down", "hunts"),
        ("stalls when the A/C kicks in", "stalls-ac"),
    ],
)
def test_plain_statements_are_taken(said: str, symptom: str) -> None:
    (item,), lost = found(said)
    assert (item.kind, item.id, item.taken, item.negated) == (SYMPTOM, symptom, True, False)
    assert lost == ()


@pytest.mark.parametrize(
    ("said", "symptom"),
    [
        ("no smell of fuel", "fuel-smell"),
        ("I can't smell any gas", "fuel-smell"),
        ("it never shakes at the lights", "rough-idle"),
        ("doesn't have a rough idle", "rough-idle"),
        ("idle is smooth", "rough-idle"),
    ],
)
def test_a_denial_is_taken_as_absent(said: str, symptom: str) -> None:
    (item,), _ = found(said)
    assert (item.id, item.taken, item.negated) == (symptom, True, True)


@pytest.mark.parametrize("said", ["the fan runs", "starts but won't crank", "fan"])
def test_the_opposite_or_a_part_of_a_phrase_is_never_taken(said: str) -> None:
    items, _ = found(said)
    assert not any(item.taken for item in items)


@pytest.mark.parametrize(
    "said", ["", "   ", "?!", "my dog is called Rex", "yes", "I don't know", "engine light on"]
)
def test_what_says_nothing_is_not_taken_and_is_kept(said: str) -> None:
    items, lost = found(said)
    assert items == ()
    assert " ".join(lost) == said.strip(" ?!")


def test_what_means_nothing_here_is_kept_verbatim_and_nothing_is_dropped() -> None:
    items, lost = found("smells of petrol, the radio hums and it shakes at the lights")
    assert [(item.id, item.clause) for item in items] == [
        ("fuel-smell", "smells of petrol"),
        ("rough-idle", "it shakes at the lights"),
    ]
    assert lost == ("the radio hums",)


def test_where_it_was_noticed_is_kept_beside_what_was() -> None:
    (item,), lost = found("It smells of petrol in the garage")
    assert (item.id, item.taken, lost) == ("fuel-smell", True, ("in the garage",))


def test_a_whole_phrase_goes_before_its_parts() -> None:
    (item,), lost = found("cranks but won't start")
    assert item.id == "no-start" and lost == ()


def test_a_circumstance_needs_the_word_that_opens_it() -> None:
    assert not any(item.id == "shaking" and item.taken for item in found("car shakes")[0])
    assert [item.id for item in found("when it shakes")[0] if item.taken] == ["shaking"]


def test_a_word_of_a_phrase_is_not_the_phrase() -> None:
    assert not any(item.taken for item in found("no fuel in the tank")[0] if item.id == "tank-out")


def test_hedges_go_with_what_they_were_said_of() -> None:
    items, _ = found("rough idle for two weeks, sometimes smells of petrol")
    assert [(item.id, item.hedges) for item in items] == [
        ("rough-idle", ("for two weeks",)),
        ("fuel-smell", ("sometimes",)),
    ]


def test_several_vocabularies_are_searched() -> None:
    items, _ = found("only in wet weather")
    assert [(item.kind, item.id) for item in items] == [("happens", "rain")]


PARTS = {
    "purge-valve": Component("purge-valve", "Purge valve", ("purge solenoid",)),
    "purge-hose": Component("purge-hose", "Purge hose", ("purge line",)),
    "coil": Component("coil", "Ignition coil", ("coil pack",)),
}


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        ("purge-valve", "purge-valve"),
        ("Purge Valve", "purge-valve"),
        ("purge  solenoid", "purge-valve"),
        ("PURGE SOLENOID", "purge-valve"),
        ("ignit", "coil"),
        ("coils", "coil"),
    ],
)
def test_ids_titles_words_and_beginnings_name_an_entry(given: str, meant: str) -> None:
    assert choose(given, PARTS).id == meant


def test_what_may_be_several_is_not_guessed() -> None:
    found = choose("purge", PARTS)
    assert found.id == "" and set(found.near) == {"purge-valve", "purge-hose"}


def test_a_name_beside_something_unknown_is_not_the_name() -> None:
    assert choose("flux capacitor and purge valve", PARTS).id == ""


def test_an_unknown_word_is_given_back_for_the_complaint() -> None:
    assert resolve("flux valve", {}) == "flux valve"

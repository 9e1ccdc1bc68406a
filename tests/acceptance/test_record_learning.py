"""Learning from a made-up shop of which the truth is known: what is true lies in the stated intervals."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from helpers_learn import (
    BOOK_FAILS,
    BOOK_FALSE,
    BOOK_RATES,
    CAUSES,
    MONITORS_READ,
    TRUE_CODE,
    TRUE_CODE_FALSE,
    TRUE_FAILS,
    TRUE_FALSE,
    TRUE_LOOK,
    TRUE_LOOK_FALSE,
    TRUE_RATES,
    chance,
    closed_cases,
    write_shop,
)
from helpers_record import chain_of
from proveout.book.load import load_book
from proveout.learn.experience import Experience, gather, true_cause
from proveout.learn.layer import CAUSES_FILE, RULES_FILE, Change, Learned, Weights, difference, learn
from proveout.learn.scoring import score_by
from proveout.model.book import Book
from proveout.record import snapshot
from proveout.text.compose import compose
from proveout.text.node import plain


class Shop:
    """The made-up shop, its book, and what 5,000 closed cases told."""

    def __init__(self, home: Path) -> None:
        self.rules = write_shop(home / "rules")
        self.book = load_book(base=self.rules)
        self.raw = snapshot.entries(snapshot.take((self.rules,)))
        self.told = gather(closed_cases(5000, seed=11), self.book)
        self.learned = learn(self.told, self.book, self.raw)

    def frequency(self, rule: str, cause: str) -> Change:
        return next(c for c in self.learned.frequencies if (c.entry, c.cause) == (rule, cause))


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return Shop(tmp_path_factory.mktemp("shop"))


def truth(change: Change) -> float:
    """Return what is true of a figure that is counted."""
    if not change.state:
        return TRUE_RATES[CAUSES.index(change.cause)]
    if change.entry.startswith("look"):
        return TRUE_LOOK.get(change.cause, TRUE_LOOK_FALSE)[("torn", "wet").index(change.state)]
    code = change.entry == "code:P0455"
    own, false = (TRUE_CODE, TRUE_CODE_FALSE) if code else (TRUE_FAILS, TRUE_FALSE)
    return chance(own[CAUSES.index(change.cause)] if change.cause else 0.0, false)


@pytest.mark.long(10)
def test_what_is_true_lies_in_the_stated_intervals(shop: Shop) -> None:
    """Of 95 % intervals about 5 in 100 miss; of 136 made from four times 5,000 cases at most 13 may."""
    told = [shop.told, *(gather(closed_cases(5000, seed), shop.book) for seed in (21, 22, 23))]
    learned = [learn(one, shop.book, shop.raw) for one in told]
    changes = [change for one in learned for change in (*one.base_rates, *one.frequencies)]
    assert len(changes) == 4 * (8 + 2 * 8 + 2 * 3 + 4)
    missed = [change for change in changes if not change.low <= truth(change) <= change.high]
    assert len(missed) <= 13, missed
    for change in changes:  # and none by far
        assert abs(change.low + change.high - 2 * truth(change)) < 2 * (change.high - change.low), change


def test_base_rates_move_towards_what_is_true(shop: Shop) -> None:
    assert shop.learned.jobs == 5000
    for change, book_rate, true_rate in zip(shop.learned.base_rates, BOOK_RATES, TRUE_RATES, strict=True):
        assert change.before == book_rate
        assert abs(change.after - true_rate) < abs(book_rate - true_rate)


def test_the_background_is_taken_out_of_a_cause_s_own_frequency(shop: Shop) -> None:
    for cause, fails in zip(CAUSES, TRUE_FAILS, strict=True):
        own, background = (shop.frequency(f"test-{cause}=bad", name) for name in (cause, ""))
        assert own.after == pytest.approx(fails, abs=0.1)
        seen = (20 * chance(BOOK_FAILS, BOOK_FALSE) + own.hits) / (20 + own.trials)
        assert chance(own.after, background.after) == pytest.approx(seen, abs=0.002)
        assert background.after == pytest.approx(TRUE_FALSE, abs=0.015)


def test_the_layer_loads_over_the_book_and_shows_every_count(shop: Shop, tmp_path: Path) -> None:
    for name, text in shop.learned.files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    book = load_book((tmp_path,), base=shop.rules)
    for change in shop.learned.base_rates:
        assert book.causes[change.entry].base_rate == pytest.approx(change.after, abs=1e-6)
        source = book.causes[change.entry].base_rate_source
        assert f"{change.hits:.4g} of 5000" in source and "counted as 200" in source
    for change in shop.learned.frequencies:
        rule = book.rules[change.entry]
        assert (rule.weights[change.cause] if change.cause else rule.otherwise) == change.after
        assert f"of {change.trials:.4g} " in rule.source
    assert book.rules.keys() == shop.book.rules.keys()
    written = plain(compose(shop.learned.files[RULES_FILE], RULES_FILE))["rules"]
    moved = {change.entry for change in shop.learned.frequencies}
    assert {entry["replaces"] for entry in written} == moved, "a row goes by what it observes"
    assert not any("id" in entry or "when" in entry for entry in written)


def test_calibration_equals_scikit_learn_s(shop: Shop) -> None:
    from sklearn.metrics import brier_score_loss  # here, since each process would load it, 2 s

    (found,) = score_by(shop.told.forecasts).values()
    _, forecasts, outcomes = zip(*shop.told.forecasts, strict=True)
    assert {family for family, _, _ in shop.told.forecasts} == {"evap"}
    assert found.count == 5000
    assert found.brier == pytest.approx(brier_score_loss(outcomes, forecasts), abs=1e-12)
    assert found.calibration_error < 0.03 and found.warning == ""


def test_without_cases_nothing_changes(shop: Shop) -> None:
    learned = learn(Experience(), shop.book, shop.raw)
    assert learned.files == {} and learned.base_rates == () and "too few" in learned.warnings[0]


def test_a_few_cases_move_frequencies_a_little_and_rates_not_at_all(shop: Shop) -> None:
    learned = learn(gather(closed_cases(25, seed=3), shop.book), shop.book, shop.raw)
    assert learned.base_rates == () and RULES_FILE in learned.files and CAUSES_FILE not in learned.files
    assert any("count less than the book's own" in warning for warning in learned.warnings)
    assert all(change.trials >= 5 for change in learned.frequencies)


def test_the_order_of_the_cases_does_not_matter(shop: Shop) -> None:
    cases = list(closed_cases(60, seed=4))
    there = learn(gather(cases, shop.book), shop.book, shop.raw)
    back = learn(gather(reversed(cases), shop.book), shop.book, shop.raw)
    assert there.files == back.files


def test_a_heavy_book_moves_less(shop: Shop) -> None:
    told = gather(closed_cases(100, seed=5), shop.book)
    light = learn(told, shop.book, shop.raw, Weights(jobs=10))
    heavy = learn(told, shop.book, shop.raw, Weights(jobs=100_000))
    for one, other in zip(light.base_rates, heavy.base_rates, strict=True):
        assert abs(other.after - other.before) <= abs(one.after - one.before) + 1e-12
        assert other.after == pytest.approx(other.before, rel=0.01)


def _left_out(book: Book, *events: tuple[str, dict[str, Any]]) -> dict[str, int]:
    told = gather([chain_of(*events, intake={"codes": ["P0442"]})], book)
    assert told.jobs == 0
    return told.left_out


def test_only_known_ends_count(shop: Shop) -> None:
    book = shop.book
    assert _left_out(book) == {"still open": 1}
    assert _left_out(book, ("close", {"outcome": "referred"})) == {"closed without a confirmed cause": 1}
    unconfirmed = {"outcome": "not-confirmed", "cause": "cause-a"}
    assert _left_out(book, ("close", unconfirmed)) == {"closed without a confirmed cause": 1}
    gone = {"outcome": "confirmed", "cause": "cause-z"}
    assert list(_left_out(book, ("close", gone))) == ["names something that the book does not have"]
    lost = ("reading", {"inspection": "test-z", "result": "bad"})
    known = ("close", {"outcome": "confirmed", "cause": "cause-a"})
    assert list(_left_out(book, lost, known)) == ["names something that the book does not have"]
    assert true_cause(chain_of(("close", {"outcome": "nothing-wrong", "cause": "cause-a"}))) == "cause-a"


def test_readings_after_the_repair_do_not_count_as_its_evidence(shop: Shop) -> None:
    bad, good = ({"inspection": "test-cause-a", "result": word} for word in ("bad", "good"))
    events = chain_of(
        ("reading", bad),
        ("repair", {"cause": "cause-a", "voids": ["test-cause-a"]}),
        ("reading", good),
        ("close", {"outcome": "confirmed", "cause": "cause-a"}),
        intake={"codes": ["P0442"]},
    )
    (tally,) = gather([events], shop.book).tallies.values()
    assert (tally.trials, tally.hits) == (1, {"bad": 1})


def test_codes_count_only_where_their_monitor_is_known_to_have_run(shop: Shop) -> None:
    """Else those that are set would be counted and those that are not would be passed over."""
    for cause, often in zip(CAUSES, TRUE_CODE, strict=False):
        change = shop.frequency("code:P0455", cause)
        assert change.trials == pytest.approx(MONITORS_READ * shop.told.causes[cause], rel=0.1)
        assert change.after == pytest.approx(often, abs=0.06)
    background = shop.frequency("code:P0455", "")
    assert background.weight == 200 and background.after == pytest.approx(TRUE_CODE_FALSE, abs=0.003)
    assert not [change for change in shop.learned.frequencies if change.entry == "code:P0442"]


def test_of_an_inspection_made_again_the_first_result_counts_and_only_once(shop: Shop) -> None:
    """It is made again because the first may have missed the fault: the last shows it too often."""
    close = ("close", {"outcome": "confirmed", "cause": "cause-a"})
    words = ("cannot-tell", "good", "bad")
    looks = [("reading", {"inspection": "test-cause-a", "result": word}) for word in words]
    (tally,) = gather([chain_of(*looks, close, intake={"codes": ["P0442"]})], shop.book).tallies.values()
    assert (tally.trials, tally.hits) == (1, {})
    withdrawn = ("withdrawal", {"event": 3, "reason": "looked at the wrong hose"})
    events = chain_of(*looks, withdrawn, close, intake={"codes": ["P0442"]})
    (tally,) = gather([events], shop.book).tallies.values()
    assert (tally.trials, tally.hits) == (1, {"bad": 1})


def test_a_difference_is_shown_before_anything_is_written(shop: Shop) -> None:
    learned: Learned = shop.learned
    assert difference(learned.files, learned.files) == ""
    text = difference({}, learned.files)
    assert f"+++ {CAUSES_FILE} (learned)" in text and "+- id: cause-a" in text
    assert "-gone" in difference({"old.yaml": "gone\n"}, {})

"""Simulated cases on a small made-up book: the planner's way and the two blind ones, priced by hand."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from helpers_cli import proveout
from helpers_plan import THE_CODE, valve_book
from helpers_shipped import shipped_book
from proveout.app.simulating import Run, batches_of
from proveout.app.working import BookKey
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.advice import REFER, REPAIR
from proveout.model.atom import REPLACED, RESULT, Atom
from proveout.model.belief import Sensitivity
from proveout.model.case import Costs, Sheet
from proveout.plan.advice import advise
from proveout.plan.decide import decide
from proveout.show.simulated import simulated_text
from proveout.text.compose import compose
from proveout.text.schema import validate
from proveout.trial.blind import PARTS, REMEDIES, Blind, hand_over
from proveout.trial.played import Played, by_family
from proveout.trial.simulate import Said, Shop, drawing, simulate
from proveout.trial.world import World, how_often, presenting, shown, with_repair, with_result
from proveout.weigh.inference import infer

BOOK = valve_book()
COSTS = Costs()
#: At 20 an hour: 25 min and the bay (opened once) for the valve of 60, 15 min for the hose of 7.5.
BAY = BOOK.words.access["bay"].minutes / 3
VALVE, HOSE = 25 / 3 + 60.0, 15 / 3 + 7.5


def blind(truth: set[str], actions: frozenset[str]) -> float:
    return Blind(BOOK, COSTS).cost(THE_CODE, frozenset(truth), actions)


def test_a_bad_part_is_ended_by_the_first_new_one() -> None:
    assert blind({"valve-stuck"}, PARTS) == pytest.approx(VALVE + BAY)


def test_buying_parts_does_not_find_a_cracked_hose() -> None:
    assert blind({"hose-cracked"}, PARTS) == pytest.approx(VALVE + BAY + COSTS.refer_out + HOSE + BAY)
    assert blind({"hose-cracked"}, REMEDIES) <= VALVE + HOSE + BAY


def test_clearing_the_code_on_the_way_ends_what_has_passed() -> None:
    assert blind({"all-well"}, PARTS) == pytest.approx(VALVE + BAY)


def test_handing_over_is_cheaper_with_the_cause_rightly_named() -> None:
    told = hand_over(BOOK, COSTS, {"module-dead"}, "module-dead")
    assert told == COSTS.refer_proven
    assert hand_over(BOOK, COSTS, {"module-dead"}, "valve-stuck") == COSTS.refer_out
    assert hand_over(BOOK, COSTS, {"module-dead"}) == COSTS.refer_out


def test_codes_begin_cases_as_often_as_their_own_rules_say() -> None:
    """The finding that some cylinder is named speaks for all their codes together, not for each."""
    book = shipped_book()
    share = how_often(book, ("P0301", "P0312"))
    weights = [book.rules[f"code:P03{n:02}"].weights["ignition-coil-failed"] for n in (1, 12)]
    assert share["P0312"] / share["P0301"] == pytest.approx(weights[1] / weights[0], rel=0.1)


def test_the_same_seed_gives_the_same_cases_and_another_does_not() -> None:
    first = tuple(simulate(BOOK, drawing(BOOK, seed=1, codes=[THE_CODE]), cases=30))
    assert tuple(simulate(BOOK, drawing(BOOK, seed=1, codes=[THE_CODE]), cases=30)) == first
    assert tuple(simulate(BOOK, drawing(BOOK, seed=2, codes=[THE_CODE]), cases=30)) != first


def test_cases_are_handed_out_by_the_code_that_they_begin_with() -> None:
    """Each batch is of one code, and every case is in one batch."""
    book = shipped_book()
    drawn = drawing(book, seed=5, codes=("P0442", "P0171", "P0301"))
    run, numbers = Run(BookKey((), book.digest), drawn), [*range(3, 40), *range(60, 400)]
    batches = [some for _, some in batches_of(run, numbers)]
    assert sorted(n for some in batches for n in some) == numbers
    assert max(map(len, batches)) == len(numbers) // 100
    shop = Shop(book, drawn)
    begun = [{shop.intake(n, 0)["codes"][0] for n in some} for some in batches]
    assert {len(codes) for codes in begun} == {1} and len(set.union(*begun)) == 3


def test_inspecting_beats_guessing_and_mostly_names_the_cause() -> None:
    played = simulate(BOOK, drawing(BOOK, seed=3, codes=[THE_CODE]), cases=150)
    (row,) = by_family(played)
    assert row.cases == 150
    assert row.right + row.wrong + row.suspected + row.referred == pytest.approx(1.0)
    assert row.right >= 0.8
    assert row.parts > row.cost
    nothing_told = simulate(BOOK, drawing(BOOK, seed=3, codes=[THE_CODE], tools=frozenset()), cases=150)
    assert by_family(nothing_told)[0].right < row.right


def test_what_counts_as_right_and_as_suspected() -> None:
    base = Played(
        THE_CODE, "x", ("hose-cracked",), "hose-cracked", "repair", "hose-cracked", True, (), 1, 1.0, 1.0, 1.0
    )
    assert base.right and not base.suspected
    assert not replace(base, named="valve-stuck").right
    assert not base.akin and replace(base, named="hose-burst").akin
    handed = replace(base, named="", kind="refer")
    assert handed.suspected and not handed.right
    assert not replace(handed, leading="valve-stuck").suspected
    assert replace(handed, truth=()).right and not replace(handed, truth=()).suspected


class Following(Shop):
    """A shop that does what it is told, one verdict after the other."""

    def __init__(self, *verdicts: tuple[str, str]) -> None:
        super().__init__(BOOK, drawing(BOOK, seed=0, codes=[THE_CODE]))
        self.verdicts = iter(verdicts)

    def _decide(self, sheet: Sheet) -> Said:
        assert sheet.observations, "a case begins with its code"
        return Said(*next(self.verdicts), "", 0.0, "")


@pytest.mark.parametrize(
    ("truth", "verdicts", "bought"),
    [
        ("valve-stuck", [(REPAIR, "valve-stuck")], ()),
        ("hose-cracked", [(REPAIR, "valve-stuck"), (REPAIR, "hose-cracked")], ("valve-stuck",)),
        ("hose-cracked", [(REPAIR, "all-well"), (REPAIR, "hose-cracked")], ()),
        ("valve-stuck", [(REPAIR, "hose-cracked"), (REPAIR, "valve-stuck")], ()),
        ("module-dead", [(REPAIR, "valve-stuck")] * 2 + [(REFER, "")], ("valve-stuck",) * 2),
        ("", [(REPAIR, "valve-stuck"), (REFER, "")], ("valve-stuck",)),
    ],
)
def test_a_part_was_bought_for_nothing_where_nothing_present_needed_it(
    truth: str, verdicts: list[tuple[str, str]], bought: tuple[str, ...]
) -> None:
    present = frozenset({truth} - {""})
    course = Following(*verdicts)._plan(World(BOOK), np.random.default_rng(0), THE_CODE, present)
    assert course.bought == bought


def test_the_command_prints_a_document_of_its_schema(tmp_path: Path) -> None:
    answer = proveout("rules", "simulate", "--cases", 2, "--code", "P0128", "--json", home=tmp_path)
    assert answer.code == 0, answer.err
    assert not validate(compose(answer.out, "simulated"), "simulated")
    assert json.loads(answer.out)["families"][0]["cases"] == 2
    text = proveout("rules", "simulate", "--cases", 2, "--code", "P0128", home=tmp_path).out
    assert "handed over with it named as the likeliest" in text
    assert "\nall " not in text


def test_the_last_row_sums_up_the_families() -> None:
    one = Played("P0457", "evap", ("a",), "a", "repair", "a", True, (), 2, 30.0, 90.0, 60.0)
    other = replace(one, code="P0128", family="temperature", named="", kind="refer", bought=("b",), cost=90.0)
    text = simulated_text(by_family([one, other]), [one, other])
    rows = [line.split() for line in text.splitlines()]
    assert rows[3] == "all 2 50.0 % 0.0 % 50.0 % 0.0 % 50.0 % 60 90 1.50 60 1.00 2.0 2".split()
    assert [row[0] for row in rows[1:3]] == ["temperature", "evap"], "the worst comes first"
    assert "all" not in simulated_text(by_family([one]), [one]).split()


@pytest.mark.parametrize(
    ("given", "said", "code"),
    [
        (["--code", "P9999"], "P9999 is no code that the book weighs.", 2),
        (["--code", "p0301x"], "P0301X is no code that the book weighs. Did you mean 'P0301'?", 2),
        (["--family", "evp"], "Did you mean 'evap'?", 2),
        (["--tool", "multimter"], "did you mean multimeter (Digital multimeter)?", 3),
        (["--family", "evap", "--code", "P0301"], "None of these codes is of that family.", 2),
    ],
)
def test_the_command_refuses_what_it_cannot_draw(
    given: list[str], said: str, code: int, tmp_path: Path
) -> None:
    answer = proveout("rules", "simulate", "--cases", 2, *given, home=tmp_path)
    assert (answer.code, answer.out) == (code, "")
    assert said in answer.err


def test_two_sheets_of_the_same_facts_are_one_to_whoever_remembers_what_was_decided() -> None:
    assert len({presenting(THE_CODE), presenting(THE_CODE)}) == 1


def test_a_simulation_goes_on_with_what_a_person_is_told() -> None:
    """Decided briefly, a case comes to the same verdict and inspection; only what is told is left out."""
    book, costs = shipped_book(), Costs()
    shop = Shop(book, drawing(book, seed=5, codes=("P0442", "P0171", "P0301")))
    for number in range(12):
        case = case_of(shop.intake(number, 3), book)
        sheet = sheet_of(case, book)
        found = infer(book, sheet, "reference")
        given = book, sheet, found.chained, found.posterior, Sensitivity((), ())
        tools = frozenset(case.tools)
        whole = decide(*given, tools=tools, costs=costs)
        brief = decide(*given, tools=tools, costs=costs, brief=True)
        assert (brief.hypotheses, brief.left_out) == (whole.hypotheses, whole.left_out)
        assert (brief.verdict.kind, brief.verdict.cause) == (whole.verdict.kind, whole.verdict.cause)
        assert (brief.next is None) == (whole.next is None)
        if brief.next and whole.next:
            told = {"apart": whole.next.apart, "worth": whole.next.worth, "why": whole.next.why}
            assert replace(brief.next, **told) == whole.next
        assert not brief.others and brief.tool is None
        short, full = advise(case, book, brief=True), advise(case, book)
        assert (short.next, short.spoken, short.hypotheses) == (brief.next, full.spoken, full.hypotheses)
        assert (short.verdict.kind, short.verdict.cause) == (full.verdict.kind, full.verdict.cause)


def test_after_a_repair_that_did_not_hold_only_the_readings_of_its_part_are_void() -> None:
    sheet = presenting(THE_CODE)
    for check, result in (("valve-holds", "leaks"), ("hose-look", "fine")):
        sheet = with_result(BOOK, sheet, check, result)
    after = with_repair(BOOK, sheet, "valve-stuck")
    assert (shown(after, "valve-holds"), shown(after, "hose-look")) == ("", "fine")
    assert Atom(REPLACED, "valve", "done") in after.atoms
    assert Atom(RESULT, "valve-holds", "leaks") not in after.atoms
    mended = with_repair(BOOK, sheet, "hose-cracked")
    assert (shown(mended, "valve-holds"), shown(mended, "hose-look")) == ("leaks", "")
    assert not any(atom.kind == REPLACED for atom in mended.atoms)

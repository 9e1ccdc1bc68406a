"""Random cases on the small book, each sentence told of them held against the record.

No story, argument, page or `why` may name an inspection that was not made, deny what counts, or call open
what is closed.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_history import Story, file_of, small_book
from proveout.audit.argument import LEAST_TOLD, Argument, arguments
from proveout.audit.chapters import Chapter, Step, chapters
from proveout.audit.proof import Trusted
from proveout.audit.replay import Shelf, audited
from proveout.intake.document import case_of
from proveout.model.atom import RESULT
from proveout.model.book import Book
from proveout.plan.advice import advise
from proveout.record.bodies import Reading, Repair, bodies
from proveout.record.closing import is_closed
from proveout.record.deeds import verification_body
from proveout.record.state import merged, withdrawn
from proveout.record.verify import check
from proveout.show.audit import audit_text, story_text
from proveout.show.chapters import heading, sentences
from proveout.show.triage import closed_text
from proveout.show.why import why_text

READINGS = (
    {"inspection": "hose-look", "result": "whole"},
    {"inspection": "hose-look", "result": "cracked"},
    {"inspection": "valve-holds", "value": "-10 kPa"},
    {"inspection": "valve-holds", "value": "-60 kPa"},
    {"inspection": "valve-holds", "result": "cannot-tell"},
)
CAUSES = ("valve-leaks", "hose-cracked")

STEPS = st.one_of(
    st.tuples(st.just("reading"), st.sampled_from(range(len(READINGS)))),
    st.tuples(st.just("withdrawal"), st.integers(0, 5)),
    st.tuples(st.just("purchase"), st.sampled_from(range(2))),
    st.tuples(st.just("repair"), st.sampled_from(range(2))),
    st.tuples(st.just("verification"), st.booleans()),
)


def built(steps: list[tuple[str, Any]], closed: bool) -> Story:
    """Write a case of such steps; what cannot be done then is left out."""
    story = Story()
    for kind, what in steps:
        if kind == "reading":
            story.add("reading", dict(READINGS[what]), advised=True)
        elif kind == "withdrawal":
            gone = withdrawn(story.events)
            given_ = [event.n for event, _ in bodies(story.events, Reading) if event.n not in gone]
            if given_:
                body = {"event": given_[what % len(given_)], "reason": "misread"}
                story.add("withdrawal", body, advised=True)
        elif kind == "purchase":
            story.bought(CAUSES[what], 20.0, "in stock")
        elif kind == "repair":
            story.mended(CAUSES[what])
        elif any(event.kind == "repair" for event in story.events):
            codes = ["P0455"] if what else []
            body_of_it = verification_body(
                story.events, small_book(), codes_now=codes, codes_read=True, codes_cleared=True
            )
            story.add("verification", body_of_it.kept())
    if closed:
        story.add("close", {"outcome": "given-up"})
    return story


def made_ever(story: Story, upto: int) -> set[str]:
    gone = withdrawn([event for event in story.events if event.n <= upto])
    kept = (pair for pair in bodies(story.events, Reading) if pair[0].n <= upto and pair[0].n not in gone)
    return {body.inspection for _, body in kept}


@settings(max_examples=25, deadline=None)
@given(st.lists(STEPS, max_size=9), st.booleans())
def test_what_is_told_is_what_was(steps: list[tuple[str, Any]], closed: bool) -> None:
    story, book = built(steps, closed), small_book()
    shelf = Shelf(Path("none"), book)
    found = audited(check(file_of(story.events), "case.yaml"), shelf, Trusted())
    assert found.clean, (found.findings, found.replays)
    argued = arguments(story.events, shelf)
    told = chapters(story.events, shelf, argued)
    for item in argued:
        _argument_holds(item, story, book)
    _story_holds(told, story, book)
    text = " ".join(story_text(told, True, 200).split())
    assert len(argued) == sum(event.kind == "purchase" for event in story.events)
    for event in story.events:
        if event.kind != "advice" and event.n > 1:
            assert f"event {event.n}: " in text
    _why_holds(story, book)
    assert is_closed(story.events) == closed == ("Closed as given up" in text)
    assert "The record holds" in audit_text(found, 200)


def _argument_holds(item: Argument, story: Story, book: Book) -> None:
    """Hold what an argument says of other causes and of inspections against the ledger and the record."""
    ever = made_ever(story, item.purchase.n)
    counted = {one.observable.key for one in item.answer.sheet.observations if one.observable.kind == RESULT}
    ledgers = {ledger.cause: ledger for ledger in item.answer.ledgers}
    for other in item.alternatives:
        seen = [entry.decibans for entry in ledgers[other.cause].entries if entry.what != "prior"]
        if "nothing seen points to it" in other.why:
            assert max(seen, default=0.0) < LEAST_TOLD
        if "was not inspected" in other.why:
            assert ever.isdisjoint(book.proved_by[other.cause])
        if "came out sound" in other.why or "showed it too" in other.why:
            assert not counted.isdisjoint(book.proved_by[other.cause])
    for entry in item.unchecked:
        assert entry.inspection not in counted
        assert entry.formerly == (entry.inspection in ever)


def _story_holds(told: tuple[Chapter, ...], story: Story, book: Book) -> None:
    """Hold the sentences on each event against the events before it."""
    for chapter in told:
        for step in chapter.steps:
            said = sentences(step)
            if step.event.kind == "reading":
                title = book.inspections[step.inspection].title
                assert said[0].startswith(title)
                assert ("taken back later" in " ".join(said)) == (step.event.n in withdrawn(story.events))
            lost = re.search(r"of the old part no longer counts: (.*)\.", " ".join(said))
            made = {book.inspections[name].title for name in made_ever(story, step.event.n)}
            assert lost is None or set(lost[1].split(", ")) <= made
            if step.event.kind == "verification":
                back = "P0455" in step.event.body.get("codes_now", ())
                assert ("So the trouble was back." in said) == back
                later = (one for one in steps_of(told) if one.event.n > step.event.n)
                judged = next((o for o in later if o.event.kind in ("repair", "verification")), None)
                mended = [one for one in told if one.mended and one.mended.event.n < step.event.n][-1]
                again = judged is not None and judged.event.kind == "verification"
                assert again or ("the trouble came back" in heading(mended)) == back
    assert sum(chapter.mended is not None for chapter in told) <= sum(1 for _ in bodies(story.events, Repair))


def steps_of(told: tuple[Chapter, ...]) -> list[Step]:
    return [step for chapter in told for step in chapter.steps]


def _why_holds(story: Story, book: Book) -> None:
    """Hold what `why` says of direct inspections against the facts; a closed case is told as closed."""
    answer = advise(case_of(merged(story.events), book), book)
    states = {
        one.observable.key: {state for state, _ in one.states}
        for one in answer.sheet.observations
        if one.observable.kind == RESULT
    }
    titles = {entry.title: name for name, entry in book.inspections.items()}
    for standing in answer.hypotheses:
        text = " ".join(why_text(answer, book, standing.cause, 400).split())
        for lead, proven in (("Shown directly by", True), ("Came out sound", False)):
            for one in _named(text, lead):
                shown = states[titles[one]] <= set(book.inspections[titles[one]].proves[standing.cause])
                assert shown == proven
        for one in _named(text, "Not made"):
            assert titles[one] not in states
    if is_closed(story.events):
        closed = closed_text(story.events[-1].body, answer, book, "case.yaml", 80)
        assert "Closed as given up" in closed


def _named(text: str, lead: str) -> list[str]:
    found = re.search(rf"{lead}: ([^.]*)\.", text)
    return found[1].split(", ") if found else []

"""Checks of how a repair is proved: no drip at the start, leads clear of what turns, codes read again."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from proveout.book.checks.page import Page
from proveout.book.checks.warned import cautions_due
from proveout.book.draft import Draft
from proveout.model.entries import Cause
from proveout.model.problem import Problem

_WATCHED = re.compile(r"\b(?:drips?|leaks?|look for fuel)\b", re.IGNORECASE)
_MEASURED = re.compile(
    r"\b(?:measure|repeat the|charging voltage|back pressure|the drop again)\b", re.IGNORECASE
)
_TURNS = re.compile(
    r"\bengine running\b|\bat (?:\w+ )?idle\b|\bwhile cranking\b|\b\d,\d{3} rpm\b", re.IGNORECASE
)
_KEPT_CLEAR = re.compile(r"\bclear of (?:the )?(?:belt|fan)s?\b", re.IGNORECASE)
_CLEARED = re.compile(r"\bclear (?:the |any |all )?codes?\b|\bcodes? clear\b", re.IGNORECASE)
#: What shows that nothing came back: the codes themselves, or what their monitor judges by.
_READ = re.compile(
    r"\b(?:comes?|came|coming) back\b|\bcome back\b|\bstays? away\b|\bread (?:it |them )?again\b"
    r"|\bmonitors? (?:has|have) (?:run|completed)\b|\bwithout setting\b|\bnew sensor answers\b"
    r"|\b(?:trims?|counters?|sensor's values)\b",
    re.IGNORECASE,
)


def fuel_joint_unwatched(draft: Draft) -> Iterator[Problem]:
    """Complain of a remedy that parts fuel lines, where nobody looks for drips before the start."""
    due = cautions_due(draft, frozenset({"pressure fuel"}))
    for cause in _mended(draft):
        told = " ".join((*cause.remedy.notes, *cause.after_repair))
        if _parts_fuel(draft, cause, due) and not _WATCHED.search(told):
            saw = f"{cause.id}: a fuel line can be parted for it, and nobody looks for drips"
            mend = "say 'key on without starting, look for drips' in its 'after_repair'"
            yield Problem(cause.place, "fuel-joint-unwatched", saw, "a look for drips before the start", mend)


def leads_at_running_engine(draft: Draft) -> Iterator[Problem]:
    """Complain of a repair proved by a meter on an engine that turns, where its leads are not kept clear."""
    for cause in _mended(draft):
        if _KEPT_CLEAR.search(" ".join(cause.after_repair)):
            continue
        found = next((t for t in cause.after_repair if _MEASURED.search(t) and _TURNS.search(t)), "")
        if found:
            saw = f"{cause.id}: '{found[:60]}', and no word on where the leads go"
            mend = "add {text: measured-while-it-turns} to its 'after_repair'"
            yield Problem(cause.place, "leads-at-running-engine", saw, "leads clear of belt and fan", mend)


def cleared_for_good(draft: Draft) -> Iterator[Problem]:
    """Complain of a repair after which the codes are cleared, and nothing is read again."""
    for cause in _mended(draft):
        told = " ".join(cause.after_repair)
        found = _CLEARED.search(told)
        if found and not _READ.search(told):
            saw = f"{cause.id}: '{found[0]}', and nothing is read afterwards"
            mend = "say that none comes back, or add {text: codes-after-two-cold-starts}"
            yield Problem(cause.place, "cleared-for-good", saw, "the codes read again", mend)


def _parts_fuel(draft: Draft, cause: Cause, due: frozenset[str]) -> bool:
    """Say whether a remedy parts fuel lines: by its state, or by a place whose cautions tell of them."""
    remedy, places = cause.remedy, draft.words.access
    if remedy.state and "fuel" in remedy.state.all_of("pressure"):
        return True
    return any(due & set(places[key].cautions) for key in remedy.access if key in places)


def _mended(draft: Draft) -> Iterator[Cause]:
    """Return the causes that the user mends himself."""
    return (cause for cause in draft.causes.values() if cause.remedy.action != "refer")


#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "fuel-joint-unwatched": Page(
        "A ring that sits askew sprays fuel on a hot engine as soon as the pump runs. Who parts a fuel line "
        "looks for drips with the pump on and the engine still.",
        "remedy: {state: {pressure: [fuel]}}, after_repair: [The engine starts hot at once.]",
        "after_repair: ['Key on without starting, look for drips.', The engine starts hot at once.]",
    ),
    "leads-at-running-engine": Page(
        "How a repair is proved has no state of its own, and no caution follows from it. Leads and hoses "
        "that hang into belt or fan are wound up, and the hand with them.",
        "after_repair: ['Measure the drop again with the engine running; at most 0.1 V.']",
        "after_repair: [{text: measured-while-it-turns}, 'Measure it again, engine running; at most 0.1 V.']",
    ),
    "cleared-for-good": Page(
        "A code that was cleared is gone, mended or not; only one that has had time to come back and did not "
        "proves the repair.",
        "after_repair: [Clear the codes and look at the lead after the first drive.]",
        "after_repair: ['Clear any codes and drive; read again, pending ones too, after two cold starts.']",
    ),
}

"""What is told and then seen by an inspection is one sight, not two.

A driver tells of a rattle, and somebody hears it: whoever weighs the two as if they were independent takes
the product of both for how often it comes without the cause, and one rattle convicts twice. So a finding that
stands for both must not speak much louder than the louder of the two, for a cause that both name. The factor
is our own judgement, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pytest

from helpers_shipped import shipped_book
from proveout.model.atom import FINDING, RESULT, SYMPTOM, Atom
from proveout.model.rule import Rule, When

#: By how much a finding may speak louder than its loudest part.
LOUDER = 3.5
#: What looks like one sight told and seen, and is two: with what sets them apart.
APART = {
    "choked-told-and-measured": "a dull engine is told, a pressure in the exhaust is measured",
    "silent-pump-no-start": "it does not start, and the pump is silent",
    "no-speed-no-start": "it does not start, and no engine speed is counted",
    "tank-cannot-breathe": "fuel does not go in, and air does not go in: two ways of one line",
    "old-oil-told-and-seen": "overdue by the book, and thick to the eye: who has both has the cause itself",
}


class _Heard:
    """How loud each observed state of the shipped book speaks for each cause."""

    def __init__(self, rules: Mapping[str, Rule]) -> None:
        self.stated: dict[Atom, float] = {}
        self.weights: dict[Atom, dict[str, float]] = {}
        for rule in rules.values():
            if rule.observes is None:
                continue
            if rule.otherwise is not None and not rule.context:
                self.stated[rule.observes] = max(rule.otherwise, self.stated.get(rule.observes, 0.0))
            known = self.weights.setdefault(rule.observes, {})
            for cause, weight in rule.weights.items():
                known[cause] = max(weight, known.get(cause, 0.0))

    def ratio(self, cause: str, *atoms: Atom) -> float:
        """Return the likelihood ratio of the alternatives together, 1 for a cause that they do not name."""
        without = sum(self.stated.get(atom, 0.0) for atom in atoms)
        most = max(self.weights.get(atom, {}).get(cause, 0.0) for atom in atoms)
        return max(1.0, most / without) if without else 1.0


def _sights(rule: Rule) -> tuple[tuple[Atom, ...], ...]:
    """Return the parts of a conclusion from sights alone, one of them of an inspection; else nothing."""
    alternatives = (rule.when.any_of,) if rule.when.any_of else ()
    parts: tuple[tuple[Atom, ...], ...] = (*((atom,) for atom in rule.when.all_of), *alternatives)
    kinds = {atom.kind for part in parts for atom in part}
    told = {SYMPTOM, RESULT}
    if len(parts) != 2 or not kinds <= told or RESULT not in kinds or rule.when.none_of:
        return ()
    return parts


def _louder(rules: Mapping[str, Rule]) -> Iterator[tuple[str, str, float]]:
    """Return each finding of two sights, each cause that both name, and by how much it is the louder."""
    heard = _Heard(rules)
    for rule in rules.values():
        parts = _sights(rule) if rule.concludes else ()
        atom = Atom(FINDING, rule.concludes or "", "true")
        if parts and atom in heard.stated:
            for cause in heard.weights.get(atom, {}):
                spoken = [heard.ratio(cause, *part) for part in parts]
                if min(spoken) > 1.0:
                    yield rule.concludes or "", cause, heard.ratio(cause, atom) / max(spoken)


def test_what_is_told_and_seen_counts_little_more_than_either() -> None:
    found = list(_louder(shipped_book().rules))
    assert len({finding for finding, _, _ in found}) > 40
    assert [one for one in found if one[2] > LOUDER and one[0] not in APART] == []


@pytest.mark.parametrize("finding", APART)
def test_no_exception_is_kept_that_is_none(finding: str) -> None:
    assert max(louder for one, _, louder in _louder(shipped_book().rules) if one == finding) > LOUDER


def test_a_background_that_is_the_product_of_both_is_found() -> None:
    """The slip itself: 0.03 and 0.04 for either, 0.0012 for both."""
    told, seen = Atom(SYMPTOM, "rattle", "present"), Atom(RESULT, "listen", "rattles")
    both = Atom(FINDING, "rattle-twice", "true")
    for without, found in ((0.0012, True), (0.012, False)):
        rules = {
            "told": Rule("told", When((told,)), None, told, {"loose": 0.6}, 0.03),
            "seen": Rule("seen", When((seen,)), None, seen, {"loose": 0.8}, 0.04),
            "both": Rule("both", When((both,)), None, both, {"loose": 0.5}, without),
            "conclude": Rule("conclude", When((told, seen)), "rattle-twice"),
        }
        assert (max(louder for _, _, louder in _louder(rules)) > LOUDER) == found

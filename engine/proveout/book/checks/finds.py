"""The check that what steps tell to look for can be recorded.

What words can be taken for certain is little. Understood are a result that a step names by its id; what it
says to do if something is open, wet or torn; and what it says to look, listen, feel or smell for, as far as
it is a fault that has a name (``_FINDS``). It is enough that one result says the same in any words of that
name, or speaks of any fault at all. What a figure means is not asked here: a reading's limits leave no gap.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import TypeAlias

from proveout.book.checks.page import Page
from proveout.book.checks.steps import steps_of
from proveout.book.draft import Draft
from proveout.book.remembered import MOST
from proveout.model.atom import CANNOT_TELL
from proveout.model.problem import Problem

#: A result that a step names by its id; a word without hyphen may be common, so it needs "result is".
_NAMED = re.compile(r"\bresult is ([a-z]+(?:-[a-z]+)*)\b|\b(?:record|answer|enter) ([a-z]+(?:-[a-z]+)+)\b")
#: Results that every inspection has.
_ALWAYS = frozenset({CANNOT_TELL, "cannot-reach", "no-tool", "not-today"})

_LEAKS = "leak seep drip dripping escape weep sweat hiss"
#: Words for one and the same kind of find, a line each. Only such as hardly mean anything else.
_FINDS = (
    "crack split torn tear hole perish brittle broken frayed strand snap fracture chip gnawed eaten",
    "wet damp water moist moisture drowned soaked mist fog droplet",
    "corroded corrosion green verdigris rust rusty salt crust furred eaten powder",
    "loose slack spread unlatched latched unseated apart wobble wobbly",
    "burnt burned melted scorched black blackened singed soot charred browned brown",
    _LEAKS,
    "chafe chafing bare rub frayed pinch gnawed copper",
    "block clog choke plugged restrict obstruct kink crush flatten collapse squash stopped",
    "dirt dirty carbon coke gummy varnish sludge dust lint coat",
    "missing absent gone lack",
    "stuck stick jam seize stiff bind frozen",
    "worn groove scored",
    "bent dent warp crooked twist",
    "rattle grind squeal knock hum whine howl tick noise click silent",
    "swollen bulge",
    "milky foam emulsion",
    "misfire stumble",
    "smoke",
)  # fmt: skip
#: What is a find where something is said to be so, and too common a word elsewhere.
_STATES = ("open shorted blown leaking", "off", "hard", "soft", "stopped blocked")
#: A result that stands for any find.
_ANY = re.compile(
    r"\b(faults?|damaged?|bad|poor|wrong|defects?|defective|something|anything|found|any of|one of these)\b"
)
_LOOK = r"\b(?:look|listen|feel|smell|sniff|watch|search|hunt|check|examine|inspect)(?:s|ing)?\b"
#: What is told to be looked for; what stands after a look and a colon; what may be found.
_LOOKED_FOR = re.compile(rf"{_LOOK}[^.;:]*?\bfor\b(.*?)(?:, and (?!for\b)|$)", re.IGNORECASE)
_LISTED = re.compile(rf"{_LOOK}[^.;:]*:(.*)", re.IGNORECASE)
_IF = re.compile(r"(?<!not )(?<!only )\bif\b ([^,]*)", re.IGNORECASE)
_IF_IS = re.compile(
    r"\bif (?:it|they|one|any|either|that|this|the [a-z' -]{2,30}?) (?:is|are|reads?|looks?|feels?) "
    r"(?:still |also |all |too |quite |very )?([a-z]+)\b(?! to\b)",
    re.IGNORECASE,
)
#: Without these words a step leads to no find.
_LEADS = re.compile(rf"\bif\b|{_LOOK}", re.IGNORECASE)
#: Not the find of this inspection: what is denied, what ends it, what is looked at beforehand for safety.
_ASIDE = re.compile(
    r"\b(not|no|never|nothing|without|until|before|nor|first|stop|switch (?:it )?off|in the wet)\b",
    re.IGNORECASE,
)
_SENTENCE = re.compile(r"(?<=[.;]) ")
_WORD = re.compile(r"[a-z]+")


def missing_result(draft: Draft) -> Iterator[Problem]:
    """Complain of a step that leads to a find which no result of its inspection stands for."""
    for inspection in draft.inspections.values():
        known = {result.id for result in inspection.results} | _ALWAYS
        said = " ".join(f"{result.id} {result.means}" for result in inspection.results).lower()
        for step, place in steps_of(draft, inspection):
            named = _NAMED.search(step)
            found = (named[1] or named[2]) if named else ""
            if found and found not in known:
                saw = f"{inspection.id}: '{found}', which is none of its results"
            elif not _ANY.search(said) and (words := _unsaid(step, said, inspection.reading is None)):
                saw = f"{inspection.id}: '{words}', and none of its results says so"
            else:
                continue
            mend = "add the result, or name the one that is meant"
            yield Problem(place, "missing-result", saw, f"one of {', '.join(sorted(known))}", mend)


@lru_cache(maxsize=MOST)
def _unsaid(step: str, said: str, unread: bool) -> str:
    """Return the words of a step that tell of a find which is not among what the results say, or "".

    Args:
        step: of an inspection.
        said: what its results say.
        unread: nothing is read off an instrument.
    """
    if not _LEADS.search(step):
        return ""
    has = _stems(said)
    for sentence in _SENTENCE.split(step):
        state = _IF_IS.search(sentence)
        if state and _is_unsaid(state[1], _TOLD, has):
            return state[0]
        for words in _told_to_look(sentence):
            kinds = _LOOKED if unread else _LOOKED_AND_READ
            if any(_is_unsaid(word, kinds, has) for word in _WORD.findall(words.lower())):
                return words.strip(" .;:")
    return ""


def _told_to_look(sentence: str) -> Iterator[str]:
    """Return the parts of a sentence that tell what is looked for, or what may be found."""
    if not _ASIDE.search(sentence):
        for pattern in (_LOOKED_FOR, _LISTED, _IF):
            yield from (found[1] for found in pattern.finditer(sentence))


def _is_unsaid(word: str, finds: _Kinds, has: frozenset[str]) -> bool:
    """Say whether a word is one for a find, and no word for the same is among some stems."""
    stem = _stem(word.lower())
    kinds = finds.get(stem, ())
    return bool(kinds) and stem not in has and not any(kind & has for kind in kinds)


@lru_cache(maxsize=MOST)
def _stems(said: str) -> frozenset[str]:
    """Return the stems of all words."""
    return frozenset(map(_stem, _WORD.findall(said)))


@lru_cache(maxsize=MOST)
def _stem(word: str) -> str:
    """Return a word without its ending, so that `cracked` and `cracks` are one."""
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3 and not word.endswith("ss"):
            return word[: -len(ending)].rstrip("e")
    return word.rstrip("e")


#: Of each stem of a word for a find, the stems of all words for each kind of find that it may be.
_Kinds: TypeAlias = Mapping[str, Sequence[frozenset[str]]]


def _kinds(finds: Iterable[str]) -> _Kinds:
    """Return the kinds of some finds by the stems of their words."""
    found: dict[str, list[frozenset[str]]] = {}
    for find in finds:
        kind = frozenset(map(_stem, find.split()))
        for stem in kind:
            found.setdefault(stem, []).append(kind)
    return found


#: What may be said to be so; what is looked for where nothing is read off an instrument, and where it is.
_TOLD, _LOOKED = _kinds((*_FINDS, *_STATES)), _kinds(_FINDS)
_LOOKED_AND_READ = _kinds(find for find in _FINDS if find is not _LEAKS)


#: What there is to say about the check.
PAGES: Mapping[str, Page] = {
    "missing-result": Page(
        "Whoever finds what the steps speak of must be able to record it; otherwise the find is lost, or "
        "recorded as something else. Any word for the same find will do: wet for damp, split for cracked.",
        "steps: [Look at the plug for cracks. If it is wet, dry it.] with results clean and corroded",
        "a result wet, or one whose meaning says so: {is: abnormal, means: Wet, cracked or corroded.}",
    ),
}

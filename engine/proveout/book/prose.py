"""What people read in an entry, with both systems of units and the words of both sides of the Atlantic.

Done last of all, so that checks see what was written.
"""

from __future__ import annotations

from itertools import islice

from msgspec.structs import replace

from proveout.book.remembered import remembered
from proveout.measure.both import in_both, with_signs
from proveout.model.entries import Cause, Caution, CodeEntry, Inspection, Term, Vocabulary
from proveout.model.rule import Rule
from proveout.model.specs import ReadingSpec
from proveout.model.urgency import Driving
from proveout.text.sides import both_sides

#: With this at hand a pressure is a vacuum.
_PUMP = "hand-vacuum-pump"


@remembered
def cause_in_both(cause: Cause) -> Cause:
    """Return a cause whose notes and proofs of repair say both systems."""
    told = both_sides(map(in_both, (*cause.remedy.notes, *cause.after_repair)))
    count = len(cause.remedy.notes)
    remedy = replace(cause.remedy, notes=told[:count])
    return replace(cause, remedy=remedy, after_repair=told[count:], title=with_signs(cause.title))


@remembered
def inspection_in_both(inspection: Inspection) -> Inspection:
    """Return an inspection whose prose says both systems; limits are shown as the reader prefers."""
    pumped = _PUMP in inspection.tools
    means = [result.means for result in inspection.results]
    parts = (
        [limit.text for limit in inspection.safety_limits],
        [inspection.leads],
        inspection.steps,
        means,
        inspection.false_readings,
    )
    told = iter(both_sides(in_both(text, vacuum=pumped) for part in parts for text in part))
    held, leads, steps, means, traps = (list(islice(told, len(part))) for part in parts)
    limits = zip(inspection.safety_limits, held, strict=True)
    return replace(
        inspection,
        results=tuple(replace(r, means=text) for r, text in zip(inspection.results, means, strict=True)),
        title=with_signs(inspection.title),
        source=with_signs(inspection.source),
        safety_limits=tuple(
            replace(limit, text=text, source=with_signs(limit.source)) for limit, text in limits
        ),
        steps=tuple(steps),
        leads=leads[0],
        false_readings=tuple(traps),
        reading=_reading(inspection.reading) if inspection.reading else None,
    )


def _reading(spec: ReadingSpec) -> ReadingSpec:
    derived = replace(spec.derived, note=in_both(spec.derived.note)) if spec.derived else None
    return replace(spec, limits_source=in_both(spec.limits_source), derived=derived)


@remembered
def rule_in_both(rule: Rule) -> Rule:
    """Return a rule whose reason says both systems."""
    return replace(rule, because=in_both(rule.because), source=with_signs(rule.source))


@remembered
def driving_in_both(driving: Driving) -> Driving:
    """Return an urgency whose reason says both systems."""
    return replace(driving, because=in_both(driving.because))


def words_in_both(words: Vocabulary) -> Vocabulary:
    """Return the vocabulary with both systems in notes, cautions and what is said of codes."""
    return replace(
        words,
        symptoms={name: _symptom(term) for name, term in words.symptoms.items()},
        cautions={name: _caution(one) for name, one in words.cautions.items()},
        codes={name: _code(code) for name, code in words.codes.items()},
    )


@remembered
def _code(code: CodeEntry) -> CodeEntry:
    return replace(
        code,
        meaning=in_both(code.meaning),
        does_not_mean=in_both(code.does_not_mean),
        unweighed=in_both(code.unweighed),
    )


@remembered
def _symptom(term: Term) -> Term:
    return replace(term, note=in_both(term.note))


@remembered
def _caution(caution: Caution) -> Caution:
    text = both_sides([in_both(caution.text)])[0]
    return replace(caution, text=text, source=with_signs(caution.source))

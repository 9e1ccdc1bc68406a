"""The trade's formulas and their answers as text and JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from proveout.measure.compute import Answer
from proveout.measure.display import show_figure, unit_sign
from proveout.model.preference import AS_WRITTEN
from proveout.physics.formula import Formula
from proveout.show.figures import wrapped


def formulas_text(formulas: Mapping[str, Formula], width: int = 80) -> str:
    """Return a line for each formula."""
    lines = []
    for name, formula in sorted(formulas.items()):
        lines += wrapped(formula.title, width, f"{name:<30} ")
    return "\n".join(lines)


def formula_text(formula: Formula, width: int = 80) -> str:
    """Return what a formula takes and gives, and its source."""
    lines = [f"{formula.name}: {formula.title}", "takes"]
    for parameter in formula.parameters:
        lines += wrapped(parameter.meaning, width, f"  {parameter.name:<18} {unit_sign(parameter.unit):<8} ")
    lines.append("gives")
    for result in formula.results:
        unit = f" ({unit_sign(result.unit)})" if result.unit else ""
        lines += wrapped(f"{result.meaning}{unit}", width, "  ")
    return "\n".join([*lines, *wrapped(f"Source: {formula.source}", width)])


def answers_text(
    formula: Formula, answers: Sequence[Answer], width: int = 80, display: str = AS_WRITTEN
) -> str:
    """Return the results of a formula, each with its unit and uncertainty."""
    lines = []
    for answer in answers:
        if isinstance(answer.value, str):
            lines.append(f"{answer.meaning}: {answer.value}")
            continue
        figure = show_figure(answer.value, answer.unit, answer.uncertainty, display)
        lines.append(f"{answer.meaning}: {figure}")
    return "\n".join([*lines, *wrapped(f"Source: {formula.source}", width)])


def answers_document(formula: Formula, answers: Sequence[Answer]) -> dict[str, Any]:
    """Return the results as a document of schema ``proveout/compute/1``."""
    return {
        "schema": "proveout/compute/1",
        "formula": formula.name,
        "source": formula.source,
        "results": [
            {
                "meaning": answer.meaning,
                "value": answer.value,
                "unit": answer.unit,
                "standard_uncertainty": answer.uncertainty,
            }
            for answer in answers
        ],
    }

"""The schema of rule files with the ids that are known, so that an editor completes them and marks others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from proveout.book.known import FAMILIES, PATTERNS, known_ids
from proveout.book.named import TEXT, TEXTS
from proveout.text.bundle import bundled

#: Property, of one id or of a list of ids, to the kind of entry that it names.
_KINDS = {
    "component": "components",
    "components": "components",
    "replaced": "components",
    "symptom": "symptoms",
    "symptoms": "symptoms",
    "symptoms_absent": "symptoms",
    "happens": "circumstances",
    "happens_when": "circumstances",
    "inspection": "inspections",
    "before_buying": "inspections",
    "after": "inspections",
    "finding": "findings",
    "conclude": "findings",
    "recent_work": "recent-work",
    "tools": "tools",
    "access": "access",
    "cautions": "cautions",
    "safety_limits": "safety-limits",
    "causes": "causes",
    "shows": "causes",
    "code": "codes",
    "usually_with": "codes",
    "families": FAMILIES,
    "pattern": PATTERNS,
    TEXT: TEXTS,
}
#: What the schemas call an id or a code, in the bundle.
_ID = ("#/$defs/common/$defs/id", "#/$defs/common/$defs/code", "#/$defs/code/properties/id")
#: Definitions whose keys are ids, to the kinds that these may be of.
_KEYED = {"seen_with": ("causes", "groups")}


def editor_schema(layers: Sequence[Path]) -> dict[str, Any]:
    """Return the schema of rule files, of draft 2020-12 and in one document, with all known ids.

    Args:
        layers: directories laid over the shipped book; their ids are known, too.
    """
    known = known_ids(layers)
    schema: dict[str, Any] = _narrowed(bundled("book"), known)
    defs = schema["$defs"]
    for name, kinds in _KEYED.items():
        frequency = defs[name]["additionalProperties"]
        ids = {key: title for kind in kinds for key, title in sorted(known[kind].items())}
        defs[name]["properties"] = {key: {**frequency, **_described(title)} for key, title in ids.items()}
        defs[name]["additionalProperties"] = False
    for kind in sorted({*_KINDS.values()}):
        defs[f"known-{kind}"] = _choice(known[kind])
    schema["description"] += " With the ids that were known when this was written."
    return schema


def _narrowed(node: Any, known: Mapping[str, Any]) -> Any:
    """Return a schema in which properties that name entries may hold known ids only."""
    if isinstance(node, list):
        return [_narrowed(item, known) for item in node]
    if not isinstance(node, dict):
        return node
    found = {key: _narrowed(value, known) for key, value in node.items() if key != "examples"}
    if "examples" in node:
        found["examples"] = node["examples"]
    named = found.get("properties")
    if isinstance(named, dict):
        found["properties"] = {key: _of_known(key, value) for key, value in named.items()}
    return found


def _of_known(name: str, schema: Any) -> Any:
    """Return what a property may hold: of the kind of entry that it names, those that are known."""
    kind = _KINDS.get(name)
    if kind is None or not isinstance(schema, dict):
        return schema
    only = {"$ref": f"#/$defs/known-{kind}"}
    if schema.get("$ref") in _ID:
        return {**_without_examples(schema), **only}
    if isinstance(schema.get("items"), dict) and schema["items"].get("$ref") in _ID:
        return {**_without_examples(schema), "items": only}
    return schema


def _without_examples(schema: dict[str, Any]) -> dict[str, Any]:
    """Leave out the examples: they need not be among the known ids, and an editor would offer them."""
    return {key: value for key, value in schema.items() if key != "examples"}


def _choice(ids: Mapping[str, str]) -> dict[str, Any]:
    """Return a choice of ids with their titles, as editors show them (``enumDescriptions``)."""
    return {"type": "string", "enum": list(ids), "enumDescriptions": list(ids.values())}


def _described(title: str) -> dict[str, str]:
    return {"description": title} if title else {}

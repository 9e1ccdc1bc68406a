"""Complaints of the schema checker in our own words: what was seen, what was expected, how to mend it."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterator
from collections.abc import Mapping as MappingOf
from typing import Any, TypeAlias

from proveout.model.problem import Problem
from proveout.text.near import did_you_mean, one_of, show
from proveout.text.node import Mapping, Node, Scalar, find

#: A ``jsonschema`` ValidationError; its stubs allow parts to be unset, which they never are once raised.
Fault: TypeAlias = Any
#: What was seen, what was expected, how to mend it.
Words: TypeAlias = tuple[str, str, str]
Wording: TypeAlias = Callable[[Fault], Words]

_KINDS = {
    "object": "keys with values",
    "array": "a list",
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "null": "nothing",
}


def problems_of(error: Fault, root: Node) -> Iterator[Problem]:
    """Turn one complaint of the checker about the document ``root`` into located problems."""
    node = find(root, tuple(error.absolute_path))
    if error.validator == "additionalProperties" and _is_prose(error.schema):
        yield Problem(node.place, "schema-type", *_type(error))
        return
    if error.validator == "additionalProperties" and isinstance(node, Mapping):
        yield from _unknown_keys(error, node)
        return
    place = node.place
    if isinstance(node, Mapping) and isinstance(error.instance, str):
        place = node.key_place(error.instance)
    saw, expected, mend = _WORDINGS.get(str(error.validator), _fallback)(error)
    yield Problem(place, f"schema-{_CHECKS.get(str(error.validator), 'value')}", saw, expected, mend)


def _unknown_keys(error: Fault, node: Mapping) -> Iterator[Problem]:
    """Word each key that has no business where it stands."""
    known = error.schema.get("properties", {})
    for key, value in node:
        if key.name not in known:
            mend = did_you_mean(key.name, known) or "remove it"
            if isinstance(value, Scalar) and value.value is None and " " in key.name:
                mend = "quote the text before it: within braces a comma begins a new key"
            yield Problem(key.place, "schema-key", f"the key {show(key.name)}", one_of(known, 20), mend)


def _described(schema: Any) -> str:
    """Return the schema's own description as what is expected, to go on within a sentence."""
    text = str(schema.get("description", "")) if isinstance(schema, MappingOf) else ""
    return (text[:1].lower() + text[1:] if text[1:2].islower() or text[1:2] == " " else text).rstrip(".")


def _is_prose(schema: Any) -> bool:
    """Say whether a text is wanted that may be named instead of written out."""
    return bool(schema.get("type") == ["string", "object"])


def _type(error: Fault) -> Words:
    wanted = error.schema["type"]
    names = ["string"] if _is_prose(error.schema) else [wanted] if isinstance(wanted, str) else list(wanted)
    kinds = " or ".join(_KINDS[name] for name in names)
    about = _described(error.schema)
    mend = ""
    if "string" in names and isinstance(error.instance, dict):
        mend = "quote it: a colon followed by a blank makes a key of what stands before it"
    elif "string" in names and error.instance is not None:
        mend = "quote it if it is meant as text"
    return show(error.instance), f"{kinds} ({about})" if about else kinds, mend


def _required(error: Fault) -> Words:
    missing = next((name for name in error.validator_value if f"'{name}'" in error.message), "")
    about = _described(error.schema.get("properties", {}).get(missing, {}))
    return f"no '{missing}'", f"{missing}: {about}" if about else missing, "add it"


def _constants(schema: Any) -> list[str]:
    """Return the fixed values that a schema allows, as text."""
    options = [branch["const"] for branch in schema.get("anyOf", ()) if "const" in branch]
    options += schema.get("enum", ())
    options += [schema["const"]] if "const" in schema else []
    return [str(option) for option in options]


def _choice(error: Fault) -> Words:
    options = _constants(error.schema)
    saw = show(error.instance)
    if options:
        others = [_described(branch) for branch in error.schema.get("anyOf", ()) if "const" not in branch]
        expected = one_of(options) + "".join(f", or {text}" for text in others)
        return saw, expected, did_you_mean(str(error.instance), options)
    alone = [b["required"][0] for b in error.schema.get("anyOf", ()) if list(b) == ["required"]]
    if alone:
        return "none of " + ", ".join(alone), "at least one of them", "add what is known"
    return _shapes(error)


def _shapes(error: Fault) -> Words:
    """Word a value that has none of several shapes: name the keys that would tell them apart."""
    about = _described(error.schema) or "one of the shapes of the format"
    keys = dict.fromkeys(key for inner in error.context or () for key in inner.schema.get("properties", ()))
    if not isinstance(error.instance, dict) or not keys:
        return show(error.instance), about, ""
    strange = [key for key in error.instance if key not in keys]
    mend = did_you_mean(strange[0], keys) if strange else "take the keys of one shape only"
    return show(error.instance), f"{about}, with {one_of(keys, 20)}", mend


def _one_only(error: Fault) -> Words:
    if not error.context and all(list(branch) == ["required"] for branch in error.validator_value):
        names = [branch["required"][0] for branch in error.validator_value]
        there = [name for name in names if name in error.instance]
        return " and ".join(there) + " together", f"only one of {', '.join(names)}", "remove all but one"
    if all(list(branch) == ["required"] for branch in error.validator_value):
        names = [branch["required"][0] for branch in error.validator_value]
        return "none of " + ", ".join(names), "one of them", "add the one that fits"
    return _choice(error)


def _pattern(error: Fault) -> Words:
    return show(error.instance), _described(error.schema) or f"the form {error.validator_value}", ""


def _bound(word: str) -> Wording:
    """Make the wording for a limit, such as ``at least``."""

    def wording(error: Fault) -> Words:
        return show(error.instance), f"{word} {error.validator_value}", ""

    return wording


def _unique(error: Fault) -> Words:
    counts = Counter(json.dumps(item, sort_keys=True) for item in error.instance)
    twice = next(item for item in error.instance if counts[json.dumps(item, sort_keys=True)] > 1)
    return f"{show(twice)} more than once", "each once", "remove one of them"


def _needs(error: Fault) -> Words:
    names = [n for key, names in error.validator_value.items() if key in error.instance for n in names]
    return f"no '{', '.join(names)}'", error.message.replace("'", ""), "add it"


def _fallback(error: Fault) -> Words:
    return show(error.instance), _described(error.schema) or error.message[:200], ""


_WORDINGS: MappingOf[str, Wording] = {
    "type": _type,
    "required": _required,
    "anyOf": _choice,
    "oneOf": _one_only,
    "const": _choice,
    "enum": _choice,
    "pattern": _pattern,
    "minimum": _bound("at least"),
    "maximum": _bound("at most"),
    "exclusiveMinimum": _bound("more than"),
    "exclusiveMaximum": _bound("less than"),
    "maxLength": _bound("a length of at most"),
    "minItems": _bound("a list of at least"),
    "maxItems": _bound("a list of at most"),
    "minProperties": _bound("a number of keys of at least"),
    "maxProperties": _bound("a number of keys of at most"),
    "uniqueItems": _unique,
    "dependentRequired": _needs,
}
_CHECKS = {
    "type": "type",
    "required": "missing",
    "anyOf": "choice",
    "oneOf": "choice",
    "const": "choice",
    "enum": "choice",
    "pattern": "form",
    "additionalProperties": "key",
}

"""Nodes against the project's JSON Schemas (draft 2020-12), each complaint at its place.

``jsonschema`` is imported on first use only: a book that is known to be clean needs none of it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from itertools import islice
from typing import Any, TypeAlias

from proveout.model.problem import Problem
from proveout.text.node import Node, plain
from proveout.text.plainly import fits_plainly
from proveout.text.shipped import shipped_dir
from proveout.text.wording import Fault, problems_of

SUFFIX = ".schema.json"
#: A reference to another schema file, as JSON writes it.
_REFERENCE = re.compile(r'"\$ref": "([a-z0-9-]+\.schema\.json)')
#: Most complaints about one document; nobody reads more, and a hostile file has no end of them.
MAX_FAULTS = 500

#: Documents so small that looking through them takes less than loading a checker.
_SMALL = frozenset({f"intake{SUFFIX}"})

#: Steps from the root of a document to a value: keys and indexes.
Path: TypeAlias = tuple[str | int, ...]


def validate(node: Node, schema_name: str, definition: str = "") -> tuple[Problem, ...]:
    """Check a node against ``schemas/<schema_name>.schema.json``.

    Args:
        node: root node of a document.
        schema_name: such as ``causes`` or ``intake``.
        definition: one of the schema's definitions instead of the whole.

    Returns:
        Every complaint, sorted by place; none where the document is as described.
    """
    return tuple(problem for _, problem in validate_items(node, schema_name, definition))


def fits(value: Any, schema_name: str, definition: str = "") -> bool:
    """Return whether a plain value is as the schema or one of its definitions describes; fast where it is."""
    target = _target(schema_name, definition)
    return bool(_quick(target).is_valid(value)) or next(_validator(target).iter_errors(value), None) is None


def _target(schema_name: str, definition: str) -> str:
    return f"{schema_name}{SUFFIX}" + (f"#/$defs/{definition}" if definition else "")


def validate_items(node: Node, schema_name: str, definition: str = "") -> tuple[tuple[Path, Problem], ...]:
    """Check like ``validate`` and return with each complaint the path of the list item that it is about.

    The path leads to the outermost item of a list: ``(3,)`` in a list, ``("causes", 3)`` in a mapping of
    lists; where there is none, to what the complaint is about. After ``MAX_FAULTS`` no more are sought.
    """
    target = _target(schema_name, definition)
    document = plain(node)
    if target in _SMALL and fits_plainly(document, target, _schema):
        return ()
    if _quick(target).is_valid(document):
        return ()
    found = list(islice(_faults(node, document, target), MAX_FAULTS + 1))
    if len(found) > MAX_FAULTS:
        saw = f"more than {MAX_FAULTS} faults; the rest is not listed"
        found.append(((), Problem(node.place, "schema-many", saw, "", "mend these first")))
    return tuple(sorted(dict.fromkeys(found), key=lambda item: item[1]))


def _faults(node: Node, document: Any, target: str) -> Iterator[tuple[Path, Problem]]:
    """Return the complaints in the order in which the checker finds them."""
    for error in _validator(target).iter_errors(document):
        for leaf in _leaves(error):
            path = tuple(leaf.absolute_path)
            end = next((at for at, step in enumerate(path, 1) if isinstance(step, int)), len(path))
            for problem in problems_of(leaf, node):
                yield path[:end], problem


@cache
def _schema(file: str) -> Any:
    """Return a schema, without ``$schema``: else a plain checker would take over from the stricter one."""
    content = json.loads((shipped_dir("schemas") / file).read_text("utf-8"))
    content.pop("$schema", None)
    return content


def schema_files(file: str) -> dict[str, Any]:
    """Return a schema by its file's name, and all schemas that it refers to, by theirs."""
    return dict(_with_all_it_names(file))


@cache
def _with_all_it_names(target: str) -> tuple[tuple[str, Any], ...]:
    """Return the schema that a reference names, and those that it names in turn, by file name."""
    found: dict[str, Any] = {}
    waiting = [target.partition("#")[0]]
    while waiting:
        file = waiting.pop()
        if file not in found:
            found[file] = _schema(file)
            waiting += [name for name in _REFERENCE.findall(json.dumps(found[file])) if name]
    return tuple(found.items())


@cache
def _quick(target: str) -> Any:
    """Build the checker that says yes or no, some hundred times faster than the one that says what is wrong.

    It may only say yes where the other has nothing to complain of; a test holds the two against each other.
    """
    from jsonschema_rs import Draft202012Validator, Registry

    return Draft202012Validator({"$ref": target}, registry=Registry(list(_with_all_it_names(target))))


@cache
def _validator(target: str) -> Any:
    """Build the validator for what a reference names, with all others at hand for references."""
    from jsonschema import Draft202012Validator, validators
    from referencing import Registry
    from referencing.jsonschema import DRAFT202012

    registry: Any = Registry().with_resources(
        [(name, DRAFT202012.create_resource(content)) for name, content in _with_all_it_names(target)]
    )
    extend: Any = validators.extend
    strict = extend(Draft202012Validator, {"pattern": _pattern, "uniqueItems": _unique_items})
    return strict({"$ref": target}, registry=registry)


def _pattern(_: Any, pattern: str, instance: Any, __: Any) -> Iterator[Any]:
    """Check a pattern as JSON Schema means it: ``$`` is the end of the text, not a line break before it."""
    from jsonschema import ValidationError

    if isinstance(instance, str) and not re.search(re.sub(r"\$$", r"\\Z", pattern), instance):
        yield ValidationError(f"{instance!r} does not match {pattern!r}")


def _unique_items(_: Any, wanted: Any, instance: Any, __: Any) -> Iterator[Any]:
    """Check that no item stands twice; by their text, since comparing each with each takes too long."""
    from jsonschema import ValidationError

    if wanted and isinstance(instance, list):
        texts = [json.dumps(item, sort_keys=True) for item in instance]
        if len(set(texts)) < len(texts):
            yield ValidationError("items stand twice")


def _leaves(error: Fault) -> Iterator[Fault]:
    """Unfold a failed choice between shapes into complaints about the shape that was most likely meant."""
    if error.validator not in ("anyOf", "oneOf") or not error.context:
        # Where there are no keys at all, the type is complained of already.
        if isinstance(error.instance, dict) or error.validator != "oneOf":
            yield error
        return
    branches: dict[Any, list[Fault]] = {}
    for inner in error.context:
        branches.setdefault(inner.relative_schema_path[0], []).append(inner)
    costs = {index: sum(_cost(inner) for inner in errors) for index, errors in branches.items()}
    best = min(costs.values())
    near = [index for index, cost in costs.items() if cost == best]
    if best >= _FOREIGN or (len(near) > 1 and best >= _UNTOLD):
        yield error
        return
    for inner in branches[near[0]]:
        yield from _leaves(inner)


#: From this cost on, several equally good shapes mean that none was told apart from the others.
_UNTOLD = 2.0
#: Cost of a shape that has none of the keys that were given.
_FOREIGN = 50.0


def _cost(error: Fault) -> float:
    """Say how far a complaint makes it unlikely that its shape was meant (less: likelier)."""
    depth = len(error.relative_path)
    if error.validator == "type":
        return _FOREIGN if depth == 0 else 0.5
    if error.validator == "additionalProperties" and depth == 0:
        known = error.schema.get("properties", {})
        strange = sum(1 for name in error.instance if name not in known)
        return 2.0 * strange if strange < len(error.instance) else _FOREIGN
    if error.validator in ("required", "const", "enum", "minProperties") and depth == 0:
        return 2.0
    return 0.5 if depth else 1.0

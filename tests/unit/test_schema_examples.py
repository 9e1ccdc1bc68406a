"""What an editor shows while rules and cases are written: examples and defaults, each of them usable."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from proveout.book.shipped import schemas_dir

#: What people write by hand: rule files, patterns, intake documents, and what these refer to.
BY_HAND = ("book", "pattern", "intake")
CONTENT: dict[str, Any] = {
    path.name: json.loads(path.read_text("utf-8")) for path in schemas_dir().glob("*.json")
}
REGISTRY: Any = Registry().with_resources(
    [
        (name, DRAFT202012.create_resource({k: v for k, v in content.items() if not k.startswith("$id")}))
        for name, content in CONTENT.items()
    ]
)


def reference(file: str, text: str) -> tuple[str, str]:
    name, _, pointer = text.partition("#")
    return name or file, pointer


def at(file: str, pointer: str) -> Any:
    node: Any = CONTENT[file]
    for step in pointer.strip("/").split("/") if pointer.strip("/") else ():
        node = node[int(step)] if isinstance(node, list) else node[step]
    return node


def properties(file: str, pointer: str, seen: set[tuple[str, str]]) -> Iterator[tuple[str, str, Any]]:
    """Return every property that can be written below a schema: file, pointer, node."""
    if (file, pointer) in seen:
        return
    seen.add((file, pointer))
    node = at(file, pointer)
    if isinstance(node, list):
        for n in range(len(node)):
            yield from properties(file, f"{pointer}/{n}", seen)
    if not isinstance(node, dict):
        return
    if "$ref" in node:
        yield from properties(*reference(file, node["$ref"]), seen)
    for name, inner in node.items():
        if name == "properties":
            for key, value in inner.items():
                yield file, f"{pointer}/properties/{key}", value
                yield from properties(file, f"{pointer}/properties/{key}", seen)
        elif name not in ("examples", "default", "const", "$ref", "$defs", "required"):
            yield from properties(file, f"{pointer}/{name}", seen)


FOUND = [item for name in BY_HAND for item in properties(f"{name}.schema.json", "", set())]


def holds_entries(file: str, node: Any) -> bool:
    """Say whether a value is a mapping or a list of mappings, of which each property has its examples."""
    while "$ref" in node:
        file, pointer = reference(file, node["$ref"])
        node = at(file, pointer)
    if isinstance(node.get("items"), dict) and node.get("type") == "array":
        return holds_entries(file, node["items"])
    if "properties" not in node and "allOf" in node:
        return any(holds_entries(file, part) for part in node["allOf"])
    return node.get("type") == "object" or "properties" in node or "additionalProperties" in node


def is_closed(node: Any) -> bool:
    """Say whether an editor offers all that may stand there by itself: true and false, or fixed values."""
    options = node.get("anyOf") or [node]
    return node.get("type") == "boolean" or all("const" in option for option in options)


def test_each_property_that_is_written_by_hand_has_examples() -> None:
    bare = [
        f"{file}#{pointer}"
        for file, pointer, node in FOUND
        if not node.get("examples") and not is_closed(node) and not holds_entries(file, node)
    ]
    assert len(FOUND) > 400
    assert bare == []


@pytest.mark.parametrize("word", ["examples", "default"])
def test_each_example_and_default_may_be_written(word: str) -> None:
    checked = 0
    for file, pointer, node in FOUND:
        values = node.get(word, ()) if word == "examples" else [node[word]] if word in node else []
        for value in values:
            validator = Draft202012Validator({"$ref": f"{file}#{pointer}"}, registry=REGISTRY)
            assert list(validator.iter_errors(value)) == [], f"{file}#{pointer}: {value!r}"
            checked += 1
    assert checked > (400 if word == "examples" else 30)

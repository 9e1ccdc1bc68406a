"""A schema and all that it refers to in one document, for what reads a single file."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from proveout.text.schema import SUFFIX, schema_files


def bundled(name: str) -> dict[str, Any]:
    """Return ``schemas/<name>.schema.json`` with every other schema that it names under ``$defs``.

    A reference ``other.schema.json#/$defs/x`` becomes ``#/$defs/other/$defs/x``.
    """
    files = schema_files(f"{name}{SUFFIX}")
    root: dict[str, Any] = copy.deepcopy(files[f"{name}{SUFFIX}"])
    root.pop("$id", None)
    homes = {file: f"#/$defs/{file.removesuffix(SUFFIX)}" for file in files} | {f"{name}{SUFFIX}": "#"}
    inner = root.setdefault("$defs", {})
    for file, content in files.items():
        if file != f"{name}{SUFFIX}":
            part = copy.deepcopy(content)
            part.pop("$id", None)
            inner[file.removesuffix(SUFFIX)] = _pointed(part, file, homes)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **_pointed(root, f"{name}{SUFFIX}", homes),
    }


def _pointed(node: Any, file: str, homes: Mapping[str, str]) -> Any:
    """Return a schema of some file whose references lead to where things stand in the whole."""
    if isinstance(node, list):
        return [_pointed(item, file, homes) for item in node]
    if not isinstance(node, dict):
        return node
    return {
        key: _target(value, file, homes)
        if key == "$ref" and isinstance(value, str)
        else _pointed(value, file, homes)
        for key, value in node.items()
    }


def _target(reference: str, file: str, homes: Mapping[str, str]) -> str:
    name, _, pointer = reference.partition("#")
    return f"{homes[name or file]}{pointer}"

"""YAML text to located nodes, and nodes against JSON Schemas.

``read_text(path)`` reads a file; ``compose(text, file)`` gives the node of one document and
``compose_stream`` the nodes of several; ``plain(node)`` drops the places; ``validate(node, schema_name)``
gives the located complaints of ``schemas/<schema_name>.schema.json``.
"""

from proveout.text.compose import compose, compose_stream
from proveout.text.node import Key, Listing, Mapping, Node, Scalar, plain
from proveout.text.read import decode, read_bytes, read_text
from proveout.text.schema import validate

__all__ = [
    "Key",
    "Listing",
    "Mapping",
    "Node",
    "Scalar",
    "compose",
    "compose_stream",
    "decode",
    "plain",
    "read_bytes",
    "read_text",
    "validate",
]

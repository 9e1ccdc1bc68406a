"""YAML text to located nodes, and nodes against JSON Schemas.

``read_text(path)`` reads a file; ``compose(text, file)`` gives the node of one document and
``compose_stream`` the nodes of several; ``plain(node)`` drops the places; ``validate(node, schema_name)``
gives the located complaints of ``schemas/<schema_name>.schema.json`` and ``fits(value, schema_name)`` says
fast whether there are any. ``find(node, path)`` gives the node
at a path of keys and indexes, for its place.
"""

from proveout.text.compose import compose, compose_stream
from proveout.text.near import did_you_mean, one_of, show
from proveout.text.node import Key, Listing, Mapping, Node, Scalar, find, plain
from proveout.text.read import decode, read_bytes, read_text
from proveout.text.schema import fits, validate

__all__ = [
    "Key",
    "Listing",
    "Mapping",
    "Node",
    "Scalar",
    "compose",
    "compose_stream",
    "decode",
    "did_you_mean",
    "find",
    "fits",
    "one_of",
    "plain",
    "read_bytes",
    "read_text",
    "show",
    "validate",
]

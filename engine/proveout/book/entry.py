"""One entry as it stands in a file, before anything is built from it."""

from __future__ import annotations

from msgspec import Struct

from proveout.model.problem import Place
from proveout.text.node import Mapping, Node, Scalar


class RawEntry(Struct, frozen=True):
    """One entry: kind, id, node and the layer it came from.

    ``row`` says that it is a rule which stands as a row at what it observes.
    """

    kind: str
    id: str
    node: Mapping
    layer: str
    row: bool = False

    @property
    def place(self) -> Place:
        """Where the entry begins."""
        return self.node.place


def id_of(node: Node) -> str | None:
    """Return the id of an entry; a rule may state that of the row that it replaces instead."""
    name = (node.get("id") or node.get("replaces")) if isinstance(node, Mapping) else None
    return name.text if isinstance(name, Scalar) else None

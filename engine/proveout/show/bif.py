"""A network as BIF, the interchange format of programs for Bayesian networks.

The grammar is that of the Bayesian Interchange Format 0.15 as pgmpy 1.1 and pyagrum 3.3 read it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from proveout.weigh.written_out import Node

#: How the file begins.
BEGINS = "network "
#: What the format cannot hold, said at its head.
LIMITS = (
    "BIF holds no evidence: set each variable as the lines below that begin with seen say. Then the",
    "posterior of each cause_ variable is the confidence that proveout gives, for this case and this book:",
    "causes out of play, costs and inspections not yet made are left out. Some readers keep seven figures.",
    "few holds sets of causes to the size that proveout considers; without it larger ones count, too.",
    "A variable with __time beside it stands for what was seen of an observation, not for another state.",
    "A reading between two results is a variable __told of its own, seen with the weights of the results.",
)


def bif(nodes: Sequence[Node]) -> str:
    """Return the text of a file; the nodes stand parents first."""
    states = {node.name: node.states for node in nodes}
    lines = [f"{BEGINS}case {{", "}", *(f"// {line}" for line in LIMITS)]
    lines += [f"// {node.name} is {node.note}" for node in nodes if node.note]
    lines += [f"// seen: {node.name} = {_word(node.seen)}" for node in nodes if node.seen]
    for node in nodes:
        lines += _variable(node)
    for node in nodes:
        lines += _probability(node, [states[parent] for parent in node.parents])
    return "\n".join(lines) + "\n"


def _variable(node: Node) -> list[str]:
    states = ", ".join(_word(state) for state in node.states)
    return [
        f"variable {node.name} {{",
        f"  type discrete [ {len(node.states)} ] {{ {states} }};",
        "}",
    ]


def _probability(node: Node, parents: Sequence[Sequence[str]]) -> list[str]:
    """Return the table of a node; figures in full, so that nothing is lost."""
    if not node.parents:
        figures = ", ".join(map(repr, node.rows[0]))
        return [f"probability ( {node.name} ) {{", f"  table {figures};", "}"]
    lines = [f"probability ( {node.name} | {', '.join(node.parents)} ) {{"]
    for combination, row in zip(product(*parents), node.rows, strict=True):
        given = ", ".join(_word(state) for state in combination)
        lines.append(f"  ({given}) {', '.join(map(repr, row))};")
    return [*lines, "}"]


def _word(state: str) -> str:
    """Return a state as a name that every reader takes."""
    return state.replace("-", "_").replace(".", "__")

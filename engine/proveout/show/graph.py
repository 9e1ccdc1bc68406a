"""What stands around an entry as a drawing: SVG by itself, and DOT for programs that lay out graphs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from msgspec.structs import replace

from proveout.book.around import CAUSE, Around, Arrow
from proveout.model.atom import FINDING, Atom
from proveout.model.book import Book
from proveout.show.boxes import AGAINST, FOR, LINE, TOP, WIDE, Box, along, arrow, bottom, column, drawn, sheet
from proveout.show.figures import atom_said

#: Room between two columns, and least width of the drawing, for the legend; in its units.
_BETWEEN, _LEAST = 110, 620
#: How far from its box the figure of an arrow stands.
_FIGURE_AT = 30
_SHAPES = {FINDING: "ellipse", CAUSE: "octagon"}
LEGEND = (
    "Figures: how often it is seen where the cause is present; * only under further conditions.",
    "Grey: a finding follows from it, perhaps with others; dashed: only where it is absent.",
)


def graph_svg(book: Book, graph: Around) -> str:
    """Return the drawing: what is seen at the left, what follows from it to the right, causes last."""
    depth = _depths(graph.arrows)
    boxes: dict[Atom, Box] = {}
    for place in range(max(depth.values()) + 1):
        here = _ordered(graph.arrows, [atom for atom in depth if depth[atom] == place])
        titles = [(atom.key, atom_said(book, atom)) for atom in here]
        boxes.update(zip(here, column(titles, place * (WIDE + _BETWEEN)), strict=True))
    high = max(bottom(list(boxes.values())), TOP + 60.0)
    boxes = _centred(boxes, depth, high)
    lines = [_line(one, boxes) for one in graph.arrows]
    figures = [_figure_at(one, boxes, graph.entry in book.causes) for one in graph.arrows if one.frequency]
    told = [*LEGEND, *_left_out(graph)]
    legend = [
        f'<text x="2" y="{high + 20 + 15 * row:g}" fill="{LINE}">{escape(line)}</text>'
        for row, line in enumerate(told)
    ]
    wide = max(_LEAST, *(box.x + WIDE for box in boxes.values()))
    shapes = [drawn(box, bold=atom.key == graph.entry) for atom, box in boxes.items()]
    title = f"What stands around {graph.entry} in the rules"
    return sheet(wide, high + 14 + 15 * len(told), title, [*lines, *shapes, *figures, *legend])


def graph_dot(book: Book, graph: Around) -> str:
    """Return the same in the language of Graphviz, laid out from the left to the right."""
    atoms = sorted({atom for one in graph.arrows for atom in (one.start, one.end)})
    lines = ["digraph rules {", "  rankdir=LR;", *(f"  // {line}" for line in (*LEGEND, *_left_out(graph)))]
    for atom in atoms:
        shape = _SHAPES.get(atom.kind, "box")
        bold = ", style=bold" if atom.key == graph.entry else ""
        lines.append(f"  {_quoted(str(atom))} [label={_quoted(atom_said(book, atom))}, shape={shape}{bold}];")
    for one in graph.arrows:
        told = [f"label={_quoted(_figure(one))}"] if one.frequency else ["color=gray40"]
        told += ["style=dashed"] if one.never else []
        told += [f"tooltip={_quoted(one.rule)}"]
        lines.append(f"  {_quoted(str(one.start))} -> {_quoted(str(one.end))} [{', '.join(told)}];")
    return "\n".join([*lines, "}"])


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _left_out(graph: Around) -> list[str]:
    return [f"Left out: {graph.left_out} weaker ones (--most)."] if graph.left_out else []


def _depths(arrows: Sequence[Arrow]) -> dict[Atom, int]:
    """Return the column of each fact: after all that lead to it, causes together in the last."""
    depth = {atom: 0 for one in arrows for atom in (one.start, one.end)}
    for _ in depth:
        late = [one for one in arrows if depth[one.end] <= depth[one.start]]
        if not late:
            break
        for one in late:
            depth[one.end] = depth[one.start] + 1
    last = max(depth.values())
    return {atom: last if atom.kind == CAUSE else place for atom, place in depth.items()}


def _ordered(arrows: Sequence[Arrow], atoms: Sequence[Atom]) -> list[Atom]:
    """Return the facts of a column, those with the strongest arrows first."""
    strength = dict.fromkeys(atoms, 0.0)
    for one in arrows:
        for atom in (one.start, one.end):
            if atom in strength:
                strength[atom] = max(strength[atom], one.frequency)
    return sorted(atoms, key=lambda atom: (-strength[atom], atom))


def _centred(boxes: Mapping[Atom, Box], depth: Mapping[Atom, int], high: float) -> dict[Atom, Box]:
    """Return the boxes, each column moved down so that its middle is that of the drawing."""
    ends = {
        place: bottom([boxes[atom] for atom in boxes if depth[atom] == place]) for place in depth.values()
    }
    return {atom: replace(box, y=box.y + (high - ends[depth[atom]]) / 2) for atom, box in boxes.items()}


def _line(one: Arrow, boxes: Mapping[Atom, Box]) -> str:
    ink, dash = _ink(one)
    return arrow(boxes[one.start], boxes[one.end], ink, 1 + 2 * one.frequency, dash)


def _ink(one: Arrow) -> tuple[str, str]:
    return (AGAINST, "5 3") if one.never else (FOR if one.frequency else LINE, "")


def _figure_at(one: Arrow, boxes: Mapping[Atom, Box], at_start: bool) -> str:
    """Return the figure of an arrow, on white lest other lines run through it."""
    start, end = boxes[one.start], boxes[one.end]
    near = _FIGURE_AT / (1.5 * (end.x - start.x - WIDE))
    x, y = along(start, end, near if at_start else 1 - near)
    return (
        f'<text x="{x:.1f}" y="{y - 4:.1f}" fill="{_ink(one)[0]}" stroke="#fff" stroke-width="3" '
        f'paint-order="stroke">{escape(_figure(one))}</text>'
    )


def _figure(one: Arrow) -> str:
    return f"{one.frequency:g}{'*' if one.context else ''}"

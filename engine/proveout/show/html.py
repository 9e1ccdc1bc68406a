"""Parts of a page to print: escaping, tables, and the one style sheet; no script, nothing fetched."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

#: How every page begins; an output is written over nothing else.
BEGINS = '<!doctype html><html lang="en"><head>'

#: The one style sheet of all pages to print.
STYLE = """
:root { --ink: #1d1f21; --soft: #5b6066; --line: #c9c5bb; --tint: #f3f0e8; --mark: #7a3b12; --good: #1f5b3a; }
* { box-sizing: border-box; }
body { font: 15px/1.45 "DejaVu Serif", Georgia, serif; color: var(--ink); max-width: 48em; margin: 2em auto;
padding: 0 1.2em; overflow-wrap: break-word; }
h1 { font-size: 1.5em; line-height: 1.2; margin: 0 0 .2em; }
h2 { font-size: 1.12em; margin: 1.5em 0 .35em; border-bottom: 2px solid var(--ink); padding-bottom: .1em; }
h3 { font-size: 1em; margin: 1em 0 .2em; }
p { margin: .35em 0; } ul, ol { margin: .35em 0; padding-left: 1.5em; } li { margin: .15em 0; }
.soft { color: var(--soft); } .small { font-size: .86em; }
.facts { display: flex; flex-wrap: wrap; gap: .2em 1.8em; margin: .3em 0; } .facts b { font-weight: 600; }
.said { border-left: 5px solid var(--mark); background: var(--tint); padding: .5em .9em; margin: .8em 0; }
.said.good { border-color: var(--good); } .said b { font-size: 1.12em; }
.warn { border: 2px solid var(--mark); padding: .4em .8em; margin: .5em 0; }
table { border-collapse: collapse; width: 100%; margin: .3em 0; }
th { font-weight: 600; text-align: left; border-bottom: 1.5px solid var(--ink); padding: .15em .6em .15em 0; }
td { border-bottom: 1px solid var(--line); padding: .18em .6em .18em 0; vertical-align: top;
overflow-wrap: anywhere; }
td.figure, th.figure { text-align: right; white-space: nowrap; }
figure { margin: .5em 0; } figcaption { color: var(--soft); font-size: .86em; }
.beside { display: flex; flex-flow: row-reverse wrap; gap: 0 1.4em; align-items: flex-start; }
.beside > div { flex: 1 1 18em; } .beside > .pictures { flex: 0 1 17em; margin-top: .5em; }
.beside td { overflow-wrap: break-word; } .beside td:first-child { min-width: 5.4em; }
.ask { white-space: nowrap; margin-right: .6em; }
svg { max-width: 100%; height: auto; display: block; margin: .5em 0; }
.blank { display: inline-block; min-width: 7em; border-bottom: 1px solid var(--ink); }
.box { display: inline-block; width: .9em; height: .9em; border: 1.3px solid var(--ink);
vertical-align: -.1em; margin-right: .45em; }
footer { color: var(--soft); font-size: .8em; margin-top: 1.8em; border-top: 1px solid var(--line);
padding-top: .4em; overflow-wrap: anywhere; }
section.sheet + section.sheet { margin-top: 3em; }
@media screen and (max-width: 40em) {
table, .wide { display: block; overflow-x: auto; } td { overflow-wrap: normal; }
.wide svg { min-width: 36em; } .beside > .pictures { flex: 1 1 100%; }
}
@page { margin: 14mm 15mm; }
@media print {
body { font-size: 10.3pt; margin: 0; max-width: none; padding: 0; }
h2, h3 { break-after: avoid; } tr, li, svg, figure, .said, .warn { break-inside: avoid; }
thead { display: table-header-group; }
details.words { display: none; }
section.sheet { break-before: page; font-size: 9.4pt; line-height: 1.35; }
section.sheet + section.sheet { margin-top: 0; } section.sheet:first-of-type { break-before: auto; }
}
"""


def document(title: str, parts: Iterable[str]) -> str:
    """Return a whole page; the parts are HTML already."""
    return "".join(
        [
            f'{BEGINS}<meta charset="utf-8"><meta name="viewport" content="width=device-width">',
            f"<title>{escape(title)}</title><style>{STYLE}</style></head><body>",
            *parts,
            "</body></html>\n",
        ]
    )


def table(head: Sequence[str], rows: Iterable[Sequence[str]], figures: frozenset[int] = frozenset()) -> str:
    """Return a table of texts; columns in ``figures`` stand at the right."""

    def cell(tag: str, place: int, text: str) -> str:
        how = ' class="figure"' if place in figures else ""
        return f"<{tag}{how}>{escape(text)}</{tag}>"

    def row(tag: str, cells: Sequence[str]) -> str:
        return "<tr>" + "".join(cell(tag, place, text) for place, text in enumerate(cells)) + "</tr>"

    body = "".join(row("td", cells) for cells in rows)
    return f"<table><thead>{row('th', head)}</thead><tbody>{body}</tbody></table>" if body else ""


def items(texts: Iterable[str], ordered: bool = False) -> str:
    """Return a list of texts; nothing where there are none."""
    found = "".join(f"<li>{escape(text)}</li>" for text in texts)
    tag = "ol" if ordered else "ul"
    return f"<{tag}>{found}</{tag}>" if found else ""


def paragraphs(texts: Iterable[str], how: str = "") -> str:
    """Return texts as paragraphs."""
    named = f' class="{how}"' if how else ""
    return "".join(f"<p{named}>{escape(text)}</p>" for text in texts if text)


def facts(pairs: Iterable[tuple[str, str]]) -> str:
    """Return labelled facts in a row; those without a text are left out."""
    found = "".join(f"<span><b>{escape(name)}</b> {escape(text)}</span>" for name, text in pairs if text)
    return f'<div class="facts">{found}</div>' if found else ""


def wide(svg: str) -> str:
    """Return a drawing that a narrow screen moves sideways instead of shrinking it; "" for none."""
    return f'<div class="wide" tabindex="0">{svg}</div>' if svg else ""

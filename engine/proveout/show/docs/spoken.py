"""Rules and rows on the pages of the book: what they weigh or conclude, why, and from which source."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from proveout.model.rule import Rule
from proveout.show.docs.leaf import Block, Line, named, page_of
from proveout.show.docs.links import Links, rule_line
from proveout.show.docs.sources import source_id


def rule_blocks(links: Links, rules: Sequence[Rule]) -> tuple[Block, ...]:
    """Return a block for each rule that stands on a page."""
    return tuple(_rule(links, rule) for rule in rules)


def _rule(links: Links, rule: Rule) -> Block:
    lines = [*_conditions(links, rule)]
    if rule.concludes:
        lines.append(links.to("findings", rule.concludes, " is concluded."))
    lines += [Line(rule.because), Line(f"At {rule.place}, layer {rule.layer}.")]
    if rule.source:
        lines.append(source_line(rule.source))
    rows = [(links.to("causes", cause), Line(f"{share:g}"), Line(str(rule.elsewhere.get(cause, ""))))
            for cause, share in sorted(rule.weights.items(), key=lambda one: (-one[1], one[0]))]  # fmt: skip
    if rule.otherwise is not None:
        rows.append((Line("none of these"), Line(f"{rule.otherwise:g}"), Line("")))
    head = ("where the cause is present", "it is seen", "said at") if rows else ()
    shown = tuple(line for line in lines if line.text)
    return Block(
        f"{'Rule' if rule.concludes else 'Row'} {rule.id}", shown, "said", head, tuple(rows), named(rule.id)
    )


def _conditions(links: Links, rule: Rule) -> Iterable[Line]:
    """Return what a rule asks for, besides what it observes."""
    when = rule.when
    for lead, atoms in (("With", when.all_of), ("With one of", when.any_of), ("Without", when.none_of)):
        for atom in atoms:
            if atom != rule.observes:
                fact = links.fact(atom)
                yield Line(f"{lead}: {fact.text}{fact.after}", fact.to)


def source_line(source: str) -> Line:
    """Return a link to the page of a source."""
    return Line(f"Source: {source}", page_of("sources", source_id(source)))


def seen_block(links: Links, cause: str, rules: Sequence[Rule]) -> Block:
    """Return the table of what is seen with a cause, the most telling first."""
    rows = []
    for rule in sorted(rules, key=lambda one: (-one.weights[cause], one.id)):
        if rule.observes is None:
            continue
        fact = links.fact(rule.observes)
        otherwise = "" if rule.otherwise is None else f"{rule.otherwise:g}"
        rows.append(
            (
                Line(fact.text, fact.to, fact.after),
                Line(f"{rule.weights[cause]:g}"),
                Line(otherwise),
                rule_line(rule),
            )
        )
    return Block(
        "What is seen with it", head=("seen", "with it", "otherwise", "row or rule"), rows=tuple(rows)
    )

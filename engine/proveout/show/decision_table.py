"""The weighing and concluding rules of one topic as a decision table of the OMG's DMN 1.3.

Every rule that holds gives its lines (hit policy COLLECT, without order or sum): what it bears on and how
often it is seen there. Inputs are Boolean facts, results as text, and facts with a number or text.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Mapping, Sequence

from proveout.model.atom import FACT, RESULT, STATUS, Atom
from proveout.model.book import Book, Predicate
from proveout.model.rule import Rule

MODEL = "https://www.omg.org/spec/DMN/20191111/MODEL/"
LIMITS = (
    "The table lists which rules hold and what they say; it computes no confidence, does not let the most "
    "specific rule speak alone and does not chain: findings are inputs. State every input: unknown counts as "
    "false, and a number that is unknown satisfies no rule that asks for it. Frequencies are shares of jobs "
    "with the cause; otherwise is the share of jobs without any that the rule names. Examples, places, "
    "cautions, costs and vehicles that a cause does not fit are left out."
)
_OUTPUTS = (("rule", "string"), ("bears_on", "string"), ("frequency", "number"), ("otherwise", "number"))
#: One line of the table: of each input the tests that must hold, a rule, and what it says.
_Line = tuple[Mapping[str, list[str]], Rule, str, float | None]


def decision_table(book: Book, topic: str, rules: Sequence[Rule]) -> str:
    """Return the text of a DMN file for the rules of a topic, of which there is at least one."""
    predicates = {one.atom: one for one in book.predicates}
    lines = [line for rule in rules for line in _lines(rule, predicates)]
    inputs = {name: kind for rule in rules for name, kind in _inputs(rule, predicates)}
    root = ET.Element("definitions", xmlns=MODEL, id="book", name=topic, namespace="urn:proveout:book")
    ET.SubElement(root, "description").text = f"{LIMITS} Book {book.digest}."
    for name in sorted(inputs):
        data = ET.SubElement(root, "inputData", id=f"data_{name}", name=name)
        ET.SubElement(data, "variable", name=name, typeRef=inputs[name])
    decision = ET.SubElement(root, "decision", id="what_holds", name="what_holds")
    ET.SubElement(decision, "variable", name="what_holds")
    for name in sorted(inputs):
        needed = ET.SubElement(decision, "informationRequirement", id=f"needs_{name}")
        ET.SubElement(needed, "requiredInput", href=f"#data_{name}")
    decision.append(_table(sorted(inputs.items()), lines))
    ET.indent(root)
    return ET.tostring(root, encoding="unicode", xml_declaration=True)


def _table(inputs: Sequence[tuple[str, str]], lines: Iterable[_Line]) -> ET.Element:
    table = ET.Element("decisionTable", id="rules", hitPolicy="COLLECT", preferredOrientation="Rule-as-Row")
    for name, kind in inputs:
        column = ET.SubElement(table, "input", id=f"in_{name}", label=name)
        _text(ET.SubElement(column, "inputExpression", typeRef=kind), name)
    for name, kind in _OUTPUTS:
        ET.SubElement(table, "output", id=f"out_{name}", name=name, typeRef=kind)
    for name in ("because", "source"):
        ET.SubElement(table, "annotation", name=name)
    for number, (tests, rule, end, frequency) in enumerate(lines):
        row = ET.SubElement(table, "rule", id=f"line_{number}")
        for name, _ in inputs:
            _text(ET.SubElement(row, "inputEntry"), _entry(tests.get(name, [])))
        for value in (_quoted(rule.id), _quoted(end), _number(frequency), _number(rule.otherwise)):
            _text(ET.SubElement(row, "outputEntry"), value)
        for value in (rule.because, rule.source):
            _text(ET.SubElement(row, "annotationEntry"), value)
    return table


def _text(parent: ET.Element, text: str) -> None:
    ET.SubElement(parent, "text").text = text


def _lines(rule: Rule, predicates: Mapping[Atom, Predicate]) -> Iterable[_Line]:
    """Return the lines of a rule: one for each alternative of ``any`` and each thing that it bears on."""
    ends = [(f"finding {rule.concludes}", None)] if rule.concludes else []
    says: list[tuple[str, float | None]] = [*ends, *rule.weights.items()] or [("", None)]
    for alternative in rule.when.any_of or (None,):
        tests: dict[str, list[str]] = {}
        for atom in (*rule.when.all_of, *((alternative,) if alternative else ())):
            name, test = _name(atom, predicates), _test(atom, predicates)
            tests[name] = [*tests.get(name, []), test]
        for atom in rule.when.none_of:
            name, test = _name(atom, predicates), _test(atom, predicates)
            tests[name] = [*tests.get(name, []), f"not({test})"]
        for end, frequency in says:
            yield tests, rule, end, frequency


def _entry(tests: Sequence[str]) -> str:
    """Return an input entry: any value, one test, or several that must all hold."""
    if len(tests) <= 1:
        return tests[0] if tests else "-"
    return " and ".join(
        f"not({_of_input(test[4:-1])})" if test.startswith("not(") else _of_input(test) for test in tests
    )


def _of_input(test: str) -> str:
    """Return a unary test as an expression on ``?``, the input's value."""
    return f"? {test}" if test[0] in "<>" else f"? = {test}"


def _inputs(rule: Rule, predicates: Mapping[Atom, Predicate]) -> Iterable[tuple[str, str]]:
    for atom in rule.when.atoms:
        yield _name(atom, predicates), _kind(atom, predicates)


def _kind(atom: Atom, predicates: Mapping[Atom, Predicate]) -> str:
    if atom.kind == FACT:
        return "string" if predicates[atom].number is None else "number"
    return "string" if atom.kind in (RESULT, STATUS) else "boolean"


def _name(atom: Atom, predicates: Mapping[Atom, Predicate]) -> str:
    """Return the name of the input that an atom asks for, without characters that FEEL takes for signs."""
    what = predicates[atom].fact if atom.kind == FACT else f"{atom.kind}_{atom.key}"
    return what.replace(".", "__").replace("-", "_").replace(" ", "_")


def _test(atom: Atom, predicates: Mapping[Atom, Predicate]) -> str:
    """Return the unary test that an atom is."""
    if atom.kind == FACT:
        one = predicates[atom]
        if one.number is None:
            return _quoted(one.text)
        return f"{'>=' if one.op == 'at_least' else '<'} {one.number!r}"
    return _quoted(atom.value) if atom.kind in (RESULT, STATUS) else "true"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _number(figure: float | None) -> str:
    """Return a FEEL number; it has no exponents."""
    if figure is None:
        return "null"
    return f"{figure:.20f}" if "e" in repr(figure) else repr(figure)

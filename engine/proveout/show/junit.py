"""Findings of a check as JUnit XML: a failed test for each finding, a passed one for each clean file."""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.etree import ElementTree

from proveout.model.problem import Problem
from proveout.text.visible import visible

#: Characters that XML 1.0 cannot hold and that ``visible`` leaves as they are.
_NOT_XML = re.compile("[\ufffe\uffff]")


def junit_text(problems: Sequence[Problem], files: Sequence[str]) -> str:
    """Return the document; findings without a file count to the rules as a whole."""
    by_file: dict[str, list[Problem]] = {name: [] for name in files}
    for problem in problems:
        by_file.setdefault(problem.place.file or "rules", []).append(problem)
    root = ElementTree.Element("testsuites", name="proveout rules check")
    for name, found in by_file.items():
        suite = ElementTree.SubElement(root, "testsuite", name=_clean(name), errors="0", skipped="0")
        suite.set("tests", str(max(1, len(found))))
        suite.set("failures", str(len(found)))
        for problem in found:
            _case(suite, name, problem)
        if not found:
            ElementTree.SubElement(suite, "testcase", classname=_clean(name), name="sound", time="0")
    root.set("tests", str(sum(max(1, len(found)) for found in by_file.values())))
    root.set("failures", str(len(problems)))
    ElementTree.indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(root, encoding="unicode")


def _case(suite: ElementTree.Element, file: str, problem: Problem) -> None:
    """Add the failed test of a finding."""
    name = f"{problem.check} at {problem.place.line}:{problem.place.column}"
    case = ElementTree.SubElement(suite, "testcase", classname=_clean(file), name=_clean(name), time="0")
    failure = ElementTree.SubElement(case, "failure", type=problem.severity, message=_clean(problem.saw))
    failure.text = _clean(str(problem))


def _clean(text: str) -> str:
    return _NOT_XML.sub("?", visible(text))

"""``rules check``: what people see, what programs get, what is mended, and checking on every change."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from jsonschema import Draft4Validator

from helpers_cli import proveout
from helpers_npm import npm_package

MISTAKEN = """\
components:
  - {id: roof-drain, tittle: Drain of the sunroof}
causes:
  - id: roof-drain-blocked
    title: Sunroof drain blocked
    component: roof-drain
    base_rate: 0.4 per 1000
    base_rate_source: own jobs
    remedy: {action: replace, part: drain, part_cost: 90..35, minutes: 20}   # mind the headliner
codes:
  - {id: p1999, meaning: Its own., family: own, source: own jobs, unweighed: not seen yet}
"""


def layer(home: Path, text: str, name: str = "drain.yaml") -> Path:
    home.mkdir(parents=True, exist_ok=True)
    (home / name).write_text(text, "utf-8")
    return home


def test_a_finding_shows_severity_place_line_caret_expectation_and_mending(tmp_path: Path) -> None:
    shop = layer(tmp_path / "shop", MISTAKEN)
    given = proveout("rules", "check", shop, home=tmp_path)
    assert given.code == 1
    told = given.out.replace(str(shop), "shop").splitlines()
    at = next(n for n, line in enumerate(told) if "schema-key" in line)
    assert told[at : at + 5] == [
        "shop/drain.yaml:2:22: error: the key 'tittle' [schema-key]",
        "  2 |   - {id: roof-drain, tittle: Drain of the sunroof}",
        "    |                      ^^^^^^",
        "  expected: one of id, replaces, title, words, new_part_bad",
        "  mend:     did you mean 'title'?",
    ]
    assert given.err == "4 errors.\n"


def test_repetition_is_capped_and_counted(tmp_path: Path) -> None:
    rows = "".join(f"  - {{id: own-{n}, title: Part {n}, wrods: [x]}}\n" for n in range(40))
    shop = layer(tmp_path / "shop", f"components:\n{rows}")
    told = proveout("rules", "check", shop, "--most", 3, home=tmp_path).out
    assert told.count("error:") == 3
    assert "... and 37 more [schema-key]" in told
    assert len(json.loads(proveout("rules", "check", shop, "--json", home=tmp_path).out)["problems"]) == 40


def test_sarif_is_as_the_published_schema_says(tmp_path: Path) -> None:
    """The schema is that of the package @microsoft/jest-sarif: SARIF 2.1.0, rtm.5."""
    package = npm_package("@microsoft/jest-sarif")
    schema = json.loads((package / "lib/schemas/sarif-2.1.0-rtm.5.json").read_text("utf-8"))
    shop = layer(tmp_path / "a shop", MISTAKEN)
    given = proveout("rules", "check", shop, "--format", "sarif", home=tmp_path)
    document = json.loads(given.out)
    Draft4Validator(schema).validate(document)
    (run,) = document["runs"]
    key = next(result for result in run["results"] if result["ruleId"] == "schema-key")
    where = key["locations"][0]["physicalLocation"]
    region = where["region"]
    line = MISTAKEN.splitlines()[region["startLine"] - 1]
    assert line[region["startColumn"] - 1 : region["endColumn"] - 1] == "tittle"
    assert where["artifactLocation"]["uri"].endswith("/a%20shop/drain.yaml")
    assert run["tool"]["driver"]["rules"][key["ruleIndex"]]["id"] == "schema-key"


def test_junit_counts_a_failure_for_each_finding_and_a_pass_for_each_sound_file(tmp_path: Path) -> None:
    shop = layer(layer(tmp_path / "shop", MISTAKEN), "components: []\n# \x07\n", "empty.yaml")
    given = proveout("rules", "check", shop, "--format", "junit", home=tmp_path)
    root = ElementTree.fromstring(given.out)
    failures = [case for case in root.iter("testcase") if case.find("failure") is not None]
    assert len(failures) == int(root.get("failures", "")) >= 4
    assert len(list(root.iter("testcase"))) == int(root.get("tests", ""))
    sound = [case for case in root.iter("testcase") if case.get("name") == "sound"]
    assert len(sound) > 100


def test_what_needs_no_judgement_is_mended_and_nothing_else_is_touched(tmp_path: Path) -> None:
    shop = layer(tmp_path / "shop", MISTAKEN)
    layer(
        shop, "tools:\n  - {id: p-reader, title: Reader, words: [scanner, Scanner], basic: true}\n", "t.YAML"
    )
    given = proveout("rules", "check", shop, "--fix", home=tmp_path)
    mended = (shop / "drain.yaml").read_text("utf-8")
    wanted = MISTAKEN.replace("tittle", "title").replace("90..35", "35..90").replace("p1999", "P1999")
    assert mended == wanted
    assert sorted(path.name for path in shop.iterdir()) == ["drain.yaml", "t.yaml"]
    assert given.err.count("Mended: ") == 4
    # An unknown id is near to another and still not guessed at.
    layer(shop, mended.replace("component: roof-drain", "component: roof-drian"))
    proveout("rules", "check", shop, "--fix", home=tmp_path)
    assert "roof-drian" in (shop / "drain.yaml").read_text("utf-8")


def test_a_word_said_twice_is_taken_out_with_its_comma(tmp_path: Path) -> None:
    listed = "symptoms:\n  - id: own-hum\n    title: Humming of the roof\n    words: [roof hums, Roof hums]\n"
    text = (
        listed
        + "    seen_with: {filler-cap-seal-leaking: seldom}\n    otherwise: 0.01\n    source: own jobs\n"
    )
    shop = layer(tmp_path / "shop", text)
    proveout("rules", "check", shop, "--fix", home=tmp_path)
    assert (shop / "drain.yaml").read_text("utf-8") == text.replace("[roof hums, Roof hums]", "[roof hums]")


def test_fixing_the_shipped_book_is_refused(tmp_path: Path) -> None:
    assert proveout("rules", "check", "--fix", home=tmp_path).code == 2


@pytest.mark.skipif(sys.platform == "win32", reason="pexpect drives terminals of POSIX")
def test_watching_checks_again_after_a_change(tmp_path: Path) -> None:
    import pexpect

    shop = layer(tmp_path / "shop", "components: []\n")
    places = {"XDG_CACHE_HOME": str(tmp_path / "cache"), "XDG_DATA_HOME": str(tmp_path / "data")}
    program = str(Path(sys.executable).with_name("proveout"))
    child = pexpect.spawn(
        program,
        ["rules", "check", str(shop), "--watch"],
        env={**os.environ, **places},
        encoding="utf-8",
        timeout=120,
    )
    try:
        child.expect("No finding")
        child.expect("Waiting for a change")
        layer(shop, MISTAKEN)
        child.expect("schema-key")
        child.expect("4 errors")
        child.expect("Waiting for a change")
        child.sendintr()
        child.expect("Stopped")
        child.wait()
        assert child.exitstatus == 130
    finally:
        child.close(force=True)

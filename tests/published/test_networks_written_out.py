"""Networks written as BIF give the same confidences in pyagrum and pgmpy, two independent libraries.

Both read the file itself, with nothing but what it says was seen. Random networks: one to three abnormal
states; normal, abnormal and mixed evidence; sets of causes held to a size; what shows after a mending.
"""

from __future__ import annotations

import json
import random
import re
from pathlib import Path
from typing import Any

import pyagrum
import pytest
from msgspec.structs import replace

from helpers_cli import proveout, write_yaml
from helpers_weigh import a_cpt, a_network, random_network, told
from proveout.model.atom import COMES_BACK, STAYS_AWAY, WATCH, Observable
from proveout.model.belief import CPT, Evidence, Network
from proveout.model.problem import BadInputError
from proveout.show.bif import bif
from proveout.weigh.posteriors import posterior
from proveout.weigh.written_out import MOST_CAUSES, cause_name, written_out

#: The library carries no usable type hints.
GUM: Any = pyagrum


def seen_in(text: str) -> dict[str, str]:
    """Return what a file says was seen."""
    return dict(re.findall(r"^// seen: (\w+) = (\w+)$", text, re.MULTILINE))


def by_pyagrum(path: Path, *, as_read: bool = False) -> dict[str, float]:
    """Return the confidences by pyagrum, whose reader keeps seven figures: the file's are put in anew."""
    net, text = GUM.loadBN(str(path)), path.read_text()
    for header, block in re.findall(r"probability \( (.*?) \) \{\n(.*?)\n\}", text, re.DOTALL):
        name, *parents = re.findall(r"\w+", header)
        for given, row in re.findall(r"(?:\((.*?)\)|table) (.*?);", block):
            figures = [float(figure) for figure in row.split(", ")]
            at = dict(zip(parents, given.split(", "), strict=False))
            assert net.cpt(name)[at].tolist() == pytest.approx(figures, rel=0, abs=1e-6)
            if not as_read:
                net.cpt(name)[at] = figures
    engine = GUM.LazyPropagation(net)
    engine.setEvidence(seen_in(text))
    engine.makeInference()
    return {n: float(engine.posterior(n)[{n: "yes"}]) for n in net.names() if n.startswith("cause_")}


def by_pgmpy(path: Path) -> dict[str, float]:
    inference = pytest.importorskip("pgmpy.inference")
    net = pytest.importorskip("pgmpy.readwrite").BIFReader(str(path)).get_model()
    engine, seen = inference.VariableElimination(net), seen_in(path.read_text())
    found = {}
    for name in net.nodes():
        if name.startswith("cause_"):
            answer = engine.query([name], evidence=seen, show_progress=False)
            found[name] = float(answer.get_value(**{name: "yes"}))
    return found


def agree(network: Network, path: Path, *readers: Any) -> None:
    answer = posterior(network)
    path.write_text(bif(written_out(network, answer)))
    expected = {cause_name(cause): share for cause, share in answer.confidence().items()}
    for reader in readers:
        assert reader(path) == pytest.approx(expected, rel=0, abs=1e-9), reader
    assert by_pyagrum(path, as_read=True) == pytest.approx(expected, rel=0, abs=1e-5)


@pytest.mark.parametrize(("seed", "causes", "at_once"), [(1, 2, 2), (3, 5, 3)])
def test_both_libraries_read_the_same_confidences(
    seed: int, causes: int, at_once: int, tmp_path: Path
) -> None:
    network = replace(random_network(seed, causes, observables=4, parents=3), at_once=at_once)
    agree(network, tmp_path / "case.bif", by_pyagrum, by_pgmpy)


@pytest.mark.parametrize("seed", range(10))
def test_larger_ones(seed: int, tmp_path: Path) -> None:
    agree(replace(random_network(seed, 10, 8), at_once=3), tmp_path / "case.bif", by_pyagrum)


@pytest.mark.parametrize("since", [STAYS_AWAY, COMES_BACK])
def test_after_a_mending(since: str, tmp_path: Path) -> None:
    network = random_network(9, 4, 3, parents=2)
    cpt = CPT(Observable(WATCH, "c01"), (COMES_BACK,), (0.75,), {}, {}, ("c01", "c02"))
    watched = replace(network, evidence=(*network.evidence, Evidence(cpt, ((since, 1.0),))), at_once=2)
    assert posterior(watched).confidence() != pytest.approx(posterior(network).confidence(), abs=1e-3)
    agree(watched, tmp_path / "case.bif", by_pyagrum)


@pytest.mark.parametrize(
    "seen",
    [
        {"bad": 1.0},
        {"worse": 1.0},
        {"bad": 0.6, "worse": 0.4},
        {"fine": 0.3, "worse": 0.7},
        {"worst": 0.2, "bad": 0.8},
    ],
)
@pytest.mark.parametrize("at_once", [3, 20])
def test_an_observation_that_answers_to_many_causes(
    seen: dict[str, float], at_once: int, tmp_path: Path
) -> None:
    dice = random.Random(f"{sorted(seen.items())}")
    causes = [f"c{n:02}" for n in range(MOST_CAUSES + 4)]
    given = {cause: tuple(dice.choice((0.001, 0.03, 0.3, 0.32)) for _ in range(3)) for cause in causes}
    given["c05"] = (0.9, 0.05, 0.04999)  # of which nearly nothing is left for the normal state
    wide = a_cpt("x", given, (0.01, 0.001, 0.02))
    other = a_cpt("y", {"c01": 0.9, "c14": 0.5}, 0.02)
    priors = {cause: dice.choice((0.01, 0.05, 0.2)) for cause in causes}
    first = Evidence(wide, tuple(seen.items()))
    network = replace(
        a_network(priors, told(other)), evidence=(first, *a_network(priors, told(other)).evidence)
    )
    agree(replace(network, at_once=at_once if at_once == 3 else 5), tmp_path / "case.bif", by_pyagrum)


def test_both_libraries_read_one_that_answers_to_many_causes(tmp_path: Path) -> None:
    given = {f"c{n:02}": (0.3, 0.01 * n) for n in range(MOST_CAUSES + 1)}
    wide = a_network(dict.fromkeys(given, 0.05), told(a_cpt("x", given, (0.01, 0.01))))
    agree(replace(wide, at_once=2), tmp_path / "case.bif", by_pyagrum, by_pgmpy)


def test_what_cannot_be_written_is_refused() -> None:
    never = a_cpt("y", {"c": 0.0}, 0.0)
    impossible = a_network({"c": 0.1}, told(never))
    with pytest.raises(BadInputError, match="impossible"):
        written_out(impossible, posterior(impossible))


def test_a_case_from_the_command_line(tmp_path: Path) -> None:
    case = write_yaml(tmp_path / "car.yaml", {"codes": ["P0451"], "results": {"sensor-hose-look": "sound"}})
    out = tmp_path / "car.bif"
    assert proveout("rules", "network", case, "--out", out, home=tmp_path).code == 0
    told = proveout("why", case, "sensor-hose-cracked", "--json", home=tmp_path)
    share = by_pyagrum(out)["cause_sensor_hose_cracked"]
    stated = {one["id"]: one["confidence"] for one in json.loads(told.out)["causes"]}
    assert stated["sensor-hose-cracked"] == pytest.approx(share, rel=0, abs=1e-8)
    assert proveout("rules", "network", case, home=tmp_path).out == out.read_text()
    out.write_text("mine")
    assert proveout("rules", "network", case, "--out", out, home=tmp_path).code == 3, "another kind of file"

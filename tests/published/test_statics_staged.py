"""The published problems in stages: results add up over the structures that there were.

Sources stand with each entry in `statics.json`.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from tests.published.statics import ENTRIES, Published, measured
from trussio.analysis.run import analyse
from trussio.model.loading import LineLoad, LoadCase, RunId, Target
from trussio.model.staging import PutOn, Shore, Stage
from trussio.model.truss import JointId, MemberId, Truss

RAW = {
    example["id"]: example
    for example in json.loads((Path(__file__).parent / "statics.json").read_text(encoding="utf-8"))["examples"]
    if "stages" in example
}
SP03 = next(entry for entry in ENTRIES if entry.id == "SP03")


def staged() -> Truss:
    """SP03 with its stages: what each adds in supports, and its load."""
    first, second = RAW["SP03"]["stages"]
    truss = SP03.truss
    known = {support["joint"] for support in first["supports"]}
    new = tuple(JointId(support["joint"]) for support in second["supports"] if support["joint"] not in known)
    cases = dict(truss.loads.cases)
    for stage in (first, second):
        loads = tuple(
            LineLoad(on=Target(member=MemberId(load["member"])), direction="down", value=-load["qy"])
            for load in stage["case"]["member_loads"]
        )
        cases[RunId(stage["name"])] = LoadCase(loads=loads)
    names = [RunId(stage["name"]) for stage in (first, second)]
    stages = (Stage("one", (PutOn((names[0],)),)), Stage("two", (Shore(new), PutOn((names[1],)))))
    return replace(truss, loads=replace(truss.loads, cases=cases), stages=stages)


def test_there_is_one_problem_in_stages() -> None:
    assert list(RAW) == ["SP03"]


@pytest.mark.parametrize("values", ["published", "recomputed"])
@pytest.mark.parametrize(("stage", "run"), [("stage1", "one/now"), ("cumulative", "two/now")])
def test_the_staged_values_are_met(values: str, stage: str, run: str) -> None:
    runs = {RunId("run"): analyse(staged())[RunId(run)]}
    compared = 0
    for kind, names in RAW["SP03"][values]["cases"][stage].items():
        for name, figures in names.items():
            parts = figures if isinstance(figures, dict) else {"": figures}
            for part, figure in parts.items():
                if (kind, name, part) == ("displacements", "b", "rz"):
                    continue  # a pinned end has no turn of its own in the results
                found = measured(SP03, runs, ".".join(filter(None, ("run", kind, name, part))))
                assert SP03.agrees(found, figure), (kind, name, part, found, figure)
                compared += 1
    assert compared >= 3


def test_the_final_structure_loaded_at_once_is_something_else() -> None:
    """Propped from the start: 3 (w1 + w2) L / 8 on the prop, not 3 w2 L / 8."""
    runs = analyse(staged())
    at_once = sum(runs[RunId(case)].reactions[JointId("b")].y for case in ("stage1", "stage2"))
    assert at_once == pytest.approx(3 * 13 * 4 / 8)
    assert not SP03.agrees(at_once, RAW["SP03"]["published"]["cases"]["cumulative"]["reactions"]["b"]["y"])


def test_the_entry_is_the_one_that_the_corpus_has() -> None:
    assert isinstance(SP03, Published)
    assert SP03.strength == "memory"

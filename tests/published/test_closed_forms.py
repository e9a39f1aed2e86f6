"""Closed forms through the command line: analysed, rechecked and proved, each from a document as a person has it.

Every case says where its figures come from. A figure that is a thousandth off must be found to be off.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import trussio
from tests.published import closed_arches, closed_beams, closed_stages, closed_trusses
from tests.published.paper import Case, off
from trussio.document.results import read_results
from trussio.recheck.proof import main as check_proof

if TYPE_CHECKING:
    from pathlib import Path

    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId

CASES = {
    case.says: case
    for module in (closed_beams, closed_trusses, closed_arches, closed_stages)
    for case in module.CASES
}
NOT_PROVED = ("a straight tendon below the axis: F along, F e all along",)
"""A tendon that turns a hinged end, which the checker of proofs does not cover and the command line says."""


def written(case: Case, folder: Path) -> Path:
    path = folder / "truss.json"
    path.write_text(json.dumps(case.document), encoding="utf-8")
    return path


def analysed(case: Case, folder: Path) -> dict[RunId, RunForces]:
    ran = trussio("analyse", written(case, folder), "--json", *case.options)
    assert (ran.code, ran.err) == (0, "")
    return dict(read_results(ran.out.encode(), name="results").runs)


@pytest.mark.parametrize("name", CASES)
def test_figures_are_those_on_paper(name: str, tmp_path: Path) -> None:
    case = CASES[name]
    runs = analysed(case, tmp_path)
    assert off(case, runs) == []
    wrong = replace(case, figures={path: 1.001 * value for path, value in case.figures.items() if value})
    assert len(off(wrong, runs)) == len(wrong.figures)


@pytest.mark.parametrize("name", CASES)
def test_the_second_method_agrees_and_the_audit_has_no_stop(name: str, tmp_path: Path) -> None:
    case = CASES[name]
    path = written(case, tmp_path)
    ran = trussio("recheck", path, *case.options)
    assert ran.code == 0, ran.out + ran.err
    assert trussio("audit", path, *case.options).code == 0


@pytest.mark.parametrize("name", CASES)
def test_forces_are_proved(name: str, tmp_path: Path) -> None:
    case = CASES[name]
    path, proof = written(case, tmp_path), tmp_path / "proof.json"
    ran = trussio("recheck", path, "--prove", "-o", proof, *case.options)
    if name in NOT_PROVED or "stages" in case.document:
        assert ran.code == 4
        assert "not-provable" in ran.err
    else:
        assert ran.code == 0, ran.err
        assert check_proof([str(proof), str(path)]) == 0


def test_a_bearing_that_pulls_is_told_in_words(tmp_path: Path) -> None:
    """The foot of a beam with a loaded overhang: P/4 up is what something must hold down."""
    path = written(CASES["an overhang with a force at its tip"], tmp_path)
    told = trussio("analyse", path).out
    assert "  reaction at A: 0 kN right, -1.5 kN up; it must be held down there\n" in told
    assert "  reaction at B: 0 kN right, 7.5 kN up\n" in told

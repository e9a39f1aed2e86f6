"""Sticks that slip along others: least energy against the analysis, to rounding, whatever their fasteners."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import stages, stressed, tendon
from tests.strategies import random_truss, seeded
from trussio.analysis.run import analyse
from trussio.model.condition import Worn
from trussio.model.loading import JointLoad, LoadCase, RunId
from trussio.model.material import Section
from trussio.model.staging import Add, PutOn, TakeOff, Tension
from trussio.model.truss import MemberId
from trussio.recheck.energy import SecondForces
from trussio.recheck.stages import staged_forces

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, Member, Truss

D, S = RunId("D"), RunId("S")


def sistered(seed: int, idealisation: Idealisation, kind: str) -> Truss:
    """A generated truss with sisters along its straight chords that slip, stiff and soft; then more is put on."""
    rng = seeded(seed)
    truss = random_truss(seeded(seed), idealisation=idealisation, panels=5, stations=False, curved=False)
    members, work = dict(truss.members), [PutOn((D,))]
    adds = []
    for number, name in enumerate([name for name in truss.members if name.startswith(("top", "bottom"))][:3]):
        sister = MemberId(f"sister{number}")
        members[sister] = _like(members[name], kind)
        slip, along = (10 ** rng.uniform(2, 7), None) if number % 2 else (None, 10 ** rng.uniform(0, 4))
        adds.append(Add((sister,), beside=name, slip=slip, along=along))
    cases = {name: _without_moments(case) for name, case in truss.loads.cases.items()}
    made = replace(truss, members=members, loads=replace(truss.loads, cases=cases))
    if kind == "beside a tendon":
        rope = tendon("B0", "B5", area=300.0, E=2e5, sure=True)
        made = stressed(made, {"t": rope}, 1000.0)
        return stages(made, tuple(work), (*adds, Tension(("t",)), PutOn((S,))), (TakeOff((S,)),))
    return stages(made, tuple(work), (*adds, PutOn((S,))), (TakeOff((S,)),))


def _without_moments(case: LoadCase) -> LoadCase:
    """Where two sticks run through, each turns for itself and no joint takes a moment."""
    loads = tuple(replace(load, moment=0.0) if isinstance(load, JointLoad) else load for load in case.loads)
    return replace(case, loads=loads)


def _like(old: Member, kind: str) -> Member:
    """A sister like the old stick; a worn one bends as it is pulled."""
    if kind != "worn":
        return replace(old, fixed=())
    worn = Worn(start=10.0, end=500.0, section=Section(area=20.0, inertia=60.0), shift=1.5)
    return replace(old, fixed=(), worn=(worn,))


@pytest.mark.parametrize("kind", ["plain", "worn", "beside a tendon", "tension alone"])
@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_sisters_agree_with_the_analysis_to_rounding(idealisation: Idealisation, kind: str) -> None:
    compared = shared = 0
    for seed in range(8):
        truss = sistered(seed, idealisation, kind)
        if kind == "tension alone":
            one = {
                n: replace(m, acts="tension") if n.startswith("sister") else m for n, m in truss.members.items()
            }
            truss = replace(truss, members=one)
        analysed = analyse(truss, idealisation=idealisation)
        for run, found in staged_forces(truss, idealisation).items():
            assert isinstance(found, SecondForces), found
            compared += 1
            for name, force in found.axial.items():
                assert abs(analysed[run].segments[name].axial - force) <= 1e-12 * found.size, (seed, run, name)
                shared += name.startswith("sister") and abs(force) > 1e-4 * found.size
    assert compared > 30
    assert shared > 60

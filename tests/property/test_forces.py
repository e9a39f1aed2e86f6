"""Laws of forces, for both methods: seen otherwise the truss is the same, and the two methods agree."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.property.moving import mirrored, moved, renamed, reordered, turned
from tests.strategies import frame, random_truss, seeded, trusses
from trussio.analysis.run import analyse
from trussio.audit.rank import statics
from trussio.errors import CannotAnalyseError
from trussio.model.check_record import ForcesTable
from trussio.model.loading import JointLoad, LineLoad, LoadCase, Longer, RunId, SelfWeight, SupportMovement, Warmer
from trussio.model.truss import Support
from trussio.recheck.agreement import compare
from trussio.recheck.energy import second_forces

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from trussio.model.truss import Idealisation, SegmentId, Truss

    Axial = dict[RunId, dict[SegmentId, float]]
    Method = Callable[[Truss, Idealisation], Axial]

IDEALISATIONS: tuple[Idealisation, ...] = ("pinned", "continuous")


def by_stiffness(truss: Truss, idealisation: Idealisation) -> Axial:
    found = analyse(truss, idealisation=idealisation)
    return {run: {name: s.axial for name, s in forces.segments.items()} for run, forces in found.items()}


def by_energy(truss: Truss, idealisation: Idealisation) -> Axial:
    return {run: dict(f.axial) for run, f in second_forces(truss, idealisation=idealisation).items()}


METHODS = pytest.mark.parametrize("method", [by_stiffness, by_energy])
BOTH = pytest.mark.parametrize("idealisation", IDEALISATIONS)
FEW = settings(max_examples=15, deadline=None, derandomize=True)


def same(
    one: Mapping[SegmentId, float], other: Mapping[SegmentId, float], size: float, part: float = 1e-9
) -> None:
    """Two runs with the same forces, to a part of the numbers that they are made of."""
    assert list(one.values()) == pytest.approx(list(other.values()), rel=0, abs=part * size)


def sizes(truss: Truss, idealisation: Idealisation) -> dict[RunId, float]:
    return {run: found.size for run, found in second_forces(truss, idealisation=idealisation).items()}


@BOTH
@settings(max_examples=60, deadline=None, derandomize=True)
@given(data=st.data())
def test_the_two_methods_agree(data: st.DataObject, idealisation: Idealisation) -> None:
    """Axial forces, end moments, reactions and movements of generated trusses with every kind of load."""
    truss = data.draw(trusses(idealisation=idealisation))
    first = analyse(truss, idealisation=idealisation)
    second = second_forces(truss, idealisation=idealisation)
    reach = max(abs(joint.x) for joint in truss.joints.values())
    for run, found in second.items():
        same({name: s.axial for name, s in first[run].segments.items()}, found.axial, found.size)
        for name, reaction in found.reactions.items():
            ours = first[run].reactions[name]
            assert (ours.x, ours.y) == pytest.approx(reaction[:2], rel=0, abs=1e-9 * found.size)
            assert ours.turn == pytest.approx(reaction[2], rel=0, abs=1e-9 * found.size * reach)
        if idealisation == "continuous":
            for segment, moments in found.moments.items():
                assert first[run].segments[segment].moment == pytest.approx(
                    moments, rel=0, abs=1e-9 * found.size * reach
                )
        for joint, (x, y, turn) in found.movements.items():
            ours_there = first[run].joints[joint]
            near = 1e-9 * max(abs(part) for m in found.movements.values() for part in m[:2])
            assert (ours_there.dx, ours_there.dy) == pytest.approx((x, y), rel=0, abs=near + 1e-13)
            assert (ours_there.turn is None) == (turn is None)


def test_the_two_methods_agree_on_a_hundred_frames_of_forty_joints() -> None:
    """To 1e-11 of the largest force, in a combination of loads along sticks and at joints, drifted and pushed."""
    run = RunId("all")
    worst = 0.0
    for seed in range(100):
        truss = frame(seed)
        factors = {case: 1.0 for case in truss.loads.cases if case != "X"}
        truss = replace(truss, loads=replace(truss.loads, combinations={run: factors}))
        first = analyse(truss, idealisation="continuous", runs=[run])[run]
        second = second_forces(truss, idealisation="continuous", runs=[run])[run].axial
        largest = max(abs(force) for force in second.values())
        worst = max(worst, *(abs(first.segments[name].axial - force) / largest for name, force in second.items()))
    assert worst < 1e-11


@METHODS
@BOTH
@FEW
@given(data=st.data())
def test_a_mirrored_truss_has_the_same_forces(
    data: st.DataObject, method: Method, idealisation: Idealisation
) -> None:
    truss = data.draw(trusses(idealisation=idealisation, most_panels=4))
    size = sizes(truss, idealisation)
    one, other = method(truss, idealisation), method(mirrored(truss), idealisation)
    for run in one:
        same(one[run], other[run], size[run])


@METHODS
@BOTH
@FEW
@given(data=st.data())
def test_a_moved_truss_has_the_same_forces(
    data: st.DataObject, method: Method, idealisation: Idealisation
) -> None:
    """Moved by a whole number of units, so that the coordinates are exactly those of the same truss."""
    truss = data.draw(trusses(idealisation=idealisation, most_panels=4, stations=False))
    size = sizes(truss, idealisation)
    one, other = method(truss, idealisation), method(moved(truss, 4096.0, -512.0), idealisation)
    for run in one:
        same(one[run], other[run], size[run])


@METHODS
@BOTH
@FEW
@given(data=st.data(), prefix=st.sampled_from(["a", "Z", "9", "é "]))
def test_names_and_order_do_not_matter(
    data: st.DataObject, prefix: str, method: Method, idealisation: Idealisation
) -> None:
    truss = data.draw(trusses(idealisation=idealisation, most_panels=4))
    size = sizes(truss, idealisation)
    one = method(truss, idealisation)
    other = method(renamed(truss, prefix), idealisation)
    about = method(reordered(truss), idealisation)
    for run in one:
        same(one[run], other[run], size[run])
        same(one[run], {name: about[run][name] for name in one[run]}, size[run])


def only_what_turns(truss: Truss) -> Truss:
    """Without springs along x and y, and with no load but those that can be named in any direction."""

    def rigid(support: Support) -> Support:
        names = [name for name in support.springs if name != "turn" and name not in support.holds]
        return Support(holds=(*support.holds, *names))

    cases = {
        name: replace(
            case,
            loads=tuple(
                load
                for load in case.loads
                if isinstance(load, JointLoad | Longer | Warmer)
                or (isinstance(load, LineLoad) and load.direction == "across")
            ),
        )
        for name, case in truss.loads.cases.items()
    }
    supports = {name: rigid(support) for name, support in truss.supports.items()}
    return replace(truss, supports=supports, loads=replace(truss.loads, cases=cases))


@METHODS
@BOTH
@FEW
@given(data=st.data(), angle=st.sampled_from([0.1, -0.7, 1.5707963267948966, 3.0]))
def test_a_turned_truss_has_the_same_forces(
    data: st.DataObject, angle: float, method: Method, idealisation: Idealisation
) -> None:
    drawn = data.draw(trusses(idealisation=idealisation, curved=False, most_panels=4))
    truss = only_what_turns(drawn)
    size = sizes(truss, idealisation)
    one, other = method(truss, idealisation), method(turned(truss, angle), idealisation)
    for run in one:
        same(one[run], other[run], size[run])


@METHODS
@BOTH
@FEW
@given(data=st.data())
def test_combinations_are_sums_and_loads_of_one_case_add_up(
    data: st.DataObject, method: Method, idealisation: Idealisation
) -> None:
    """A combination, and one case with the loads of two, are the sum of the two."""
    truss = data.draw(trusses(idealisation=idealisation, most_panels=4))
    together = LoadCase(loads=tuple(load for case in truss.loads.cases.values() for load in case.loads))
    cases = {**truss.loads.cases, RunId("together"): together}
    truss = replace(truss, loads=replace(truss.loads, cases=cases))
    size = max(sizes(truss, idealisation).values())
    found = method(truss, idealisation)
    factors = {**truss.loads.combinations, RunId("together"): dict.fromkeys(list(cases)[:-1], 1.0)}
    for run, of in factors.items():
        total = {name: sum(f * found[case][name] for case, f in of.items()) for name in found[run]}
        same(found[run], total, size)


def results_as_table(truss: Truss, idealisation: Idealisation) -> ForcesTable:
    """What the analysis claims, at full precision."""
    runs = by_stiffness(truss, idealisation)
    return ForcesTable(name="results.json", digest="sha256:r", runs=runs, rounding={}, idealisation=idealisation)


def verdict(truss: Truss, table: ForcesTable, idealisation: Idealisation) -> str:
    return compare(truss, table, idealisation=idealisation, state="found", model_digest="sha256:m").verdict


@BOTH
@settings(max_examples=30, deadline=None, derandomize=True)
@given(data=st.data())
def test_results_agree_and_a_changed_swapped_or_flipped_force_is_caught(
    data: st.DataObject, idealisation: Idealisation
) -> None:
    truss = data.draw(trusses(idealisation=idealisation))
    table = results_as_table(truss, idealisation)
    assert verdict(truss, table, idealisation) == "agrees"
    run = data.draw(st.sampled_from(sorted(table.runs)))
    size = sizes(truss, idealisation)[run]
    forces = dict(table.runs[run])
    telling = sorted(name for name, force in forces.items() if abs(force) > 1e-4 * size)
    if len(telling) < 2:
        return
    one, other = data.draw(st.lists(st.sampled_from(telling), min_size=2, max_size=2, unique=True))
    spoilt = [{one: forces[one] * 1.01}, {one: forces[one] * 0.99}, {one: -forces[one]}]
    if abs(forces[one] - forces[other]) > 1e-4 * size:
        spoilt.append({one: forces[other], other: forces[one]})
    for change in spoilt:
        changed = replace(table, runs={**table.runs, run: {**forces, **change}})
        assert verdict(truss, changed, idealisation) == "disagrees"


@pytest.mark.parametrize("seed", range(30))
def test_forces_of_a_truss_with_a_support_dropped_are_caught(seed: int) -> None:
    """The claim was found with one hold fewer: either that could not stand, or the forces disagree."""
    truss = random_truss(seeded(seed), idealisation="continuous", panels=4)
    for name in truss.supports:
        fewer = {joint: held for joint, held in truss.supports.items() if joint != name}
        cases = {
            run: replace(
                case,
                loads=tuple(
                    load for load in case.loads if not (isinstance(load, SupportMovement) and load.support == name)
                ),
            )
            for run, case in truss.loads.cases.items()
        }
        dropped = replace(truss, supports=fewer, loads=replace(truss.loads, cases=cases))
        if statics(dropped, "continuous").mechanisms:
            with pytest.raises(CannotAnalyseError, match="can move without strain"):
                second_forces(dropped, idealisation="continuous")
        else:
            table = results_as_table(dropped, "continuous")
            assert verdict(truss, table, "continuous") == "disagrees"


@pytest.mark.parametrize("seed", range(30))
def test_a_hold_dropped_from_a_bearing_that_holds_too_much_is_caught(seed: int) -> None:
    """Both ends held sideways against one rolling: the thrust is in every member of the bottom chord."""
    truss = random_truss(seeded(seed), idealisation="pinned", panels=3)
    last = list(truss.joints)[max(i for i, name in enumerate(truss.joints) if name == f"B{3}")]
    both = replace(truss, supports={**truss.supports, last: Support(holds=("x", "y"))})
    rolling = replace(truss, supports={**truss.supports, last: Support(holds=("y",))})
    heavy = {RunId("D"): LoadCase(loads=(SelfWeight(of="all"),))}
    both, rolling = (replace(t, loads=replace(t.loads, cases=heavy, combinations={})) for t in (both, rolling))
    assert verdict(both, results_as_table(both, "pinned"), "pinned") == "agrees"
    assert verdict(both, results_as_table(rolling, "pinned"), "pinned") == "disagrees"

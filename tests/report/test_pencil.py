"""The pencil check gives what a pencil gives, and nothing where a pencil would not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drawing import roofs
from tests.report import assessments
from trussio.model.forces import RunForces
from trussio.model.loading import JointLoad, LoadCase, Loads, RunId
from trussio.model.truss import JointId, MemberId, Truss
from trussio.report.pencil import midspan_section, sums

RUN = RunId("D+S")


def of(roof: Truss) -> tuple[dict[JointId, tuple[float, float]], RunForces]:
    return assessments.applied(roof)[RUN], roofs.balance(roof)


def test_loads_and_reactions_add_up_to_nothing() -> None:
    total = sums(*of(roofs.bowstring()))
    assert total.loads == (0.0, -3400.0 * 3 - 1700.0 * 4)
    assert total.reactions == pytest.approx((0.0, 17000.0), abs=1e-6)


def test_moment_over_depth_is_the_tie_force_of_a_king_post() -> None:
    """By hand: about T1 the left reaction at 1.5 m, less its level part at 1 m, over the depth of 1 m."""
    roof = roofs.king_post()
    applied, forces = of(roof)
    found = midspan_section(roof, applied, forces)
    assert found is not None
    reaction = forces.reactions[JointId("B0")]
    assert (found.joint, found.segment.id, found.depth) == ("T1", "tie:B0-B1", 1000.0)
    assert found.moment == pytest.approx(reaction.y * 1500.0 - reaction.x * 1000.0)
    assert found.force == pytest.approx(15000.0)
    assert found.axial == pytest.approx(15000.0)


@pytest.mark.parametrize("panels", [6, 8, 10])
def test_the_cut_of_a_bowstring_gives_the_chord_between_pins_exactly(panels: int) -> None:
    roof = roofs.bowstring(panels)
    found = midspan_section(roof, *of(roof))
    assert found is not None
    assert found.joint == f"T{panels // 2}"
    assert found.force == pytest.approx(found.axial, rel=1e-9)


def test_a_wrong_chord_force_shows() -> None:
    roof = roofs.bowstring()
    applied, forces = of(roof)
    wrong = replace(
        forces,
        segments={name: one._replace(axial=1.01 * one.axial) for name, one in forces.segments.items()},
    )
    found = midspan_section(roof, applied, wrong)
    assert found is not None
    assert abs(found.force / found.axial - 1) == pytest.approx(0.0099, abs=1e-4)


def test_a_wrong_load_shows() -> None:
    roof = roofs.bowstring()
    applied, forces = of(roof)
    doubled = {joint: (x, 2 * y) for joint, (x, y) in applied.items()}
    found = midspan_section(roof, doubled, forces)
    assert found is not None
    assert abs(found.force - found.axial) > 0.2 * found.axial
    total = sums(doubled, forces)
    assert total.loads[1] + total.reactions[1] == pytest.approx(-17000.0)


def test_there_is_no_cut_without_chords() -> None:
    roof = roofs.nameless()
    assert midspan_section(roof, {}, roofs.balance(roof)) is None


def test_there_is_no_cut_where_every_one_frees_two_sticks() -> None:
    roof = roofs.bowstring()
    crossed = {
        MemberId(f"x{i}"): roofs.member(f"B{i}", f"T{i + 2}", role="web", section="web") for i in range(1, 6)
    }
    members = {**roof.members, **crossed}
    assert midspan_section(replace(roof, members=members), *of(roof)) is None


def test_there_is_no_cut_where_a_moment_stands_at_a_joint() -> None:
    roof = roofs.bowstring()
    applied, forces = of(roof)
    turned = LoadCase(loads=(JointLoad(joint=JointId("T3"), moment=1000.0),))
    roof = replace(roof, loads=Loads(cases={RUN: turned}))
    assert midspan_section(roof, applied, forces) is None

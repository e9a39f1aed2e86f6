"""Butts of single plies: the unbroken plies and the connection across, never more than the cut ply."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.timber.roof import BOTTOM, CHORD, axial, metric, metric_results, results, truss
from trussio.document.connections_conversion import converted_along
from trussio.document.conversion import FORCE, LENGTH, STRESS, Conversion
from trussio.model.check import Check
from trussio.model.connection import Butt, Connection, Fasteners, Laminations, Piece
from trussio.model.forces import SegmentForces
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MemberId, Truss
from trussio.timber.bench import Conditions
from trussio.timber.butts import moment_at
from trussio.timber.eurocode_dowels import (
    effective_number,
    embedment_strength,
    timber_single_shear,
    yield_moment,
)
from trussio.timber.review import review

SAID = Conditions(wet=False, temperature=70.0)
NAME = MemberId("bottom")
BOLTS = Fasteners(kind="bolt", diameter=0.75, count=4, spacing=4.0)
LAP = Connection(
    pieces=(Piece(member=NAME, ply=1, end=7.0, edge=4.0), Piece(member=NAME, ply=2, edge=4.0)),
    fasteners=BOLTS,
)
OTHER = Connection(
    pieces=(Piece(member=NAME, ply=2, end=7.0, edge=4.0), Piece(member=NAME, ply=1, edge=4.0)),
    fasteners=BOLTS,
)
PLY = 675 * 1.15 * 1.1 * 2.625 * 9.5
NET = PLY * (9.5 - 13 / 16) / 9.5
"""A ply with the hole of one bolt of 3/4 in, 1/16 in oversize."""
FC = 1500 * 1.15 * 1.0 * 2.625 * 9.5


def cut(*butts: Butt, plies: int = 2, laminations: Laminations | None = None) -> Truss:
    roof = truss(chord=replace(CHORD, plies=plies, gap=0.0))
    made = replace(roof.members[NAME], butts=butts or None, laminations=laminations)
    return replace(roof, members={**roof.members, NAME: made})


def found(roof: Truss, force: float, element: str = BOTTOM) -> list[Check]:
    checks = review(roof, results(roof, {"D+S": {element: axial(force)}}), SAID)
    return [check for check in checks if check.element == element and " at the butt of ply" in check.what]


def test_without_a_connection_the_unbroken_plies_carry_alone() -> None:
    roof = cut(Butt(ply=1, at=40.0))
    assert [check.verdict for check in found(roof, PLY)] == ["met"]
    [beyond] = found(roof, PLY * 1.001)
    assert (beyond.verdict, beyond.run, beyond.what) == (
        "not evaluated",
        "D+S",
        "tension at the butt of ply 1 at 40",
    )
    assert "enter what brings the cut ply's force past its butt" in beyond.reason
    assert f"what is known carries {PLY:.0f} lbf" in beyond.reason


def test_the_connection_across_adds_what_it_gives() -> None:
    """Four bolts of 3/4 in, 2-5/8 in on 2-5/8 in along the grain, full distances, with their group action."""
    [check] = found(cut(Butt(ply=1, at=40.0, across=LAP)), PLY)
    assert check.capacity is not None
    assert check.derivation.figure("ply 2") == pytest.approx(NET)
    given = check.capacity - NET
    alone = check.derivation.figure("Z") * 4 * 1.15 * check.derivation.figure("Cg")
    assert given == pytest.approx(alone)
    assert 0.8 < check.derivation.figure("Cg") < 1.0
    limit = check.capacity
    assert [one.verdict for one in found(cut(Butt(ply=1, at=40.0, across=LAP)), limit)] == ["met"]
    assert [one.verdict for one in found(cut(Butt(ply=1, at=40.0, across=LAP)), limit * 1.001)] == ["not met"]


def test_never_more_than_the_cut_ply() -> None:
    many = LAP._replace(fasteners=replace(BOLTS, count=90))
    strong = LAP._replace(fasteners=replace(BOLTS, count=90, rows=5, gauge=1.2))
    for across in (many, strong):
        [check] = found(cut(Butt(ply=1, at=40.0, across=across)), 100.0)
        assert check.capacity is not None
        assert check.capacity <= 2 * PLY * (1 + 1e-12)


def test_distances_that_the_standard_refuses_give_nothing() -> None:
    near = LAP._replace(pieces=(LAP.pieces[0]._replace(end=2.6), LAP.pieces[1]))
    [check] = found(cut(Butt(ply=1, at=40.0, across=near)), PLY)
    assert check.capacity == pytest.approx(NET)
    assert [one.verdict for one in found(cut(Butt(ply=1, at=40.0, across=near)), NET * 1.001)] == ["not met"]


def test_wood_that_tears_out_before_the_bolts_give_way_counts() -> None:
    """Two rows of two bolts with weak wood in shear: 2 rows x n Fv' t s, with Fv 60 psi stated."""
    weak = Material(
        kind="sawn", species="Douglas Fir-Larch", grade="No. 1", E=1.7e6, reference={"Fv": 60.0}, source="graded"
    )
    two = LAP._replace(
        pieces=(LAP.pieces[0]._replace(end=5.25, edge=3.0), LAP.pieces[1]._replace(edge=3.0)),
        fasteners=replace(BOLTS, rows=2, gauge=3.0),
    )
    roof = cut(Butt(ply=1, at=40.0, across=two))
    roof = replace(roof, materials=dict.fromkeys(roof.materials, weak))
    [check] = found(roof, PLY)
    rows = 2 * 2 * 60 * 1.15 * 2.625 * 4.0
    assert check.derivation.figure("across 1") == pytest.approx(rows)
    assert check.capacity == pytest.approx(rows + PLY * (9.5 - 2 * 13 / 16) / 9.5)


def test_rings_across_count_where_somebody_saw_them_and_else_their_bolts_alone() -> None:
    """Two 2-1/2 in rings, group B, 2-5/8 in thick, 12 in apart and from the end: 2 x 2730 x 1.15 Cg."""
    rings = Fasteners(kind="split ring", diameter=0.5, connector=2.5, count=2, spacing=12.0)
    pieces = (LAP.pieces[0]._replace(end=12.0), LAP.pieces[1])
    seen = LAP._replace(pieces=pieces, fasteners=rings, evidence="detected")
    [check] = found(cut(Butt(ply=1, at=40.0, across=seen)), 100.0)
    Cg = check.derivation.figure("Cg")
    assert check.derivation.figure("across 1") == pytest.approx(2 * 2730 * 1.15 * Cg)
    [alone] = found(cut(Butt(ply=1, at=40.0, across=seen._replace(evidence="inferred"))), 100.0)
    assert alone.derivation.figure("across 1") == pytest.approx(2 * alone.derivation.figure("Z") * 1.15, rel=0.01)
    assert any(line.formula == "bolts alone: nobody saw the split rings" for line in alone.derivation.lines)
    [torn] = found(
        cut(Butt(ply=1, at=40.0, across=seen._replace(pieces=(pieces[0]._replace(end=7.0), pieces[1])))), 100.0
    )
    assert torn.derivation.figure("across 1") == pytest.approx(2 * 180 * 1.15 / 2 * 3.25 * 7.0)


def test_steel_plates_across_must_carry_too() -> None:
    """A thin strap gives way on its net section, 0.5 Fu (depth - D - 1/8) t each side, before bolts and wood."""
    strap = Piece(plate="steel", thickness=0.06, depth=1.25, Fu=58000.0, Fy=36000.0, end=2.0, edge=0.6)
    both = Connection(pieces=(strap, LAP.pieces[0], strap), fasteners=BOLTS)
    [check] = found(cut(Butt(ply=1, at=40.0, across=both)), PLY)
    assert check.derivation.figure("across 1") == pytest.approx(2 * 0.5 * 58000 * (1.25 - 0.875) * 0.06)
    unknown = both._replace(pieces=(strap._replace(Fy=None), LAP.pieces[0], strap))
    [beyond] = found(cut(Butt(ply=1, at=40.0, across=unknown)), PLY * 1.001)
    assert beyond.verdict == "not evaluated"
    assert "enter the yield strength Fy of the plate" in beyond.reason


def bent(moment: tuple[float, float], peak: float, at: float) -> SegmentForces:
    """Tension of a whole ply with a moment that runs straight from end to end of 96 in."""
    shear = (moment[1] - moment[0]) / 96.0
    return SegmentForces(
        axial=PLY / 2,
        axial_ends=(PLY / 2, PLY / 2),
        shear=(shear, shear),
        moment=moment,
        moment_peak=peak,
        moment_peak_at=at,
    )


def test_the_unbroken_plies_alone_carry_the_bending_at_a_butt() -> None:
    roof = cut(Butt(ply=1, at=24.0))
    checks = review(roof, results(roof, {"D+S": {BOTTOM: bent((8000.0, 0.0), 8000.0, 0.0)}}), SAID)
    [check] = [one for one in checks if one.what == "tension with bending at the butt of ply 1 at 24"]
    fb = 6000.0 / (2.625 * 9.5**2 / 6)
    assert check.ratio == pytest.approx(0.5 + fb / (1000 * 1.15 * 1.1))
    assert (check.reads, check.verdict) == ("interaction 0.62", "met")
    none = review(roof, results(roof, {"D+S": {BOTTOM: bent((0.0, 0.0), 0.0, 0.0)}}), SAID)
    assert not [one for one in none if "with bending at the butt" in one.what]


def test_where_every_ply_is_cut_bending_stays_open() -> None:
    roof = cut(Butt(ply=1, at=20.0, across=LAP), Butt(ply=2, at=30.0, across=OTHER))
    checks = review(roof, results(roof, {"D+S": {BOTTOM: bent((800.0, 800.0), 800.0, 0.0)}}), SAID)
    found = [one for one in checks if "with bending at the butt" in one.what]
    assert {(one.verdict, one.reason) for one in found} == {
        ("not evaluated", "no ply runs through here to carry the bending: enter how far apart the butts stand")
    }
    assert [one.demand for one in found] == pytest.approx([800.0, 800.0])


def test_the_moment_at_a_place_is_that_of_an_even_load_and_else_the_greatest() -> None:
    """A simple beam of 96 in under 10 lbf/in: M(24) = 480 x 24 - 5 x 24^2; else the greatest."""
    even = SegmentForces(
        axial=0.0,
        axial_ends=(0.0, 0.0),
        shear=(480.0, -480.0),
        moment=(0.0, 0.0),
        moment_peak=11520.0,
        moment_peak_at=48.0,
    )
    assert moment_at(even, 24.0, 96.0) == pytest.approx(480 * 24 - 5 * 24**2)
    assert moment_at(even._replace(moment_peak=23040.0), 24.0, 96.0) == 23040.0


def test_butts_near_each_other_are_one_section_and_said_so() -> None:
    apart = cut(Butt(ply=1, at=20.0, across=LAP), Butt(ply=2, at=60.0, across=OTHER))
    beside = cut(Butt(ply=1, at=20.0, across=LAP), Butt(ply=2, at=38.0, across=OTHER))
    words = "butts of plies 1, 2 lie so near that all of them are cut in one section"
    assert not any(words in check.remarks for check in found(apart, 100.0))
    close = found(beside, 100.0)
    assert len(close) == 2
    assert all(words in check.remarks for check in close)
    assert {round(check.capacity or 0) for check in close} != {round(c.capacity or 0) for c in found(apart, 100.0)}


@pytest.mark.parametrize(("distance", "near"), [(18.99, True), (19.0, False)])
def test_the_reach_ends_with_the_last_fastener(distance: float, *, near: bool) -> None:
    """7 in to the first bolt and three spacings of 4 in are 19 in."""
    roof = cut(Butt(ply=1, at=20.0, across=LAP), Butt(ply=2, at=20.0 + distance, across=OTHER))
    assert any("one section" in remark for check in found(roof, 100.0) for remark in check.remarks) == near


def test_compression_crosses_where_the_butt_is_tight() -> None:
    tight, loose = cut(Butt(ply=1, at=40.0, tight=True)), cut(Butt(ply=1, at=40.0, tight=False))
    [check] = found(tight, -100.0)
    assert check.capacity == pytest.approx(1.75 * FC)
    assert [one.verdict for one in found(loose, -FC)] == ["met"]
    assert [one.verdict for one in found(loose, -FC * 1.001)] == ["not evaluated"]


def test_cut_laminations_are_read_as_cut_plies() -> None:
    made = Laminations(bent=True, cuts=(Butt(ply=3, at=10.0), Butt(ply=1, at=30.0)), reach=15.0)
    checks = found(cut(plies=4, laminations=made), 100.0)
    assert [check.capacity for check in checks] == pytest.approx([3 * PLY, 3 * PLY])
    nearer = found(cut(plies=4, laminations=replace_reach(made, 25.0)), 100.0)
    assert [check.capacity for check in nearer] == pytest.approx([2 * PLY, 2 * PLY])


def replace_reach(made: Laminations, reach: float) -> Laminations:
    return made._replace(reach=reach)


def test_a_butt_at_a_joint_belongs_to_the_segment_that_begins_there() -> None:
    roof = cut(Butt(ply=1, at=JointId("B1")))
    assert not found(roof, 100.0)
    [check] = found(roof, 100.0, "bottom:B1-B2")
    assert check.what == "tension at the butt of ply 1 at 96"
    assert found(cut(Butt(ply=1, at=JointId("B2"))), 100.0, "bottom:B1-B2")


def european(*butts: Butt) -> Truss:
    """Two plies of C24, 50 x 200 mm, under factored loads."""
    wood = Material(kind="sawn", grade="C24", species="spruce")
    made = truss(
        material=wood,
        chord=Section(width=50.0, depth=200.0, plies=2),
        combinations={"U": {"D": 1.35, "S": 1.5}},
    )
    member = replace(made.members[NAME], butts=butts)
    return replace(made, units="si", members={**made.members, NAME: member})


def of_european(roof: Truss, forces: SegmentForces) -> dict[str, Check]:
    checks = review(roof, results(roof, {"U": {BOTTOM: forces}}), Conditions(service_class=2))
    return {check.what: check for check in checks if " at the butt of ply" in check.what}


FT0D, FC0D, FMD = 14.5 * 0.9 / 1.3, 21 * 0.9 / 1.3, 24 * 0.9 / 1.3


def test_a_cut_ply_of_a_european_class_leaves_the_other() -> None:
    roof = european(Butt(ply=1, at=40.0))
    for force, verdict in ((FT0D * 9999.9999, "met"), (FT0D * 10001, "not evaluated")):
        check = of_european(roof, axial(force))["tension at the butt of ply 1 at 40"]
        assert check.verdict == verdict
    tight = european(Butt(ply=1, at=40.0, tight=True))
    pressed = of_european(tight, axial(-1000.0))["compression at the butt of ply 1 at 40"]
    assert pressed.capacity == pytest.approx(2 * FC0D * 10000)


def test_bolts_across_a_european_butt_bring_their_part() -> None:
    """Two M12 in single shear between the plies, per plane 50 on 50 mm, nef of two at 60 mm."""
    lap = Connection(
        pieces=(Piece(member=NAME, ply=1, end=90.0, edge=100.0), Piece(member=NAME, ply=2, edge=100.0)),
        fasteners=Fasteners(kind="bolt", diameter=12.0, count=2, spacing=60.0, Fu=400.0),
    )
    roof = european(Butt(ply=1, at=40.0, across=lap))
    fh, My = embedment_strength(rho_k=350.0, diameter=12.0), yield_moment(fu=400.0, diameter=12.0)
    one = timber_single_shear(fh1=fh, fh2=fh, t1=50, t2=50, diameter=12.0, My=My, Fax=0.0, rope="bolt")
    nef = effective_number(count=2, spacing=60.0, diameter=12.0)
    check = of_european(roof, axial(1000.0))["tension at the butt of ply 1 at 40"]
    assert check.derivation.figure("across 1") == pytest.approx(nef.value * one.F.value * 0.9 / 1.3)
    assert check.capacity == pytest.approx(FT0D * 10000 + nef.value * one.F.value * 0.9 / 1.3)


def test_bending_stays_with_the_plies_of_a_european_stick_that_run_through() -> None:
    forces = axial(50000.0)._replace(moment=(1e6, 1e6), moment_peak=1e6)
    check = of_european(european(Butt(ply=1, at=24.0)), forces)["tension with bending at the butt of ply 1 at 24"]
    sigma = 1e6 / (50 * 200**2 / 6)
    assert check.ratio == pytest.approx(50000 / (FT0D * 10000) + sigma / FMD)


def test_us_and_si_agree() -> None:
    roof = cut(Butt(ply=1, at=40.0, across=LAP), Butt(ply=2, at=50.0, tight=True))
    convert = Conversion("si")
    si = metric(roof)
    moved = converted_along(si.members[NAME], convert, (LENGTH, FORCE, STRESS))
    si = replace(si, members={**si.members, NAME: moved})
    for force in (9000.0, -9000.0):
        forces = results(roof, {"D+S": {BOTTOM: axial(force)}})
        in_us = [c.ratio for c in review(roof, forces, SAID) if "butt of ply" in c.what]
        in_si = [c.ratio for c in review(si, metric_results(forces), SAID) if "butt of ply" in c.what]
        assert [ratio or -1.0 for ratio in in_us] == pytest.approx([ratio or -1.0 for ratio in in_si], rel=1e-8)


@given(gap=st.floats(0.0, 0.5), end=st.floats(2.7, 7.0))
def test_looseness_and_short_ends_never_help(gap: float, end: float) -> None:
    worse = LAP._replace(
        pieces=(LAP.pieces[0]._replace(end=end), LAP.pieces[1]), fasteners=replace(BOLTS, gap=gap)
    )
    [check] = found(cut(Butt(ply=1, at=40.0, across=worse)), PLY)
    [sound] = found(cut(Butt(ply=1, at=40.0, across=LAP)), PLY)
    assert check.capacity is not None
    assert sound.capacity is not None
    assert NET * (1 - 1e-12) <= check.capacity <= sound.capacity * (1 + 1e-12)

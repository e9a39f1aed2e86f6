"""The review of connections: what crosses them, what they may carry, and what stays open and says why."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.timber.roof import (
    BOTTOM,
    CHORD,
    LEFT,
    STRUT,
    WEB,
    axial,
    metric,
    metric_results,
    results,
    truss,
)
from trussio.document.connections_conversion import converted_connection
from trussio.document.conversion import FORCE, LENGTH, STRESS, Conversion
from trussio.model.check import Check
from trussio.model.connection import Connection, EndBearing, Evidence, Fasteners, Piece, WallSeat
from trussio.model.forces import Reaction, SegmentForces
from trussio.model.loading import RunId
from trussio.model.truss import JointId, MemberId, Truss
from trussio.timber.bench import Conditions
from trussio.timber.joints import ends_at, force_on_joint
from trussio.timber.review import bench_of, checks_of, review

SAID = Conditions(wet=False, temperature=70.0)
BOLT = Fasteners(kind="bolt", diameter=0.75, count=1)
FOOT = Connection(
    joint=JointId("B1"),
    pieces=(
        Piece(member=MemberId("bottom"), edge=4.0),
        Piece(member=MemberId("web"), end=5.25, edge=2.75),
    ),
    fasteners=BOLT,
    evidence="seen",
)
HEEL = Connection(
    joint=JointId("B0"),
    pieces=(
        Piece(member=MemberId("bottom"), end=5.25, edge=4.0),
        Piece(member=MemberId("left"), end=5.25, edge=4.0),
    ),
    fasteners=BOLT,
    evidence="seen",
)


def with_one(connection: Connection, roof: Truss | None = None) -> Truss:
    return replace(roof or truss(), connections={"c": connection})


def reviewed(roof: Truss, forces: dict[str, SegmentForces]) -> tuple[Check, ...]:
    return review(roof, results(roof, {"D+S": forces}), SAID)


def of(checks: tuple[Check, ...], what: str = "", element: str = "/connections/c") -> list[Check]:
    return [check for check in checks if check.element == element and check.what.startswith(what)]


def capacity(connection: Connection, force: float = 1000.0, roof: Truss | None = None) -> float:
    [check] = of(reviewed(with_one(connection, roof), {STRUT: axial(force)}), "fasteners")
    assert check.capacity is not None
    return check.capacity


def test_a_stick_pulls_its_joint_towards_itself_and_its_shear_pushes_across() -> None:
    """A beam of span L under a load in its middle has V = R at its first end and pushes its bearing down by R."""
    roof = truss()
    forces = axial(600.0, shear=80.0)
    bench, _ = bench_of(with_one(FOOT, roof), results(roof, {"D+S": {BOTTOM: forces, STRUT: axial(50.0)}}), SAID)
    ends = ends_at(roof)
    first = ends[MemberId("bottom"), JointId("B0")]
    assert force_on_joint(bench, RunId("D+S"), first) == pytest.approx((600.0, -80.0))
    through = ends[MemberId("bottom"), JointId("B1")]
    assert force_on_joint(bench, RunId("D+S"), through) == pytest.approx((-600.0, -80.0))
    web = ends[MemberId("web"), JointId("B1")]
    assert force_on_joint(bench, RunId("D+S"), web) == pytest.approx((0.0, 50.0))


def test_one_bolt_across_and_along_the_grain() -> None:
    """1-1/2 in side along, 2-5/8 in main across the grain, 3/4 in bolt: by the yield equations of the standard."""
    alone = capacity(FOOT) / 1.15
    Fp, Fq, D, Fyb, Kt = 5600.0, 2600.0, 0.75, 45000.0, 1.25
    lm, ls = 1.5, 2.625  # the chord is the side piece of the pack: it is named first
    Fem, Fes = Fp, Fq
    Re, Rt = Fem / Fes, lm / ls
    k1 = ((Re + 2 * Re**2 * (1 + Rt + Rt**2) + Rt**2 * Re**3) ** 0.5 - Re * (1 + Rt)) / (1 + Re)
    k2 = -1 + (2 * (1 + Re) + 2 * Fyb * (1 + 2 * Re) * D**2 / (3 * Fem * lm**2)) ** 0.5
    k3 = -1 + (2 * (1 + Re) / Re + 2 * Fyb * (2 + Re) * D**2 / (3 * Fem * ls**2)) ** 0.5
    modes = (
        D * lm * Fem / (4 * Kt),
        D * ls * Fes / (4 * Kt),
        k1 * D * ls * Fes / (3.6 * Kt),
        k2 * D * lm * Fem / ((1 + 2 * Re) * 3.2 * Kt),
        k3 * D * ls * Fem / ((2 + Re) * 3.2 * Kt),
        D**2 / (3.2 * Kt) * (2 * Fem * Fyb / (3 * (1 + Re))) ** 0.5,
    )
    assert alone == pytest.approx(min(modes), rel=1e-9)


def test_met_up_to_the_value_and_not_beyond() -> None:
    limit = capacity(FOOT)
    for force, verdict in ((limit, "met"), (limit * 1.0001, "not met")):
        [check] = of(reviewed(with_one(FOOT), {STRUT: axial(force)}), "fasteners")
        assert (check.verdict, check.run) == (verdict, "D+S")
        assert check.demand == pytest.approx(force)


def test_a_web_between_two_plies_is_in_double_shear() -> None:
    roof = truss(chord=replace(CHORD, plies=2, gap=1.5))
    ply = Piece(member=MemberId("bottom"), edge=4.0)
    double = FOOT._replace(pieces=(ply, FOOT.pieces[1], ply))
    [check] = of(reviewed(with_one(double, roof), {STRUT: axial(1000.0)}), "fasteners")
    assert check.demand == pytest.approx(1000.0)
    assert "across both planes" in [line.formula for line in check.derivation.lines]
    assert check.capacity is not None
    assert check.capacity > capacity(FOOT)


def test_one_ply_of_two_carries_its_share() -> None:
    roof = truss(web=replace(WEB, plies=2))
    [check] = of(reviewed(with_one(FOOT, roof), {STRUT: axial(1000.0)}), "fasteners")
    assert check.demand == pytest.approx(500.0)
    assert "1 of 2 plies of web are in this connection and bring their share" in check.remarks


@pytest.mark.parametrize(
    ("end", "permitted"),
    [(3.5 * 0.75, True), (3.5 * 0.75 - 1e-6, False), (7 * 0.75, True)],
)
def test_below_the_least_end_distance_nothing_is_permitted(end: float, *, permitted: bool) -> None:
    near = FOOT._replace(pieces=(FOOT.pieces[0], FOOT.pieces[1]._replace(end=end)))
    [check] = of(reviewed(with_one(near), {STRUT: axial(10.0)}), "fasteners")
    if permitted:
        assert check.capacity == pytest.approx(capacity(FOOT) * end / (7 * 0.75))
    else:
        assert check.ratio == inf
        assert check.reason.startswith("not permitted: end distance")


def test_the_loaded_edge_is_the_one_that_the_force_pushes_towards() -> None:
    chord = FOOT.pieces[0]._replace(edge=None, upper_edge=2.0, lower_edge=7.5)
    one_sided = FOOT._replace(pieces=(chord, FOOT.pieces[1]))
    [pulls_up] = of(reviewed(with_one(one_sided), {STRUT: axial(100.0)}), "fasteners")
    [pushes_down] = of(reviewed(with_one(one_sided), {STRUT: axial(-100.0)}), "fasteners")
    assert pulls_up.ratio == inf
    assert "loaded edge distance 2 in is below the least, 3 in" in pulls_up.reason
    assert pushes_down.verdict == "met"


@pytest.mark.parametrize(
    ("connection", "says"),
    [
        (FOOT._replace(fasteners=None), "nobody knows what fastens this joint"),
        (FOOT._replace(pieces=FOOT.pieces[1:]), "one piece alone holds nothing"),
        (FOOT._replace(pieces=(FOOT.pieces[0], Piece(member=MemberId("web"), edge=2.75))), "end distance in web"),
        (FOOT._replace(pieces=(FOOT.pieces[0], Piece(member=MemberId("web"), end=6.0))), "edge distance in web"),
        (FOOT._replace(fasteners=replace(BOLT, diameter=1.25)), "1.25 in is over 1 in"),
        (FOOT._replace(fasteners=replace(BOLT, count=2)), "the spacing is not given"),
        (FOOT._replace(fasteners=Fasteners(kind="nail", diameter=0.162, count=4)), "its length is not given"),
        (FOOT._replace(pieces=(*FOOT.pieces, Piece(plate="steel", thickness=0.25))), "Fu of the steel plate"),
        (FOOT._replace(pieces=(*FOOT.pieces, Piece(plate="steel", Fu=58000.0))), "thickness of the plate"),
    ],
)
def test_what_is_not_known_is_open_with_the_force_that_crosses(connection: Connection, says: str) -> None:
    [check] = of(reviewed(with_one(connection), {STRUT: axial(-2000.0)}), "fasteners")
    assert (check.verdict, check.demand, check.run) == ("not evaluated", 2000.0, "D+S")
    assert says in check.reason


@pytest.mark.parametrize(
    ("evidence", "expected"),
    [
        ("inferred", {"bolts alone, no split rings", "split rings, inferred and not seen"}),
        ("seen", {"bolts alone, no split rings", "split rings, inferred and not seen"}),
        ("joint opened", {"split rings"}),
        ("detected", {"split rings"}),
    ],
)
def test_rings_are_read_twice_until_somebody_knows(evidence: Evidence, expected: set[str]) -> None:
    rings = FOOT._replace(
        fasteners=Fasteners(kind="split ring", diameter=0.5, connector=2.5, count=1), evidence=evidence
    )
    found = of(reviewed(with_one(rings), {STRUT: axial(800.0)}))
    fastened = {check.what for check in found if check.ratio is not None and "tear-out" not in check.what}
    assert fastened == expected


def test_a_ring_is_worth_the_least_of_its_pieces() -> None:
    """2-1/2 in ring, group B, 1-1/2 in web: P 2730; 2-5/8 in chord across: Q 1940 (table 13.2A), CD 1.15."""
    web = FOOT.pieces[1]._replace(end=5.5)
    rings = FOOT._replace(
        pieces=(FOOT.pieces[0], web),
        fasteners=Fasteners(kind="split ring", diameter=0.5, connector=2.5, count=1),
        evidence="joint opened",
    )
    [check] = of(reviewed(with_one(rings), {STRUT: axial(800.0)}), "split rings")
    assert check.capacity == pytest.approx(1940 * 1.15)
    bad = rings._replace(fasteners=replace(rings.fasteners or BOLT, connector=3.0))
    [open_check] = of(reviewed(with_one(bad), {STRUT: axial(800.0)}), "fasteners")
    assert "none of 3 in is tabulated here" in open_check.reason


def test_only_ends_that_nobody_named_stay_open_at_their_joint() -> None:
    checks = reviewed(with_one(FOOT), {STRUT: axial(100.0), LEFT: axial(-900.0)})
    assert not of(checks, element="/joints/B1")
    [heel] = of(checks, element="/joints/B0")
    assert heel.demand == 900.0
    assert heel.reason == "no connection names bottom, left here: enter what fastens it"


def test_a_seat_on_the_wall_fastens_nothing() -> None:
    wall = Connection(joint=JointId("B0"), pieces=HEEL.pieces[:1], wall=WallSeat(length=6.0))
    checks = reviewed(with_one(wall), {LEFT: axial(-900.0)})
    assert of(checks, element="/joints/B0")


def test_two_ends_and_the_greater_force_counts_unless_one_is_said_to_take_it() -> None:
    forces = {BOTTOM: axial(1000.0), LEFT: axial(-1500.0)}
    [either] = of(reviewed(with_one(HEEL), forces), "fasteners")
    assert either.demand == pytest.approx(1500.0)
    [into_left] = of(reviewed(with_one(HEEL._replace(into=MemberId("left"))), forces), "fasteners")
    assert into_left.demand == pytest.approx(1000.0)


def seated(wall: WallSeat, push: float, right: float = 0.0) -> list[Check]:
    roof = with_one(Connection(joint=JointId("B0"), pieces=HEEL.pieces[:1], wall=wall))
    known = results(roof, {"D+S": {}})
    reaction = {JointId("B0"): Reaction(x=right, y=push, turn=0.0)}
    runs = {run: replace(forces, reactions=reaction) for run, forces in known.runs.items()}
    return of(review(roof, replace(known, runs=runs), SAID))


def test_a_seat_bears_across_the_grain_on_what_decay_has_left() -> None:
    """Fc_perp of Douglas Fir-Larch is 625 psi, without CD; 6 in on a ply of 2-5/8 in."""
    limit = 625 * 6.0 * 2.625
    for force, lost, verdict in ((limit, 0.0, "met"), (limit * 1.001, 0.0, "not met"), (limit / 2, 3.0, "met")):
        [check] = seated(WallSeat(length=6.0, lost=lost), force)
        assert check.verdict == verdict
    [gone] = seated(WallSeat(length=6.0, lost=6.0), 10.0)
    assert (gone.ratio, gone.reason) == (inf, "decay has taken the whole seat")
    [pushed] = seated(WallSeat(length=6.0), 10.0, right=40.0)
    assert "the reaction also pushes 40 lbf sideways, which this seat is not checked for" in pushed.remarks


def test_uplift_asks_for_the_hold_down() -> None:
    [asked] = seated(WallSeat(length=6.0), -500.0)
    assert (asked.what, asked.verdict, asked.demand) == ("hold-down", "not evaluated", 500.0)
    assert seated(WallSeat(length=6.0, hold_down=500.0), -500.0)[0].verdict == "met"
    assert seated(WallSeat(length=6.0, hold_down=499.0), -500.0)[0].verdict == "not met"


def butted(force: float, *, tight: bool | None, plate: bool | None = None, bolts: bool = False) -> list[Check]:
    end = FOOT.pieces[1]
    one = Connection(
        joint=JointId("B1"),
        pieces=(end,) if not bolts else FOOT.pieces,
        butt=EndBearing(tight=tight, plate=plate),
        fasteners=BOLT if bolts else None,
    )
    return of(reviewed(with_one(one), {STRUT: axial(force)}))


def test_a_butt_counts_only_where_it_was_found_tight() -> None:
    Fc = 1500 * 1.15 * 1.1
    limit = 0.75 * Fc * 1.5 * 5.5
    assert [check.verdict for check in butted(-limit, tight=True, plate=False)] == ["met"]
    assert [check.verdict for check in butted(-limit * 1.001, tight=True, plate=False)] == ["not met"]
    assert [check.verdict for check in butted(-limit * 1.001, tight=True, plate=True)] == ["met"]
    assert [check.verdict for check in butted(-limit * 1.001, tight=True)] == ["not evaluated"]
    for tight in (None, False):
        [check] = butted(-100.0, tight=tight)
        assert check.reason.startswith("nobody found the ends to touch")
    [pulled] = butted(100.0, tight=True)
    assert (pulled.what, pulled.ratio) == ("tension at a butt", inf)
    assert not [check for check in butted(100.0, tight=True, bolts=True) if check.what == "tension at a butt"]


def test_us_and_si_give_the_same_ratios() -> None:
    roof = replace(truss(), connections={"c": FOOT, "d": HEEL})
    forces = results(roof, {"D+S": {BOTTOM: axial(900.0), LEFT: axial(-800.0), STRUT: axial(700.0)}})
    convert = Conversion("si")
    si = replace(
        metric(roof),
        connections={
            name: converted_connection(one, convert, (LENGTH, FORCE, STRESS))
            for name, one in roof.connections.items()
        },
    )
    in_us = [check for check in review(roof, forces, SAID) if check.element.startswith("/connections")]
    in_si = [
        check for check in review(si, metric_results(forces), SAID) if check.element.startswith("/connections")
    ]
    assert [(check.element, check.what) for check in in_us] == [(check.element, check.what) for check in in_si]
    assert [c.ratio for c in in_us if c.ratio] == pytest.approx([c.ratio for c in in_si if c.ratio], rel=1e-8)


def test_the_checks_of_one_connection_are_those_of_the_review() -> None:
    roof = with_one(FOOT)
    known = results(roof, {"D+S": {STRUT: axial(300.0)}})
    bench, _ = bench_of(roof, known, SAID)
    assert sorted(c.what for c in checks_of(bench, "/connections/c")) == sorted(
        c.what for c in of(review(roof, known, SAID))
    )
    assert checks_of(bench, "/connections/none") == []


def test_a_splice_is_checked_for_both_sticks_that_meet() -> None:
    """Two steel plates over a butt at the top: each side brings its own force into them."""
    plate = Piece(plate="steel", thickness=0.25, depth=5.0, Fu=58000.0)
    ridge = Piece(member=MemberId("left"), meets=MemberId("right"), end=5.25, edge=4.0)
    splice = Connection(joint=JointId("T1"), pieces=(plate, ridge, plate), fasteners=BOLT, evidence="seen")
    forces = {LEFT: axial(700.0), "right:T1-B2": axial(900.0)}
    checks = of(reviewed(with_one(splice), forces), "fasteners")
    assert [check.demand for check in checks] == pytest.approx([900.0, 700.0])
    assert not [check for check in reviewed(with_one(splice), forces) if "left, right" in check.reason]


@given(end=st.floats(0.1, 12.0), less=st.floats(0.1, 1.0), force=st.sampled_from([-50.0, 50.0]))
def test_less_end_distance_never_carries_more(end: float, less: float, force: float) -> None:
    def carries(distance: float) -> float:
        moved = FOOT._replace(pieces=(FOOT.pieces[0], FOOT.pieces[1]._replace(end=distance)))
        return capacity(moved, force)

    assert carries(end * less) <= carries(end) * (1 + 1e-12)


@given(gap=st.floats(0.0, 1.0), more=st.floats(0.0, 1.0))
def test_looseness_never_helps(gap: float, more: float) -> None:
    def carries(loose: float) -> float:
        return capacity(FOOT._replace(fasteners=replace(BOLT, gap=loose)))

    assert carries(gap + more) <= carries(gap) * (1 + 1e-12)


@given(edge=st.floats(0.1, 4.7), less=st.floats(0.1, 1.0))
def test_less_edge_distance_never_carries_more(edge: float, less: float) -> None:
    def carries(distance: float) -> float:
        moved = FOOT._replace(pieces=(FOOT.pieces[0]._replace(edge=distance), FOOT.pieces[1]))
        return capacity(moved)

    assert carries(edge * less) <= carries(edge) * (1 + 1e-12)


def test_a_sloping_force_is_taken_at_its_angle() -> None:
    [check] = of(reviewed(with_one(HEEL._replace(into=MemberId("bottom"))), {LEFT: axial(-800.0)}), "fasteners")
    angles = [line for line in check.derivation.lines if line.symbol == "theta"]
    assert check.demand == pytest.approx(800.0)
    assert [line.value for line in angles] == pytest.approx([32.005383], abs=1e-5)
    assert hypot(96.0, 60.0) == pytest.approx(113.2, abs=0.01)

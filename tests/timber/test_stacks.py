"""Plies of a stick in the review: built up, spaced by blocks, or leaves alone with the rule that is not met.

No published example was found; the expected values are worked out by hand here, from NDS-2018 3.7, 15.2 and 15.3.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest

from tests.timber.roof import STRUT, axial, metric, metric_results, results, truss
from tests.timber.test_review_connections import SAID
from trussio.model.check import Check
from trussio.model.connection import Butt, Fasteners, Spaced, Stitched
from trussio.model.material import Section
from trussio.model.truss import MemberId, SectionId, Truss
from trussio.timber.review import review
from trussio.units import MM_PER_INCH

WEB = MemberId("web")
NAILS = Stitched(
    kind="nail",
    diameter=0.225,
    spacing=8,
    seen=True,
    rows=2,
    gauge=2.25,
    end=3.5,
    edge=1.5,
    length=4.5,
    opposite=True,
)
BOLTS = Stitched(
    kind="bolt", diameter=0.5, spacing=8, seen=True, rows=2, gauge=2.5, end=4, edge=1.5, washers=True, tight=True
)
BLOCKS = Spaced(
    seen=True,
    blocks=1,
    end=3,
    between=27,
    fasteners=Fasteners(kind="split ring", diameter=0.5, connector=2.5, count=1),
)
LEAVES = "3 plies taken as leaves that share the load and each buckle alone"


def roof(
    section: Section | None = None,
    *,
    stitched: Stitched | None = None,
    spaced: Spaced | None = None,
    butts: tuple[Butt, ...] | None = None,
) -> Truss:
    """The web, 60 in long, of three 2x6 of No. 1 Douglas Fir-Larch, or of other plies."""
    made = truss(web=section or Section(width=1.5, depth=5.5, plies=3))
    web = replace(made.members[WEB], stitched=stitched, spaced=spaced, butts=butts)
    return replace(made, members={**made.members, WEB: web})


def checked(made: Truss, force: float = -9000.0, across: float = 60.0) -> tuple[Check, ...]:
    given = replace(SAID, lateral={WEB: across})
    checks = review(made, results(made, {"D+S": {STRUT: axial(force)}}), given)
    return tuple(check for check in checks if check.element == STRUT)


def compression(made: Truss, force: float = -9000.0, across: float = 60.0) -> Check:
    [found] = [one for one in checked(made, force, across) if one.what == "compression with buckling"]
    return found


def capacity(axis: float, factor: float = 1.0) -> float:
    """Fc' by hand: Fc* = 1500 x 1.15 x 1.1, Emin 620000; 60 in over an axis in inches, 0.8 for c."""
    Fc, FcE = 1500 * 1.15 * 1.1, 0.822 * 620000 / (60 / axis) ** 2
    h = (1 + FcE / Fc) / 1.6
    return Fc * factor * (h - sqrt(h**2 - FcE / Fc / 0.8))


def test_leaves_act_alone_where_nobody_says_what_joins_them() -> None:
    check = compression(roof())
    assert check.capacity == pytest.approx(capacity(1.5))
    assert LEAVES in check.remarks


@pytest.mark.parametrize(
    ("stitched", "Kf", "clause"), [(NAILS, 0.6, "NDS-2018 15.3.3"), (BOLTS, 0.75, "NDS-2018 15.3.4")]
)
def test_stitched_plies_that_meet_the_rules_act_as_one(stitched: Stitched, Kf: float, clause: str) -> None:
    check = compression(roof(stitched=stitched))
    assert check.capacity == pytest.approx(capacity(4.5, Kf))
    assert f"3 plies act as one across the plane: what joins them meets {clause}" in check.remarks
    assert LEAVES not in check.remarks
    [slender] = [one for one in checked(roof(stitched=stitched)) if one.what == "slenderness"]
    assert slender.demand == pytest.approx(60 / 4.5)


@pytest.mark.parametrize(
    ("stitched", "butts", "rule"),
    [
        (NAILS._replace(spacing=9.1), None, "spacing in a row 9.1 in is above the most, 9 in (NDS-2018 15.3.3)"),
        (NAILS._replace(opposite=False), None, "driven from opposite faces (NDS-2018 15.3.3)"),
        (BOLTS._replace(tight=None), None, "nuts must be tight and the plies touch (NDS-2018 15.3.4)"),
        (BOLTS._replace(seen=False), None, "nobody saw what joins them along the stick"),
        (BOLTS, (Butt(ply=1, at=30.0),), "plies are cut along the stick"),
    ],
)
def test_stitched_plies_that_miss_a_rule_stay_leaves_and_say_which(
    stitched: Stitched, butts: tuple[Butt, ...] | None, rule: str
) -> None:
    check = compression(roof(stitched=stitched, butts=butts))
    assert check.capacity == pytest.approx(capacity(1.5))
    [remark] = [one for one in check.remarks if one.startswith(LEAVES)]
    assert rule in remark


def test_stacked_plies_stay_leaves() -> None:
    check = compression(roof(Section(width=5.5, depth=1.5, plies=3, arranged="stacked"), stitched=BOLTS))
    assert any("plies stacked in the plane are not taken as built up" in one for one in check.remarks)


def test_joining_plies_never_weakens_a_stocky_strut() -> None:
    """At 6 in the leaves carry more than 0.6 of the stack: the greater counts, as without nails."""
    assert compression(roof(stitched=NAILS), across=6.0).capacity == compression(roof(), across=6.0).capacity


def test_held_throughout_nothing_buckles_across() -> None:
    check = compression(roof(stitched=NAILS), across=0.0)
    assert check.capacity == compression(roof(), across=0.0).capacity
    assert LEAVES in check.remarks


APART = Section(width=1.5, depth=5.5, plies=2, gap=1.5)


@pytest.mark.parametrize(("end", "Kx", "condition"), [(3.0, 2.5, "a"), (3.01, 3.0, "b"), (6.0, 3.0, "b")])
def test_blocks_with_rings_make_a_spaced_column(end: float, Kx: float, condition: str) -> None:
    blocks = BLOCKS._replace(end=end, between=30 - end)
    checks = checked(roof(APART, spaced=blocks))
    [check] = [one for one in checks if one.what == "compression with buckling"]
    FcE = 0.822 * Kx * 620000 / (60 / 1.5) ** 2
    Fc = 1500 * 1.15 * 1.1
    h = (1 + FcE / Fc) / 1.6
    gap = Fc * (h - sqrt(h**2 - FcE / Fc / 0.8))
    assert check.capacity == pytest.approx(min(gap, capacity(5.5)))
    words = f"2 plies act as a spaced column, end condition {condition}: what joins them meets NDS-2018 15.2"
    assert words in check.remarks
    limits = {one.what: one.demand for one in checks if one.what.startswith("slenderness")}
    assert limits == {
        "slenderness of a spaced column, l1/d1": pytest.approx(40.0),
        "slenderness of a spaced column, l2/d2": pytest.approx(60 / 5.5),
        "slenderness of a spaced column, l3/d1": pytest.approx((30 - end) / 1.5),
    }


@pytest.mark.parametrize(
    ("spaced", "section", "rule"),
    [
        (BLOCKS._replace(end=6.01, between=24), APART, "over l1/10, 6 in (NDS-2018 15.2.2.1)"),
        (
            BLOCKS._replace(fasteners=Fasteners(kind="bolt", diameter=0.5, count=2)),
            APART,
            "carry 0 lbf of the 1947 lbf that KS asks for; bolts and nails do not count",
        ),
        (BLOCKS._replace(gussets=True), APART, "gussets are no blocks"),
        (BLOCKS._replace(glued=True), APART, "glued blocks are no end blocks"),
        (BLOCKS._replace(seen=False), APART, "nobody saw what joins them"),
        (BLOCKS, replace(APART, gap=0.0), "no gap stands between the plies"),
        (
            BLOCKS._replace(fasteners=Fasteners(kind="split ring", diameter=0.5, connector=3, count=1)),
            APART,
            "unknown-connector at split ring: none of 3 in is tabulated here",
        ),
    ],
)
def test_blocks_that_miss_a_rule_leave_leaves_and_say_which(spaced: Spaced, section: Section, rule: str) -> None:
    check = compression(roof(section, spaced=spaced))
    assert check.capacity == pytest.approx(capacity(1.5))
    assert any(rule in one for one in check.remarks)


def test_a_document_in_mm_says_the_same() -> None:
    made = roof(stitched=BOLTS)
    us = compression(made)
    bolts = BOLTS._replace(
        **{name: getattr(BOLTS, name) * MM_PER_INCH for name in ("diameter", "spacing", "gauge", "end", "edge")}
    )
    si = metric(made)
    si = replace(si, members={**si.members, WEB: replace(si.members[WEB], stitched=bolts)})
    known = metric_results(results(made, {"D+S": {STRUT: axial(-9000.0)}}))
    checks = review(si, known, replace(SAID, lateral={WEB: 60 * MM_PER_INCH}))
    [check] = [one for one in checks if (one.element, one.what) == (STRUT, "compression with buckling")]
    assert check.ratio == pytest.approx(us.ratio)
    assert check.remarks == us.remarks


def test_bracing_that_nobody_knows_shows_the_stack_as_a_what_if() -> None:
    """A chord of three plies: across the plane stays open, with the ratio as if every panel point held."""
    left = MemberId("left")
    made = truss(chord=Section(width=1.5, depth=5.5, plies=3))
    stitched = replace(made, members={**made.members, left: replace(made.members[left], stitched=BOLTS)})
    found = []
    for one in (made, stitched):
        checks = review(one, results(one, {"D+S": {"left:B0-T1": axial(-9000.0)}}), SAID)
        [across] = [
            c for c in checks if c.element == "left:B0-T1" and c.what == "compression across the truss plane"
        ]
        found.append(float(across.remarks[-1].rsplit(" ", 1)[1]))
    assert found[1] < found[0] / 2


def test_a_section_that_is_named_by_two_sticks_is_told_by_the_stick() -> None:
    made = roof(stitched=BOLTS)
    other = MemberId("left")
    left = replace(made.members[other], section=SectionId("web"))
    both = replace(made, members={**made.members, other: left})
    given = replace(SAID, lateral={WEB: 60.0, other: 60.0})
    checks = review(both, results(both, {"D+S": {STRUT: axial(-900.0), "left:B0-T1": axial(-900.0)}}), given)
    by = {c.element: c.capacity for c in checks if c.what == "compression with buckling"}
    assert by["left:B0-T1"] == pytest.approx(capacity(1.5))
    assert by[STRUT] == pytest.approx(capacity(4.5, 0.75))

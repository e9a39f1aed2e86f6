"""Nails, screws and rings between European strength classes in the review, worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from math import inf, sqrt

import pytest

from tests.timber.test_european_fastened import CHORD_PLY, SHORT, WEB_PLY, checks
from trussio.model.connection import Connection, Evidence, Fasteners, Piece
from trussio.model.truss import JointId
from trussio.timber.eurocode_axial import nail_withdrawal

NAIL = Fasteners(kind="nail", diameter=4.0, count=1, length=100.0, Fu=600.0)
SCREW = Fasteners(kind="lag screw", diameter=12.0, count=1, length=120.0, Fu=400.0)
RING = Fasteners(kind="split ring", diameter=12.0, connector=63.5, count=1, Fu=400.0)
WEB = WEB_PLY._replace(end=150.0)


def foot(fasteners: Fasteners, evidence: Evidence = "seen", web: Piece = WEB) -> Connection:
    return Connection(joint=JointId("B1"), pieces=(CHORD_PLY, web), fasteners=fasteners, evidence=evidence)


def single(fh: tuple[float, float], t: tuple[float, float], d: float, My: float, rope: float = 0.0) -> float:
    """8.6 a to f by hand; a bending mode gains a quarter of the `rope`, at most 15 %."""
    f1, b = fh[0], fh[1] / fh[0]
    t1, r = t[0], t[1] / t[0]
    c = f1 * t1 * d / (1 + b) * (sqrt(b + 2 * b**2 * (1 + r + r**2) + b**3 * r**2) - b * (1 + r))
    dd = 1.05 * f1 * t1 * d / (2 + b) * (sqrt(2 * b * (1 + b) + 4 * b * (2 + b) * My / (f1 * d * t1**2)) - b)
    e = 1.05 * f1 * t[1] * d / (1 + 2 * b)
    e *= sqrt(2 * b**2 * (1 + b) + 4 * b * (1 + 2 * b) * My / (f1 * d * t[1] ** 2)) - b
    f = 1.15 * sqrt(2 * b / (1 + b)) * sqrt(2 * My * f1 * d)
    bending = [one + min(rope / 4, 0.15 * one) for one in (c, dd, e, f)]
    return min(f1 * t1 * d, fh[1] * t[1] * d, *bending)


def test_a_nail_of_100_mm_through_50_mm_of_chord() -> None:
    """Bearing 0.082 x 350 x 4^-0.3 at every angle; My = 0.3 x 600 x 4^2.6; 50 mm under the head, 50 beyond."""
    fh, My = 0.082 * 350 * 4**-0.3, 0.3 * 600 * 4**2.6
    check = checks(foot(NAIL), 500.0)["fasteners"]
    assert check.capacity == pytest.approx(SHORT * single((fh, fh), (50.0, 50.0), 4.0, My))
    assert check.clause == "EN 1995-1-1 8.2, 8.3"


def test_a_predrilled_nail_bears_as_a_bolt_does_along_the_grain() -> None:
    fh, My = 0.082 * (1 - 0.04) * 350, 0.3 * 600 * 4**2.6
    check = checks(foot(replace(NAIL, hole=3.2)), 500.0)["fasteners"]
    assert check.capacity == pytest.approx(SHORT * single((fh, fh), (50.0, 50.0), 4.0, My))


def test_a_head_that_somebody_measured_holds_a_rope() -> None:
    fh, My = 0.082 * 350 * 4**-0.3, 0.3 * 600 * 4**2.6
    Fax = nail_withdrawal(rho_k=350.0, diameter=4.0, penetration=50.0, head=8.0, head_side=50.0).value
    check = checks(foot(replace(NAIL, washer=8.0)), 500.0)["fasteners"]
    assert check.capacity == pytest.approx(SHORT * single((fh, fh), (50.0, 50.0), 4.0, My, rope=Fax))
    assert (check.capacity or 0.0) > (checks(foot(NAIL), 500.0)["fasteners"].capacity or 0.0)


def test_a_row_of_nails_along_the_web_counts_n_to_the_kef() -> None:
    """Four nails 40 mm apart, 10 d: 4^0.85; the load runs along the web's grain."""
    one = checks(foot(NAIL), 500.0)["fasteners"].capacity or 0.0
    row = checks(foot(replace(NAIL, count=4, spacing=40.0)), 500.0)["fasteners"].capacity
    assert row == pytest.approx(4**0.85 * one)


@pytest.mark.parametrize(
    ("fasteners", "web", "says"),
    [
        (replace(NAIL, length=82.0), WEB, ""),
        (replace(NAIL, length=81.9), WEB, "the points enter 31.9 mm, below the least, 32 mm (8.3.1.2)"),
        (replace(NAIL, count=2, spacing=40.0), WEB, ""),
        (
            replace(NAIL, count=2, spacing=39.9),
            WEB,
            "spacing in a row 39.9 mm in web is below the least, 40 mm (table 8.2, 8.3.1.4)",
        ),
        (NAIL, WEB._replace(end=60.0), ""),
        (NAIL, WEB._replace(end=59.9), "end distance 59.9 mm in web is below the least, 60 mm"),
        (
            replace(NAIL, diameter=7.2, length=120.0),
            WEB,
            "bottom is 50 mm thick, below the least without predrilling",
        ),
        (replace(NAIL, diameter=8.5, length=150.0), WEB, "bottom must be predrilled: over 500 kg/m3 or 8 mm"),
        (replace(SCREW, count=2, spacing=60.0), WEB, ""),
        (replace(SCREW, count=2, spacing=59.9), WEB, "spacing in a row 59.9 mm in web is below the least, 60 mm"),
    ],
)
def test_what_the_tables_do_not_permit(fasteners: Fasteners, web: Piece, says: str) -> None:
    check = checks(foot(fasteners, web=web), 100.0)["fasteners"]
    assert (check.ratio == inf) == bool(says)
    assert says in check.reason


def test_a_lag_screw_counts_as_a_bolt_of_1_1_times_its_root() -> None:
    """12 mm: root 8.4, so 9.24 mm; across the chord's grain fh is divided by 1.35 + 0.015 d."""
    d = 9.24
    along = 0.082 * (1 - 0.01 * d) * 350
    found = SHORT * single((along / (1.35 + 0.015 * d), along), (50.0, 70.0), d, 0.3 * 400 * d**2.6)
    assert checks(foot(SCREW), 500.0)["fasteners"].capacity == pytest.approx(found)


def test_a_screw_whose_smooth_shank_bears_counts_whole() -> None:
    d = 12.0
    along = 0.082 * (1 - 0.01 * d) * 350
    found = SHORT * single((along / (1.35 + 0.015 * d), along), (50.0, 70.0), d, 0.3 * 400 * d**2.6)
    smooth = replace(SCREW, threads_bear=False)
    assert checks(foot(smooth), 500.0)["fasteners"].capacity == pytest.approx(found)


def test_a_thin_screw_counts_as_a_nail() -> None:
    """6 mm: root 4.2, so 4.62 mm."""
    fh, My = 0.082 * 350 * 4.62**-0.3, 0.3 * 400 * 4.62**2.6
    thin = replace(SCREW, kind="wood screw", diameter=6.0)
    found = checks(foot(thin), 100.0)["fasteners"].capacity
    assert found == pytest.approx(SHORT * single((fh, fh), (50.0, 70.0), 4.62, My))


def test_a_ring_between_chord_and_web() -> None:
    """2-1/2 in (63.5 mm), 9.525 mm deep: across the chord's grain by 1.3 + 0.0635; the web counts 1.18."""
    check = checks(foot(RING, "joint opened"), 500.0)["split rings"]
    across = 35 * 63.5**1.5 / (1.3 + 0.0635)
    assert check.capacity == pytest.approx(SHORT * across)
    assert check.clause == "EN 1995-1-1 8.9"


def test_rings_that_nobody_saw_are_read_both_ways() -> None:
    found = checks(foot(RING, "inferred"), 500.0)
    assert set(found) >= {"bolts alone, no split rings", "split rings, inferred and not seen"}
    bolt = checks(foot(Fasteners(kind="bolt", diameter=12.0, count=1, Fu=400.0)), 500.0)["fasteners"]
    assert found["bolts alone, no split rings"].capacity == pytest.approx(bolt.capacity or 0.0)


@pytest.mark.parametrize(("end", "permitted"), [(95.25, True), (95.2, False)])
def test_rings_too_near_the_end_are_not_permitted(end: float, *, permitted: bool) -> None:
    check = checks(foot(RING, "detected", WEB._replace(end=end)), 500.0)["split rings"]
    assert (check.ratio != inf) == permitted


def test_a_ring_that_no_table_has_leaves_the_bolts_their_reading() -> None:
    found = checks(foot(replace(RING, connector=80.0), "inferred"), 500.0)
    assert found["bolts alone, no split rings"].ratio is not None
    open_one = found["split rings, inferred and not seen"]
    assert open_one.verdict == "not evaluated"
    assert open_one.demand == pytest.approx(500.0)
    assert "none of 80 mm is tabulated here" in open_one.reason
    known = checks(foot(replace(RING, connector=80.0), "detected"), 500.0)
    assert known["fasteners"].verdict == "not evaluated"

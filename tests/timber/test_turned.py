"""A fixed end hands its moment to its fasteners: the worst of the group decides."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest

from tests.timber.roof import STRUT, axial, results, truss
from tests.timber.test_review_connections import BOLT, FOOT, SAID, of
from trussio.model.check import Check
from trussio.model.connection import Connection
from trussio.model.forces import SegmentForces
from trussio.timber.review import review

FOUR = FOOT._replace(
    pieces=(FOOT.pieces[0], FOOT.pieces[1]._replace(edge=1.75)),
    fasteners=replace(BOLT, diameter=0.5, count=4, rows=2, spacing=3.0, gauge=2.0),
)


def bent(force: float, moment: float) -> SegmentForces:
    """The web pulled by a force, with a moment at its foot."""
    return axial(force)._replace(moment=(moment, 0.0), moment_peak=moment)


def fasteners(connection: Connection, force: float, moment: float) -> Check:
    roof = replace(truss(), connections={"c": connection})
    [check] = of(review(roof, results(roof, {"D+S": {STRUT: bent(force, moment)}}), SAID), "fasteners")
    return check


def test_without_a_moment_nothing_changes() -> None:
    check = fasteners(FOUR, 1000.0, 0.0)
    assert check.demand == pytest.approx(1000.0)
    assert not any("moment" in remark for remark in check.remarks)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_the_worst_fastener_decides(sign: float) -> None:
    """Bolts at 1.5 along and 1 in across the web: sum r^2 13 in2; M 1300 gives 100 lb for each inch of arm."""
    check = fasteners(FOUR, 1000.0, sign * 1300.0)
    worst = hypot(1000 / 4 + 100 * 1.0, 100 * 1.5)
    assert check.demand == pytest.approx(4 * worst)
    [told] = [remark for remark in check.remarks if "moment" in remark]
    assert told.startswith("the group carries a moment of 1300 in-lbf: ")
    assert f"{4 * worst / 1000:.2f} times the force" in told


def test_more_moment_never_stands_better() -> None:
    ratios = [fasteners(FOUR, 800.0, moment).ratio or 0.0 for moment in (0.0, 200.0, 900.0, 4000.0)]
    assert ratios == sorted(ratios)
    assert ratios[0] < ratios[-1]


@pytest.mark.parametrize(
    ("connection", "says"),
    [
        (FOOT, "one fastener cannot take a moment"),
        (FOUR._replace(fasteners=replace(FOUR.fasteners or BOLT, gauge=None)), "their places are not known"),
    ],
)
def test_where_the_places_are_not_known_it_is_open(connection: Connection, says: str) -> None:
    check = fasteners(connection, 1000.0, 500.0)
    assert check.verdict == "not evaluated"
    assert says in check.reason

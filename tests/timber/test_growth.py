"""Design loads before and after, and the share of variations in which an element is over."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from tests.timber.roof import BOTTOM, STRUT, axial, results, truss
from tests.timber.test_review_connections import FOOT, SAID
from trussio.model.truss import JointId
from trussio.timber.growth import DesignLoad, design_loads, grown
from trussio.timber.shares import over_shares


def test_the_design_load_is_the_greatest_of_either_sense() -> None:
    roof = replace(truss(), connections={"c": FOOT})
    known = results(roof, {"D": {STRUT: axial(300.0)}, "D+S": {STRUT: axial(-900.0), BOTTOM: axial(50.0)}})
    found = design_loads(roof, known, SAID)
    assert found[STRUT] == DesignLoad(300.0, 900.0)
    assert found[BOTTOM] == DesignLoad(50.0, 0.0)
    assert found["/connections/c"].tension == pytest.approx(900.0)


@pytest.mark.parametrize(
    ("before", "after", "times"),
    [
        (DesignLoad(100.0, 0.0), DesignLoad(105.0, 0.0), 1.05),
        (DesignLoad(100.0, 40.0), DesignLoad(90.0, 60.0), 1.5),
        (DesignLoad(100.0, 0.0), DesignLoad(100.0, 20.0), inf),
        (DesignLoad(100.0, 0.0), DesignLoad(100.0, 4.0), 1.0),
        (DesignLoad(0.0, 0.0), DesignLoad(0.0, 0.0), 0.0),
    ],
)
def test_growth_is_that_of_the_sense_that_grows_most(before: DesignLoad, after: DesignLoad, times: float) -> None:
    assert grown({"x": before, "gone": before}, {"x": after, "new": after}) == {"x": pytest.approx(times)}


def test_shares_count_the_variations_that_are_over() -> None:
    """Ft' A of the chord is 675 x 1.15 x 1.1 x 24.94: over in one of four variations."""
    roof = truss()
    known = results(roof, {"D+S": {BOTTOM: axial(10.0)}})
    limit = 675 * 1.15 * 1.1 * 2.625 * 9.5
    varied = [results(roof, {"D+S": {BOTTOM: axial(limit * part)}}).runs for part in (0.5, 0.999, 1.0, 1.001)]
    shares = over_shares(roof, known, varied, SAID)
    assert shares[BOTTOM] == 0.25
    assert set(shares.values()) == {0.25}
    assert over_shares(roof, known, [], SAID) == {}


def test_lengths_follow_the_joints_of_a_variation() -> None:
    """A web 1-1/2 in thick may be 75 in long: le/d 50 exactly where its joint was moved there, over beyond."""
    roof = truss()
    known = results(roof, {"D+S": {STRUT: axial(-10.0)}})
    top = JointId("T1")
    joints = [{top: replace(roof.joints[top], y=y)} for y in (60.0, 75.0, 75.001, 76.0)]
    shares = over_shares(roof, known, [known.runs] * 4, SAID, joints=joints)
    assert shares[STRUT] == 0.5
    assert over_shares(roof, known, [known.runs] * 4, SAID)[STRUT] == 0.0
    with pytest.raises(ValueError, match="zip"):
        over_shares(roof, known, [known.runs] * 4, SAID, joints=joints[:3])

"""Groups: uneven sharing against springs solved one by one, geometry at its floors, tear-out, eccentric force."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from trussio.errors import UsageError
from trussio.timber import bolt_group, connection, geometry_factors, group_action, wood_failure
from trussio.timber.geometry_factors import Placement, geometry_factor


def _springs(n: int, gamma: float, s: float, EA_main: float, EA_side: float) -> float:
    """Cg of n equal springs between two bars, solved as a chain: own derivation, equilibrium and compatibility.

    The main bar is pulled at the first spring and the side bar holds at the last. From spring to spring the slip
    changes by the difference of stretches: (f_i - f_i+1)/gamma = s (1/EA_main - (1/EA_main + 1/EA_side) sum f).
    """
    chain = np.zeros((n, n))
    right = np.zeros(n)
    for i in range(n - 1):
        chain[i, i] += 1 / gamma
        chain[i, i + 1] -= 1 / gamma
        chain[i, : i + 1] += s * (1 / EA_main + 1 / EA_side)
        right[i] = s / EA_main
    chain[n - 1] = 1.0
    right[n - 1] = 1.0
    forces = np.linalg.solve(chain, right)
    return float(1 / (n * np.abs(forces).max()))


@pytest.mark.parametrize("n", [2, 3, 5, 9])
@pytest.mark.parametrize("ratio", [1.0, 0.5, 0.2])
def test_group_action_is_that_of_springs_in_a_row(n: int, ratio: float) -> None:
    gamma, s, EA_main = 180000.0, 4.0, 1.4e6 * 12
    found = group_action.group_action(in_row=n, spacing=s, gamma=gamma, EA_main=EA_main, EA_side=EA_main * ratio)
    assert found.value == pytest.approx(_springs(n, gamma, s, EA_main, EA_main * ratio), rel=1e-9)


def test_one_fastener_and_small_ones_share_evenly() -> None:
    assert group_action.group_action(in_row=1, spacing=4.0, gamma=1.0, EA_main=1.0, EA_side=1.0).value == 1.0
    small = group_action.group_action(
        in_row=6, spacing=4.0, gamma=180000.0, EA_main=1e6, EA_side=1e6, diameter=0.249
    )
    assert small.value == 1.0
    bolts = group_action.group_action(
        in_row=6, spacing=4.0, gamma=180000.0, EA_main=1e6, EA_side=1e6, diameter=0.25
    )
    assert bolts.value < 1.0
    assert group_action.group_action(in_row=6, spacing=0.0, gamma=1.0, EA_main=1e6, EA_side=1e6).value == 1.0


def test_areas_across_the_grain() -> None:
    two = group_action.area_across_grain(thickness=3.5, group_width=4.0, spacing=3.0, rows=2)
    one = group_action.area_across_grain(thickness=3.5, group_width=0.0, spacing=3.0, rows=1)
    assert (two.value, one.value) == (14.0, 10.5)
    assert group_action.slip_modulus(1.0, metal_side=True).value == 270000.0


@pytest.mark.parametrize(("gauge", "staggered", "rows"), [(0.99, True, 1), (1.0, True, 2), (0.5, False, 2)])
def test_close_staggered_rows_are_one(gauge: float, *, staggered: bool, rows: int) -> None:
    assert group_action.rows_that_count(gauge=gauge, spacing=4.0, staggered=staggered) == rows


FULL = Placement(
    angle=0.0,
    end=7.0,
    towards_end=True,
    edge=1.5,
    bearing_over_diameter=4.0,
    in_row=3,
    spacing=4.0,
    rows=2,
    gauge=1.5,
)
"""Full distances for one-inch bolts in tension along the grain."""

ACROSS = Placement(angle=90.0, end=4.0, towards_end=True, edge=1.5, loaded_edge=4.0, bearing_over_diameter=4.0)
"""Full distances for a one-inch bolt that pushes across the grain."""


@pytest.mark.parametrize(
    ("placement", "factor"),
    [
        pytest.param(FULL, 1.0, id="full distances"),
        pytest.param(replace(FULL, end=3.5), 0.5, id="end at its floor, softwood"),
        pytest.param(replace(FULL, end=5.0), 5 / 7, id="a ratio, not a line between the two points"),
        pytest.param(replace(FULL, end=2.5, softwood=False), 0.5, id="end at its floor, hardwood"),
        pytest.param(replace(FULL, end=2.0, towards_end=False), 0.5, id="compression"),
        pytest.param(replace(FULL, spacing=3.0), 0.75, id="spacing at its floor"),
        pytest.param(replace(FULL, spacing=3.0, end=3.5), 0.5, id="the least for the whole group"),
        pytest.param(replace(FULL, end=70.0), 1.0, id="never more than one"),
        pytest.param(replace(FULL, gauge=5.0, depth=8.0), 1.0, id="five inches across the grain exactly"),
        pytest.param(replace(FULL, gauge=6.0, shrinkage_detailed=True), 1.0, id="wide, but free to shrink"),
    ],
)
def test_permitted_placements(placement: Placement, factor: float) -> None:
    found = geometry_factor(placement, 1.0)
    assert found.refusals == ()
    assert found.factor.value == pytest.approx(factor)


@pytest.mark.parametrize(
    ("placement", "refusal"),
    [
        (replace(FULL, end=3.49), "end distance 3.49 in is below the least, 3.5 in (NDS-2018 table 12.5.1A)"),
        (
            replace(FULL, end=1.99, towards_end=False),
            "end distance 1.99 in is below the least, 2 in (NDS-2018 table 12.5.1A)",
        ),
        (
            replace(FULL, spacing=2.99),
            "spacing in a row 2.99 in is below the least, 3 in (NDS-2018 table 12.5.1B)",
        ),
        (replace(FULL, edge=1.49), "edge distance 1.49 in is below the least, 1.5 in (NDS-2018 table 12.5.1C)"),
        (
            replace(FULL, gauge=1.49),
            "spacing between rows 1.49 in is below the least, 1.5 in (NDS-2018 table 12.5.1D)",
        ),
        (
            replace(FULL, bearing_over_diameter=6.1, gauge=4.0),
            "edge distance 1.5 in is below the least, 2 in (NDS-2018 table 12.5.1C)",
        ),
        (
            replace(FULL, gauge=5.1),
            "outermost fasteners stand 5.1 in apart across the grain, over 5 in (NDS-2018 12.5.1.3)",
        ),
    ],
)
def test_refused_placements(placement: Placement, refusal: str) -> None:
    found = geometry_factor(placement, 1.0)
    assert found.refusals == (refusal,)
    assert found.factor.value == 0.0


@pytest.mark.parametrize(
    ("placement", "factor"),
    [
        pytest.param(ACROSS, 1.0, id="full"),
        pytest.param(replace(ACROSS, end=2.0), 0.5, id="end at its floor"),
        pytest.param(replace(ACROSS, loaded_edge=3.99), 0.0, id="the loaded edge has no reduction"),
        pytest.param(
            replace(ACROSS, rows=2, gauge=2.5, bearing_over_diameter=2.0), 1.0, id="stout bolts may stand close"
        ),
        pytest.param(replace(ACROSS, rows=2, gauge=2.49, bearing_over_diameter=2.0), 0.0, id="but not closer"),
        pytest.param(
            replace(ACROSS, rows=2, gauge=3.75, bearing_over_diameter=4.0), 1.0, id="between, a straight line"
        ),
        pytest.param(
            replace(ACROSS, rows=2, gauge=4.99, bearing_over_diameter=6.0), 0.0, id="slender bolts need five"
        ),
    ],
)
def test_load_across_the_grain(placement: Placement, factor: float) -> None:
    assert geometry_factor(placement, 1.0).factor.value == factor


def test_at_an_angle_both_sets_of_rules_hold() -> None:
    sloping = replace(ACROSS, angle=45.0, end=7.0, loaded_edge=3.9)
    assert geometry_factor(sloping, 1.0).factor.value == 0.0
    short = replace(ACROSS, angle=45.0, end=4.0)
    assert geometry_factor(short, 1.0).factor.value == pytest.approx(4 / 7)


def test_small_dowels_have_no_table() -> None:
    assert geometry_factor(replace(FULL, end=0.1), 0.2).factor.value == 1.0


@pytest.mark.parametrize(
    ("placement", "code"),
    [
        (replace(FULL, end=-1.0), "impossible-distance"),
        (replace(FULL, edge=float("nan")), "impossible-distance"),
        (replace(FULL, depth=4.4), "impossible-distance"),
        (replace(FULL, spacing=None), "distance-missing"),
        (replace(FULL, gauge=None), "distance-missing"),
        (replace(FULL, angle=30.0), "distance-missing"),
        (replace(FULL, angle=91.0, loaded_edge=4.0), "angle-outside"),
    ],
)
def test_distances_that_cannot_be(placement: Placement, code: str) -> None:
    with pytest.raises(UsageError) as fault:
        geometry_factor(placement, 1.0)
    assert fault.value.code == code


def test_tear_out_of_a_regular_group() -> None:
    found = wood_failure.tear_out(
        Ft=1000.0,
        Fv=180.0,
        thickness=1.5,
        depth=9.25,
        hole=0.8125,
        rows=2,
        in_row=3,
        end=5.0,
        spacing=3.0,
        gauge=4.0,
    )
    row = 3 * 180 * 1.5 * 3.0
    assert found.net.value == pytest.approx(1000 * (9.25 - 1.625) * 1.5)
    assert found.rows.value == pytest.approx(2 * row)
    assert found.group is not None
    assert found.group.value == pytest.approx(row + 1000 * (4 - 0.8125) * 1.5)
    single = wood_failure.tear_out(
        Ft=1000.0,
        Fv=180.0,
        thickness=1.5,
        depth=9.25,
        hole=0.8125,
        rows=1,
        in_row=1,
        end=5.0,
        spacing=None,
        gauge=None,
    )
    assert single.group is None
    assert single.rows.value == pytest.approx(180 * 1.5 * 5)


def test_tear_out_asks_for_what_it_needs() -> None:
    with pytest.raises(UsageError, match="the spacing in the row is not given"):
        wood_failure.row_tear_out(Fv=180.0, thickness=1.5, in_row=2, end=5.0, spacing=None)
    with pytest.raises(UsageError, match="the spacing between rows is not given"):
        wood_failure.tear_out(
            Ft=1.0,
            Fv=1.0,
            thickness=1.5,
            depth=9.25,
            hole=0.8,
            rows=2,
            in_row=1,
            end=5.0,
            spacing=None,
            gauge=None,
        )
    with pytest.raises(UsageError, match="net area"):
        wood_failure.tear_out(
            Ft=1.0, Fv=1.0, thickness=1.5, depth=1.5, hole=0.8, rows=2, in_row=1, end=5.0, spacing=None, gauge=1.0
        )


def test_an_eccentric_group_balances() -> None:
    places = [(0.0, 0.0), (4.0, 0.0), (0.0, 3.0), (4.0, 3.0)]
    forces = bolt_group.fastener_forces(places, force=(0.0, -8.0), moment=25.0)
    assert sum(f.x for f in forces) == pytest.approx(0.0)
    assert sum(f.y for f in forces) == pytest.approx(-8.0)
    about = sum((x - 2) * f.y - (y - 1.5) * f.x for (x, y), f in zip(places, forces, strict=True))
    assert about == pytest.approx(25.0)
    assert max(f.size for f in forces) > 2.0


def test_groups_that_cannot_be() -> None:
    with pytest.raises(UsageError, match="no-fasteners"):
        bolt_group.fastener_forces([], force=(1.0, 0.0), moment=0.0)
    with pytest.raises(UsageError, match="one fastener cannot take a moment"):
        bolt_group.fastener_forces([(0.0, 0.0)], force=(1.0, 0.0), moment=1.0)


def test_a_connection_is_met_not_met_refused_or_open() -> None:
    fine = geometry_factor(FULL, 1.0)
    refused = geometry_factor(replace(FULL, end=3.0), 1.0)
    assert connection.connection_check(force=4000.0, capacity=4000.0, geometries=(fine,)).verdict == "met"
    assert connection.connection_check(force=4001.0, capacity=4000.0, geometries=(fine,)).verdict == "not met"
    no = connection.connection_check(force=1.0, capacity=4000.0, geometries=(fine, refused))
    assert no.verdict == "not met"
    assert no.ratio == float("inf")
    assert no.reason.startswith("not permitted: end distance 3 in is below the least")
    unknown = connection.connection_check(force=12000.0, capacity=None)
    assert (unknown.verdict, unknown.ratio, unknown.demand) == ("not evaluated", None, 12000.0)
    assert "nobody has seen what fastens this joint" in unknown.reason


def test_inferred_rings_show_both_readings() -> None:
    bolts, ring = connection.both_readings(force=5000.0, bolts_alone=2000.0, with_rings=6000.0)
    assert (bolts.verdict, ring.verdict) == ("not met", "met")
    assert (bolts.what, ring.what) == ("bolts alone, no rings", "rings, inferred and not seen")


def test_the_greatest_gauge_that_slender_bolts_need() -> None:
    assert geometry_factors.GREATEST_SPREAD == 5.0


@pytest.mark.parametrize(("spacing", "permitted"), [(2.5, True), (2.51, False)])
def test_a_row_across_the_grain_may_not_spread_over_five_inches(spacing: float, *, permitted: bool) -> None:
    bolts = replace(ACROSS, in_row=3, spacing=spacing)
    assert (geometry_factor(bolts, 0.5).refusals == ()) == permitted

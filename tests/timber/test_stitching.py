"""The rules by which nailed, bolted and blocked plies act together; each is broken by a hair and named.

Rules of NDS-2018 15.2 and 15.3, from memory; no published example was found, limits are worked out by hand here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from trussio.timber.stitching import (
    Blocks,
    Plies,
    Stitches,
    bolted_faults,
    end_block_constant,
    end_condition,
    nailed_faults,
    spaced_faults,
)

if TYPE_CHECKING:
    from trussio.timber.rings import Group

THREE = Plies(3, 1.5, 5.5)
NAILS = Stitches(
    diameter=0.225,
    spacing=9.0,  # 6 t, on the limit
    rows=2,
    gauge=2.25,  # 10 D
    end=3.375,  # 15 D
    edge=1.125,  # 5 D
    length=4.125,  # 2.75 plies
    opposite=True,
)
BOLTS = Stitches(diameter=0.5, spacing=9.0, rows=2, gauge=0.75, end=3.5, edge=0.75, washers=True, tight=True)


def test_nails_exactly_on_every_limit_make_one_column() -> None:
    assert nailed_faults(THREE, NAILS) == ()
    most = NAILS._replace(spacing=4.5, gauge=4.5, end=4.05, edge=4.5)  # 20 D, 20 D, 18 D, 20 D
    assert nailed_faults(THREE, most) == ()


@pytest.mark.parametrize(
    ("nails", "says"),
    [
        (NAILS._replace(spacing=9.01), "spacing in a row 9.01 in is above the most, 9 in"),
        (NAILS._replace(spacing=4.49), "spacing in a row 4.49 in is below the least, 4.5 in"),
        (NAILS._replace(gauge=2.24), "spacing between rows 2.24 in is below the least, 2.25 in"),
        (NAILS._replace(gauge=4.51), "spacing between rows 4.51 in is above the most, 4.5 in"),
        (NAILS._replace(gauge=None), "the spacing between rows is not given"),
        (NAILS._replace(end=3.37), "end distance 3.37 in is below the least, 3.375 in"),
        (NAILS._replace(end=4.06), "end distance 4.06 in is above the most, 4.05 in"),
        (NAILS._replace(edge=1.12), "edge distance 1.12 in is below the least, 1.125 in"),
        (NAILS._replace(edge=4.51), "edge distance 4.51 in is above the most, 4.5 in"),
        (NAILS._replace(length=4.12), "length of the nails 4.12 in is below the least, 4.125 in"),
        (NAILS._replace(length=None), "the length of the nails is not given"),
        (NAILS._replace(opposite=None), "nails next to each other must be driven from opposite faces"),
        (NAILS._replace(rows=3), "nails in one row, or in more than two, must be staggered"),
    ],
)
def test_a_rule_of_nails_that_is_not_met_is_named(nails: Stitches, says: str) -> None:
    assert nailed_faults(THREE, nails) == (f"{says} (NDS-2018 15.3.3)",)


def test_one_row_is_for_plies_up_to_three_thicknesses_deep() -> None:
    one = NAILS._replace(rows=None, staggered=True)
    assert nailed_faults(THREE._replace(depth=4.5), one) == ()
    [fault] = nailed_faults(THREE._replace(depth=4.51), one)
    assert fault == "plies deeper than 3 x their thickness need two rows or more (NDS-2018 15.3.3)"


def test_bolts_exactly_on_every_limit_make_one_column() -> None:
    assert bolted_faults(THREE, BOLTS) == ()
    assert bolted_faults(THREE, BOLTS._replace(spacing=2.0, gauge=5.0, end=4.2, edge=5.0)) == ()
    assert bolted_faults(THREE, BOLTS._replace(end=2.5), hardwood=True) == ()


@pytest.mark.parametrize(
    ("bolts", "says"),
    [
        (BOLTS._replace(washers=None), "washers or plates must lie under head and nut"),
        (BOLTS._replace(tight=False), "nuts must be tight and the plies touch"),
        (BOLTS._replace(end=3.49), "end distance 3.49 in is below the least, 3.5 in"),
        (BOLTS._replace(end=4.21), "end distance 4.21 in is above the most, 4.2 in"),
        (BOLTS._replace(spacing=1.99), "spacing in a row 1.99 in is below the least, 2 in"),
        (BOLTS._replace(spacing=9.1), "spacing in a row 9.1 in is above the most, 9 in"),
        (BOLTS._replace(gauge=0.74), "spacing between rows 0.74 in is below the least, 0.75 in"),
        (BOLTS._replace(gauge=5.01), "spacing between rows 5.01 in is above the most, 5 in"),
        (BOLTS._replace(edge=0.74), "edge distance 0.74 in is below the least, 0.75 in"),
        (BOLTS._replace(edge=None), "the edge distance is not given"),
    ],
)
def test_a_rule_of_bolts_that_is_not_met_is_named(bolts: Stitches, says: str) -> None:
    assert bolted_faults(THREE, bolts) == (f"{says} (NDS-2018 15.3.4)",)


@pytest.mark.parametrize(
    ("plies", "says"),
    [
        (THREE._replace(gap=0.25), "the plies stand 0.25 in apart"),
        (Plies(6, 1.5, 4.0), "6 plies; the clause is for 2 to 5"),
        (THREE._replace(thickness=1.499), "plies 1.499 in thick are under 1.5 in"),
    ],
)
def test_plies_that_are_no_built_up_column(plies: Plies, says: str) -> None:
    bolts = BOLTS._replace(spacing=8.0)
    assert bolted_faults(plies, bolts) == (f"{says} (NDS-2018 15.3.1)",)
    assert nailed_faults(plies, NAILS._replace(spacing=8.0, length=12.0)) == (f"{says} (NDS-2018 15.3.1)",)


def test_the_end_condition_follows_the_end_blocks() -> None:
    assert [end_condition(end=end, l1=100.0) for end in (5.0, 5.01, 10.0, 10.01)] == ["a", "b", "b", None]


@pytest.mark.parametrize(
    ("ratio", "group", "KS"),
    [
        (11.0, "B", 0.0),
        (5.0, "B", 0.0),
        (21.0, "A", 95.5),
        (31.0, "D", 106.4),
        (80.0, "B", 399.0),
        (80.0, "C", 330.0),
    ],
)
def test_end_blocks_carry_more_the_slenderer_the_ply(ratio: float, group: Group, KS: float) -> None:
    assert end_block_constant(l1=2.5 * ratio, thickness=2.5, group=group).value == pytest.approx(KS)


APART = Plies(2, 2.5, 7.25, 2.5)
KS = 8.14 * (108 / 2.5 - 11)
"""Group B, 262.1 psi; l1 108 in as of own check OC-02."""
ONE_BLOCK = Blocks(l1=108.0, blocks=1, end=5.4, between=48.6, connectors=KS * 2.5 * 7.25)


def test_blocks_exactly_on_every_limit_make_a_spaced_column() -> None:
    assert spaced_faults(APART, ONE_BLOCK, "B") == ()
    assert spaced_faults(APART, ONE_BLOCK._replace(between=48.6 + 5.4), "B") == ()
    assert spaced_faults(APART, ONE_BLOCK._replace(blocks=2, end=10.8, between=43.2), "B") == ()


@pytest.mark.parametrize(
    ("plies", "blocks", "says"),
    [
        (APART._replace(gap=0.0), ONE_BLOCK, "no gap stands between the plies (NDS-2018 15.2.1)"),
        (
            APART._replace(gap=2.49),
            ONE_BLOCK,
            "blocks 2.49 in thick are thinner than a ply, 2.5 in (NDS-2018 15.2.2.4)",
        ),
        (
            APART,
            ONE_BLOCK._replace(end=10.81, between=43.2),
            "the end blocks' fasteners stand 10.81 in from the end, over l1/10, 10.8 in (NDS-2018 15.2.2.1)",
        ),
        (
            APART,
            ONE_BLOCK._replace(between=54.01),
            "the one block between stands out of the middle tenth of the length (NDS-2018 15.2.2.2)",
        ),
        (APART, ONE_BLOCK._replace(blocks=0), "no block stands between those at the ends (NDS-2018 15.2.1)"),
        (
            APART,
            ONE_BLOCK._replace(blocks=2, between=48.61),
            "blocks stand 48.61 in apart, over half of 97.2 in between the ends (NDS-2018 15.2.2.2)",
        ),
        (
            APART,
            ONE_BLOCK._replace(between=None),
            "the blocks between the ends, or how far they stand apart, are not given (NDS-2018 15.2.2.2)",
        ),
        (
            APART,
            ONE_BLOCK._replace(end=None, between=54.0),
            "how far from the end the fasteners of the end blocks stand is not given (NDS-2018 15.2.2.1)",
        ),
        (APART, ONE_BLOCK._replace(connectors=None), "what fastens the blocks is not given (NDS-2018 15.2.2.5)"),
        (
            APART,
            ONE_BLOCK._replace(connectors=0.0),
            (
                "rings or shear plates in a face of an end block carry 0 lbf of the 4751 lbf that KS asks for; "
                "bolts and nails do not count (NDS-2018 15.2.2.5)"
            ),
        ),
    ],
)
def test_a_rule_of_blocks_that_is_not_met_is_named(plies: Plies, blocks: Blocks, says: str) -> None:
    assert spaced_faults(plies, blocks, "B") == (says,)


def test_connectors_a_hair_too_weak_are_named() -> None:
    [fault] = spaced_faults(APART, ONE_BLOCK._replace(connectors=KS * 2.5 * 7.25 - 1), "B")
    assert "carry 4750 lbf of the 4751 lbf" in fault

"""Offsets, slip, play and turning of a member's ends: read, converted, and refused where they have no meaning."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from tests.document.small import SMALL, changed, only_fault, taken
from trussio.document.conversion import to_units
from trussio.document.encode import write_truss
from trussio.model.truss import MemberId

if TYPE_CHECKING:
    from trussio.model.truss import Json

SAID: dict[str, Json] = {
    "acts": "compression",
    "offsets": {"last": [2, -4.75]},
    "slip": {"first": 50000},
    "play": {"first": 0.0625, "last": 1},
    "turning": {"last": 2e6},
}


def post(**fields: Json) -> dict[str, Json]:
    """The small document with more said of its post, whose last end is fixed."""
    plain = SMALL["members"]
    assert isinstance(plain, dict)
    member = plain["w1"]
    assert isinstance(member, dict)
    return changed(SMALL, "/members/w1", {**member, "fixed": ["last"], **fields})


def test_what_ends_do_is_read() -> None:
    member = taken(post(**SAID)).members[MemberId("w1")]
    assert member.acts == "compression"
    assert member.offsets == {"last": (2.0, -4.75)}
    assert (member.slip, member.play, member.turning) == (
        {"first": 50000.0},
        {"first": 0.0625, "last": 1.0},
        {"last": 2e6},
    )


def test_what_ends_do_converts() -> None:
    """One lbf/in is 0.1751268 N/mm, one in-lbf 112.9848 N-mm (NIST SP 811, 2008, appendix B.8, from memory)."""
    member = json.loads(write_truss(to_units(taken(post(**SAID)), "si")))["members"]["w1"]
    assert member["offsets"] == {"last": [50.8, -120.65]}
    assert member["play"] == {"first": 1.5875, "last": 25.4}
    assert member["slip"]["first"] == pytest.approx(50000 * 0.1751268, rel=1e-6)
    assert member["turning"]["last"] == pytest.approx(2e6 * 112.9848, rel=1e-6)


@pytest.mark.parametrize(
    ("said", "where", "says"),
    [
        ({"acts": "both"}, "/acts", 'the text "both" is not known here.'),
        ({"offsets": {"last": [0, -31.6]}}, "/offsets/last", "the offset 31.6 is over half of the segment"),
        ({"offsets": {"middle": [0, 1]}}, "/offsets/middle", 'no field is called "middle" here.'),
        ({"turning": {"first": 1}}, "/turning/first", "the first end is pinned, so that nothing turns against"),
        ({"slip": {"first": 0}}, "/slip/first", "expected a number above 0, found 0"),
        ({"slip": {"first": 1e31}}, "/slip/first", "expected a number above 0 within 1e30, found 1e+31"),
    ],
)
def test_what_has_no_meaning_is_refused(said: dict[str, Json], where: str, says: str) -> None:
    fault = only_fault(post(**said))
    assert fault.where == f"/members/w1{where}"
    assert says in fault.what


def test_an_offset_on_a_stick_through_one_joint_is_one_fault() -> None:
    assert only_fault(post(through=["B1"], offsets={"first": [0, 1]})).where == "/members/w1/through"


def test_an_offset_of_half_its_segment_is_taken() -> None:
    assert taken(post(offsets={"last": [0, -31.5]}))

"""Splices: two in one panel, and those in the middle of a panel that bends, both ways and at the limit."""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

import pytest

from tests.audit.forms import HELD, pitched
from tests.audit.spoilt import jointed, surveyed
from tests.trusses import at_joint, stick
from trussio.audit.splices import NEAR, butts, splices
from trussio.audit.subject import subject_of
from trussio.model.connection import Butt
from trussio.model.truss import Curve, MemberId

if TYPE_CHECKING:
    from trussio.model.truss import Truss

PANEL = hypot(2000.0, 1000.0)
"""A panel of the rafter `left`, which carries a load along it; those of `bottom` are 2000 long and carry none."""


def codes(truss: Truss) -> list[str]:
    subject = subject_of(truss, "continuous")
    return [finding.code for rule in (butts, splices) for finding in rule(subject)]


@pytest.mark.parametrize(
    ("says", "member", "at", "expected"),
    [
        ("a quarter along a panel that bends", "left", (PANEL * NEAR,), []),
        ("a millimetre further", "left", (PANEL * NEAR + 1,), ["splice-mid-panel"]),
        ("the middle of a panel that does not bend", "bottom", (3000.0,), []),
        ("two of one ply in one panel", "bottom", (2100.0, 3900.0), ["splices-in-panel"]),
        ("one of them at the panel point", "bottom", (2000.0, 3900.0), []),
        ("two in panels side by side", "bottom", (3900.0, 4100.0), []),
    ],
)
def test_butts_of_one_ply(says: str, member: str, at: tuple[float, ...], expected: list[str]) -> None:
    truss = surveyed(**{member: {"butts": tuple(Butt(ply=1, at=place) for place in at)}})
    assert codes(truss) == expected, says


def test_a_curved_chord_bends_without_a_load_on_it() -> None:
    truss = surveyed(bottom={"butts": (Butt(ply=1, at=3000.0),)})
    bent = replace(truss.members[MemberId("bottom")], curve=Curve(radius=30000.0, bows="up"))
    assert codes(replace(truss, members={**truss.members, MemberId("bottom"): bent})) == ["splice-mid-panel"]


def spliced(*, ends: tuple[str, str], load: bool = False) -> Truss:
    """A bottom chord of three sticks; the middle one runs between two points of the panel from B2 to B3."""
    truss = pitched(
        at_joint("T3", fy=-1.0),
        bottom=stick("B0", "B1", "B2", "P", role="bottom-chord"),
        short=stick(*ends, role="bottom-chord"),
        rest=stick("Q", "B3", "B4", "B5", "B6", role="bottom-chord"),
    )
    members = {**truss.members, MemberId("post"): stick("P", "T2", role="web")} if load else truss.members
    return jointed(replace(truss, members=members), P=(4500.0, 0.0), Q=(5500.0, 0.0))


def test_a_piece_shorter_than_its_panel_is_two_splices_in_one() -> None:
    assert codes(spliced(ends=("P", "Q"))) == ["splices-in-panel"]


def test_a_web_at_one_of_its_ends_makes_it_a_panel() -> None:
    assert codes(spliced(ends=("P", "Q"), load=True)) == []


def test_chords_of_the_plain_truss_are_silent() -> None:
    assert codes(pitched()) == []
    assert all(m.braced == HELD for m in pitched().members.values() if m.role != "web")

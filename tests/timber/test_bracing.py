"""Bracing across the truss plane: how far apart it holds, and what is open where nobody saw it."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.timber.roof import BOTTOM, LEFT, STRUT, axial, results, truss
from trussio.model.check import Check
from trussio.model.connection import Brace
from trussio.model.material import Material
from trussio.model.truss import JointId, MemberId, Support, Truss
from trussio.timber.bench import BRACED, Conditions
from trussio.timber.bracing import held_lengths
from trussio.timber.lengths import segment_lengths
from trussio.timber.review import review

SAID = Conditions(wet=False, temperature=70.0)
SLOPE = hypot(96.0, 60.0)


def braced(member: str, *braces: Brace, roof: Truss | None = None) -> Truss:
    made = roof or truss()
    name = MemberId(member)
    supports = {JointId("B0"): Support(holds=("x", "y")), JointId("B2"): Support(holds=("y",))}
    members = {**made.members, name: replace(made.members[name], braced=braces)}
    return replace(made, members=members, supports=supports)


def purlin(at: float | str, *, seen: bool = True) -> Brace:
    return Brace(plane="out", by="purlin", seen=seen, at=JointId(at) if isinstance(at, str) else at)


def deck(start: float | None, end: float | None) -> Brace:
    return Brace(plane="out", by="deck", seen=True, start=start, end=end)


@pytest.mark.parametrize(
    ("braces", "segment", "expected"),
    [
        ((), BOTTOM, 192.0),
        ((purlin("B1"),), BOTTOM, 96.0),
        ((purlin(48.0),), BOTTOM, 144.0),
        ((purlin(48.0),), "bottom:B1-B2", 144.0),
        ((purlin(96.0 + 60.0),), "bottom:B1-B2", 156.0),
        ((purlin(32.0), purlin(64.0), purlin("B1")), BOTTOM, 32.0),
        ((deck(None, None),), BOTTOM, 0.0),
        ((deck(0.0, 96.0),), BOTTOM, 0.0),
        ((deck(0.0, 96.0),), "bottom:B1-B2", 96.0),
        ((deck(20.0, 50.0),), BOTTOM, 142.0),
        ((Brace(plane="in", by="strut", seen=True, at=48.0),), BOTTOM, 192.0),
    ],
)
def test_the_longest_free_length_that_reaches_into_a_segment(
    braces: tuple[Brace, ...], segment: str, expected: float
) -> None:
    roof = braced("bottom", *braces)
    found = {str(name): held for name, held in held_lengths(roof, segment_lengths(roof)).items()}
    assert found[segment].seen == pytest.approx(expected)
    assert set(found) == {BOTTOM, "bottom:B1-B2"}


def test_an_end_that_goes_on_into_the_next_chord_holds_nothing() -> None:
    """The two top chords meet at the ridge: nothing is known beyond the last purlin, unless one sits there."""
    for braces, expected in (((purlin(40.0),), None), ((purlin(40.0), purlin("T1")), SLOPE - 40.0)):
        roof = braced("left", *braces)
        assert held_lengths(roof, segment_lengths(roof))[next(iter(roof.segments[2:])).id].seen == expected


def strut(checks: tuple[Check, ...], what: str, element: str = LEFT) -> Check:
    [check] = [one for one in checks if one.element == element and one.what == what]
    return check


def reviewed(roof: Truss, force: float, element: str = LEFT) -> tuple[Check, ...]:
    return review(roof, results(roof, {"D+S": {element: axial(force)}}), SAID)


def test_bracing_in_the_document_counts_as_a_stated_length_does() -> None:
    roof = braced("left", purlin(SLOPE / 2), purlin("T1"))
    by_document = strut(reviewed(roof, -9000.0), "compression with buckling")
    given_by_hand = replace(SAID, lateral={MemberId("left"): SLOPE / 2})
    forces = results(roof, {"D+S": {LEFT: axial(-9000.0)}})
    assert by_document.ratio == strut(review(truss(), forces, given_by_hand), "compression with buckling").ratio
    assert BRACED in by_document.remarks


def both(force: float) -> Check:
    roof = braced("web", purlin(30.0, seen=False))
    return strut(reviewed(roof, force, STRUT), "compression with buckling", STRUT)


def test_bracing_that_nobody_saw_is_read_both_ways() -> None:
    held = strut(reviewed(braced("web", purlin(30.0)), -1000.0, STRUT), "compression with buckling", STRUT)
    bare = strut(reviewed(braced("web"), -1000.0, STRUT), "compression with buckling", STRUT)
    assert held.ratio is not None
    assert bare.ratio is not None
    assert held.ratio < bare.ratio
    met = both(-999.0 / bare.ratio)
    assert met.verdict == "met"
    assert "met without the bracing that nobody saw" in met.remarks
    between = both(-1010.0 / bare.ratio)
    assert (between.verdict, between.reason) == (
        "not evaluated",
        "somebody must see whether the bracing truly holds",
    )
    shown = f"with the bracing that nobody saw: {1.01 * held.ratio / bare.ratio:.2f}; without it: 1.01"
    assert shown in between.remarks
    beyond = both(-1001.0 / held.ratio)
    assert beyond.verdict == "not met"
    assert "not met even if the bracing that nobody saw holds" in beyond.remarks


def test_european_sticks_are_read_both_ways_too() -> None:
    wood = Material(kind="sawn", grade="C24", species="spruce", E=11000.0)
    plain = truss(material=wood, combinations={"D+S": {"D": 1.35, "S": 1.5}})
    roof = braced("web", Brace(plane="out", by="deck", seen=False), roof=plain)

    def check(force: float) -> Check:
        known = results(roof, {"D+S": {STRUT: axial(force)}})
        found = [one for one in review(roof, known) if one.element == STRUT]
        return next(one for one in found if one.what == "compression with buckling")

    bare = check(-1.0).ratio
    assert bare is not None
    assert check(-0.99 / bare).verdict == "met"
    between = check(-1.01 / bare)
    assert between.verdict == "not evaluated"
    assert any("without it: 1.01" in remark for remark in between.remarks)


def test_bracing_in_the_plane_is_said_and_not_counted() -> None:
    roof = braced("web", Brace(plane="in", by="strut", seen=True, at=30.0))
    check = strut(reviewed(roof, -1000.0, STRUT), "compression with buckling", STRUT)
    assert "bracing in the truss plane is in the document and not counted" in check.remarks


@given(places=st.lists(st.floats(0.0, 60.0), max_size=4), more=st.floats(0.0, 60.0))
def test_one_brace_more_never_weakens(places: list[float], more: float) -> None:
    def ratio(at: list[float]) -> float:
        roof = braced("web", *(purlin(place) for place in at))
        found = strut(reviewed(roof, -1000.0, STRUT), "compression with buckling", STRUT).ratio
        assert found is not None
        return found

    assert ratio([*places, more]) <= ratio(places) * (1 + 1e-12)

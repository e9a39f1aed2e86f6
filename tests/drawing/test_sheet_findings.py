"""The audit sheet: mechanisms, regions, sticks on which all hangs and missing twins, and a sound truss without."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.audit.forms import pitched, supported
from tests.audit.spoilt import SPOILT
from tests.trusses import ROLLER
from trussio.audit.rules import audit
from trussio.drawing.sheet import sheet
from trussio.drawing.svg import render

if TYPE_CHECKING:
    from trussio.drawing.paper import PenStroke, Sheet
    from trussio.model.truss import Idealisation, Truss


def drawn(truss: Truss, idealisation: Idealisation = "continuous") -> Sheet:
    findings = audit(truss, idealisation=idealisation, digest="sha256:0")
    return sheet(truss, digest="sha256:0", audited=findings)


def outlines(made: Sheet) -> list[PenStroke]:
    return [stroke for stroke in made.strokes if stroke.holds == "defect" and not stroke.filled]


def words(made: Sheet) -> list[str]:
    return [label.text for label in made.labels]


def test_a_sound_truss_shows_its_members_and_what_hangs_on_single_sticks_alone() -> None:
    made = drawn(pitched())
    assert outlines(made) == []
    assert [stroke.of for stroke in made.strokes if stroke.pen == "beneath"] == []
    wide = {stroke.of.partition(":")[0] for stroke in made.strokes if stroke.width > 0.4 and stroke.of}
    assert wide == {"bottom", "left", "right"}
    assert "member whose loss makes a mechanism" in words(made)
    assert "where joints can move" not in words(made)


def test_a_mechanism_is_an_outline_of_where_its_joints_could_go_with_arrows() -> None:
    """The braced left part turns about B0: T2 lies highest and farthest, so it moves furthest."""
    truss = pitched(skipped="d2")
    made = drawn(truss, "pinned")
    ends = [(vertex.x, vertex.y) for stroke in outlines(made) for vertex in stroke.vertices]
    assert (0.0, 0.0) in ends
    assert max(y for _, y in ends) > truss.joints[next(j for j in truss.joints if j == "T2")].y + 400
    assert any(stroke.filled and stroke.holds == "defect" for stroke in made.strokes)
    assert all(stroke.pen != "compression" for stroke in made.strokes)
    assert any(text.startswith("where joints can move") for text in words(made))


def test_a_missing_twin_is_a_line_between_its_joints_marked_with_a_question() -> None:
    made = drawn(pitched(skipped="p1"))
    (line,) = outlines(made)
    assert [(vertex.x, vertex.y) for vertex in line.vertices] == [(2000.0, 0.0), (2000.0, 1000.0)]
    assert "1?" in words(made)
    assert "missing stick, marked ?" in words(made)


def test_regions_have_letters_and_say_where_members_are_spare() -> None:
    made = drawn(SPOILT["misplaced-members"].truss, "pinned")
    assert {"A", "B", "C"} <= set(words(made))
    told = [text for text in words(made) if text.startswith("Region ")]
    assert told[0] == "Region A, rigid as pinned, members 1 more than needed: ap, m1, m2, m3, s0, s1, s2, s3, s4."
    assert told[1].startswith("Region B, rigid as pinned, members just enough: ")
    assert sum(stroke.pen == "beneath" for stroke in made.strokes) > 20


def test_a_truss_that_slides_as_a_whole_is_drawn_beside_itself() -> None:
    made = drawn(supported(pitched(), B0=ROLLER, B6=ROLLER))
    shifts = {
        round(vertex.x % 2000.0, 6)
        for stroke in outlines(made)
        if stroke.pen == "faint"
        for vertex in stroke.vertices
    }
    assert len(shifts) == 1
    assert shifts != {0.0}


def test_where_all_hangs_on_every_member_no_stick_is_wider() -> None:
    made = drawn(pitched(), "pinned")
    assert all(stroke.width < 0.4 for stroke in made.strokes if stroke.of)
    assert "The loss of any one member makes a mechanism." in words(made)


@pytest.mark.parametrize("code", list(SPOILT))
def test_every_spoilt_truss_can_be_drawn_and_draws_the_same_again(code: str) -> None:
    spoilt = SPOILT[code]
    assert render(drawn(spoilt.truss, spoilt.idealisation)) == render(drawn(spoilt.truss, spoilt.idealisation))


def test_the_sheet_says_what_it_is() -> None:
    made = drawn(pitched(skipped="p1"))
    assert made.title == "Invented · What the audit found · as found · document 0 · not to scale"
    assert made.says == (
        "The audit of the truss. Stops: 0; queries: 1; notes: 1. Movements drawn: 0; missing sticks drawn: 1."
    )


def test_a_gap_in_a_chord_is_drawn_as_a_missing_stick() -> None:
    gap = SPOILT["chord-gap"].truss
    made = sheet(gap, digest="sha256:0", audited=audit(gap, digest="sha256:0"))
    assert "missing sticks drawn: 1" in made.says

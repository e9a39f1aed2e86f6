"""Size and grade that nobody confirmed: what is lowered, what stays, and where elements stand then."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.timber.roof import BOTTOM, CHORD, DFL, axial, results, truss
from tests.timber.test_review_connections import SAID
from trussio.model.change import Assumption
from trussio.model.material import Material, Section
from trussio.model.truss import MemberId, Truss
from trussio.timber.reference import sawn
from trussio.timber.tables import sawn_rows
from trussio.timber.uncertain import low_ratios, lowered

NAME = MemberId("bottom")
OLD = replace(CHORD, sizing="before-1970")


def roof(*touches: str, confirmed: str | None = None, chord: Section = OLD, material: Material = DFL) -> Truss:
    made = truss(chord=chord, material=material)
    assumed = Assumption(what="taken", rests_on="the drawing", touches=touches, confirmed=confirmed)
    return replace(made, assumptions={"a1": assumed})


def test_a_size_from_a_label_may_be_that_of_today() -> None:
    changed, said = lowered(roof("/members/bottom/section"))
    section = changed.section_of(NAME)
    assert section is not None
    assert (section.width, section.depth) == (2.5, 9.25)
    assert said == ("today's dressed sizes",)
    left = changed.section_of(MemberId("left"))
    assert left is not None
    assert left.width == 2.625


def test_a_grade_may_be_the_next_lower_of_its_table() -> None:
    changed, said = lowered(roof("/materials/wood"))
    assert {one.grade for name in changed.members if (one := changed.material_of(name))} == {"No.2"}
    assert said == ("grade No.2",)


@pytest.mark.parametrize(
    "as_said",
    [
        roof(),
        roof("/members/bottom/section", confirmed="A.B., 2021-05-01"),
        roof("/members/bottom/section", chord=replace(CHORD, sizing="measured")),
        roof("/members/bottom/section", chord=replace(CHORD, sizing="current")),
        roof("/materials/wood", material=replace(DFL, grade="1200f")),
        roof("/materials/wood", material=replace(DFL, reference={"Ft": 600.0}, source="graded in place")),
        roof("/supports/B0"),
    ],
)
def test_what_is_confirmed_measured_or_stated_stays(as_said: Truss) -> None:
    changed, said = lowered(as_said)
    assert said == ()
    assert changed.members == as_said.members


def test_the_low_ratio_stands_beside_the_likely_one() -> None:
    """Tension of a whole ply: 2.5 x 9.25 instead of 2.625 x 9.5, and No.2 (Ft 525) instead of No.1 (675)."""
    made = roof("/members/bottom/section", "/members/bottom/material")
    force = 675 * 1.15 * 1.1 * 2.625 * 9.5
    known = results(made, {"D+S": {BOTTOM: axial(force)}})
    low = low_ratios(made, known, SAID)[BOTTOM]
    changed = lowered(made)[0].material_of(NAME)
    assert changed is not None
    assert changed.grade == "No.2"
    Ft = sawn(species="Douglas Fir-Larch", grade="No. 2", thickness=2.5, width=9.25).value("Ft").value
    assert low.ratio == pytest.approx(675 / Ft * (2.625 * 9.5) / (2.5 * 9.25))
    assert low.says.endswith(" % with today's dressed sizes and grade No.2, which nobody has ruled out")
    assert low_ratios(roof(), known, SAID) == {}


def test_the_lowest_grade_has_none_below_it() -> None:
    lowest = min((row for row in sawn_rows() if row["species"] == "Hem-Fir"), key=lambda row: row["values"]["Fb"])
    wood = Material(kind="sawn", species="Hem-Fir", grade=lowest["grade"], E=1e6)
    assert lowered(roof("/materials/wood", material=wood))[1] == ()

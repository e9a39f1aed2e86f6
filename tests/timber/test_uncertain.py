"""Size and grade that nobody confirmed: what is lowered, what stays, and where elements stand then."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.timber.roof import BOTTOM, CHORD, DFL, axial, metric, metric_results, results, truss
from tests.timber.test_review_connections import SAID
from trussio.model.change import Assumption
from trussio.model.material import Material, MaterialKind, Section, Sizing
from trussio.model.truss import MemberId, SectionId, Truss
from trussio.timber.bench import Conditions
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


def in_mm(made: Truss) -> Truss:
    return replace(metric(made), assumptions=made.assumptions)


def test_a_document_in_mm_stands_lower_by_as_much() -> None:
    made = roof("/members/bottom/section", "/members/bottom/material")
    force = {"D+S": {BOTTOM: axial(20000.0)}}
    us = low_ratios(made, results(made, force), SAID)[BOTTOM]
    si = low_ratios(in_mm(made), metric_results(results(made, force)), SAID)[BOTTOM]
    assert si.ratio == pytest.approx(us.ratio)
    assert si.says == us.says


@pytest.mark.parametrize(
    ("size", "less"),
    [
        pytest.param((67.0, 241.0), (63.5, 234.95), id="2-5/8 x 9-1/2 in., rounded to mm"),
        pytest.param((66.675 + 0.5, 241.3 - 0.5), (63.5, 234.95), id="just within half a millimetre"),
        pytest.param((66.675 + 0.6, 241.3), (67.275, 234.95), id="half a millimetre and more is another size"),
    ],
)
def test_a_size_in_mm_is_that_of_its_label(size: tuple[float, float], less: tuple[float, float]) -> None:
    made = in_mm(roof("/members/bottom/section"))
    chord = Section(width=size[0], depth=size[1], sizing="before-1970")
    section = lowered(replace(made, sections={**made.sections, SectionId("chord"): chord}))[0].section_of(NAME)
    assert section is not None
    assert (section.width, section.depth) == pytest.approx(less)


def european(grade: str, chord: Section, *touches: str, kind: MaterialKind = "sawn") -> Truss:
    made = in_mm(roof(*touches, material=Material(kind=kind, grade=grade)))
    return replace(made, sections={**made.sections, SectionId("chord"): chord})


@pytest.mark.parametrize(
    ("grade", "kind", "lower"),
    [
        ("C24", "sawn", "C22"),
        ("C24 (EN 338:2009)", "sawn", "C22"),
        ("C14", "sawn", None),
        ("D18", "sawn", None),
        ("GL28c", "glulam", "GL24c"),
        ("GL28h", "glulam", "GL26h"),
    ],
)
def test_a_class_may_be_the_next_lower_of_its_family(grade: str, kind: MaterialKind, lower: str | None) -> None:
    made = european(grade, Section(width=100.0, depth=200.0), "/materials/wood", kind=kind)
    changed, said = lowered(made)
    material = changed.material_of(NAME)
    assert material is not None
    assert material.grade == (lower or grade)
    assert said == ((f"grade {lower}",) if lower else ())


@pytest.mark.parametrize(
    ("sizing", "size"),
    [("full-sawn", (99.0, 198.0)), ("measured", None), ("current", None)],
)
def test_a_sawn_size_may_lie_at_its_lower_tolerance(sizing: Sizing, size: tuple[float, float] | None) -> None:
    """EN 336, tolerance class 1, from memory: 1 mm up to 100 mm, 2 mm beyond."""
    chord = Section(width=100.0, depth=200.0, sizing=sizing)
    changed, said = lowered(european("C24", chord, "/members/bottom/section"))
    section = changed.section_of(NAME)
    assert section is not None
    assert (section.width, section.depth) == (size or (100.0, 200.0))
    assert said == (("sizes at the lower tolerance of EN 336",) if size else ())


def test_the_low_ratio_of_a_european_class() -> None:
    """Short-term 0.9 of kmod, both depths over 150 mm: ft0k 14.5 of C24 becomes 13 of C22, 99 x 198 mm."""
    chord = Section(width=100.0, depth=200.0, sizing="full-sawn")
    made = european("C24", chord, "/members/bottom/section", "/members/bottom/material")
    factored = {"D+S": {"D": 1.35, "S": 1.5}}
    made = replace(made, loads=truss(combinations=factored).loads)
    force = 0.9 * 14.5 / 1.3 * 100 * 200 * 0.8
    low = low_ratios(made, results(made, {"D+S": {BOTTOM: axial(force)}}), Conditions(service_class=2))[BOTTOM]
    assert low.ratio == pytest.approx(0.8 * 14.5 / 13 * (100 * 200) / (99 * 198))
    assert low.says == "91 % with sizes at the lower tolerance of EN 336 and grade C22, which nobody has ruled out"

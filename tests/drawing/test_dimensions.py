"""Dimensions: what they say against what lies between their points, and never a stroke of their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.drawing.drafting import drawing, linework

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.dxfentity import DXFEntity

    from trussio.drawing.records import Dimension


def over(length: float, **given: object) -> Drawing:
    """A line of a length with a linear dimension over it; `given` are its text, angle, style and overrides."""
    made = drawing()
    made.modelspace().add_line((0, 0), (length, 0))
    made.modelspace().add_linear_dim((0, 30), (0, 0), (length, 0), **given).render()  # type: ignore[arg-type]  # any by name
    return made


def first_of(made: Drawing) -> DXFEntity:
    (dimension,) = (entity for entity in made.modelspace() if entity.dxftype() == "DIMENSION")
    return dimension


def only(made: Drawing) -> Dimension:
    read = linework(made)
    assert len(read.strokes) == 1
    (dimension,) = read.dimensions
    return dimension


def test_a_dimension_is_its_points_and_its_text_and_no_stroke() -> None:
    dimension = only(over(288))
    assert (dimension.measured, dimension.factor, dimension.override) == (288.0, 1.0, None)
    assert dimension.points == ((0.0, 0.0), (288.0, 0.0))
    assert dimension.says == "288"
    assert dimension.kind == "linear"


@pytest.mark.parametrize(
    ("text", "says", "override"),
    [
        ("<>", "288", None),
        ("24'-0\"", "24'-0\"", "24'-0\""),
        ("<> TYP.", "288 TYP.", "<> TYP."),
        ("24'-0\\S1/2;\"", "24'-0 1/2\"", "24'-0\\S1/2;\""),
        (" ", None, " "),
    ],
)
def test_a_typed_text_goes_before_the_measured_one(text: str, says: str | None, override: str | None) -> None:
    dimension = only(over(288, text=text))
    assert (dimension.says, dimension.override) == (says, override)
    assert dimension.measured == 288.0


def test_a_text_typed_later_goes_before_the_drawn_one() -> None:
    made = over(30)
    first_of(made).dxf.text = "10"
    assert only(made).says == "10"


@pytest.mark.parametrize("stored", [0.0, -1.0, 999.0])
def test_the_stored_measurement_is_not_trusted(stored: float) -> None:
    made = over(288)
    first_of(made).dxf.actual_measurement = stored
    assert only(made).measured == 288.0


@pytest.mark.parametrize(("angle", "measured"), [(0, 30.0), (90, 40.0), (53.13010235415598, 50.0)])
def test_a_linear_dimension_measures_along_its_angle(angle: float, measured: float) -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (30, 40))
    made.modelspace().add_linear_dim((0, 90), (0, 0), (30, 40), angle=angle).render()
    assert only(made).measured == pytest.approx(measured)


def test_a_vertical_aligned_dimension_measures_its_length() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (0, 96))
    drawn = made.modelspace().add_aligned_dim((0, 0), (0, 96), distance=10)
    drawn.render()
    drawn.dimension.dxf.dimtype = 33  # aligned, with a block of its own
    drawn.dimension.dxf.discard("angle")
    dimension = only(made)
    assert (dimension.kind, dimension.measured) == ("aligned", 96.0)


def test_radius_and_diameter_measure_what_they_name() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    made.modelspace().add_radius_dim((0, 0), radius=723, angle=60).render()
    made.modelspace().add_diameter_dim((0, 0), radius=5, angle=30).render()
    radius, diameter = linework(made).dimensions
    assert radius.kind == "radius"
    assert radius.measured == pytest.approx(723.0)
    assert diameter.kind == "diameter"
    assert diameter.measured == pytest.approx(10.0)


def test_an_angular_dimension_is_in_degrees() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    made.modelspace().add_angular_dim_2l((5, 5), ((0, 0), (9, 0)), ((0, 0), (0, 9))).render()
    (dimension,) = linework(made).dimensions
    assert dimension.kind == "angular"
    assert dimension.measured == pytest.approx(90.0)


def test_an_ordinate_dimension_measures_one_way() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    made.modelspace().add_ordinate_x_dim((30, 40), offset=(5, 5)).render()
    (dimension,) = linework(made).dimensions
    assert dimension.kind == "ordinate"
    assert dimension.measured == pytest.approx(30.0)


def test_a_length_factor_of_the_style_or_of_its_own_is_kept() -> None:
    made = over(12, override={"dimlfac": 24.0})
    assert (only(made).factor, only(made).says) == (24.0, "288")


def test_a_style_of_feet_and_inches_writes_them_where_the_file_holds_no_text() -> None:
    made = over(150.5, override={"dimlunit": 4})
    first_of(made).dxf.discard("geometry")
    assert only(made).says == "12'-6 1/2\""


def test_a_dimension_in_a_block_measures_what_the_copy_shows() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    block = made.blocks.new("B")
    block.add_linear_dim((0, 30), (0, 0), (100, 0)).render()
    made.modelspace().add_blockref("B", (5, 5), dxfattribs={"xscale": -2, "yscale": 2, "zscale": 2})
    dimension = only(made)
    assert dimension.measured == pytest.approx(200.0)
    assert dimension.points == ((5.0, 5.0), (-195.0, 5.0))


def test_a_dimension_whose_style_is_missing_is_read_all_the_same() -> None:
    made = over(288)
    first_of(made).dxf.dimstyle = "GONE"
    assert (only(made).says, only(made).factor) == ("288", 1.0)

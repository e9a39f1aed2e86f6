"""The drawing opens clean, holds every stick as one true entity, and carries who each entity is."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from ezdxf import bbox
from ezdxf._options import options
from ezdxf.entities.arc import Arc
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.math import bulge_radius

from tests.drawing import roofs
from tests.drawing.test_sheet import DIGEST, ROOFS
from trussio.drawing import dxf
from trussio.drawing.layers import meaning_of
from trussio.drawing.loading import load_drawing
from trussio.drawing.text import line_text

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.dxfgfx import DXFGraphic

    from trussio.model.truss import Truss

DOCUMENT = '{"title": "any text"}\n'
MEMBERS = {"top-chord", "bottom-chord", "web", "other", "member", "rod"}


def written(roof: Truss) -> Drawing:
    return load_drawing(dxf.write(roof, document=DOCUMENT, digest=DIGEST)).drawing


def on(drawing: Drawing, *holds: str) -> list[DXFGraphic]:
    """The entities on the layers that hold such things."""
    return [
        entity
        for entity in drawing.modelspace()
        if (meaning := meaning_of(entity.dxf.layer)) is not None and meaning[0] in holds
    ]


def identity(entity: DXFGraphic) -> dict[str, str]:
    return dict(tag.value.split("=", 1) for tag in entity.get_xdata("TRUSSIO") if tag.code == 1000)


@pytest.mark.parametrize("name", ROOFS)
def test_the_drawing_needs_no_mending(name: str) -> None:
    loaded = load_drawing(dxf.write(ROOFS[name], document=DOCUMENT, digest=DIGEST))
    assert loaded.changes == ()
    audit = loaded.drawing.audit()
    assert (list(audit.errors), list(audit.fixes)) == ([], [])


@pytest.mark.parametrize("name", ROOFS)
def test_the_same_truss_gives_the_same_bytes(name: str) -> None:
    first, second = (dxf.write(ROOFS[name], document=DOCUMENT, digest=DIGEST) for _ in range(2))
    assert first == second


def test_the_header_says_the_unit_of_the_truss() -> None:
    us, si = written(roofs.bowstring()), written(roofs.king_post())
    assert (us.header["$INSUNITS"], us.header["$MEASUREMENT"], us.header["$LUNITS"]) == (1, 0, 4)
    assert (si.header["$INSUNITS"], si.header["$MEASUREMENT"], si.header["$LUNITS"]) == (4, 1, 2)
    assert us.header["$ACADVER"] == "AC1024"


@pytest.mark.parametrize("name", ROOFS)
def test_every_stick_is_one_entity_that_says_who_it_is(name: str) -> None:
    roof = ROOFS[name]
    sticks = on(written(roof), *MEMBERS)
    said = {identity(stick)["id"]: identity(stick) for stick in sticks}
    assert len(sticks) == len(roof.members)
    assert set(said) == set(roof.members)
    for member, one in said.items():
        role = next(m.role for key, m in roof.members.items() if key == member)
        assert (one["v"], one["kind"], one.get("role")) == ("1", "member", role)


def test_a_straight_web_is_a_line_and_a_chord_a_polyline_with_a_vertex_at_each_joint() -> None:
    roof = roofs.bowstring()
    sticks = {identity(stick)["id"]: stick for stick in on(written(roof), *MEMBERS)}
    web = sticks["w1"]
    assert web.dxftype() == "LINE"
    assert (web.dxf.start.x, web.dxf.start.y, web.dxf.end.x) == (90.0, 0.0, 90.0)
    bottom = sticks["bottom"]
    assert isinstance(bottom, LWPolyline)
    assert [x for x, *_ in bottom.get_points("xyb")] == [90.0 * i for i in range(9)]


def test_a_curved_chord_keeps_its_radius_in_every_panel() -> None:
    stick = next(s for s in on(written(roofs.bowstring()), "top-chord"))
    assert isinstance(stick, LWPolyline)
    points = stick.get_points("xyb")
    radius = (720.0**2 / 4 + 96.0**2) / (2 * 96.0)
    for (x1, y1, bulge), (x2, y2, _) in pairwise(points):
        assert bulge < 0
        assert bulge_radius((x1, y1), (x2, y2), bulge) == pytest.approx(radius)


def test_a_curved_stick_of_one_panel_is_an_arc_between_its_joints() -> None:
    arc = on(written(roofs.one_arc()), "top-chord")[0]
    assert isinstance(arc, Arc)
    assert (arc.dxf.radius, arc.dxf.center.x) == (pytest.approx(500.0), pytest.approx(300.0))
    ends = sorted((round(p.x, 6), round(p.y, 6)) for p in (arc.start_point, arc.end_point))
    assert ends == [(0.0, 0.0), (600.0, 0.0)]
    assert bbox.extents([arc]).extmax.y == pytest.approx(100.0)


@pytest.mark.parametrize("name", ROOFS)
def test_every_joint_is_a_point_and_a_circle(name: str) -> None:
    roof = ROOFS[name]
    kinds = Counter((entity.dxftype(), identity(entity)["id"]) for entity in on(written(roof), "joint"))
    assert kinds == Counter((kind, joint) for kind in ("POINT", "CIRCLE") for joint in roof.joints)


@pytest.mark.parametrize("name", ROOFS)
def test_marks_and_sizes_are_upright_texts_that_read_back(name: str) -> None:
    roof = ROOFS[name]
    texts = [entity for entity in on(written(roof), "mark") if entity.dxftype() == "TEXT"]
    says = [line_text(text.dxf.text) for text in texts]
    for joint in roof.joints:
        assert says.count(joint) == 1
    for member in roof.members:
        assert len([text for text in says if text == member or text.startswith(f"{member}: ")]) == 1
    for text in texts:
        assert -90.0 < text.dxf.rotation <= 90.0


def test_a_text_of_codes_reads_back_as_it_was() -> None:
    for text in ("%%d of 100 %", "a^J b ^", "C:\\U+0041", "50%%%", "line\nbroken\tby\x00signs"):
        expected = "line broken by signs" if "\n" in text else text
        assert line_text(dxf.plain_line(text)) == expected


def test_all_layers_have_a_known_meaning_and_no_line_is_dashed() -> None:
    drawing = written(roofs.bowstring())
    for entity in drawing.modelspace():
        assert meaning_of(entity.dxf.layer) is not None
        assert entity.dxf.get("linetype", "BYLAYER") == "BYLAYER"
    for layer in drawing.layers:
        assert layer.dxf.linetype in {"Continuous", "CONTINUOUS"}
        assert layer.dxf.name in {"0", "Defpoints"} or layer.description


def test_a_steel_web_lies_on_the_layer_of_rods_and_keeps_its_role() -> None:
    rods = on(written(roofs.with_rod()), "rod")
    assert [(identity(rod)["id"], identity(rod)["role"]) for rod in rods] == [("post", "web")]


@pytest.mark.parametrize("name", ROOFS)
def test_the_drawing_opens_on_all_of_itself(name: str) -> None:
    drawing = written(ROOFS[name])
    box = bbox.extents(drawing.modelspace(), fast=True)
    port = drawing.viewports.get_config("*Active")[0]
    middle, high = port.dxf.center, port.dxf.height
    assert abs(box.center.y - middle.y) + box.size.y / 2 <= high / 2 * 1.02
    assert abs(box.center.x - middle.x) + box.size.x / 2 <= high * 1.6 / 2 * 1.02
    assert drawing.header["$EXTMIN"][0] <= box.extmin.x


def test_supports_are_symbols_with_what_is_held_in_words() -> None:
    drawing = written(roofs.bowstring())
    held = {identity(e)["id"]: e.dxf.text for e in on(drawing, "support") if e.dxftype() == "TEXT"}
    assert held == {"B0": "holds x, y", "B8": "holds y"}
    symbols = Counter(identity(e)["id"] for e in on(drawing, "support") if e.dxftype() != "TEXT")
    assert symbols["B0"] >= 5
    assert symbols["B8"] >= 5


def test_text_heights_follow_the_size_of_the_truss() -> None:
    heights = [e.dxf.height for e in on(written(roofs.bowstring()), "mark") if e.dxftype() == "TEXT"]
    assert 4.0 < min(heights) <= max(heights) < 9.0


def test_making_a_drawing_leaves_the_loader_as_it_was() -> None:
    before = options.write_fixed_meta_data_for_testing
    written(roofs.king_post())
    assert options.write_fixed_meta_data_for_testing is before

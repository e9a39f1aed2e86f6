"""The picture is well-formed, self-contained, the same each time, and true in its curves."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from lxml import etree

from tests.drawing import roofs
from tests.drawing.test_sheet import DIGEST, ROOFS, drawn
from trussio.drawing import svg
from trussio.drawing.sheet import sheet
from trussio.model.truss import JointId

SVG = "{http://www.w3.org/2000/svg}"


def parsed(text: str) -> etree._Element:
    return etree.fromstring(text.encode())


@pytest.mark.parametrize("kind", ["model", "forces"])
@pytest.mark.parametrize("name", ROOFS)
def test_a_picture_is_well_formed_and_reaches_nothing_outside(name: str, kind: str) -> None:
    text = svg.render(drawn(ROOFS[name], "forces" if kind == "forces" else "model"))
    root = parsed(text)
    tags = {str(element.tag).removeprefix(SVG) for element in root.iter()}
    assert tags <= {"svg", "title", "desc", "rect", "path", "polygon", "text"}
    names = {str(key) for element in root.iter() for key in element.attrib}
    assert not {key for key in names if "href" in key or key.startswith("on") or key in {"style", "class"}}
    assert "url(" not in text
    assert set(re.findall(r"https?://[^\"]*", text)) == {"http://www.w3.org/2000/svg"}


def test_title_and_reading_come_first_and_are_named_by_the_picture() -> None:
    root = parsed(svg.render(drawn(roofs.king_post(), "forces"), prefix="f2"))
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "f2-title f2-desc"
    assert [(child.tag, child.get("id")) for child in list(root)[:2]] == [
        (f"{SVG}title", "f2-title"),
        (f"{SVG}desc", "f2-desc"),
    ]
    assert (root[0].text or "").startswith("Demo barn, king post · Forces in run D+S")
    assert "Largest tension 15.0 kN in tie:B0-B1." in (root[1].text or "")


def test_strings_of_the_model_are_text_and_nothing_else() -> None:
    roof = roofs.nameless()
    text = svg.render(drawn(roof, "model"))
    assert "<script" not in text
    root = parsed(text)
    words = [element.text for element in root.iter(f"{SVG}text")]
    assert "<script>&'" in words
    assert (root[0].text or "").startswith('A "title" <with> & all\ufffd signs')


def test_ids_are_unique_and_plain_for_any_name() -> None:
    for roof in ROOFS.values():
        ids = [key for e in parsed(svg.render(drawn(roof, "forces"))).iter() if (key := e.get("id"))]
        assert len(ids) == len(set(ids))
        assert all(re.fullmatch(r"[A-Za-z0-9_-]+", key) for key in ids)
    assert svg.identifier("a_b") != svg.identifier("a:b")


@pytest.mark.parametrize("name", ROOFS)
def test_the_same_sheet_gives_the_same_bytes(name: str) -> None:
    assert svg.render(drawn(ROOFS[name], "forces")) == svg.render(drawn(ROOFS[name], "forces"))


def test_no_number_has_more_than_two_decimals() -> None:
    text = svg.render(drawn(roofs.bowstring(), "forces"))
    paths = " ".join(re.findall(r' (?:d|x|y|viewBox|points|stroke-width)="([^"]*)"', text))
    assert re.findall(r"\d+\.\d{3,}", paths) == []
    assert "-0 " not in f"{paths} "


def test_tension_is_solid_and_compression_dashed_in_their_colours() -> None:
    root = parsed(svg.render(drawn(roofs.king_post(), "forces")))
    paths = {p.get("id"): p for p in root.iter(f"{SVG}path")}
    tie, rafter = paths["figure-tie_3a_B0-B1"], paths["figure-rafter-1_3a_B0-T1"]
    assert (tie.get("stroke"), tie.get("stroke-dasharray")) == ("#542788", None)
    assert rafter.get("stroke") == "#b35806"
    assert rafter.get("stroke-dasharray")
    letters = {e.text: e.get("fill") for e in root.iter(f"{SVG}text")}
    assert (letters["15.0 T"], letters["16.2 C"]) == ("#542788", "#b35806")


def test_no_line_of_the_model_sheet_is_dashed() -> None:
    assert "dasharray" not in svg.render(drawn(roofs.bowstring(), "model"))


def test_an_arc_is_drawn_with_its_radius_and_on_its_side() -> None:
    one = drawn(roofs.bowstring(), "model")
    path = next(
        p for p in parsed(svg.render(one)).iter(f"{SVG}path") if p.get("id") == "figure-_2f_members_2f_top"
    )
    arcs = re.findall(r"A([\d.]+) ([\d.]+) 0 (\d) (\d)", path.get("d", ""))
    radius = (720.0**2 / 4 + 96.0**2) / (2 * 96.0)
    assert len(arcs) == 8
    for wide, high, large, sweep in arcs:
        assert float(wide) == float(high) == pytest.approx(radius * 12 / one.module, abs=0.01)
        assert (large, sweep) == ("0", "1")  # clockwise where y points down: bows up from left to right


def test_x_and_y_share_one_scale() -> None:
    roof = roofs.king_post()
    one = sheet(roof, digest=DIGEST)
    root = parsed(svg.render(one))
    circles = {p.get("id"): p.get("d", "") for p in root.iter(f"{SVG}path")}

    def place(joint: str) -> tuple[float, float]:
        x, y = re.findall(r"[\d.]+", circles[f"figure-_2f_joints_2f_{joint}"])[:2]
        return float(x), float(y)

    (x0, y0), (x2, y2) = place("B0"), place("T2")
    apex = roof.joints[JointId("T2")]
    assert (x2 - x0) / apex.x == pytest.approx((y0 - y2) / apex.y, rel=1e-3)


def test_a_framed_label_has_its_frame_and_a_bare_one_none() -> None:
    one = drawn(roofs.king_post(), "model")
    assert "<polygon" not in svg.render(one)
    framed = replace(one, labels=(replace(one.labels[0], boxed=True), *one.labels[1:]))
    assert svg.render(framed).count("<polygon") == 1


@pytest.mark.parametrize("sign", ["\x00", "\x0b", "\ud800", "\ufffe"])
def test_what_xml_cannot_hold_is_shown_as_a_replacement(sign: str) -> None:
    assert svg.printable(f"a{sign}b") == "a\ufffdb"

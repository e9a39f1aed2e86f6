"""Blocks: copies land where the file format puts them, and nothing that would never end is begun."""

from __future__ import annotations

from math import radians
from typing import TYPE_CHECKING

import numpy as np
import pytest
from ezdxf.entities.arc import Arc
from ezdxf.entities.insert import Insert
from ezdxf.entities.lwpolyline import LWPolyline

from tests.drawing.drafting import aside, bare, codes, drawing, kinds, line, linework, saved
from trussio.drawing import blocks
from trussio.drawing.loading import load_drawing
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.base import BaseLayout

Ends = list[tuple[float, ...]]


def nested(seed: int, *, equal: bool) -> Drawing:
    """A drawing of blocks in blocks, turned, mirrored and scaled at random."""
    chance = np.random.default_rng(seed)
    made = drawing()
    inner = made.blocks.new("INNER", base_point=(1, 2))
    inner.add_line((0, 0), (7, 3))
    inner.add_lwpolyline([(0, 0), (4, 0), (4, 2)])
    if equal:
        inner.add_arc((3, 3), 2, 20, 200)
        inner.add_lwpolyline([(0, 0, 0.4), (5, 1, -0.7), (8, 8, 0)], format="xyb")
    outer = made.blocks.new("OUTER", base_point=(-3, 1))
    outer.add_line((1, 1), (2, 5))
    for layout, name in ((outer, "INNER"), (made.modelspace(), "OUTER"), (made.modelspace(), "INNER")):
        size = float(chance.uniform(0.5, 2))
        turn = float(chance.uniform(0, 360))
        signs = chance.choice([-1.0, 1.0], 2) * (size if equal else chance.uniform(0.5, 2, 2))
        layout.add_blockref(
            name,
            chance.uniform(-20, 20, 2),
            dxfattribs={"xscale": float(signs[0]), "yscale": float(signs[1]), "zscale": size}
            | {"rotation": turn, "extrusion": (0, 0, float(chance.choice([-1, 1])))},
        )
    return made


def by_the_loader(layout: BaseLayout) -> list[DXFGraphic]:
    """The same by the loader's own transformation of lines and arcs, from the innermost block outwards.

    Its way from the outermost inwards puts a copy inside one of unequal scale in a wrong place.
    """
    found: list[DXFGraphic] = []
    for entity in layout:
        if isinstance(entity, Insert):
            block = entity.block()
            assert block is not None
            found += [inner.transform(entity.matrix44()) for inner in by_the_loader(block)]
        elif isinstance(entity, LWPolyline):
            found += entity.virtual_entities()
        else:
            found.append(entity.copy())
    return found


def ends_of(entities: list[DXFGraphic]) -> Ends:
    return [
        (*entity.start_point.xyz[:2], *entity.end_point.xyz[:2])
        if isinstance(entity, Arc)
        else (*entity.dxf.start.xyz[:2], *entity.dxf.end.xyz[:2])
        for entity in entities
    ]


def sorted_ends(ends: Ends) -> Ends:
    return sorted(min(row, row[2:] + row[:2]) for row in (tuple(round(x, 6) + 0.0 for x in row) for row in ends))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("equal", [True, False])
def test_copies_lie_where_the_loader_itself_puts_them(seed: int, *, equal: bool) -> None:
    made = nested(seed, equal=equal)
    read = linework(made)
    ours = [(*first, *last) for first, last in zip(read.strokes.first, read.strokes.last, strict=True)]
    theirs = sorted_ends(ends_of(by_the_loader(load_drawing(saved(made)).drawing.modelspace())))
    assert sorted_ends([tuple(map(float, row)) for row in ours]) == pytest.approx(np.array(theirs), abs=2e-6)


@pytest.mark.parametrize("seed", range(4))
def test_arcs_of_copies_stay_on_their_circles(seed: int) -> None:
    strokes = linework(nested(seed, equal=True)).strokes
    curved = ~strokes.straight
    assert curved.sum() == 6
    for side in (strokes.first, strokes.last):
        away = np.hypot(*(side - strokes.centre)[curved].T)
        assert away == pytest.approx(strokes.radius[curved])
    start = np.arctan2(*(strokes.first - strokes.centre)[curved].T[::-1])
    reached = strokes.centre[curved] + strokes.radius[curved, None] * np.column_stack(
        [np.cos(start + strokes.sweep[curved]), np.sin(start + strokes.sweep[curved])]
    )
    assert reached == pytest.approx(strokes.last[curved])


def test_a_copy_knows_its_path_and_the_reference_is_a_mark() -> None:
    made = drawing()
    inner, outer = made.blocks.new("WEB"), made.blocks.new("TRUSS")
    inner.add_line((0, 0), (10, 5))
    inner_ref = outer.add_blockref("WEB", (100, 0))
    ref = made.modelspace().add_blockref("TRUSS", (0, 50), dxfattribs={"xscale": -1})
    read = linework(made)
    path = f"TRUSS[{ref.dxf.handle}]"
    assert read.strokes.row(0).path == f"{path}/WEB[{inner_ref.dxf.handle}]"
    assert read.strokes.row(0).last == (-110.0, 55.0)
    marks = {mark.path: mark for mark in read.marks}
    assert (marks[""].block, marks[""].at, marks[""].scale) == ("TRUSS", (0.0, 50.0), (-1.0, 1.0))
    assert marks[""].box == (-110.0, 50.0, -100.0, 55.0)
    assert marks[path].block == "WEB"
    assert marks[path].at == (-100.0, 50.0)
    assert (read.seen, read.used) == (3, 3)


def test_what_lies_on_layer_0_takes_the_layer_and_type_of_its_reference() -> None:
    made = drawing()
    made.layers.add("WEBS", linetype="HIDDEN")
    made.linetypes.add("HIDDEN", [1.0, 0.5, -0.5])
    block = made.blocks.new("B")
    block.add_line((0, 0), (1, 0))
    block.add_line((0, 0), (2, 0), dxfattribs={"layer": "OWN", "linetype": "BYBLOCK"})
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"layer": "WEBS", "linetype": "CENTER"})
    lent, own = (linework(made).strokes.row(index) for index in (0, 1))
    assert (lent.layer, lent.linetype) == ("WEBS", "HIDDEN")
    assert (own.layer, own.linetype) == ("OWN", "CENTER")


def test_an_array_is_every_copy_and_says_so() -> None:
    made = drawing()
    made.blocks.new("B").add_line((0, 0), (1, 0))
    made.modelspace().add_blockref(
        "B",
        (5, 5),
        dxfattribs={"row_count": 2, "column_count": 3, "row_spacing": 10, "column_spacing": 20, "rotation": 90},
    )
    read = linework(made)
    starts = sorted((round(x, 9) + 0.0, round(y, 9)) for x, y in read.strokes.first.tolist())
    assert starts == [(-5.0, 5.0), (-5.0, 25.0), (-5.0, 45.0), (5.0, 5.0), (5.0, 25.0), (5.0, 45.0)]
    assert kinds(read) == ["block-array"]
    assert "repeated 6 times" in read.changes[0].says
    assert len(read.marks) == 6
    assert (read.seen, read.used) == (7, 7)


def test_unequal_scale_is_reported_and_an_arc_of_it_asked_about() -> None:
    made = drawing()
    made.blocks.new("B").add_arc((0, 0), 100, 30, 150)
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": 1, "yscale": 0.6})
    read = linework(made)
    assert codes(read) == ["elliptical-arcs"]
    assert kinds(read) == ["unequal-scale", "curve-read"]
    assert "scaled 1 across and 0.6 up" in read.changes[0].says
    assert len(set(read.strokes.chain.tolist())) == 1


def test_a_nearly_equal_scale_keeps_the_arc_with_its_residual() -> None:
    made = drawing()
    made.blocks.new("B").add_arc((0, 0), 100, 30, 150)
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": 1, "yscale": 0.999})
    read = linework(made)
    assert codes(read) == []
    assert len(read.strokes) == 1
    assert 0 < read.strokes.row(0).residual < 0.05


def test_attributes_are_texts_with_their_tag() -> None:
    made = drawing()
    made.blocks.new("B").add_line((0, 0), (1, 0))
    reference = made.modelspace().add_blockref("B", (0, 0))
    reference.add_attrib("SIZE", "2-3x10", (3, 4), dxfattribs={"height": 5, "rotation": 30})
    hidden = reference.add_attrib("NOTE", "2x8", (3, 9))
    hidden.is_invisible = True
    read = linework(made)
    (text,) = read.texts
    assert (text.says, text.tag, text.kind, text.at) == ("2-3x10", "SIZE", "ATTRIB", (3.0, 4.0))
    assert text.angle == pytest.approx(radians(30))
    assert aside(read) == {("invisible", "ATTRIB"): 1}


def test_a_mirrored_copy_reads_its_text() -> None:
    made = drawing()
    block = made.blocks.new("B")
    block.add_line((0, 0), (1, 0))
    block.add_text("2x8", height=4).set_placement((10, 5))
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": -2, "yscale": 2})
    (text,) = linework(made).texts
    assert text.at == (-20.0, 10.0)
    assert text.height == pytest.approx(8.0)
    assert text.centre[0] < text.at[0]


def test_a_missing_block_is_reported_and_refused_where_it_was_all() -> None:
    gone = [(0, "INSERT"), (5, "9F"), (8, "0"), (2, "GONE"), (10, 0.0), (20, 0.0)]
    read = linework(bare([*line((0, 0), (9, 9)), *gone]))
    assert kinds(read) == ["missing-block"]
    assert "INSERT 9F: its block 'GONE' is missing; what it drew is not read." in read.changes[0].says
    assert aside(read) == {("missing block", "INSERT"): 1}
    with pytest.raises(UnreadableError, match="no-linework") as caught:
        linework(bare(gone))
    assert "Save it again with its blocks" in str(caught.value)


def test_a_reference_to_another_file_is_refused_by_its_name_alone() -> None:
    made = drawing()
    made.add_xref_def("C:\\secret place\\folder\\truss 2.dxf", "TRUSS2")
    made.modelspace().add_line((0, 0), (9, 9))
    made.modelspace().add_blockref("TRUSS2", (0, 0))
    with pytest.raises(UnreadableError, match="external-reference") as caught:
        linework(made)
    assert "'truss 2.dxf'" in str(caught.value)
    assert "secret" not in str(caught.value)


def test_a_block_that_holds_itself_is_refused() -> None:
    made = drawing()
    one, two = made.blocks.new("A"), made.blocks.new("B")
    one.add_blockref("B", (0, 0))
    two.add_blockref("a", (0, 0))
    reference = made.modelspace().add_blockref("A", (0, 0))
    with pytest.raises(UnreadableError, match="cyclic-block at INSERT") as caught:
        linework(made)
    assert "The block 'a' holds itself." in str(caught.value)
    made.modelspace().delete_entity(reference)
    made.modelspace().add_line((0, 0), (9, 9))
    assert len(linework(made).strokes) == 1


def chain_of(depth: int) -> Drawing:
    made = drawing()
    made.blocks.new("B1").add_line((0, 0), (9, 9))
    for level in range(2, depth + 1):
        made.blocks.new(f"B{level}").add_blockref(f"B{level - 1}", (0, 0))
    made.modelspace().add_blockref(f"B{depth}", (0, 0))
    return made


def test_sixteen_blocks_deep_is_read_and_seventeen_is_not() -> None:
    assert len(linework(chain_of(16)).strokes) == 1
    with pytest.raises(UnreadableError, match="blocks-too-deep"):
        linework(chain_of(17))
    with pytest.raises(UnreadableError, match="blocks-too-deep"):
        linework(chain_of(2000))


def test_a_depth_that_a_shorter_way_has_hidden_is_still_found() -> None:
    made = chain_of(15)
    made.blocks.new("TOP").add_blockref("B15", (0, 0))
    made.blocks.new("OVER").add_blockref("TOP", (0, 0))
    made.modelspace().add_blockref("TOP", (0, 0))
    assert len(linework(made).strokes) == 2
    made.modelspace().add_blockref("OVER", (0, 0))
    with pytest.raises(UnreadableError, match="blocks-too-deep"):
        linework(made)


def test_ten_levels_of_ten_copies_are_counted_and_not_made() -> None:
    made = drawing()
    made.blocks.new("B0").add_line((0, 0), (9, 9))
    for level in range(1, 11):
        for index in range(10):
            made.blocks.get(f"B{level}", None) or made.blocks.new(f"B{level}")
            made.blocks[f"B{level}"].add_blockref(f"B{level - 1}", (index, 0))
    made.modelspace().add_blockref("B10", (0, 0))
    with pytest.raises(UnreadableError, match="too-many-copies at INSERT") as caught:
        linework(made)
    assert "2.1e+10 entities" in str(caught.value)
    assert "The limit is 200,000." in str(caught.value)


def test_an_array_of_a_thousand_million_copies_is_refused() -> None:
    made = drawing()
    made.blocks.new("B").add_line((0, 0), (9, 9))
    grid = {"row_count": 32767, "column_count": 32767, "row_spacing": 1, "column_spacing": 1}
    made.modelspace().add_blockref("B", (0, 0), dxfattribs=grid)
    with pytest.raises(UnreadableError, match="too-many-copies"):
        linework(made)


def test_copies_that_fall_on_each_other_are_one() -> None:
    made = drawing()
    made.blocks.new("B").add_line((0, 0), (9, 9))
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"row_count": 32767, "column_count": 32767})
    assert len(linework(made).strokes) == 1


def test_the_limit_of_copies_is_exact(monkeypatch: pytest.MonkeyPatch) -> None:
    made = drawing()
    made.blocks.new("B").add_line((0, 0), (9, 9))
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"row_count": 50, "row_spacing": 3})
    monkeypatch.setattr(blocks, "MOST_COPIES", 50)
    assert len(linework(made).strokes) == 50
    monkeypatch.setattr(blocks, "MOST_COPIES", 49)
    with pytest.raises(UnreadableError, match="too-many-copies"):
        linework(made)


def test_scales_that_multiply_out_of_bounds_are_refused() -> None:
    made = drawing()
    made.blocks.new("B1").add_line((0, 0), (9, 9))
    for level in (2, 3):
        made.blocks.new(f"B{level}").add_blockref(
            f"B{level - 1}", (0, 0), dxfattribs={"xscale": 1e14, "yscale": 1e14}
        )
    made.modelspace().add_blockref("B3", (0, 0))
    with pytest.raises(UnreadableError, match="bad-number at INSERT"):
        linework(made)


def test_hatches_and_tables_of_old_drawings_are_set_aside_by_their_block() -> None:
    def block(name: str) -> list[tuple[int, object]]:
        head = [(0, "BLOCK"), (8, "0"), (2, name), (70, 1), (10, 0.0), (20, 0.0)]
        return [*head, *line((0, 0), (1, 1)), (0, "ENDBLK"), (8, "0")]

    def insert(name: str) -> list[tuple[int, object]]:
        return [(0, "INSERT"), (8, "0"), (2, name), (10, 0.0), (20, 0.0)]

    data = bare(
        [*line((0, 0), (9, 9)), *insert("*X1"), *insert("*U2"), *insert("*D3")],
        blocks=[*block("*X1"), *block("*U2"), *block("*D3")],
    )
    read = linework(data)
    assert len(read.strokes) == 2
    assert aside(read) == {("hatch", "INSERT"): 1, ("dimension", "INSERT"): 1}

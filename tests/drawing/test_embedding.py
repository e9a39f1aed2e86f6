"""A drawing gives its document back, and says so when it was edited since."""

from __future__ import annotations

from io import StringIO
from typing import TYPE_CHECKING

import pytest
from ezdxf.entities.dxfobj import XRecord
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import new, read

from tests.drawing import roofs
from tests.drawing.test_sheet import DIGEST, ROOFS
from trussio.drawing import dxf
from trussio.drawing.embedding import RECORD, embedded_document, linework_digest
from trussio.drawing.loading import load_drawing

if TYPE_CHECKING:
    from collections.abc import Callable

    from ezdxf.document import Drawing
    from ezdxf.entities.dxfgfx import DXFGraphic

DOCUMENT = '{\n  "title": "Ümläut \\\\U+0041 ^J %%d \\" 漢字",\n  "x": 1e-7\n}\n' + "  \n" * 99


def carrying() -> Drawing:
    return load_drawing(dxf.write(roofs.bowstring(), document=DOCUMENT, digest=DIGEST)).drawing


def saved(drawing: Drawing, version: str | None = None) -> Drawing:
    """The drawing written and read again, in another version of the format where one is given."""
    if version is not None:
        drawing.dxfversion = version
    stream = StringIO()
    drawing.write(stream)
    return read(StringIO(stream.getvalue()))


def first(drawing: Drawing, query: str) -> DXFGraphic:
    found: DXFGraphic = drawing.modelspace().query(query)[0]
    return found


@pytest.mark.parametrize("name", ROOFS)
def test_the_document_comes_back_to_the_letter(name: str) -> None:
    data = dxf.write(ROOFS[name], document=DOCUMENT, digest=DIGEST)
    found = embedded_document(load_drawing(data).drawing)
    assert found is not None
    assert (found.text, found.digest, found.damage, found.edited) == (DOCUMENT, DIGEST, "", False)


def test_a_document_of_any_length_is_cut_into_strings_that_the_format_allows() -> None:
    drawing = load_drawing(dxf.write(roofs.king_post(), document="ä" * 100_000, digest=DIGEST)).drawing
    record = drawing.rootdict[RECORD]
    assert isinstance(record, XRecord)
    assert max(len(str(tag.value).encode()) for tag in record.tags) <= 255
    found = embedded_document(drawing)
    assert found is not None
    assert found.text == "ä" * 100_000


def test_a_drawing_without_a_document_has_none() -> None:
    assert embedded_document(new("R2010")) is None


@pytest.mark.parametrize("version", ["AC1015", "AC1018", "AC1021", "AC1024", "AC1027", "AC1032"])
def test_saving_in_another_version_is_no_edit(version: str) -> None:
    found = embedded_document(saved(carrying(), version))
    assert found is not None
    assert (found.text, found.edited) == (DOCUMENT, False)


def recolour(drawing: Drawing) -> None:
    for entity in drawing.modelspace():
        entity.dxf.color = 3
        entity.dxf.lineweight = 70
    drawing.layers.get("S-TRUS-WEBS-E").color = 5


def reorder(drawing: Drawing) -> None:
    space = drawing.modelspace()
    for entity in list(space)[:20]:
        copied = entity.copy()
        space.add_entity(copied)
        space.delete_entity(entity)


def strip_identity(drawing: Drawing) -> None:
    for entity in drawing.modelspace():
        entity.discard_xdata("TRUSSIO")


def place_text_anew(drawing: Drawing) -> None:
    for entity in drawing.modelspace().query("TEXT"):
        entity.dxf.insert = (1.0, 2.0, 0.0)


@pytest.mark.parametrize("harmless", [recolour, reorder, strip_identity, place_text_anew])
def test_what_leaves_the_linework_alone_is_no_edit(harmless: Callable[[Drawing], None]) -> None:
    drawing = carrying()
    harmless(drawing)
    found = embedded_document(saved(drawing))
    assert found is not None
    assert not found.edited


def move_an_end(drawing: Drawing) -> None:
    line = first(drawing, 'LINE[layer=="S-TRUS-WEBS-E"]')
    line.dxf.end = (line.dxf.end.x + 0.001, line.dxf.end.y, 0.0)


def top_chord(drawing: Drawing) -> LWPolyline:
    line = first(drawing, 'LWPOLYLINE[layer=="S-TRUS-TCHD-E"]')
    assert isinstance(line, LWPolyline)
    return line


def move_a_vertex(drawing: Drawing) -> None:
    line = top_chord(drawing)
    points = line.get_points("xyb")
    points[3] = (points[3][0], points[3][1] + 1.0, points[3][2])
    line.set_points(points, format="xyb")


def flatten_an_arc(drawing: Drawing) -> None:
    line = top_chord(drawing)
    line.set_points([(x, y, 0.0) for x, y, _ in line.get_points("xyb")], format="xyb")


def change_layer(drawing: Drawing) -> None:
    first(drawing, "LINE").dxf.layer = "S-TRUS-WEBS-D"


def dash_a_line(drawing: Drawing) -> None:
    drawing.linetypes.add("DASHED", [1.0, 0.5, -0.5])
    first(drawing, "LINE").dxf.linetype = "DASHED"


def add_a_line(drawing: Drawing) -> None:
    drawing.modelspace().add_line((0, 0), (10, 10))


def add_a_note(drawing: Drawing) -> None:
    drawing.modelspace().add_mtext("split here")


def erase_a_line(drawing: Drawing) -> None:
    drawing.modelspace().delete_entity(first(drawing, "LINE"))


def erase_one_of_two_alike(drawing: Drawing) -> None:
    drawing.modelspace().delete_entity(first(drawing, "POINT"))


def hide_a_line(drawing: Drawing) -> None:
    first(drawing, "LINE").dxf.invisible = 1


def resize_a_member(drawing: Drawing) -> None:
    text = next(t for t in drawing.modelspace().query("TEXT") if t.dxf.text == "w2: 3x6")
    text.dxf.text = "w2: 3x8"


def change_the_unit(drawing: Drawing) -> None:
    drawing.header["$INSUNITS"] = 4


def stretch_all(drawing: Drawing) -> None:
    for entity in drawing.modelspace():
        entity.scale(2, 2, 1)


EDITS = [
    move_an_end,
    move_a_vertex,
    flatten_an_arc,
    change_layer,
    dash_a_line,
    add_a_line,
    add_a_note,
    erase_a_line,
    erase_one_of_two_alike,
    hide_a_line,
    resize_a_member,
    change_the_unit,
    stretch_all,
]


@pytest.mark.parametrize("edit", EDITS, ids=lambda edit: edit.__name__)
def test_an_edit_shows(edit: Callable[[Drawing], None]) -> None:
    drawing = carrying()
    edit(drawing)
    found = embedded_document(saved(drawing))
    assert found is not None
    assert found.edited


def test_an_edit_inside_a_block_shows() -> None:
    def drawing(end: float) -> Drawing:
        one = new("R2010")
        inner, outer = one.blocks.new("INNER"), one.blocks.new("OUTER")
        inner.add_line((0, 0), (end, 0))
        outer.add_blockref("INNER", (0, 0))
        one.modelspace().add_blockref("OUTER", (5, 5))
        return one

    assert linework_digest(drawing(1.0)) == linework_digest(drawing(1.0))
    assert linework_digest(drawing(1.0)) != linework_digest(drawing(2.0))


def test_a_block_that_holds_itself_ends() -> None:
    drawing = new("R2010")
    block = drawing.blocks.new("LOOP")
    block.add_blockref("LOOP", (0, 0))
    drawing.modelspace().add_blockref("LOOP", (0, 0))
    assert linework_digest(drawing).startswith("sha256:")


HEADLESS = "The stored document has no heading that we know."
SHORT = "The stored document was altered or cut short."
GARBLED = "The stored document is garbled."
Strings = list[str]


@pytest.mark.parametrize(
    ("spoil", "damage"),
    [
        pytest.param(lambda strings: ["v=2", *strings[1:]], HEADLESS, id="of another version"),
        pytest.param(lambda strings: strings[4:], HEADLESS, id="without its heading"),
        pytest.param(lambda strings: strings[:0], HEADLESS, id="empty"),
        pytest.param(lambda strings: strings[:-1], SHORT, id="the last string gone"),
        pytest.param(lambda strings: strings[:4], SHORT, id="the text gone"),
        pytest.param(lambda strings: [*strings[:4], "!", *strings[5:]], GARBLED, id="no base64"),
        pytest.param(lambda strings: [*strings[:4], "/w=="], GARBLED, id="no text"),
    ],
)
def test_a_damaged_record_gives_no_document_and_says_why(spoil: Callable[[Strings], Strings], damage: str) -> None:
    drawing = carrying()
    record = drawing.rootdict[RECORD]
    assert isinstance(record, XRecord)
    record.reset([(1, string) for string in spoil([str(tag.value) for tag in record.tags])])
    found = embedded_document(saved(drawing))
    assert found is not None
    assert (found.text, found.damage) == ("", damage)

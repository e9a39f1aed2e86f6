"""What does not show, and what stands on paper: set aside, taken in, or asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.drawing.drafting import aside, codes, drawing, kinds, linework
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from ezdxf.document import Drawing


def partly_hidden(length: float, state: str = "off") -> Drawing:
    """A drawing of 90 units that show and a line of `length` that does not."""
    made = drawing()
    layer = made.layers.add("REAR WEBS")
    if state == "off":
        layer.off()
    elif state == "frozen":
        layer.freeze()
    made.modelspace().add_line((0, 0), (90, 0))
    held = {"layer": "REAR WEBS"} | ({"invisible": 1} if state == "invisible" else {})
    made.modelspace().add_line((0, 5), (length, 5), dxfattribs=held)
    made.modelspace().add_text("2x8", height=3, dxfattribs=held)
    return made


@pytest.mark.parametrize(
    ("state", "reason"), [("off", "layer off"), ("frozen", "layer frozen"), ("invisible", "invisible")]
)
def test_a_tenth_of_the_line_length_may_be_hidden_without_a_question(state: str, reason: str) -> None:
    read = linework(partly_hidden(10, state))
    assert (len(read.strokes), len(read.hidden), codes(read)) == (1, 1, [])
    assert read.hidden.row(0).hidden == reason
    assert aside(read) == {(reason, "LINE"): 1, (reason, "TEXT"): 1}
    assert read.texts == ()
    assert kinds(read) == ["hidden-lines"]
    assert (
        f"1 lines of 10 drawing units in all (10%) do not show: 1 on 'REAR WEBS' ({reason})"
        in read.changes[0].says
    )


def test_more_than_that_is_taken_in_and_asked_about() -> None:
    read = linework(partly_hidden(10.1))
    assert (len(read.strokes), len(read.hidden), codes(read)) == (2, 0, ["hidden-lines"])
    assert read.strokes.row(1).hidden == "layer off"
    assert read.texts[0].hidden == "layer off"
    assert read.questions[0].taken == "include"
    assert read.questions[0].settle == "Answer include or leave out in the answers file."


def test_the_users_word_settles_it() -> None:
    out = linework(partly_hidden(80), hidden="leave out")
    assert (len(out.strokes), codes(out), out.questions[0].taken) == (1, ["hidden-lines"], "leave out")
    assert "They were set aside." in out.changes[0].says
    taken = linework(partly_hidden(5), hidden="include")
    assert (len(taken.strokes), codes(taken)) == (2, [])


def test_a_frozen_reference_hides_what_is_inside_and_one_off_only_what_it_lends_to() -> None:
    for state, hidden in (("freeze", ["layer frozen", "layer frozen"]), ("off", ["layer off", ""])):
        made = drawing()
        getattr(made.layers.add("REF"), state)()
        block = made.blocks.new("B")
        block.add_line((0, 0), (9, 0))
        block.add_line((0, 0), (9, 5), dxfattribs={"layer": "OWN"})
        made.modelspace().add_blockref("B", (0, 0), dxfattribs={"layer": "REF"})
        read = linework(made, hidden="include")
        assert [read.strokes.row(index).hidden for index in (0, 1)] == hidden


def test_a_truss_on_paper_alone_is_read_with_a_question() -> None:
    made = drawing()
    made.modelspace().add_point((0, 0))
    sheet = made.layouts.new("Sheet A")
    sheet.add_line((0, 0), (30, 0))
    sheet.add_line((0, 0), (15, 4))
    made.paperspace().add_line((0, 0), (1, 1))
    read = linework(made)
    assert codes(read)[0] == "paper-space-only"
    assert "('Layout1', 'Sheet A')" in read.questions[0].asks
    assert read.questions[0].taken == "Sheet A"
    assert "Answer Sheet A or Layout1 in the answers file." in read.questions[0].settle
    named = linework(made, sheet="Layout1")
    assert (len(named.strokes), named.questions[0].taken) == (1, "Layout1")
    assert len(read.strokes) == 2
    assert ("paper space", "POINT") in aside(read)


def test_the_sheet_that_is_named_is_read_without_a_question() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    made.paperspace().add_line((0, 0), (30, 0))
    assert codes(linework(made, sheet="Layout1")) == []
    assert linework(made, sheet="Layout1").strokes.row(0).last == (30.0, 0.0)
    assert linework(made).strokes.row(0).last == (9.0, 9.0)
    with pytest.raises(UnreadableError, match=r"no-such-sheet at Sheet 9: .* It has: Model, Layout1\."):
        linework(made, sheet="Sheet 9")


def test_a_drawing_without_a_line_is_refused_with_what_it_holds() -> None:
    made = drawing()
    made.modelspace().add_hatch().paths.add_polyline_path([(0, 0), (1, 0), (1, 1), (0, 1)])
    with pytest.raises(UnreadableError, match="no-linework") as caught:
        linework(made)
    assert "it holds 1 HATCH (hatch)" in str(caught.value)

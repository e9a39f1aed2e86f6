"""From the sample drawings and small ones like them to documents: names, curves, sizes, supports, basis."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.drawing.drafting import drawing, saved
from tests.faulty.files import written
from tests.faulty.plans import plan
from tests.faulty.sheets import single_lines
from trussio.drawing.answers import read_answers, write_answers
from trussio.drawing.reading import Reading, read_drawing
from trussio.errors import UnreadableError, UsageError
from trussio.model.basis import AlongStick, Assignment, Basis
from trussio.model.connection import Brace, Butt, Connection, Piece
from trussio.model.loading import JointLoad, LineLoad, LoadCase, Loads, RunId, Target
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, JointId, MaterialId, MemberId, SectionId, Support

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.faulty.plans import Kind
    from tests.faulty.sheets import Sheet

HALL = "samples/hall/hall-truss-2.dxf"
BARN = "samples/barn/barn-truss-b.dxf"


def sheet_of(kind: Kind, *, labels: bool = True) -> Sheet:
    rng = Random(f"reading-{kind}")  # noqa: S311  # not for secrets
    return single_lines(plan(rng, kind), rng, labels=labels)


def read(sheet: Sheet, **given: object) -> Reading:
    return read_drawing(written(sheet), **given)  # type: ignore[arg-type]  # names of parameters


def answered(sheet: Sheet, answer: Callable[[str], str]) -> Reading:
    """Read, answer every question, and read again."""
    first = read(sheet)
    text = write_answers("a", first.questions)
    for asked in first.questions:
        text = text.replace(
            '"answer": "",\n      "author": ""', f'"answer": "{answer(asked.code)}",\n      "author": "A B"', 1
        )
    return read(sheet, answers=read_answers(text, "answers.json"))


def test_the_hall_is_a_bowstring_on_two_heels() -> None:
    reading = read_drawing(HALL)
    (truss,) = reading.trusses
    assert reading.questions == ()
    assert truss.units == "us"
    assert truss.members[MemberId("bottom")].through == tuple(f"B{number}" for number in range(9))
    top = truss.members[MemberId("top")]
    assert top.through == ("B0", "T1", "T2", "T3", "T4", "T5", "T6", "T7", "B8")
    assert top.curve == Curve(radius=723.0, bows="up")
    assert top.label == "2-3x10"
    assert sum(member.role == "web" for member in truss.members.values()) == 13
    assert truss.supports == {"B0": Support(holds=("x", "y")), "B8": Support(holds=("y",))}
    assert any("lowest outer joints" in assumption.what for assumption in truss.assumptions.values())


@pytest.mark.parametrize(
    ("collar", "stands", "asked"),
    [
        pytest.param(80.0, {"M1", "M2"}, True, id="a collar half way up: on the feet of the rafters"),
        pytest.param(20.0, {"B0", "B2"}, False, id="a tie with eaves an eighth of the height further down"),
    ],
)
def test_rafters_that_run_far_below_a_collar_stand_on_their_feet(
    collar: float, stands: set[str], *, asked: bool
) -> None:
    """Rafters of 160 on 240 in, a collar and a king post; where the truss stands is asked."""
    made = drawing()
    in_from = 1.5 * collar
    for one, other in (
        ((0, 0), (240, 160)),
        ((240, 160), (480, 0)),
        ((in_from, collar), (480 - in_from, collar)),
        ((240, 160), (240, collar)),
    ):
        made.modelspace().add_line(one, other)
    reading = read_drawing(saved(made))
    assert set(reading.trusses[0].supports) == stands
    assert ("where-it-stands" in {question.code for question in reading.questions}) == asked
    if asked:
        text = write_answers("a", [one for one in reading.questions if one.code == "where-it-stands"])
        text = text.replace('"answer": "",\n      "author": ""', '"answer": "B0 B2",\n      "author": "A B"')
        again = read_drawing(saved(made), answers=read_answers(text, "answers.json"))
        assert set(again.trusses[0].supports) == {"B0", "B2"}


def test_every_gap_of_the_hall_is_told_with_its_distance_and_handle() -> None:
    changes = [change for change in read_drawing(HALL).changes if change.kind == "end-extended"]
    assert len(changes) == 13
    assert all(change.distance == pytest.approx(0.25) and len(change.handles) == 1 for change in changes)


def test_the_barn_is_in_millimetres_with_two_rafters() -> None:
    (truss,) = read_drawing(BARN).trusses
    assert truss.units == "si"
    assert truss.joints[JointId("B6")].x == pytest.approx(12000.0)
    assert [name for name in truss.members if not name.startswith("w")] == ["bottom", "top-1", "top-2"]
    assert truss.members[MemberId("w1")].label == "rod 24"


def test_the_source_names_the_entities_behind_joints_and_members() -> None:
    (truss,) = read_drawing(HALL).trusses
    assert truss.source is not None
    assert truss.source.digest.startswith("sha256:")
    assert truss.source.joints.keys() == truss.joints.keys()
    assert truss.source.members.keys() == truss.members.keys()
    assert all(truss.source.joints.values())
    assert all(truss.source.members.values())


def test_a_basis_gives_sections_material_and_loads_as_assumptions() -> None:
    loads = Loads(
        cases={RunId("D"): LoadCase(loads=(LineLoad(on=Target(role="top-chord"), direction="down", value=9.0),))}
    )
    basis = Basis(
        name="basis.json",
        sections={
            SectionId("2-3 x 10"): Section(width=2.625, depth=9.5, plies=2),
            SectionId("web"): Section(width=1.625, depth=5.5),
        },
        materials={MaterialId("df1"): Material(E=1.7e6)},
        members={"web": Assignment(section=SectionId("web"))},
        loads=loads,
    )
    (truss,) = read_drawing(HALL, basis=basis).trusses
    assert truss.members[MemberId("top")].section == "2-3 x 10"
    assert {member.material for member in truss.members.values()} == {"df1"}
    assert truss.loads.cases == loads.cases
    assert any(assumption.rests_on == "basis.json" for assumption in truss.assumptions.values())


def test_a_nominal_label_becomes_a_section_only_by_a_stated_sizing() -> None:
    (bare,) = read_drawing(HALL).trusses
    assert bare.sections == {}
    (sized,) = read_drawing(HALL, basis=Basis(name="b", sizing="before-1970")).trusses
    section = sized.section_of(MemberId("w1"))
    assert section is not None
    assert (section.width, section.depth, section.sizing) == (1.625, 5.5, "before-1970")


def test_supports_of_a_basis_replace_the_assumed_ones() -> None:
    basis = Basis(
        name="b", supports={JointId("B1"): Support(holds=("x", "y")), JointId("Z9"): Support(holds=("y",))}
    )
    reading = read_drawing(HALL, basis=basis)
    assert list(reading.trusses[0].supports) == ["B1"]
    assert [asked.code for asked in reading.questions] == ["support-without-joint"]


def test_a_load_on_what_is_not_there_is_left_out_and_asked_about() -> None:
    loads = Loads(cases={RunId("D"): LoadCase(loads=(JointLoad(joint=JointId("T99"), fy=-5.0),))})
    reading = read_drawing(HALL, basis=Basis(name="b", loads=loads))
    assert reading.trusses[0].loads.cases[RunId("D")].loads == ()
    assert [asked.code for asked in reading.questions] == ["load-without-place"]


def test_connections_and_what_is_known_along_sticks_come_from_the_basis() -> None:
    foot = Connection(
        joint=JointId("B1"),
        pieces=(Piece(member=MemberId("w1")), Piece(member=MemberId("bottom"))),
        evidence="seen",
    )
    along = AlongStick(braced=(Brace(plane="out", by="ceiling joists", seen=True),), butts=(Butt(ply=1, at=40.0),))
    basis = Basis(name="b", connections={"foot": foot}, sticks={MemberId("bottom"): along})
    reading = read_drawing(HALL, basis=basis)
    (truss,) = reading.trusses
    assert truss.connections == {"foot": foot}
    bottom = truss.members[MemberId("bottom")]
    assert (bottom.braced, bottom.butts, bottom.laminations) == (along.braced, along.butts, None)
    assert truss.members[MemberId("top")].braced is None
    assert [asked.code for asked in reading.questions] == []
    (stated,) = [one for one in truss.assumptions.values() if one.rests_on == "b"]
    assert stated.touches == ("/members/bottom", "/connections")


def test_a_connection_or_stick_that_is_not_there_is_left_out_and_asked_about() -> None:
    away = Connection(joint=JointId("B99"), pieces=(Piece(member=MemberId("bottom")),))
    other = Connection(joint=JointId("B1"), pieces=(Piece(member=MemberId("w99")),))
    basis = Basis(
        name="b",
        connections={"away": away, "other": other},
        sticks={MemberId("tie"): AlongStick(butts=(Butt(ply=1, at=40.0),))},
    )
    reading = read_drawing(HALL, basis=basis)
    assert reading.trusses[0].connections == {}
    assert [asked.code for asked in reading.questions] == ["connection-without-place"] * 3
    assert [asked.settle for asked in reading.questions] == [
        "Correct /sticks/tie in b.",
        "Correct /connections/away in b.",
        "Correct /connections/other in b.",
    ]


def test_an_open_question_stands_in_the_truss_as_an_unconfirmed_assumption() -> None:
    sheet = sheet_of("howe")
    sheet.insunits = None
    reading = read(sheet)
    assert [asked.code for asked in reading.questions] == ["which-unit"]
    open_ones = [
        a for a in reading.trusses[0].assumptions.values() if a.what.startswith(reading.questions[0].asks)
    ]
    assert len(open_ones) == 1
    assert open_ones[0].confirmed is None


def test_an_answer_settles_a_question_and_keeps_who_gave_it() -> None:
    sheet = sheet_of("king-post")
    for x in (0.0, sheet.plan.span):
        sheet.add("polyline", (x, 0.0), (x - 6, -10.0), (x + 6, -10.0), closed=True, layer="SUPPORT")
    reading = answered(sheet, lambda _: "x y")
    (truss,) = reading.trusses
    assert reading.questions == ()
    assert {support.holds for support in truss.supports.values()} == {("x", "y")}
    assert [a.confirmed for a in truss.assumptions.values() if "A support is drawn" in a.what] == ["A B", "A B"]


@pytest.mark.parametrize(("answer", "joints"), [("tail", 1), ("drop", 0)])
def test_a_tail_stays_or_goes_by_the_answer(answer: str, joints: int) -> None:
    sheet = sheet_of("king-post")
    row = sheet.rows("top-chord", "line")[0]
    (x, y), (u, v) = sorted(sheet.entities[row].points)
    size = ((u - x) ** 2 + (v - y) ** 2) ** 0.5
    sheet.put(row, points=((x - (u - x) / size * 18, y - (v - y) / size * 18), (u, v)))
    reading = answered(sheet, lambda _: answer)
    assert len(reading.trusses[0].joints) == len(sheet.plan.joints) + joints


@pytest.mark.parametrize(("part", "alone"), [(0.25, 1), (0.5, 0)])
def test_a_hanger_with_a_free_end_is_told_with_the_joint_that_it_alone_makes(part: float, alone: int) -> None:
    """Below the middle the king post ends too, so that the joint stands without the hanger."""
    sheet = sheet_of("king-post", labels=False)
    x = part * sheet.plan.span
    sheet.add("line", (x, 0.0), (x - 20.0, -40.0))
    told = {change.kind: change for change in read(sheet).changes}
    assert told["free-end-kept"].where == pytest.approx((x - 20.0, -40.0))
    assert ("joint-of-one" in told) == alone
    if alone:
        assert told["joint-of-one"].where == pytest.approx((x, 0.0))
        assert told["joint-of-one"].says == "w1, whose other end is free, is all that makes a joint here."


@pytest.mark.parametrize("degrees", [7.0, 11.8, -11.8, 20.0])
def test_a_truss_of_parallel_chords_turned_on_the_sheet_is_stood_upright(degrees: float) -> None:
    """Its outermost corners lie across from each other, and may be level where the truss is not."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    made = drawing()
    flat = [((0, 0), (720, 0)), ((0, 110), (720, 110))]
    flat += [((90 * k, 0), (90 * k, 110)) for k in range(9)]
    flat += [((90 * k, 110 * (k % 2)), (90 * k + 90, 110 * (1 - k % 2))) for k in range(8)]
    for ends in flat:
        made.modelspace().add_line(*((c * x - s * y, s * x + c * y) for x, y in ends))
    reading = read_drawing(saved(made))
    (truss,) = reading.trusses
    assert {round(joint.y, 6) for joint in truss.joints.values()} == {0.0, 110.0}
    assert [question.code for question in reading.questions] == ["which-way-up-on-sheet"]


def test_scissors_have_no_level_chord_and_stand_as_drawn() -> None:
    made = drawing()
    rafters = [((0, 0), (240, 160)), ((240, 160), (480, 0))]
    ties = [((0, 0), (360, 80)), ((120, 80), (480, 0)), ((240, 160 / 3), (240, 160))]
    for one, other in (*rafters, *ties):
        made.modelspace().add_line(one, other)
    reading = read_drawing(saved(made))
    assert "which-way-up-on-sheet" not in {question.code for question in reading.questions}
    (truss,) = reading.trusses
    assert sorted(truss.joints[name].y for name in truss.supports) == [0.0, 0.0]
    assert max(joint.y for joint in truss.joints.values()) == pytest.approx(160.0)


def test_several_trusses_come_as_several_documents_and_one_can_be_picked() -> None:
    sheet = sheet_of("fink")
    down = -max(y for _, y in sheet.plan.joints) - 180.0
    for entity in list(sheet.entities):
        sheet.entities.append(replace(entity, points=tuple((x, y + down) for x, y in entity.points)))
    reading = read(sheet)
    assert len(reading.trusses) == 2
    assert [asked.code for asked in reading.questions] == ["several-trusses"]
    assert len(read(sheet, part=2).trusses) == 1
    with pytest.raises(UsageError, match="The sheet holds 2 trusses"):
        read(sheet, part=3)


def test_a_place_of_a_truss_is_found_again_on_the_sheet() -> None:
    sheet = sheet_of("howe")
    sheet.insunits, sheet.per_inch = 2, 1 / 12
    reading = read(sheet)
    (place,) = reading.placements
    span = sheet.plan.span
    assert place.in_plane((span, 0.0)) == pytest.approx((span / 12, 0.0), abs=1e-9)
    assert place.in_truss((span / 12, 0.0)) == pytest.approx((span, 0.0), abs=1e-9)


def test_a_layer_can_be_ignored_by_the_users_map() -> None:
    sheet = sheet_of("fink")
    sheet.add("line", (0.0, 0.0), (sheet.plan.span, 40.0), layer="SKETCH")
    plain = read(sheet_of("fink")).trusses[0]
    told = read(sheet, layers={"sketch": "ignore"})
    assert told.trusses[0].joints == plain.joints
    assert any(change.says == "1 line set aside: user's map." for change in told.changes)


@pytest.mark.parametrize("layer", ["S-TRUS-BCHD-E", "Verband"])
def test_a_role_that_a_layer_states_stands_above_the_place_in_the_outline(layer: str) -> None:
    sheet = sheet_of("king-post")
    row = next(row for row in sheet.rows("web", "line"))
    sheet.put(row, layer=layer)
    reading = read(sheet, layers={} if layer.startswith("S-") else {layer: "bottom chord"})
    roles = [member.role for member in reading.trusses[0].members.values()]
    assert roles.count("bottom-chord") == 2
    assert [change.says for change in reading.changes if change.kind == "role-by-layer"] == [
        "A member in the place of a web lies on a layer of bottom-chord members."
    ]


def test_what_the_user_calls_a_member_is_not_set_aside_by_its_look() -> None:
    sheet = sheet_of("howe")
    row = next(row for row in sheet.rows("web", "line"))
    sheet.put(row, layer="REAR", linetype="CENTER")
    plain, told = read(sheet), read(sheet, layers={"Rear": "member"})
    assert len(told.trusses[0].members) == len(plain.trusses[0].members) + 1


def test_layers_that_hold_no_members_by_their_names_are_set_aside() -> None:
    sheet = sheet_of("howe")
    plain = read(sheet).trusses[0]
    sheet.add("line", (0.0, 0.0), (sheet.plan.span, 60.0), layer="S-TRUS-DEFC")
    marked = read(sheet)
    assert marked.trusses[0].joints == plain.joints
    assert any(change.says == "1 line set aside: layer without members." for change in marked.changes)


def test_a_drawing_without_a_truss_is_refused_with_a_way_out() -> None:
    sheet = sheet_of("fink")
    sheet.entities = [entity for entity in sheet.entities if entity.stick < 2][:2]
    with pytest.raises(UnreadableError) as refusal:
        read(sheet)
    assert refusal.value.code == "no-truss"
    assert refusal.value.do == "Give a drawing of the truss in elevation, or say which layers hold it."


@pytest.mark.parametrize(("units", "size"), [("mm", "2.36 ft (0.72 m)"), ("ft", "720 ft (219 m)")])
def test_a_unit_that_makes_nonsense_of_a_truss_is_named(units: str, size: str) -> None:
    """A truss of 60 ft, drawn in inches."""
    with pytest.raises(UnreadableError) as refusal:
        read_drawing(HALL, units=units)
    assert refusal.value.code == "no-truss"
    assert refusal.value.do.startswith(
        f"Look at the unit first: as it was taken, all that is drawn is {size} long. "
    )


def test_scattered_lines_of_no_main_direction_are_refused_and_crash_nothing() -> None:
    """Lines that all run across the way in which they lie spread out."""
    sheet = sheet_of("fink")
    sheet.entities = []
    for number in range(12):
        sheet.add("line", (60.0 * number, 0.0), (60.0 * number, 20.0), layer="0")
    with pytest.raises(UnreadableError, match="no-truss"):
        read(sheet)

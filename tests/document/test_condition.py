"""The condition of a truss must speak of sticks, places and sections that are there, and say nothing twice."""

from __future__ import annotations

import json
from dataclasses import fields
from typing import TYPE_CHECKING

import pytest

from tests.document.small import SMALL, changed, only_fault, taken
from trussio.document.conversion import to_units
from trussio.document.decode import read_truss
from trussio.document.encode import write_truss
from trussio.document.schema import schema_folder
from trussio.errors import UnreadableError
from trussio.model.condition import Bow, Left, Lost, LostSection, Missing, Parted, Released, Severed
from trussio.model.truss import JointId, MemberId

if TYPE_CHECKING:
    from trussio.model.truss import Json

NOTES: dict[str, Json] = {"by": "N. N.", "date": "2026-03-02"}
SEEN: dict[str, Json] = {"seen": "sawn through", "notes": NOTES}
CUT: dict[str, Json] = {"kind": "severed", "member": "bottom", "at": 100, **SEEN}
ROT: dict[str, Json] = {"kind": "lost-section", "member": "bottom", "lost": {"minus_y": 2.5}, **SEEN}


def with_condition(*entries: dict[str, Json]) -> dict[str, Json]:
    """The small document with the entries c0, c1, ..."""
    return changed(SMALL, "/condition", {f"c{index}": entry for index, entry in enumerate(entries)})


def test_every_kind_is_read() -> None:
    rest: dict[str, Json] = {"area": 20, "inertia": 70.5, "shift": -0.5}
    truss = taken(
        with_condition(
            CUT,
            {**ROT, "member": "top", "from": "B0", "to": 40.5},
            {"kind": "lost-section", "member": "w1", "left": rest, "seen": ""},
            {"kind": "missing", "member": "bow", "seen": "gone"},
            {"kind": "released", "member": "bottom", "at": "B1", "seen": "cracked"},
            {"kind": "parted", "member": "top", "at": "T1", "seen": "pulled out"},
            {"kind": "bow", "member": "w1", "by": -0.75, "seen": "string line"},
        )
    )
    bottom, top, w1 = (MemberId(name) for name in ("bottom", "top", "w1"))
    b0, b1, t1 = (JointId(name) for name in ("B0", "B1", "T1"))
    assert [*truss.condition.values()] == [
        Severed(member=bottom, at=100.0, seen="sawn through", notes=NOTES),
        LostSection(member=top, what=Lost(minus_y=2.5), start=b0, end=40.5, seen="sawn through", notes=NOTES),
        LostSection(member=w1, what=Left(area=20.0, inertia=70.5, shift=-0.5), seen=""),
        Missing(member=MemberId("bow"), seen="gone"),
        Released(member=bottom, at=b1, seen="cracked"),
        Parted(member=top, at=t1, seen="pulled out"),
        Bow(member=w1, by=-0.75, seen="string line"),
    ]


def test_lengths_areas_and_inertias_convert() -> None:
    truss = taken(
        with_condition(
            CUT,
            {**ROT, "member": "top", "to": 40},
            {"kind": "lost-section", "member": "w1", "left": {"area": 1, "inertia": 1, "shift": 1}, "seen": ""},
            {"kind": "bow", "member": "w1", "by": 2, "seen": ""},
        )
    )
    cut, rot, rest, bow = json.loads(write_truss(to_units(truss, "si")))["condition"].values()
    assert cut["at"] == 2540
    assert (rot["to"], rot["lost"]) == (1016, {"minus_y": 63.5})
    assert rest["left"] == {"area": 645.16, "inertia": 416231.4256, "shift": 25.4}
    assert bow["by"] == 50.8


@pytest.mark.parametrize(
    ("entry", "where", "says"),
    [
        ({**CUT, "member": "bottm"}, "/member", 'no member is called "bottm".'),
        ({**CUT, "at": 168.001}, "/at", '"bottom" is 168 long, so nothing lies 168.001 along it.'),
        ({**CUT, "at": 84.0001}, "/at", '"bottom" is cut at "B1" itself, which does not say on which side'),
        ({**CUT, "at": 0}, "/at", '"bottom" is cut at "B0" itself'),
        ({**ROT, "from": 90, "to": "B1"}, "/from", 'the stretch does not run forward along "bottom".'),
        ({**ROT, "to": "T1"}, "/to", 'joint "T1" is not on "bottom".'),
        ({**ROT, "lost": {}}, "/lost", "nothing is lost."),
        ({**ROT, "lost": {"minus_y": 5, "plus_y": 4.5}}, "/lost", "nothing is left of the section."),
        ({**ROT, "lost": {"width": 2.625}}, "/lost", "nothing is left of the section."),
        ({**ROT, "lost": {"plies": 2}}, "/lost", "nothing is left of the section."),
        ({**ROT, "member": "bow"}, "/lost", '"bow" has no section that something could be lost of.'),
        ({**ROT, "left": {"area": 3}}, "", "this tells what is lost and what is left."),
        (
            {"kind": "released", "member": "bottom", "at": "T1", "seen": ""},
            "/at",
            'joint "T1" is not on "bottom".',
        ),
        (
            {"kind": "bow", "member": "bottom", "by": 1, "seen": ""},
            "",
            '"bottom" has 2 segments, and this does not say which one bows.',
        ),
        (
            {"kind": "bow", "member": "bottom", "by": 1, "between": ["B0", "B2"], "seen": ""},
            "/between",
            'no segment of "bottom" lies between "B0" and "B2".',
        ),
        ({"kind": "bow", "member": "bow", "by": 1, "seen": ""}, "", '"bow" is curved; what is out of line there'),
        ({"kind": "missing", "member": "w1"}, "", 'the field "seen" is missing.'),
    ],
)
def test_what_cannot_be_applied_is_refused(entry: dict[str, Json], where: str, says: str) -> None:
    fault = only_fault(with_condition(entry))
    assert fault.where == f"/condition/c0{where}"
    assert says in fault.what


@pytest.mark.parametrize(
    ("first", "second", "taken_together"),
    [
        (CUT, {**CUT, "at": 100.5}, True),
        (CUT, CUT, False),
        (CUT, ROT, True),
        ({"kind": "missing", "member": "bottom", "seen": ""}, CUT, False),
        ({**ROT, "to": 50}, {**ROT, "from": 50}, True),
        ({**ROT, "to": 50}, {**ROT, "from": 49.9}, False),
        (
            {"kind": "released", "member": "bottom", "at": "B1", "seen": ""},
            {"kind": "parted", "member": "bottom", "at": "B1", "seen": ""},
            False,
        ),
    ],
)
def test_two_entries_of_one_place_are_refused(
    first: dict[str, Json], second: dict[str, Json], *, taken_together: bool
) -> None:
    document = with_condition(first, second)
    if taken_together:
        assert len(taken(document).condition) == 2
    else:
        fault = only_fault(document)
        assert fault.where == "/condition/c1"
        assert fault.what == 'this and "c0" say two things of one place of "bottom".'


def test_a_section_that_is_no_plain_rectangle_has_to_say_what_is_left() -> None:
    for spoilt, says in (("area", "no plain rectangle"), ("arranged", "the plies are stacked")):
        section: Json = {"width": 2.625, "depth": 9.5, "plies": 2, spoilt: 20 if spoilt == "area" else "stacked"}
        fault = only_fault(changed(with_condition(ROT), "/sections/bc", section))
        assert says in fault.what


@pytest.mark.parametrize(
    ("record", "part", "spelled"),
    [
        (Severed, "severed", {}),
        (Missing, "missing", {}),
        (LostSection, "lostSection", {"what": ["lost", "left"], "start": ["from"], "end": ["to"]}),
        (Released, "released", {}),
        (Parted, "parted", {}),
        (Bow, "bow", {}),
    ],
)
def test_a_record_and_its_schema_have_the_same_fields(
    record: type, part: str, spelled: dict[str, list[str]]
) -> None:
    expected = {"kind", *(name for field in fields(record) for name in spelled.get(field.name, [field.name]))}
    assert properties(part) == expected


def properties(part: str) -> set[str]:
    """The fields of a part of the schema."""
    whole = json.loads((schema_folder() / "parts.json").read_text("utf-8"))
    return set(whole["$defs"][part]["properties"])


def test_a_section_lost_by_nothing_said_is_told_at_the_entry_itself() -> None:
    """The field that is missing has no line of its own."""
    document = {
        "format": "trussio/truss",
        "version": 1,
        "title": "",
        "units": "us",
        "joints": {"A": {"x": 0, "y": 0}, "B": {"x": 100, "y": 0}},
        "members": {"m": {"through": ["A", "B"]}},
        "condition": {"c1": {"kind": "lost-section", "member": "m", "seen": ""}},
    }
    text = json.dumps(document, indent=1)
    with pytest.raises(UnreadableError, match="neither loss nor rest") as refusal:
        read_truss(text.encode(), name="truss.json")
    entry = next(number for number, line in enumerate(text.splitlines(), start=1) if '"c1"' in line)
    assert {fault.line for fault in refusal.value.faults} == {entry}


def test_a_section_lost_of_a_stick_whose_section_is_not_there_is_the_fault_of_the_stick() -> None:
    document = changed(with_condition(ROT), "/members/bottom/section", "gone")
    with pytest.raises(UnreadableError, match='no section is called "gone"') as refusal:
        read_truss(json.dumps(document).encode(), name="truss.json")
    assert [fault.where for fault in refusal.value.faults] == ["/members/bottom/section"]

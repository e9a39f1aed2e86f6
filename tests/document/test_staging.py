"""Tendons and stages in documents: every field has its place, and what cannot be is refused by name."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from trussio.document.decode import read_truss
from trussio.document.encode import write_truss
from trussio.document.schema import schema_folder
from trussio.errors import UnreadableError
from trussio.model.staging import (
    Add,
    Jack,
    PutOn,
    Release,
    Remove,
    Replace,
    Shore,
    Stage,
    TakeOff,
    Tension,
)
from trussio.model.tendon import Point, Tendon, TendonLoad

if TYPE_CHECKING:
    from typing import NamedTuple

    from trussio.model.truss import Json

    Object = dict[str, Json]


@pytest.mark.parametrize(
    ("record", "part", "spelled"),
    [
        (Tendon, "tendon", {}),
        (Point, "tendonPoint", {}),
        (TendonLoad, "tendonLoad", {}),
        (Stage, "stage", {}),
        (PutOn, "putOn", {"cases": "load"}),
        (TakeOff, "takeOff", {"cases": "unload"}),
        (Shore, "shore", {"joints": "shore"}),
        (Jack, "jack", {"joints": "jack"}),
        (Release, "release", {"joints": "release"}),
        (Remove, "remove", {"members": "remove"}),
        (Add, "add", {"members": "add", "along": "slip_along"}),
        (Replace, "replace", {"member": "replace", "by": "with"}),
        (Tension, "tension", {"tendons": "tension"}),
    ],
)
def test_a_record_and_its_schema_have_the_same_fields(
    record: type[NamedTuple], part: str, spelled: dict[str, str]
) -> None:
    parts = json.loads((schema_folder() / "parts.json").read_text("utf-8"))["$defs"]
    assert set(parts[part]["properties"]) == {spelled.get(field, field) for field in record._fields}


def document(**more: Json) -> Object:
    """Two panels with a sister to come, one tendon and a case for it."""
    base: Object = {
        "format": "trussio/truss",
        "version": 1,
        "title": "Invented",
        "units": "si",
        "joints": {
            "A": {"x": 0, "y": 0},
            "B": {"x": 1000, "y": 0},
            "C": {"x": 2000, "y": 0},
            "D": {"x": 0, "y": 9},
        },
        "members": {
            "old": {"through": ["A", "B", "C"]},
            "new": {"through": ["A", "B"]},
            "bent": {"through": ["A", "C"], "curve": {"radius": 5000, "bows": "up"}},
            "up": {"through": ["A", "D"]},
        },
        "supports": {"A": {"holds": ["x", "y"]}, "C": {"holds": ["y"]}},
        "loads": {"cases": {"D": {}, "PT": {"kind": "post-tension", "loads": [{"tendon": "t", "force": 5}]}}},
        "tendons": {"t": {"path": [{"joint": "A", "bears_on": "old", "offset": -50}, {"joint": "C"}]}},
    }
    return base | more


def faults(value: Object) -> list[str]:
    """Every fault of a document, in its words."""
    with pytest.raises(UnreadableError) as caught:
        read_truss(json.dumps(value).encode(), name="t.json")
    return [f"{fault.where}: {fault.what}" for fault in caught.value.faults]


def done(*actions: Json) -> Object:
    """A document with these actions in one stage."""
    return document(stages=[{"id": "S1", "actions": [*actions]}])


IN: Json = {"add": ["new"], "beside": "old"}


@pytest.mark.parametrize(
    ("actions", "fault"),
    [
        ([{"remove": ["new"]}, {"remove": ["new"]}], 'remove/0: stage "S1" takes out new, which is not there.'),
        ([{"replace": "up", "with": "old"}], ""),
        (
            [{"remove": ["up"]}, {"remove": ["old"]}, {"replace": "up", "with": "new"}],
            "takes out up, which is not",
        ),
        ([{"add": ["new"]}, {"add": ["new"]}], 'add/0: stage "S1" puts in new, which is there already.'),
        ([{"load": ["D"]}, {"load": ["D"]}], 'load/0: stage "S1" puts D on, which is on already.'),
        ([{"load": ["PT"]}], 'load/0: stage "S1" puts PT on, which stresses tendons.'),
        ([{"unload": ["D"]}], 'unload/0: stage "S1" takes D off, which is not on.'),
        ([{"shore": ["A"]}], 'shore/0: stage "S1" sets a shore at A, which is held there already.'),
        ([{"shore": ["B"]}, {"shore": ["B"]}], "sets a shore at B, which is held there already."),
        ([{"remove": ["up"]}, {"shore": ["D"]}], "sets a shore at D, where no stick is."),
        ([{"release": ["B"]}], 'release/0: stage "S1" releases a shore at B, where none stands.'),
        ([{"jack": ["B"], "by": 1}], 'jack/0: stage "S1" jacks a shore at B, where none stands.'),
        ([{"shore": ["B"], "holds": ["x"]}, {"jack": ["B"], "by": 1}], "which does not hold it upwards."),
        ([IN, {"remove": ["old"]}], "takes out old, to which new is tied."),
        ([{"tension": ["t"]}, {"remove": ["old"]}], "takes out old, which the stressed tendon t bears on."),
        ([{"remove": ["old"]}, {"tension": ["t"]}], "tensions t, which bears on old at A; that is not there."),
        ([{"add": ["up"], "beside": "old"}], "puts up beside old, which does not run through D."),
        ([{"add": ["bent"], "beside": "old", "slip": 9}], "lets bent slip along old, and it is curved."),
        ([{"remove": ["old"]}, IN], "puts new beside old, which is not there."),
        ([{"remove": ["w9"]}], 'remove/0: no member is called "w9".'),
        ([{"shore": ["B9"]}], 'shore/0: no joint is called "B9".'),
        ([{"load": ["L"]}], 'load/0: no case is called "L".'),
        ([{"tension": ["t9"]}], 'tension/0: no tendon is called "t9".'),
        ([{"add": ["new"], "beside": "older"}], 'beside: no member is called "older".'),
        ([{}], "this says nothing that is done."),
        ([{"load": ["D"], "remove": ["up"]}], "this action does load and remove at once."),
        ([{"shore": ["B"]}, {"jack": ["B"], "by": 1, "force": 2}], 'this gives both "force" and "by".'),
        ([{"shore": ["B"]}, {"jack": ["B"]}], 'this gives neither "force" nor "by".'),
        ([{"shore": ["B"], "holds": []}], "these shores hold nothing."),
        ([{"add": ["new"], "slip": 9}], '"slip" ties a stick to another, and none is named.'),
        ([{"add": ["new"], "beside": "old", "slip": 9, "glued": True}], "tied by glued and slip at once."),
    ],
)
def test_what_cannot_be_done_is_refused_by_stage_and_name(actions: list[Json], fault: str) -> None:
    if not fault:
        read_truss(json.dumps(done({"remove": ["old"]}, *actions)).encode(), name="t.json")
        return
    assert any(fault in told for told in faults(done(*actions))), faults(done(*actions))


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"path": [{"joint": "A"}, {"joint": "Z"}]}, '/tendons/t/path/1/joint: no joint is called "Z".'),
        ({"path": [{"joint": "A"}]}, "/tendons/t/path: expected a list of two points or more"),
        ({"path": [{"joint": "A"}, {"joint": "A"}]}, "two points of the tendon lie at one joint."),
        ({"path": [{"joint": "D", "bears_on": "old"}, {"joint": "A"}]}, '"old" does not run through "D".'),
        ({"path": [{"joint": "A", "offset": 3}, {"joint": "C"}]}, "an offset has no direction"),
        ({"path": [{"joint": "A"}, {"joint": "C"}], "slip": 3}, "a draw-in without area and E"),
        (
            {"path": [{"joint": "A"}, {"joint": "C"}], "loss": 1.5},
            "/tendons/t/loss: expected a number from 0 to 1",
        ),
    ],
)
def test_a_tendon_that_cannot_be_is_refused(change: Json, fault: str) -> None:
    told = faults(document(tendons={"t": change}))
    assert any(fault in one for one in told), told


@pytest.mark.parametrize(
    ("case", "fault"),
    [
        ({"kind": "dead", "loads": [{"tendon": "t", "force": 5}]}, "not of the kind post-tension"),
        ({"kind": "post-tension", "loads": [{"tendon": "u", "force": 5}]}, 'no tendon is called "u".'),
        ({"kind": "post-tension", "loads": [{"tendon": "t", "stress": 5}]}, "whose area is not stated"),
        ({"kind": "post-tension", "loads": [{"tendon": "t"}]}, 'this gives neither "force" nor "stress".'),
    ],
)
def test_a_case_that_cannot_stress_a_tendon_is_refused(case: Json, fault: str) -> None:
    told = faults(document(loads={"cases": {"PT": case}}))
    assert any(fault in one for one in told), told


def test_names_that_runs_of_stages_have_are_not_given_to_others() -> None:
    cases: Json = {"now": {}, "PT": {}, "PT (least)": {}}
    told = faults(document(loads={"cases": cases}, stages=[{"id": "S1", "actions": []}]))
    assert told == [
        '/loads: "now" is what a stage calls the run of what is on.',
        '/loads: "PT (least)" is what the run of least tendon force is called.',
    ]
    twice: Json = [{"id": "S1", "actions": []}, {"id": "S1", "actions": [], "runs": ["X"]}]
    assert faults(document(stages=twice)) == [
        '/stages/1/id: two stages are called "S1".',
        '/stages/1/runs/0: no run is called "X".',
    ]


def test_a_document_is_written_as_it_was_read() -> None:
    value = done({"load": ["D"]}, {"shore": ["B"], "holds": ["y"]}, {"tension": ["t"], "to": 0.5}, IN)
    once = write_truss(read_truss(json.dumps(value).encode(), name="t.json"))
    assert json.loads(once)["stages"] == value["stages"]
    assert write_truss(read_truss(once.encode(), name="t.json")) == once

"""Every field of every record has its place in a document, so that none is lost when a record grows."""

from __future__ import annotations

import json
from dataclasses import fields
from typing import TYPE_CHECKING

import pytest

from trussio.document.schema import schema_folder
from trussio.model.acceptance import Acceptance
from trussio.model.bands import Band, Bands, ReactionBands, SegmentBands
from trussio.model.basis import AlongStick, Assignment, Basis
from trussio.model.change import Assumption, Change, Source
from trussio.model.check import Check, Line
from trussio.model.check_record import CheckRecord, LoadCheck, RunCheck, SegmentCheck, Total
from trussio.model.connection import (
    Brace,
    Butt,
    Connection,
    EndBearing,
    Fasteners,
    Laminations,
    Notch,
    Piece,
    Seat,
    Spaced,
    Stitched,
    WallSeat,
)
from trussio.model.finding import Finding, Findings, Signed, Statics
from trussio.model.forces import JointMovement, Reaction, Results, RunForces, SegmentForces
from trussio.model.loading import (
    JointLoad,
    LineLoad,
    LoadCase,
    Loads,
    Longer,
    PointLoad,
    SelfWeight,
    SupportMovement,
    Warmer,
)
from trussio.model.material import Material, Section
from trussio.model.sag import Sag
from trussio.model.second_order import Amplified, SecondOrder, SecondOrderRun, Without
from trussio.model.site import AreaLoad, Generated, Hung, LoadBasis, Site, Step, Surface
from trussio.model.standing import Carried, Cause, Checks, Limit, Low, Standing, Variation
from trussio.model.truss import Joint, Member, Support, Truss

if TYPE_CHECKING:
    from typing import NamedTuple

ON = {"on": ["member", "role"]}
HEADER = {"": ["format", "version"]}


@pytest.mark.parametrize(
    ("record", "schema", "part", "spelled"),
    [
        (Truss, "truss", "", {**HEADER, "written_out": []}),
        (Joint, "truss", "joint", {}),
        (Member, "truss", "member", {"part_of": [], "worn": [], "bows": []}),
        (Assumption, "truss", "assumption", {}),
        (Acceptance, "truss", "acceptance", {}),
        (Source, "truss", "source", {}),
        (Change, "truss", "change", {}),
        (Support, "parts", "support", {}),
        (Section, "parts", "section", {}),
        (Material, "parts", "material", {}),
        (Loads, "parts", "loads", {}),
        (LoadCase, "parts", "case", {}),
        (JointLoad, "parts", "jointLoad", {}),
        (
            LineLoad,
            "parts",
            "lineLoad",
            {**ON, "direction": ["down", "right", "across"], "value": [], "start": ["from"], "end": ["to"]},
        ),
        (PointLoad, "parts", "pointLoad", ON),
        (SelfWeight, "parts", "selfWeight", {"of": ["weight_of"]}),
        (SupportMovement, "parts", "movement", {}),
        (Longer, "parts", "longer", {**ON, "by": ["longer"]}),
        (Warmer, "parts", "warmer", {**ON, "by": ["warmer"]}),
        (Site, "parts", "site", {}),
        (Surface, "parts", "surface", {}),
        (LoadBasis, "parts", "loadBasis", {}),
        (Fasteners, "parts", "fasteners", {}),
        (Generated, "parts", "generated", {}),
        (Basis, "basis", "", {**HEADER, "name": []}),
        (Assignment, "basis", "assignment", {}),
        (AlongStick, "basis", "alongStick", {}),
        (Results, "results", "", HEADER),
        (RunForces, "results", "run", {}),
        (Findings, "findings", "", HEADER),
        (Finding, "findings", "finding", {}),
        (Statics, "findings", "statics", {}),
        (CheckRecord, "recheck", "", HEADER),
        (RunCheck, "recheck", "run", {}),
        (SegmentCheck, "recheck", "segment", {}),
        (Checks, "checks", "", HEADER),
        (Standing, "checks", "standing", {}),
        (
            Bands,
            "bands",
            "",
            {**HEADER, "": ["format", "version", "sign_not_certain"], "stiffness": ["stiffness_spread"]},
        ),
        (SecondOrder, "second-order", "", HEADER),
        (SecondOrderRun, "second-order", "run", {}),
        (Check, "checks", "check", {"subject": ["element", "run", "grade"], "derivation": ["lines"]}),
    ],
)
def test_a_record_and_its_schema_have_the_same_fields(
    record: type, schema: str, part: str, spelled: dict[str, list[str]]
) -> None:
    expected = set(spelled.get("", []))
    for name in getattr(record, "_fields", None) or [field.name for field in fields(record)]:
        expected |= set(spelled.get(name, [name]))
    assert properties(schema, part) == expected


@pytest.mark.parametrize(
    ("record", "schema", "part"),
    [
        (LoadCheck, "recheck", "load"),
        (Total, "recheck", "total"),
        (AreaLoad, "parts", "areaLoad"),
        (Hung, "parts", "hung"),
        (Step, "parts", "step"),
        (SegmentForces, "results", "segment"),
        (JointMovement, "results", "joint"),
        (Reaction, "results", "reaction"),
        (Line, "parts", "line"),
        (Line, "checks", "line"),
        (Signed, "findings", "signed"),
        (Carried, "checks", "carried"),
        (Limit, "checks", "limit"),
        (Cause, "checks", "cause"),
        (Band, "bands", "band"),
        (SegmentBands, "bands", "segment"),
        (ReactionBands, "bands", "reaction"),
        (Amplified, "second-order", "segment"),
        (Without, "second-order", "without"),
        (Variation, "checks", "variation"),
        (Low, "checks", "low"),
        (Piece, "parts", "piece"),
        (EndBearing, "parts", "endBearing"),
        (Seat, "parts", "seat"),
        (Notch, "parts", "notch"),
        (WallSeat, "parts", "wallSeat"),
        (Connection, "parts", "connection"),
        (Butt, "parts", "butt"),
        (Laminations, "parts", "laminations"),
        (Stitched, "parts", "stitched"),
        (Spaced, "parts", "spaced"),
    ],
)
def test_a_tuple_and_its_schema_have_the_same_fields(record: type[NamedTuple], schema: str, part: str) -> None:
    assert properties(schema, part) == set(record._fields)


def test_a_brace_has_its_place_as_loads_have_theirs() -> None:
    spelled = {"start": "from", "end": "to"}
    assert properties("parts", "brace") == {spelled.get(field, field) for field in Brace._fields}
    assert properties("truss", "sag") == {spelled.get(field, field) for field in Sag._fields}
    assert properties("parts", "across") == set(Connection._fields) - {"joint"}


def properties(schema: str, part: str) -> set[str]:
    """The names of the fields that a part of a schema has, or the whole."""
    whole = json.loads((schema_folder() / f"{schema}.json").read_text("utf-8"))
    return set((whole["$defs"][part] if part else whole)["properties"])

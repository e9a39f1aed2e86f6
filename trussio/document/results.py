"""Results, read and written: what each run does to each segment, joint and support.

Signs and units stand in `schema/results.json`. A joint whose rotation nothing shares has `"turn": null`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import by_name, entry_with_defaults
from trussio.document.fields import by_id, each, record
from trussio.document.layout import document_text
from trussio.document.names import idealisation, state
from trussio.document.reading import read_document
from trussio.document.values import (
    JOINT_ID,
    RUN_ID,
    SEGMENT_ID,
    chosen,
    computed,
    digest,
    optional,
    pair,
    pointer,
    text,
)
from trussio.model.forces import JointMovement, Reaction, Results, RunForces, SegmentForces
from trussio.model.loading import RunId
from trussio.model.truss import JointId, SegmentId

if TYPE_CHECKING:
    from trussio.document.entry import Object
    from trussio.document.fields import Fields
    from trussio.model.forces import Order


two = pair("two numbers", computed)
pointers = each(pointer, "a list of JSON Pointers")
ORDERS: tuple[Order, ...] = ("first",)
order = chosen(ORDERS)
codes = each(text, "a list of codes")
BY_SEGMENT = by_id(SegmentId, computed, rule=SEGMENT_ID)
REASONS = by_id(RunId, text, rule=RUN_ID)
LOOSE = by_id(str, computed)
TENDONS = by_id(str, each(computed, "a list of one number or more", least=1))


def segment_forces(fields: Fields) -> SegmentForces:
    """Forces of a segment."""
    return SegmentForces(
        axial=fields.need("axial", computed),
        axial_ends=fields.need("axial_ends", two),
        shear=fields.need("shear", two),
        moment=fields.need("moment", two),
        moment_peak=fields.need("moment_peak", computed),
        moment_peak_at=fields.need("moment_peak_at", computed),
    )


def joint_movement(fields: Fields) -> JointMovement:
    """How a joint moves."""
    return JointMovement(
        dx=fields.need("dx", computed),
        dy=fields.need("dy", computed),
        turn=fields.get("turn", optional(computed)),
    )


def reaction(fields: Fields) -> Reaction:
    """What a support does to the truss."""
    return Reaction(x=fields.need("x", computed), y=fields.need("y", computed), turn=fields.need("turn", computed))


def run_forces(fields: Fields) -> RunForces:
    """What one run gives."""
    return RunForces(
        segments=fields.need("segments", by_id(SegmentId, record(segment_forces), rule=SEGMENT_ID)),
        joints=fields.need("joints", by_id(JointId, record(joint_movement), rule=JOINT_ID)),
        reactions=fields.need("reactions", by_id(JointId, record(reaction), rule=JOINT_ID)),
        slack=fields.default("slack", BY_SEGMENT, {}),
        slip=fields.default("slip", BY_SEGMENT, {}),
        tendons=fields.default("tendons", TENDONS, {}),
        loose=fields.default("loose", LOOSE, {}),
        stage=fields.get("stage", text),
    )


def results(fields: Fields) -> Results:
    """The fields of a results document."""
    return Results(
        model=fields.need("model", digest),
        idealisation=fields.need("idealisation", idealisation),
        state=fields.need("state", state),
        order=fields.default("order", order, "first"),
        rests_on=fields.need("rests_on", pointers),
        runs=fields.need("runs", by_id(RunId, record(run_forces), rule=RUN_ID)),
        despite=fields.default("despite", codes, ()),
        not_evaluated=fields.default("not_evaluated", REASONS, {}),
    )


def read_results(data: bytes, *, name: str) -> Results:
    """The results in the bytes of a results document; `name` is what messages call the file.

    Raises UnreadableError with every fault that was found.
    """
    return read_document(data, name=name, form="trussio/results", decode=results)


def write_results(results: Results) -> str:
    """The text of a results document. Raises CannotWriteError where a number is not finite."""
    return document_text(encode_results(results))


def encode_results(results: Results) -> Object:
    """The JSON value of a results document."""
    fields: Object = {
        "format": "trussio/results",
        "version": 1,
        "model": results.model,
        "idealisation": results.idealisation,
        "state": results.state,
        "order": results.order,
        "rests_on": list(results.rests_on),
        "despite": list(results.despite),
        "not_evaluated": {str(run): why for run, why in results.not_evaluated.items()},
        "runs": {run: _run(forces) for run, forces in results.runs.items()},
    }
    return entry_with_defaults(fields, {"despite": [], "not_evaluated": {}}, "", frozenset())


def _run(run: RunForces) -> Object:
    value: Object = {
        "segments": {segment: encode_segment(forces) for segment, forces in run.segments.items()},
        "joints": {joint: {"dx": m.dx, "dy": m.dy, "turn": m.turn} for joint, m in run.joints.items()},
        "reactions": {joint: {"x": r.x, "y": r.y, "turn": r.turn} for joint, r in run.reactions.items()},
        **_of_some_runs(run),
    }
    if run.stage is not None:
        value["stage"] = run.stage
    if run.tendons:
        value["tendons"] = {name: list(legs) for name, legs in run.tendons.items()}
    if run.loose:
        value["loose"] = by_name(run.loose)
    return value


def _of_some_runs(run: RunForces) -> Object:
    """What only some trusses have: slack members, and forces that slip has moved."""
    found = {"slack": by_name(run.slack), "slip": by_name(run.slip)}
    return {key: value for key, value in found.items() if value}


def encode_segment(forces: SegmentForces) -> Object:
    """The JSON value of the forces of a segment."""
    return {
        "axial": forces.axial,
        "axial_ends": list(forces.axial_ends),
        "shear": list(forces.shear),
        "moment": list(forces.moment),
        "moment_peak": forces.moment_peak,
        "moment_peak_at": forces.moment_peak_at,
    }

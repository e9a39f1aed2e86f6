"""Tendons and stages, written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import by_name, entry, entry_with_defaults, free
from trussio.document.positions import escaped
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from collections.abc import Set as AbstractSet

    from trussio.document.entry import Object
    from trussio.model.staging import Action, Stage
    from trussio.model.tendon import Point, Tendon, TendonLoad
    from trussio.model.truss import Json

TENDON_DEFAULTS: Object = {"strands": 1, "stressed": "first", "wobble": 0, "acts": "member"}


def encode_tendons(tendons: Mapping[str, Tendon], written_out: AbstractSet[str]) -> Object:
    """The JSON value of tendons."""
    return {name: _tendon(one, f"/tendons/{escaped(name)}", written_out) for name, one in tendons.items()}


def encode_stages(stages: Sequence[Stage], written_out: AbstractSet[str]) -> list[Json]:
    """The JSON value of stages."""
    return [_stage(stage, f"/stages/{index}", written_out) for index, stage in enumerate(stages)]


def encode_tendon_load(load: TendonLoad) -> Object:
    """The JSON value of what a case does to a tendon."""
    return entry({"tendon": load.tendon, "force": load.force, "stress": load.stress, "notes": free(load.notes)})


def _tendon(tendon: Tendon, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "path": [_point(p, f"{where}/path/{index}", written_out) for index, p in enumerate(tendon.path)],
        "area": tendon.area,
        "strands": tendon.strands,
        "E": tendon.E,
        "stressed": tendon.stressed,
        "friction": tendon.friction,
        "wobble": tendon.wobble,
        "slip": tendon.slip,
        "loss": tendon.loss,
        "steel": tendon.steel,
        "fu": tendon.fu,
        "acts": tendon.acts,
        "label": tendon.label,
        "notes": free(tendon.notes),
    }
    return entry_with_defaults(fields, TENDON_DEFAULTS, where, written_out)


def _point(point: Point, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "joint": point.joint,
        "bears_on": point.bears_on,
        "offset": point.offset,
        "bearing": point.bearing,
    }
    return entry_with_defaults(fields, {"offset": 0}, where, written_out)


def _stage(stage: Stage, where: str, written_out: AbstractSet[str]) -> Object:
    return entry(
        {
            "id": stage.id,
            "actions": [
                _action(action, f"{where}/actions/{index}", written_out)
                for index, action in enumerate(stage.actions)
            ],
            "runs": None if stage.runs is None else list(stage.runs),
            "notes": free(stage.notes),
        }
    )


def _action(action: Action, where: str, written_out: AbstractSet[str]) -> Object:
    fields, absent = _said(action)
    return entry_with_defaults(fields | {"notes": free(action.notes)}, absent, where, written_out)


def _said(action: Action) -> tuple[Object, Object]:
    """What an action says, and what its absence would mean."""
    absent: Object = {}
    match action:
        case PutOn():
            said: Object = {"load": list(action.cases)}
        case TakeOff():
            said = {"unload": list(action.cases)}
        case Shore():
            said, absent = _shore(action), {"holds": ["y"], "both_ways": False}
        case Jack():
            said = {"jack": list(action.joints), "force": action.force, "by": action.by}
        case Release():
            said = {"release": list(action.joints)}
        case Remove():
            said = {"remove": list(action.members)}
        case Add():
            said, absent = _add(action), {"glued": False}
        case Replace():
            said = {"replace": action.member, "with": action.by}
        case Tension():
            said, absent = {"tension": list(action.tendons), "to": action.to}, {"to": 1}
    return said, absent


def _shore(shore: Shore) -> Object:
    return {
        "shore": list(shore.joints),
        "holds": [hold if isinstance(hold, str) else list(hold) for hold in shore.holds],
        "springs": None if shore.springs is None else by_name(shore.springs),
        "both_ways": shore.both_ways,
    }


def _add(add: Add) -> Object:
    return {
        "add": list(add.members),
        "beside": add.beside,
        "glued": add.glued,
        "slip": add.slip,
        "slip_along": add.along,
    }

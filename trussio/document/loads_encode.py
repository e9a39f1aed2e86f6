"""Loads, written: cases and combinations as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import by_name, entry, entry_with_defaults, free
from trussio.document.positions import escaped
from trussio.document.site_encode import encode_load_basis
from trussio.late import loaded
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, SupportMovement, Warmer

if TYPE_CHECKING:
    from collections.abc import Callable
    from collections.abc import Set as AbstractSet

    from trussio.document.entry import Object
    from trussio.model.loading import Load, LoadCase, Loads, Target
    from trussio.model.tendon import TendonLoad
    from trussio.model.truss import Json


def encode_loads(loads: Loads, written_out: AbstractSet[str]) -> Object:
    """The JSON value of loads."""
    fields: Object = {
        "cases": {n: _case(c, f"/loads/cases/{escaped(n)}", written_out) for n, c in loads.cases.items()},
        "combinations": {name: by_name(factors) for name, factors in loads.combinations.items()},
        "basis": None if loads.basis is None else encode_load_basis(loads.basis, written_out),
        "notes": free(loads.notes),
    }
    return entry_with_defaults(fields, {"cases": {}, "combinations": {}}, "/loads", written_out)


def _case(case: LoadCase, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "kind": case.kind,
        "loads": [_load(load, f"{where}/loads/{index}", written_out) for index, load in enumerate(case.loads)],
        "notes": free(case.notes),
    }
    return entry_with_defaults(fields, {"loads": []}, where, written_out)


def _load(load: Load, where: str, written_out: AbstractSet[str]) -> Object:
    notes = free(load.notes)
    if isinstance(load, JointLoad):
        fields: Object = {"joint": load.joint, "fx": load.fx, "fy": load.fy, "moment": load.moment, "notes": notes}
        return entry_with_defaults(fields, {"fx": 0, "fy": 0, "moment": 0}, where, written_out)
    if isinstance(load, SelfWeight):
        return entry({"weight_of": load.of if isinstance(load.of, str) else list(load.of), "notes": notes})
    if isinstance(load, SupportMovement):
        return entry({"support": load.support, "moves": by_name(load.moves), "notes": notes})
    if isinstance(load, LineLoad):
        return _line_load(load)
    if isinstance(load, PointLoad):
        fields = _target(load.on) | {"at": load.at, "fx": load.fx, "fy": load.fy, "notes": notes}
        return entry_with_defaults(fields, {"fx": 0, "fy": 0}, where, written_out)
    return _imposed(load)


def _imposed(load: Longer | Warmer | TendonLoad) -> Object:
    """A load that strains a stick or stresses a tendon."""
    notes = free(load.notes)
    if not isinstance(load, (Longer, Warmer)):
        encode: Callable[[TendonLoad], Object] = loaded("trussio.document.staging_encode:encode_tendon_load")
        return encode(load)
    return entry(_target(load.on) | {"longer" if isinstance(load, Longer) else "warmer": load.by, "notes": notes})


def _line_load(load: LineLoad) -> Object:
    value: Json = list(load.value) if isinstance(load.value, tuple) else load.value
    return entry(
        _target(load.on)
        | {"from": load.start, "to": load.end, load.direction: value, "per": load.per, "notes": free(load.notes)}
    )


def _target(on: Target) -> Object:
    return {"member": on.member, "role": on.role}

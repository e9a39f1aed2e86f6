"""Where a model came from, what was assumed and what was accepted, written as JSON values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import entry, entry_with_defaults, free

if TYPE_CHECKING:
    from collections.abc import Set as AbstractSet

    from trussio.document.entry import Object
    from trussio.model.acceptance import Acceptance
    from trussio.model.change import Assumption, Change, Source


def encode_assumption(assumption: Assumption, where: str, written_out: AbstractSet[str]) -> Object:
    """The JSON value of an assumption."""
    fields: Object = {
        "what": assumption.what,
        "rests_on": assumption.rests_on,
        "touches": list(assumption.touches),
        "confirmed": assumption.confirmed,
        "notes": free(assumption.notes),
    }
    return entry_with_defaults(fields, {"touches": []}, where, written_out)


def encode_acceptance(acceptance: Acceptance) -> Object:
    """The JSON value of the acceptance of a finding."""
    return entry(
        {
            "code": acceptance.code,
            "where": list(acceptance.where),
            "by": acceptance.by,
            "on": acceptance.on,
            "why": acceptance.why,
            "notes": free(acceptance.notes),
        }
    )


def encode_source(source: Source, written_out: AbstractSet[str]) -> Object:
    """The JSON value of where a truss was read from."""
    changes = enumerate(source.changes)
    fields: Object = {
        "drawing": source.drawing,
        "digest": source.digest,
        "scale": source.scale,
        "linework": source.linework,
        "joints": {joint: list(handles) for joint, handles in source.joints.items()},
        "members": {member: list(handles) for member, handles in source.members.items()},
        "changes": [_change(change, f"/source/changes/{index}", written_out) for index, change in changes],
        "notes": free(source.notes),
    }
    return entry_with_defaults(fields, {"joints": {}, "members": {}, "changes": []}, "/source", written_out)


def _change(change: Change, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "kind": change.kind,
        "says": change.says,
        "where": None if change.where is None else list(change.where),
        "distance": change.distance,
        "handles": list(change.handles),
    }
    return entry_with_defaults(fields, {"handles": []}, where, written_out)

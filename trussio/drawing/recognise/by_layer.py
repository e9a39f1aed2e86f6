"""Roles that layers state: by the user's map, or by names of the table that drawings are written with.

A member drawn on a layer of another role than its place in the outline gives it takes the layer's word, and that
is told. Names follow roles.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.drawing.layers import said_of
from trussio.drawing.recognise.roles import Part, numbered
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Strokes
    from trussio.model.truss import MemberId, Role

ROLES: Final[dict[str, Role]] = {
    "bottom-chord": "bottom-chord",
    "top-chord": "top-chord",
    "web": "web",
    "other": "other",
}


def with_layer_roles(
    truss: Recognised, strokes: Strokes, layers: Mapping[str, str]
) -> tuple[Recognised, list[Change]]:
    """The truss with the roles that the layers of its members state, and what that altered."""
    roles = [_role(name, layers) for name in strokes.layers]
    if not any(roles):
        return truss, []
    stated = {name: _stated(truss, part, strokes, roles) for name, part in truss.members.items()}
    altered = {
        name: role for name, role in stated.items() if role is not None and role != truss.members[name].role
    }
    if not altered:
        return truss, []
    parts = [
        part._replace(role=altered[name]) if name in altered else part for name, part in truss.members.items()
    ]
    changes = [
        Change(
            kind="role-by-layer",
            says=f"A member in the place of a {truss.members[name].role} lies on a layer of {role} members.",
            where=truss.at(truss.members[name].through[0]),
            handles=truss.handles(truss.members[name]),
        )
        for name, role in altered.items()
    ]
    return replace(truss, members=_named(parts)), changes


def _role(layer: str, layers: Mapping[str, str]) -> Role | None:
    return ROLES.get(said_of(layer, layers) or "")


def _stated(truss: Recognised, part: Part, strokes: Strokes, roles: list[Role | None]) -> Role | None:
    """The role on which the layers of all sticks of a member agree."""
    found = {roles[int(strokes.layer[truss.frame.sticks.row[row]])] for row in part.sticks}
    return found.pop() if len(found) == 1 else None


def _named(parts: list[Part]) -> dict[MemberId, Part]:
    chords = {role: [part for part in parts if part.role == role] for role in ("bottom-chord", "top-chord")}
    rest = [part for part in parts if part.role not in chords]
    return {
        **numbered("bottom", chords["bottom-chord"]),
        **numbered("top", chords["top-chord"]),
        **numbered("w", rest),
    }

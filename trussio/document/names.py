"""Readers of the ids and words that several documents share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.values import JOINT_ID, SEGMENT_ID, chosen, ident
from trussio.model.loading import RunId
from trussio.model.truss import JointId, MaterialId, MemberId, SectionId, SegmentId

if TYPE_CHECKING:
    from typing import Final

    from trussio.model.truss import Direction, Idealisation, Role, State
    from trussio.units import UnitSystem

DIRECTIONS: Final[tuple[Direction, ...]] = ("x", "y", "turn")
ROLES: Final[tuple[Role, ...]] = ("top-chord", "bottom-chord", "web", "other")
UNIT_SYSTEMS: Final[tuple[UnitSystem, ...]] = ("us", "si")
IDEALISATIONS: Final[tuple[Idealisation, ...]] = ("pinned", "continuous")
STATES: Final[tuple[State, ...]] = ("found", "built")

joint_id = ident(JointId, JOINT_ID)
member_id = ident(MemberId)
section_id = ident(SectionId)
material_id = ident(MaterialId)
run_id = ident(RunId)
segment_id = ident(SegmentId, SEGMENT_ID)
direction = chosen(DIRECTIONS)
role = chosen(ROLES)
unit_system = chosen(UNIT_SYSTEMS)
idealisation = chosen(IDEALISATIONS)
state = chosen(STATES)

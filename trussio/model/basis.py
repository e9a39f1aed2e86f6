"""The basis: what a drawing cannot say, in a file of its own (`--basis FILE`)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.connection import Brace, Butt, Connection, Laminations, Spaced, Stitched
    from trussio.model.loading import Loads
    from trussio.model.material import Material, Section, Sizing
    from trussio.model.site import Site, Surface
    from trussio.model.truss import JointId, MaterialId, MemberId, Notes, Role, SectionId, Support
    from trussio.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class Assignment:
    """What the members of one role, or of one label, are made of where the drawing does not say."""

    section: SectionId | None = None
    material: MaterialId | None = None


@dataclass(frozen=True, kw_only=True)
class AlongStick:
    """What is known along one stick: what holds it, where single plies are cut, how it was built up."""

    braced: tuple[Brace, ...] | None = None
    butts: tuple[Butt, ...] | None = None
    laminations: Laminations | None = None
    stitched: Stitched | None = None
    spaced: Spaced | None = None


@dataclass(frozen=True, kw_only=True)
class Basis:
    """What a drawing cannot say.

    `units` is the system of the document to be made and of the numbers here; it may be None only where no
    quantity is given. `sections` go by the label that the drawing writes on a member (`2-3x10`, `2/75x225`),
    which may hold what no id may. `sizing` says how a nominal label without an entry becomes a dressed size.
    `labels` assigns section and material by such a label, `members` by role where the label does not. `loads`
    are those of a truss document, by role or by joint; `site` and `surfaces` are what loads are generated from.
    `connections` and what is known along `sticks` name joints and members as the reading will.
    `supports` replace the assumed ones. `drawing_unit` is the length that one drawing unit stands for (`in`,
    `mm`), where its header does not say.
    """

    name: str
    units: UnitSystem | None = None
    title: str | None = None
    drawing_unit: str | None = None
    sizing: Sizing | None = None
    sections: Mapping[SectionId, Section] = field(default_factory=dict)
    materials: Mapping[MaterialId, Material] = field(default_factory=dict)
    labels: Mapping[str, Assignment] = field(default_factory=dict)
    members: Mapping[Role, Assignment] = field(default_factory=dict)
    supports: Mapping[JointId, Support] = field(default_factory=dict)
    loads: Loads | None = None
    site: Site | None = None
    surfaces: Mapping[str, Surface] = field(default_factory=dict)
    connections: Mapping[str, Connection] = field(default_factory=dict)
    sticks: Mapping[MemberId, AlongStick] = field(default_factory=dict)
    notes: Notes | None = None

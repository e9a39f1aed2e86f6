"""A truss under construction by a generator, with the sizes that its units call for."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from trussio.model.truss import Curve, End, Joint, JointId, MaterialId, Member, MemberId, Role, SectionId

if TYPE_CHECKING:
    from random import Random

    from trussio.units import UnitSystem

FORCE: Final = {"us": 1000.0, "si": 4000.0}
PANEL: Final = {"us": 72.0, "si": 1800.0}


@dataclass(kw_only=True)
class Sketch:
    """Joints and members so far; unlike a truss it grows."""

    rng: Random
    units: UnitSystem
    panels: int
    joints: dict[JointId, Joint] = field(default_factory=dict)
    members: dict[MemberId, Member] = field(default_factory=dict)

    def add_joint(self, name: str, x: float, y: float) -> JointId:
        """A joint on the sixteenth of an inch, or on the millimetre."""
        grid = 16.0 if self.units == "us" else 1.0
        self.joints[JointId(name)] = Joint(x=round(x * grid) / grid, y=round(y * grid) / grid)
        return JointId(name)

    def add_member(
        self, name: str, role: Role, through: list[JointId], *, curve: Curve | None = None, fixed: bool = False
    ) -> None:
        """A stick with a section and a material of its role; its ends are fixed at random where they may be."""
        ends: tuple[End, ...] = ("first", "last")
        kept = tuple(end for end in ends if fixed and self.rng.random() < 0.3)
        kind = {"top-chord": "top", "bottom-chord": "bottom"}.get(role, "web")
        self.members[MemberId(name)] = Member(
            through=tuple(through),
            role=role,
            section=SectionId(kind),
            material=MaterialId(self.rng.choice(["timber", "glulam"])),
            curve=curve,
            fixed=kept,
        )

"""A truss in the making: joints in inches, sticks of two sizes, dead load and snow."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from tests.audit.forms import HELD
from trussio.model.loading import JointLoad, LineLoad, LoadCase, Loads, RunId, SelfWeight, Target
from trussio.model.material import Material, Section
from trussio.model.truss import (
    Curve,
    Joint,
    JointId,
    MaterialId,
    Member,
    MemberId,
    Role,
    SectionId,
    Support,
    Truss,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.units import UnitSystem

INCH: Final[Mapping[UnitSystem, float]] = {"us": 1.0, "si": 25.4}


@dataclass(frozen=True, kw_only=True)
class Sound:
    """A truss that stands.

    `triangulated` says that it does so as pinned, with just enough members; `alike` that both sides are alike.
    `quiet` are codes of notes and queries that belong to the form.
    """

    form: str
    truss: Truss
    triangulated: bool = True
    alike: bool = True
    quiet: frozenset[str] = frozenset()


@dataclass
class Plan:
    """A truss in the making."""

    units: UnitSystem
    joints: dict[str, tuple[float, float]] = field(default_factory=dict)
    members: dict[str, tuple[Role, tuple[str, ...], Curve | None]] = field(default_factory=dict)

    def stick(self, name: str, role: Role, *through: str, curve: Curve | None = None) -> None:
        self.members[name] = (role, through, curve)

    def truss(self, title: str, ends: tuple[str, str]) -> Truss:
        inch = INCH[self.units]
        us = self.units == "us"
        timber = Material(
            kind="sawn",
            species="Douglas Fir-Larch",
            E=1.6e6 if us else 11000.0,
            density=34.0 if us else 540.0,
            expansion=2e-6 if us else 4e-6,
        )
        return Truss(
            title=title,
            units=self.units,
            joints={JointId(name): Joint(x=x * inch, y=y * inch) for name, (x, y) in self.joints.items()},
            members={
                MemberId(name): Member(
                    through=tuple(JointId(joint) for joint in through),
                    role=role,
                    section=SectionId("web" if role == "web" else "chord"),
                    material=MaterialId("fir"),
                    curve=curve,
                    braced=None if role == "web" else HELD,
                )
                for name, (role, through, curve) in self.members.items()
            },
            supports={JointId(ends[0]): Support(holds=("x", "y")), JointId(ends[1]): Support(holds=("y",))},
            sections={
                SectionId("chord"): Section(width=5.5 * inch, depth=9.5 * inch),
                SectionId("web"): Section(width=5.5 * inch, depth=5.5 * inch),
                SectionId("old"): Section(width=3.5 * inch, depth=5.5 * inch),
            },
            materials={MaterialId("fir"): timber},
            loads=Loads(
                cases={
                    RunId("D"): LoadCase(
                        kind="dead", loads=(SelfWeight(of="all"), JointLoad(joint=JointId("T1"), fy=-900.0))
                    ),
                    RunId("S"): LoadCase(
                        kind="snow",
                        loads=(LineLoad(on=Target(role="top-chord"), direction="down", value=60.0, per="plan"),),
                    ),
                },
                combinations={RunId("D+S"): {RunId("D"): 1.0, RunId("S"): 1.0}},
            ),
            assumptions={},
        )

"""Small invented trusses that the audit's tests spoil, in mm and N, of one section and one material."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.model.connection import Brace
from trussio.model.material import Material, Section
from trussio.model.truss import JointId

if TYPE_CHECKING:
    from trussio.model.loading import Load
    from trussio.model.truss import Joint, Member, Support, Truss

PANEL = 2000.0
TIMBER = Material(kind="sawn", E=11000.0, density=540.0, expansion=4e-6)
BALK = Section(width=140.0, depth=240.0)
HELD: Final = (Brace(plane="out", by="sheathing", seen=True),)


def braced(member: Member) -> Member:
    """A chord as it should be recorded: held out of the plane throughout, and seen."""
    chord = member.role in {"top-chord", "bottom-chord"}
    return replace(member, braced=HELD) if chord and member.braced is None else member


def pitched(*loads: Load, skipped: str = "", **more: Member) -> Truss:
    """Six panels, posts at every panel point, braces rising to the middle; `skipped` members are left out.

    Every chord is held out of the plane throughout.
    """
    members = {
        "bottom": stick("B0", "B1", "B2", "B3", "B4", "B5", "B6", role="bottom-chord"),
        "left": stick("B0", "T1", "T2", "T3", role="top-chord"),
        "right": stick("T3", "T4", "T5", "B6", role="top-chord"),
        **{f"p{k}": stick(f"B{k}", f"T{k}", role="web") for k in range(1, 6)},
        "d1": stick("B1", "T2", role="web"),
        "d2": stick("B2", "T3", role="web"),
        "d4": stick("B4", "T3", role="web"),
        "d5": stick("B5", "T4", role="web"),
        **more,
    }
    return build(
        joints={
            **{f"B{k}": (k * PANEL, 0.0) for k in range(7)},
            **{f"T{k}": (k * PANEL, min(k, 6 - k) * 1000.0) for k in range(1, 6)},
        },
        members={name: braced(m) for name, m in members.items() if name not in skipped.split()},
        supports={"B0": PIN, "B6": ROLLER},
        cases={"P": loads or (at_joint("T3", fy=-6000.0), along("left", 2.0))},
        section=BALK,
        material=TIMBER,
    )


def moved(truss: Truss, name: str, *, x: float = 0.0, y: float = 0.0) -> Truss:
    """A truss with one joint moved."""
    old: Joint = truss.joints[JointId(name)]
    return replace(truss, joints={**truss.joints, JointId(name): replace(old, x=old.x + x, y=old.y + y)})


def supported(truss: Truss, **supports: Support) -> Truss:
    """A truss on other bearings."""
    return replace(truss, supports={JointId(name): support for name, support in supports.items()})

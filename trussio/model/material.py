"""Sections and materials: what a stick is cut from.

A rectangle has its `width` out of the truss plane and its `depth` in it, in base lengths. Plies lie `beside`
each other (across the plane) or are `stacked` (in it). Only glued plies act as one; nailed, bolted and blocked
ones are taken as separate leaves, since that is what old fastenings prove to be when nothing says otherwise: a
stick may say by what its plies are stitched or spaced.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import Notes

Sizing = Literal["current", "before-1970", "full-sawn", "measured"]
MaterialKind = Literal["sawn", "glulam", "steel", "other"]


@dataclass(frozen=True, kw_only=True)
class Section:
    """A rectangle of plies, or stated `area` (base length squared) and `inertia` (to the fourth).

    A stated value goes before the one that the rectangle gives. `shear_area` is always stated, never
    derived: without it shear does not deform.
    """

    width: float | None = None
    depth: float | None = None
    plies: int = 1
    arranged: Literal["beside", "stacked"] = "beside"
    gap: float = 0.0
    joined: Literal["glued", "nailed", "bolted", "blocked", "none"] = "none"
    area: float | None = None
    inertia: float | None = None
    shear_area: float | None = None
    label: str | None = None
    sizing: Sizing | None = None
    notes: Notes | None = None

    @property
    def gross_area(self) -> float | None:
        """Area of all plies, or None where neither an area nor a rectangle is stated."""
        if self.area is not None:
            return self.area
        if self.width is None or self.depth is None:
            return None
        return self.plies * self.width * self.depth

    @property
    def bending_inertia(self) -> float | None:
        """Second moment of area for bending in the truss plane, or None where it is not known."""
        if self.inertia is not None:
            return self.inertia
        if self.width is None or self.depth is None:
            return None
        leaves = self.plies * self.width * self.depth**3 / 12
        if self.arranged == "beside" or self.joined != "glued":
            return leaves
        pitch = self.depth + self.gap
        spread = sum((ply - (self.plies - 1) / 2) ** 2 for ply in range(self.plies)) * pitch**2
        return leaves + self.width * self.depth * spread


@dataclass(frozen=True, kw_only=True)
class Material:
    """A material; `E`, `G` and the reference design values in psi or MPa.

    `density` in pcf or kg/m3, `expansion` per degree of the document's temperature scale; `specific_gravity` is
    that of the oven-dry wood, by which fasteners hold.
    """

    kind: MaterialKind | None = None
    E: float | None = None
    G: float | None = None
    density: float | None = None
    expansion: float | None = None
    specific_gravity: float | None = None
    species: str | None = None
    grade: str | None = None
    size_class: str | None = None
    reference: Mapping[str, float] | None = None
    source: str | None = None
    notes: Notes | None = None

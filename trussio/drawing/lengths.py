"""How lengths are written for people: feet and inches to 1/16, or millimetres."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.feet_inches import write_feet_inches

if TYPE_CHECKING:
    from trussio.units import UnitSystem


def length_text(units: UnitSystem, length: float) -> str:
    """A length as drawings write it: feet and inches, or whole millimetres (tenths where not whole)."""
    if units == "us":
        return write_feet_inches(length)
    return f"{length:.0f}" if abs(length - round(length)) < 0.05 else f"{length:.1f}"

"""What a sheet shows of a truss before labels are placed and the frame is put around it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trussio.drawing.paper import Box, Pen, PenStroke
    from trussio.drawing.placing import Wish
    from trussio.units import UnitSystem


@dataclass(frozen=True, kw_only=True)
class Sample:
    """One entry of a legend: a piece of line, and what it stands for."""

    pen: Pen
    width: float
    text: str


@dataclass(frozen=True, kw_only=True)
class PanelStrip:
    """Stations across the truss, left to right, whose distances are written under it."""

    stations: tuple[float, ...]
    units: UnitSystem


@dataclass(frozen=True, kw_only=True)
class Content:
    """Strokes that stand, labels that wish for a place, and what these must keep clear of.

    `boxes` are never covered, `lines` only as a last resort. `says` is the short reading of the sheet; `notes`
    stand under it, after the legend's `samples`.
    """

    strokes: tuple[PenStroke, ...]
    wishes: tuple[Wish, ...]
    lines: tuple[Box, ...]
    says: str
    boxes: tuple[Box, ...] = ()
    samples: tuple[Sample, ...] = ()
    notes: tuple[str, ...] = ()
    strip: PanelStrip | None = None

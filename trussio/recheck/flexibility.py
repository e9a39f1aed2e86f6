"""What a segment deforms by: its flexibility, and the deformation that loads give it when it is cut free.

Unknown at a segment are its axial force, its moment at the first end and its moment at the last. The deformation
that belongs to an axial force is the lengthening of the chord; to an end moment, the turn of the axis there
against the chord. Both are sums along the axis of (force at 1) x (force) / (stiffness) over axial force, bending,
and shear where G and a shear area are stated. Sticks are slender: depth over radius has no effect of its own.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.errors import CannotAnalyseError, Fault
from trussio.recheck.axes import at

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.model.truss import MemberId, Truss
    from trussio.recheck.axes import Axes
    from trussio.recheck.resultants import Resultants

    Array = NDArray[np.float64]


def flexibility(axes: Axes, loads: Resultants, softness: Array) -> tuple[Array, Array]:
    """Flexibility of segments (segments, 3, 3), and their deformation under loads within (cases, segments, 3).

    `softness` is 1 / EA, 1 / GA and 1 / EI of each segment where nothing of its section is lost.
    """
    spans = len(loads.span)
    unit = unit_states(axes, loads)
    softness = softness[loads.span]
    for span, stretch in loads.worn:
        softness[span] = stretch.softness
    soft = softness[:, None, :, None] * loads.weights[:, None, None, :]
    strained = (unit * soft).reshape(spans, 3, -1)
    first = np.flatnonzero(np.append(True, loads.span[1:] != loads.span[:-1]))
    per_span = strained @ unit.reshape(spans, 3, -1).transpose(0, 2, 1)
    inside = loads.inside.reshape(len(loads.inside), spans, strained.shape[2], 1)
    return np.add.reduceat(per_span, first, axis=0), np.add.reduceat((strained @ inside)[..., 0], first, axis=1)


def unit_states(axes: Axes, loads: Resultants) -> Array:
    """Axial force, shear and moment inside for each unknown of a segment at 1: (spans, 3 unknowns, 3, points).

    An axial force on the chord bends an arc by its height; an end moment runs out evenly along the chord.
    """
    x, y, angle = at(axes, loads.span, loads.points, loads.shift)
    chord = axes.chord[loads.span, None]
    cosine, sine = np.cos(angle), np.sin(angle)
    states = (
        (cosine, sine, y),
        (sine / chord, -cosine / chord, 1 - x / chord),
        (-sine / chord, cosine / chord, x / chord),
    )
    return np.stack([np.stack(state, axis=1) for state in states], axis=1)


def softness_of(truss: Truss, bends: NDArray[np.bool_]) -> Array:
    """1 / EA, 1 / GA and 1 / EI of each segment; nought where it does not count (`bends` is false, no shear).

    Raises CannotAnalyseError `property-missing` with every member that lacks one.
    """
    sticks = {segment.member: False for segment in truss.segments}
    for segment, bending in zip(truss.segments, bends.tolist(), strict=True):
        sticks[segment.member] |= bending
    faults: list[Fault] = []
    soft: dict[MemberId, tuple[float, float, float]] = {}
    for stick, bending in sticks.items():
        soft[stick] = _softness(truss, stick, faults, bending=bending)
    if faults:
        raise CannotAnalyseError(
            "property-missing", where=faults[0].where, what=faults[0].what, do=faults[0].do, faults=tuple(faults)
        )
    return np.array([soft[segment.member] for segment in truss.segments])


def _softness(truss: Truss, stick: MemberId, faults: list[Fault], *, bending: bool) -> tuple[float, float, float]:
    section, material = truss.section_of(stick), truss.material_of(stick)
    area = None if section is None else section.gross_area
    inertia = None if section is None else section.bending_inertia
    modulus = None if material is None else material.E
    if area is None or modulus is None or (bending and inertia is None):
        lacking = {"an area": area, "an E": modulus, "an inertia": inertia if bending else 0.0}
        names = " and ".join(name for name, value in lacking.items() if value is None)
        faults.append(
            Fault(where=f"/members/{stick}", what=f"{stick} lacks {names}.", do="State its section and material.")
        )
        return (0.0, 0.0, 0.0)
    shear = None if section is None else section.shear_area
    rigidity = None if material is None else material.G
    return (
        1 / (modulus * area),
        0.0 if shear is None or rigidity is None else 1 / (rigidity * shear),
        1 / (modulus * inertia) if bending and inertia is not None else 0.0,
    )

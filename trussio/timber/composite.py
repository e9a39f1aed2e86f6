"""Pieces that work together: glued (transformed section), mechanically joined (slip), and a sister added later.

Terms: a *part* is a rectangle with its own modulus, its centroid `at` so far from a datum in the plane of bending;
a *layer* is a part of a stack joined by fasteners that slip. Any consistent units (in, lbf, psi or mm, N, MPa);
tension positive, a moment positive with tension at the lower (negative) side.
Source: statics; EN 1995-1-1 Annex B from memory, checked against the sinusoidal partial-interaction solution.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber.working import OWN, STATICS, derived, require_positive, stated, step

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, kw_only=True)
class Part:
    """A rectangle `width` x `depth` (bent in its depth) of modulus `E`, its centroid at `at` above the datum."""

    E: float
    width: float
    depth: float
    at: float = 0.0

    @property
    def area(self) -> float:
        """Its own area."""
        return self.width * self.depth

    @property
    def inertia(self) -> float:
        """Its own second moment of area."""
        return self.width * self.depth**3 / 12


@dataclass(frozen=True, kw_only=True)
class CompositeSection:
    """A section glued as one: EA, EI about its elastic centroid, and the centroid above the datum."""

    parts: tuple[Part, ...]
    EA: float
    EI: float
    centroid: float


def composite_section(parts: Sequence[Part]) -> CompositeSection:
    """Transformed section of parts without slip."""
    for number, part in enumerate(parts, 1):
        require_positive(f"part {number}", {"E": part.E, "width": part.width, "depth": part.depth})
    EA = sum(part.E * part.area for part in parts)
    centroid = sum(part.E * part.area * part.at for part in parts) / EA
    EI = sum(part.E * (part.inertia + part.area * (part.at - centroid) ** 2) for part in parts)
    return CompositeSection(parts=tuple(parts), EA=EA, EI=EI, centroid=centroid)


def part_stresses(section: CompositeSection, *, force: float, moment: float) -> tuple[tuple[float, float], ...]:
    """Stress at the upper and lower edge of each part: E (N/EA - M y/EI); the force acts at the centroid."""

    def at(part: Part, y: float) -> float:
        return part.E * (force / section.EA - moment * (part.at + y - section.centroid) / section.EI)

    return tuple((at(part, part.depth / 2), at(part, -part.depth / 2)) for part in section.parts)


def shared_force(
    *, E1: float, A1: float, E2: float, A2: float, before: float, later: float, relieved: float = 0.0
) -> tuple[Derivation, Derivation]:
    """Stresses in an old piece (1) and a sister (2) fastened while `before` was already in the old piece.

    Fastening changes no stress; only `later` force, and the fraction `relieved` of `before` that was jacked out
    first and comes back, is shared by stiffness. Full transfer at both ends, concentric pair. Raises UsageError
    `outside-0-to-1`.
    """
    require_positive("sister", {"E1": E1, "A1": A1, "E2": E2, "A2": A2})
    if not 0 <= relieved <= 1:
        raise UsageError(
            "outside-0-to-1",
            where="sister",
            what=f"the fraction jacked out is {relieved:g}.",
            do="Enter the share of the force in place that jacking removed before fastening, 0 to 1.",
        )
    share = E1 * A1 / (E1 * A1 + E2 * A2)
    locked, shared = (1 - relieved) * before, later + relieved * before
    steps = (
        derived("share", share, "", "E1 A1 / (E1 A1 + E2 A2)", "", source=OWN),
        derived("N_locked", locked, "", "(1 - q) N0", "", source=OWN),
        derived("N_shared", shared, "", "dN + q N0", "", source=OWN),
    )
    old = (locked + share * shared) / A1
    sister = (1 - share) * shared / A2
    return (
        derived("sigma_old", old, "", "(N_locked + share N_shared) / A1", "", *steps, source=OWN),
        derived("sigma_sister", sister, "", "(1 - share) N_shared / A2", "", *steps, source=OWN),
    )


@dataclass(frozen=True, kw_only=True)
class SlipJoint:
    """Fasteners between two layers: slip modulus K of one shear plane of one fastener, and their spacing.

    K is K_ser for service and 2/3 K_ser for strength; several rows divide the spacing by their number.
    """

    K: float
    spacing: float


@dataclass(frozen=True, kw_only=True)
class SlippingBeam:
    """A stack of two or three layers with slip; tuples follow the layers from the first.

    `a` is the distance of each layer's centroid from the neutral axis, `gamma` its composite action. `sigma` is
    the stress at the centroid of a layer, `sigma_m` the bending stress within it, `fastener` the load on one
    fastener of each joint, all amounts.
    """

    EI_ef: Derivation
    gamma: tuple[float, ...]
    a: tuple[float, ...]
    sigma: tuple[float, ...]
    sigma_m: tuple[float, ...]
    fastener: tuple[float, ...]


def slipping_beam(
    *, layers: Sequence[Part], joints: Sequence[SlipJoint], span: float, moment: float, shear: float
) -> SlippingBeam:
    """EN 1995-1-1 Annex B: layers stacked in order (their `at` is not used), a joint between each two.

    Of two layers the second has gamma 1, of three the middle one. `span` is that of a simple beam, 0.8 of it for a
    continuous one, twice it for a cantilever. a2 counts towards layer 1. Raises UsageError `layers`.
    """
    if len(layers) not in (2, 3) or len(joints) != len(layers) - 1:
        raise UsageError(
            "layers",
            where="slipping beam",
            what=f"{len(layers)} layers with {len(joints)} joints.",
            do="Enter two layers and one joint, or three layers and two joints.",
        )
    require_positive("slipping beam", {"span": span, **{f"K{i}": joint.K for i, joint in enumerate(joints, 1)}})
    outer = (0, 2)
    gamma = [1.0] * len(layers)
    for joint, index in zip(joints, outer[: len(joints)], strict=True):
        layer = layers[index]
        gamma[index] = 1 / (1 + pi**2 * layer.E * layer.area * joint.spacing / (joint.K * span**2))
    a = _arms(layers, gamma)
    EI = sum(
        layer.E * (layer.inertia + g * layer.area * arm**2) for layer, g, arm in zip(layers, gamma, a, strict=True)
    )
    fastener = tuple(
        gamma[index] * layers[index].E * layers[index].area * a[index] * joint.spacing * shear / EI
        for joint, index in zip(joints, outer[: len(joints)], strict=True)
    )
    steps = [
        derived(f"gamma{i}", g, "", "1 / (1 + pi^2 E A s / (K l^2)), 1 for the second layer", "EN 1995-1-1 B.5")
        for i, g in enumerate(gamma, 1)
    ]
    steps += [stated(f"a{i}", arm, "", STATICS) for i, arm in enumerate(a, 1)]
    return SlippingBeam(
        EI_ef=derived(
            "EI_ef", EI, "", "sum of E I + gamma E A a^2", "EN 1995-1-1 B.1", step("l", span, ""), *steps
        ),
        gamma=tuple(gamma),
        a=tuple(a),
        sigma=tuple(g * layer.E * arm * moment / EI for layer, g, arm in zip(layers, gamma, a, strict=True)),
        sigma_m=tuple(0.5 * layer.E * layer.depth * moment / EI for layer in layers),
        fastener=fastener,
    )


def _arms(layers: Sequence[Part], gamma: Sequence[float]) -> list[float]:
    """Distances of the layers' centroids from the neutral axis, all positive outwards; a2 towards layer 1."""
    stiff = [g * layer.E * layer.area for layer, g in zip(layers, gamma, strict=True)]
    heights = [layer.depth for layer in layers]
    third = stiff[2] * (heights[1] + heights[2]) if len(layers) == 3 else 0.0
    a2 = (stiff[0] * (heights[0] + heights[1]) - third) / (2 * sum(stiff))
    a1 = (heights[0] + heights[1]) / 2 - a2
    return [a1, a2, *([(heights[1] + heights[2]) / 2 + a2] if len(layers) == 3 else [])]

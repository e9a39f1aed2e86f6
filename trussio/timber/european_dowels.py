"""By which rules of EN 1995-1-1 a fastener counts: as a bolt or as a nail, with what diameter and rope.

The bolt of a ring counts as a bolt. Nails are round and smooth, predrilled where somebody measured their hole;
their head is the `washer`, without which nothing holds a rope. Screws count with 1.1 times a root of 0.7 of the
diameter, unless somebody said that their smooth shank bears; no rope is counted on their threads. mm, N, MPa.
Source: EN 1995-1-1 8.3, 8.5, 8.7, as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from trussio.errors import UsageError
from trussio.timber.eurocode_axial import bolt_distances, nail_withdrawal
from trussio.timber.eurocode_dowels import effective_number, embedment_strength, nail_embedment
from trussio.timber.eurocode_nails import (
    HEAVY,
    THICKEST,
    effective_nails,
    nail_distances,
    nail_least_thickness,
    screw_diameter,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.model.check import Derivation
    from trussio.model.connection import Fasteners
    from trussio.timber.eurocode_dowels import RopeKind
    from trussio.timber.joints import Layer

SCREWS: Final = ("lag screw", "wood screw")
NAIL_TO: Final = 6.0
"""Effective diameter (mm) up to which a screw counts as a nail."""
LEAST_POINT: Final = 8.0
"""Diameters by which the point of a smooth nail must enter (8.3.1.2)."""
HAIR: Final = 1e-9
TWO: Final = "it goes through more than two pieces: enter one connection for each pair"


class Rules(NamedTuple):
    """One fastener: its diameter for distances, and for strength; as what it counts; its rope.

    `head` is the measured diameter of a nail's head or a bolt's washer.
    """

    diameter: float
    effective: float
    counts: Literal["nail", "bolt"]
    predrilled: bool
    rope: RopeKind
    head: float | None
    length: float | None


def rules_of(one: Fasteners, mm: float) -> Rules:
    """The rules of a fastener of the document; `mm` leads to millimetres."""
    d = one.diameter * mm
    head = None if one.washer is None else one.washer * mm
    length = None if one.length is None else one.length * mm
    if one.kind == "nail":
        return Rules(d, d, "nail", one.hole is not None, "round nail", head, length)
    if one.kind in SCREWS:
        effective = screw_diameter(diameter=d, smooth_shank=one.threads_bear is False).value
        counts: Literal["nail", "bolt"] = "nail" if effective <= NAIL_TO else "bolt"
        return Rules(d, effective, counts, one.hole is not None, "screw", None, length)
    return Rules(d, d, "bolt", one.hole is not None, "bolt", head, None)


def bearing(rules: Rules, rho_k: float, angle: float) -> Derivation:
    """Embedment strength of one piece."""
    if rules.counts == "bolt":
        return embedment_strength(rho_k=rho_k, diameter=rules.effective, angle=angle)
    if rules.predrilled:
        return embedment_strength(rho_k=rho_k, diameter=rules.effective)
    return nail_embedment(rho_k=rho_k, diameter=rules.effective)


def counting(rules: Rules, *, count: int, spacing: float, angle: float) -> Derivation:
    """The fasteners of a row that count; where its spacing is below the table, those of the least spacing."""
    if rules.counts == "bolt":
        return effective_number(count=count, spacing=spacing, diameter=rules.diameter, angle=angle)
    least = (4.0 if rules.predrilled else 7.0) * rules.diameter  # below that, the distances refuse it
    return effective_nails(
        count=count,
        spacing=max(spacing, least),
        diameter=rules.diameter,
        predrilled=rules.predrilled,
        angle=angle,
    )


def distances(rules: Rules, *, angle: float, rho_k: float, steel: bool) -> Mapping[str, Derivation]:
    """Least spacings and distances in one piece."""
    if rules.counts == "bolt":
        return bolt_distances(diameter=rules.diameter, angle=angle)
    return nail_distances(
        diameter=rules.diameter, angle=angle, rho_k=rho_k, predrilled=rules.predrilled, steel=steel
    )


def depths(rules: Rules, layers: Sequence[Layer]) -> tuple[float, ...]:
    """How much of each layer bears: all for bolts; of nails and screws what their length reaches of the second.

    Raises UsageError `value-missing` without a length, or through more than two pieces.
    """
    whole = tuple(layer.thickness for layer in layers)
    if rules.rope == "bolt":
        return whole
    if rules.length is None or len(layers) != 2:
        names = "nails" if rules.rope == "round nail" else "screws"
        raise UsageError(
            "value-missing",
            where="fasteners",
            what=f"the length of the {names} is not given, or {TWO}.",
            do="Enter the length as measured.",
        )
    return (whole[0], min(rules.length - whole[0], whole[1]))


def refusals(rules: Rules, layers: Sequence[Layer]) -> Iterator[str]:
    """What of nails, or screws that count as such, is not permitted, distances apart."""
    if rules.counts == "bolt":
        return
    for layer in layers:
        rho = layer.rho_k or 0.0
        if layer.grain is None or rules.predrilled:
            continue
        if rho > HEAVY or rules.diameter > THICKEST:
            yield f"{layer.name} must be predrilled: over {HEAVY:g} kg/m3 or {THICKEST:g} mm (8.3.1.1)"
            continue
        least = nail_least_thickness(diameter=rules.diameter, rho_k=rho).value
        if layer.thickness < least * (1 - HAIR):
            yield (
                f"{layer.name} is {layer.thickness:.4g} mm thick, below the least without predrilling, "
                f"{least:.4g} mm (8.18)"
            )
    into = depths(rules, layers)[1]
    least = LEAST_POINT * rules.diameter if rules.rope == "round nail" else 0.0
    if into < max(least, HAIR) * (1 - HAIR):
        yield f"the points enter {into:.4g} mm, below the least, {least:.4g} mm (8.3.1.2)"


def nail_rope(rules: Rules, layers: Sequence[Layer]) -> float:
    """Fax,Rk of a smooth nail whose head was measured, between two pieces of wood or from steel; else 0."""
    head, point = layers
    if rules.rope != "round nail" or rules.head is None or point.rho_k is None:
        return 0.0
    into = depths(rules, layers)[1]
    if into <= 0:
        return 0.0
    if head.rho_k is None:  # a steel plate under the head does not let it through
        return nail_withdrawal(
            rho_k=point.rho_k, diameter=rules.diameter, penetration=into, head=1e3, head_side=head.thickness
        ).value
    return nail_withdrawal(
        rho_k=point.rho_k,
        diameter=rules.diameter,
        penetration=into,
        head=rules.head,
        head_side=head.thickness,
        rho_head=head.rho_k,
    ).value

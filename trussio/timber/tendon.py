"""Post-tensioning of a chord: steel stresses against their limits, losses, elongation, sharing.

Kip, ksi, in and in2 for the steel where a name says so; plain ratios otherwise. Wood under an anchor is checked by
`axial.end_bearing_check` (end grain) or `bearing.bearing_perpendicular_check` (side grain), with CD 0.9.
Source: limits of ACI 318 of the time and prestressing practice, as the data file marks; losses from statics.
"""

from __future__ import annotations

from math import exp
from typing import TYPE_CHECKING, Literal

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber import tables
from trussio.timber.working import SINGLE, STATICS, derived, require_positive, set_against, stated, step

if TYPE_CHECKING:
    from collections.abc import Mapping

Stage = Literal["jacking", "transfer", "anchorage"]


def strand_area(diameter: float, strands: int = 1) -> Derivation:
    """Area (in2) of grade 270 strands of 0.5 or 0.6 in. Raises UsageError `unknown-strand`."""
    data = tables.steel()["strand"]
    return _area("strand", diameter, strands, data["areas"], data["source"])


def bar_area(diameter: float, bars: int = 1) -> Derivation:
    """Area (in2) of prestressing bars to A722. Raises UsageError `unknown-bar`."""
    data = tables.steel()["bar"]
    return _area("bar", diameter, bars, data["areas"], data["source"])


def _area(kind: str, diameter: float, count: int, areas: Mapping[str, float], source: str) -> Derivation:
    area = areas.get(str(float(diameter)))
    if area is None:
        raise UsageError(
            f"unknown-{kind}",
            where=kind,
            what=f"no area is tabulated here for {diameter:g} in.",
            do=f"Enter one of {', '.join(areas)} in, or state the area.",
        )
    return derived("A", count * area, "in2", f"{count} x {area} in2", "", source=source)


def strand_limit(stage: Stage) -> Derivation:
    """Greatest stress (ksi) of grade 270 low-relaxation strand at jacking, after transfer, or at the anchorage."""
    data = tables.steel()
    limits, fpu = data["limits"]["strand"], data["strand"]["fpu"]
    fpy = data["strand"]["yield_share"] * fpu
    source = limits["source"]
    if stage == "anchorage":
        share = limits["anchorage"]
        return derived("f limit", share * fpu, "ksi", f"{share} fpu", "ACI 318, older editions", source=source)
    of_fpu = limits["jacking"] if stage == "jacking" else limits["transfer"]
    of_fpy = limits["jacking_of_yield"] if stage == "jacking" else limits["transfer_of_yield"]
    formula = f"least of {of_fpy} fpy and {of_fpu} fpu"
    steps = (stated("fpu", fpu, "ksi"), stated("fpy", fpy, "ksi"))
    value = min(of_fpy * fpy, of_fpu * fpu)
    return derived("f limit", value, "ksi", formula, "ACI 318, older editions", *steps, source=source)


def bar_limit(stage: Literal["service", "lock_off", "jacking"]) -> Derivation:
    """Greatest stress (ksi) usual for A722 bars in service, at lock-off, or while jacking."""
    data = tables.steel()
    limits, fpu = data["limits"]["bar"], data["bar"]["fpu"]
    share = limits[stage]
    return derived("f limit", share * fpu, "ksi", f"{share} fpu", "practice", source=limits["source"])


def tendon_check(*, force_kip: float, area: Derivation, limit: Derivation, of: Subject = SINGLE) -> Check:
    """Stress of a tendon against its limit at one stage (kip, in2, ksi)."""
    demand = derived(
        "f", force_kip / area.value, "ksi", "T / A", "", step("T", force_kip, "kip"), area, source=STATICS
    )
    return set_against(
        what="tendon stress", clause="ACI 318, older editions", demand=demand, capacity=limit, unit="ksi", of=of
    )


def elongation(*, force: float, length: float, area: float, E: float) -> Derivation:
    """F L / (A E) in consistent units."""
    require_positive("tendon", {"length": length, "area": area, "E": E})
    steps = (step("F", force, ""), step("L", length, ""), step("A", area, ""), step("E", E, ""))
    return derived("elongation", force * length / (area * E), "", "F L / (A E)", "", *steps, source=STATICS)


def seating_loss(*, seating: float, length: float, area: float, E: float) -> Derivation:
    """Force lost when wedges draw in by `seating`: E A seating / L, in consistent units."""
    require_positive("tendon", {"length": length, "area": area, "E": E})
    steps = (step("set", seating, ""), step("L", length, ""), step("A", area, ""), step("E", E, ""))
    return derived("dF", E * area * seating / length, "", "E A set / L", "", *steps, source=STATICS)


def friction(*, force: float, coefficient: float, turn: float) -> Derivation:
    """Force beyond deviators that turn the tendon by `turn` radians in all: T exp(-mu alpha)."""
    steps = (step("T", force, ""), step("mu", coefficient, ""), step("alpha", turn, "rad"))
    return derived("T2", force * exp(-coefficient * turn), "", "T exp(-mu alpha)", "", *steps, source=STATICS)


def creep_loss(*, stiffness_ratio: float, creep: float, ageing: float = 0.8) -> Derivation:
    """Share of the force lost to creep of the chord along a straight tendon: rho phi / (1 + rho (1 + chi phi)).

    `stiffness_ratio` rho is EA of the tendon over EA of the wood, `creep` phi the creep coefficient.
    """
    rho, phi = stiffness_ratio, creep
    steps = (step("rho", rho, ""), step("phi", phi, ""), step("chi", ageing, ""))
    value = rho * phi / (1 + rho * (1 + ageing * phi))
    return derived("loss", value, "", "rho phi / (1 + rho (1 + chi phi))", "", *steps, source=STATICS)


def tendon_share(*, EA_tendon: float, EA_wood: float) -> Derivation:
    """Share of later load that a locked-off straight tendon along a chord takes."""
    require_positive("tendon", {"EA of the tendon": EA_tendon, "EA of the wood": EA_wood})
    value = EA_tendon / (EA_tendon + EA_wood)
    steps = (step("EA_t", EA_tendon, ""), step("EA_w", EA_wood, ""))
    return derived("share", value, "", "EA_t / (EA_t + EA_w)", "", *steps, source=STATICS)

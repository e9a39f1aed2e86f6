"""Bolts, lag screws, wood screws and nails: diameters, yield strengths, penetration.

Terms: `nominal` is the diameter by which Fe, Fyb, edge and end distances, penetration and withdrawal go;
`diameter` is the one in the yield equations: the root for lag screws and rolled-thread screws. `tip` is the length
of the tapered point. Inches, psi.
Source: NDS-2018 12.1, 12.3.5, 12.3.7, Appendices I and L, as quoted in secondary copies.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from trussio.errors import UsageError
from trussio.timber import tables
from trussio.timber.working import SECONDARY, derived, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.model.check import Derivation

Kind = Literal["bolt", "lag screw", "wood screw", "nail"]

TOE: Final = 30.0
"""Angle (degrees) at which a toe-nail goes in."""
NAIL_TIP: Final = 2.0
"""Tip of nails and wood screws in diameters."""


@dataclass(frozen=True, kw_only=True)
class Fastener:
    """One dowel-type fastener."""

    kind: Kind
    nominal: float
    diameter: float
    Fyb: float
    tip: float = 0.0
    length: float | None = None


def bolt(nominal: float, *, Fyb: float | None = None) -> Fastener:
    """A bolt with its shank in the joint; threads may bear on no more than a quarter of a member.

    `Fyb` (psi) is 45,000 where none is stated, the value for the bolts of the standard.
    """
    require_positive("bolt", {"diameter": nominal})
    value = tables.dowels()["yield_strength"]["bolt"] if Fyb is None else Fyb
    return Fastener(kind="bolt", nominal=nominal, diameter=nominal, Fyb=value)


def threaded_bolt(nominal: float, *, Fyb: float | None = None) -> Fastener:
    """A bolt whose threads bear on more than a quarter of a member: the root diameter counts."""
    root = tables.dowels()["bolt"].get(_key(nominal))
    if root is None:
        raise _unknown("bolt", f"{nominal:g} in", tables.dowels()["bolt"])
    plain = bolt(nominal, Fyb=Fyb)
    return Fastener(kind="bolt", nominal=nominal, diameter=root, Fyb=plain.Fyb)


def lag_screw(nominal: float, *, length: float | None = None, Fyb: float | None = None) -> Fastener:
    """A lag screw of tabulated nominal diameter (1/4 to 1-1/4 in)."""
    row = tables.dowels()["lag"].get(_key(nominal))
    if row is None:
        raise _unknown("lag screw", f"{nominal:g} in", tables.dowels()["lag"])
    strength = tables.dowels()["yield_strength"]["lag_from_0.375"] if nominal >= 0.375 else _band(nominal)
    return Fastener(
        kind="lag screw",
        nominal=nominal,
        diameter=row[0],
        Fyb=strength if Fyb is None else Fyb,
        tip=row[1],
        length=length,
    )


def wood_screw(number: int, *, length: float | None = None, Fyb: float | None = None) -> Fastener:
    """A rolled-thread wood screw by its number (6 to 24)."""
    row = tables.dowels()["wood_screw"].get(str(number))
    if row is None:
        raise _unknown("wood screw", f"number {number}", tables.dowels()["wood_screw"])
    nominal, root = row
    strength = _band(nominal) if Fyb is None else Fyb
    tip = NAIL_TIP * nominal
    return Fastener(kind="wood screw", nominal=nominal, diameter=root, Fyb=strength, tip=tip, length=length)


def common_nail(penny: str, *, Fyb: float | None = None) -> Fastener:
    """A common wire nail by its pennyweight (`16d`)."""
    row = tables.dowels()["common_nail"].get(penny)
    if row is None:
        raise _unknown("common nail", penny, tables.dowels()["common_nail"])
    return nail(diameter=row[0], length=row[1], Fyb=Fyb)


def nail(*, diameter: float, length: float, Fyb: float | None = None) -> Fastener:
    """A smooth nail or spike by measured diameter and length."""
    require_positive("nail", {"diameter": diameter, "length": length})
    strength = _band(diameter) if Fyb is None else Fyb
    tip = NAIL_TIP * diameter
    return Fastener(kind="nail", nominal=diameter, diameter=diameter, Fyb=strength, tip=tip, length=length)


class ToeNail(NamedTuple):
    """Where a toe-nail bears (in): its length in the `side` piece, and its `penetration` into the main one."""

    side: float
    penetration: float


def toe_nail(fastener: Fastener) -> ToeNail:
    """A nail driven at 30 degrees, a third of its length from the end of the side piece: L/3 and L cos 30 - L/3.

    Source: NDS-2018 12.1.6, 12.5.4, from memory. Raises UsageError `value-missing` without the length.
    """
    if fastener.length is None:
        raise UsageError(
            "value-missing", where=fastener.kind, what="its length is not given.", do="Enter it as measured."
        )
    side = fastener.length / 3
    return ToeNail(side=side, penetration=fastener.length * cos(radians(TOE)) - side)


def _key(nominal: float) -> str:
    return str(float(nominal))


def _band(nominal: float) -> float:
    """Fyb of small fasteners by nominal diameter; a diameter on a limit belongs to the band below it."""
    bands = tables.dowels()["yield_strength"]["bands"]
    for least, greatest, strength in bands:
        if least <= nominal <= greatest:
            return strength
    raise UsageError(
        "outside-table",
        where="Fyb",
        what=f"no bending yield strength is tabulated for {nominal:g} in.",
        do="State Fyb in psi with its source.",
    )


def _unknown(kind: str, size: str, known: Iterable[str]) -> UsageError:
    return UsageError(
        "unknown-fastener",
        where=kind,
        what=f"{size} is not tabulated here.",
        do=f"Enter one of {', '.join(known)}.",
    )


def penetration_factor(fastener: Fastener, penetration: float) -> Derivation:
    """Share of Z for the penetration (in) into the main member: without tip for lag screws, with it otherwise.

    Lag screws: full at 8 D, least 4 D. Nails and wood screws: full at 10 D, least 6 D. Bolts pass through: 1.
    Below the least it is 0: not permitted.
    """
    if fastener.kind == "bolt":
        return derived("Cd", 1.0, "", "a bolt passes through", "NDS-2018 12.1.3", source=SECONDARY)
    least, full = (4.0, 8.0) if fastener.kind == "lag screw" else (6.0, 10.0)
    times = penetration / fastener.nominal
    clause = "NDS-2018 12.1.4, table 12J" if fastener.kind == "lag screw" else "NDS-2018 12.1.5, 12.1.6"
    steps = (step("p", penetration, "in"), step("D", fastener.nominal, "in"))
    if times < least - 1e-9:
        return derived("Cd", 0.0, "", f"not permitted below {least:g} D", clause, *steps, source=SECONDARY)
    value = min(1.0, times / full)
    return derived("Cd", value, "", f"p / {full:g} D, at most 1", clause, *steps, source=SECONDARY)


def bearing_length(fastener: Fastener, penetration: float) -> float:
    """Bearing length in the main member (in): penetration with its tip, less half the tip."""
    with_tip = penetration + fastener.tip if fastener.kind == "lag screw" else penetration
    return with_tip - fastener.tip / 2

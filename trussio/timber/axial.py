"""Tension and compression along the grain, slenderness and end bearing, for one piece.

Forces in lbf and at least zero in their own sense, areas in2, stresses psi. Adjusted values come from
`design_values` or are stated as plain numbers.
Source: NDS-2018 3.1.2, 3.6, 3.7, 3.8, 3.10.1, as marked.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber.adjustment import adjusted
from trussio.timber.stability import column_stability, euler_stress, slenderness
from trussio.timber.working import (
    SINGLE,
    STATICS,
    Figure,
    derived,
    not_evaluated,
    number,
    require_positive,
    set_against,
    shown,
    step,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

COLUMN_LIMIT: Final = 50.0
CONSTRUCTION_LIMIT: Final = 75.0
PLATE_SHARE: Final = 0.75


@dataclass(frozen=True, kw_only=True)
class Axis:
    """One way for a strut to buckle.

    `le` is the effective length between restraints that hold against it, 0 where it is held throughout; `d` the
    dimension that bends; `Emin` that of this axis. `Kx` is that of spaced columns, `Kf` that of built-up ones.
    """

    name: str
    le: Figure
    d: float
    Emin: Figure
    Kx: float = 1.0
    Kf: float = 1.0


@dataclass(frozen=True, kw_only=True)
class StrutValues:
    """Compression values of a strut; the tuples follow the axes. `governing` is the axis of the least CP."""

    axes: tuple[Axis, ...]
    slenderness: tuple[Derivation, ...]
    FcE: tuple[Derivation, ...]
    CP: tuple[Derivation, ...]
    governing: int
    Fc: Derivation


def require_sense(where: str, force: float, sense: str) -> None:
    """Raise UsageError `wrong-sense` for a force that is not of the sense that the formula is about."""
    if not 0 <= force < inf:
        raise UsageError(
            "wrong-sense",
            where=where,
            what=f"the {sense} is {force:g}.",
            do=f"Enter the amount of {sense}, zero or more; the other sense has a check of its own.",
        )


def stress(symbol: str, force: Figure, area: Figure, *, force_symbol: str, area_symbol: str) -> Derivation:
    """Force over area. Raises UsageError `impossible-distance` where no area is left."""
    over = number(area)
    if not 0 < over < inf:
        require_positive(symbol, {area_symbol: over})
    steps = (step(force_symbol, force, "lbf"), step(area_symbol, area, "in2"))
    formula = f"{force_symbol} / {area_symbol}"
    return derived(symbol, number(force) / over, "psi", formula, "", *steps, source=STATICS)


def tension_check(
    *,
    force: float,
    net_area: Figure,
    Ft: Figure,
    what: str = "tension on the net section",
    of: Subject = SINGLE,
) -> Check:
    """Tension along the grain on the net section: T / A_net against Ft'."""
    require_sense("tension", force, "tension")
    ft = stress("ft", force, net_area, force_symbol="T", area_symbol="A_net")
    return set_against(
        what=what,
        clause="NDS-2018 3.8.1",
        demand=ft,
        capacity=shown("Ft'", Ft, "psi"),
        unit="psi",
        of=of,
    )


def strut_values(*, Fc_star: Figure, axes: Sequence[Axis], c: float) -> StrutValues:
    """Fc' of a strut from the least CP of its axes; `c` 0.8 sawn, 0.85 round, 0.9 glulam.

    Raises UsageError `bracing-missing` when no axis is given.
    """
    if not axes:
        raise UsageError(
            "bracing-missing",
            where="compression",
            what="no axis is given in which the piece may buckle.",
            do="Enter for both axes the length between restraints, 0 where it is held throughout.",
        )
    ratios = tuple(slenderness(axis.le, axis.d, f" {axis.name}") for axis in axes)
    eulers = tuple(
        euler_stress(axis.Emin, ratio, Kx=axis.Kx, symbol=f"FcE {axis.name}")
        for axis, ratio in zip(axes, ratios, strict=True)
    )
    factors = tuple(
        column_stability(Fc_star=Fc_star, FcE=FcE, c=c, Kf=axis.Kf) for axis, FcE in zip(axes, eulers, strict=True)
    )
    least = min(range(len(axes)), key=lambda index: factors[index].value)
    return StrutValues(
        axes=tuple(axes),
        slenderness=ratios,
        FcE=eulers,
        CP=factors,
        governing=least,
        Fc=adjusted("Fc'", Fc_star, {"CP": factors[least]}, base="Fc*"),
    )


def compression_check(
    *,
    force: float,
    gross_area: Figure,
    strut: StrutValues,
    net_area: Figure | None = None,
    what: str = "compression with buckling",
    of: Subject = SINGLE,
) -> Check:
    """Compression along the grain: P / A against Fc'.

    State `net_area` where the section is reduced within the length prone to buckling; it then stands for the
    gross area. A reduced section elsewhere is checked by `net_compression_check`.
    """
    require_sense("compression", force, "compression")
    area, name = (gross_area, "A") if net_area is None else (net_area, "A_net")
    fc = stress("fc", force, area, force_symbol="P", area_symbol=name)
    axis = strut.axes[strut.governing]
    remarks = (f"buckling {axis.name} governs, le/d {strut.slenderness[strut.governing].value:.1f}",)
    return set_against(
        what=what,
        clause="NDS-2018 3.6.3, 3.7",
        demand=fc,
        capacity=strut.Fc,
        unit="psi",
        of=of,
        remarks=remarks,
    )


def net_compression_check(
    *,
    force: float,
    net_area: Figure,
    Fc_star: Figure,
    what: str = "compression on the net section",
    of: Subject = SINGLE,
) -> Check:
    """Compression on the net section against Fc*, without CP."""
    require_sense("compression", force, "compression")
    return set_against(
        what=what,
        clause="NDS-2018 3.6.3",
        demand=stress("fc", force, net_area, force_symbol="P", area_symbol="A_net"),
        capacity=shown("Fc*", Fc_star, "psi"),
        unit="psi",
        of=of,
    )


def slenderness_check(
    *,
    strut: StrutValues,
    during_construction: bool = False,
    what: str = "slenderness",
    of: Subject = SINGLE,
) -> Check:
    """The greatest le/d against 50, or 75 during construction. Tension members have no limit."""
    limit = CONSTRUCTION_LIMIT if during_construction else COLUMN_LIMIT
    greatest = max(strut.slenderness, key=lambda ratio: ratio.value)
    return set_against(
        what=what,
        clause="NDS-2018 3.7.1.4",
        demand=greatest,
        capacity=derived("le/d limit", limit, "", "", "NDS-2018 3.7.1.4"),
        unit="le/d",
        of=of,
    )


def end_bearing_check(
    *, force: float, area: Figure, Fc_star: Figure, plate: bool | None, of: Subject = SINGLE
) -> Check:
    """Bearing of end grain on end grain: up to Fc*, over 0.75 Fc* only with a steel plate between the ends.

    `plate` is None where the survey does not tell: up to 0.75 Fc* that does not matter, over it the check is not
    evaluated.
    """
    require_sense("end bearing", force, "compression")
    clause, what = "NDS-2018 3.10.1", "end grain bearing"
    fc = stress("fc", force, area, force_symbol="P", area_symbol="A_bearing")
    full = shown("Fc*", Fc_star, "psi")
    bare = derived("F without plate", PLATE_SHARE * full.value, "psi", "0.75 Fc*", clause, full)
    if plate is None and fc.value > bare.value:
        return not_evaluated(
            what=what,
            clause=clause,
            of=of,
            demand=fc,
            unit="psi",
            reason="fc is over 0.75 Fc*: enter whether a steel plate lies between the ends",
        )
    return set_against(what=what, clause=clause, demand=fc, capacity=full if plate else bare, unit="psi", of=of)

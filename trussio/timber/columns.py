"""Struts of several plies: built up as one, spaced with blocks, or leaves that each buckle alone.

Terms: d1 is across the thickness of a ply (out of the truss plane where plies lie beside each other), d2 the
depth of a ply. A pile of plies acts as one only where the fastening of 15.3 was seen; a spaced column only where
its blocks carry connectors; otherwise each leaf buckles alone between what holds it. Inches and psi.
Source: NDS-2018 15.2, 15.3, as marked; leaves alone are the fallback of 15.3 and own judgement.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber.axial import Axis, StrutValues, strut_values
from trussio.timber.working import SINGLE, Figure, derived, require_positive, set_against

if TYPE_CHECKING:
    from collections.abc import Mapping

FASTENED: Final[Mapping[str, float]] = {"nailed": 0.6, "bolted": 0.75}
"""Kf across the stack, for nails after 15.3.3 and bolts after 15.3.4."""

Fastening = Literal["nailed", "bolted"]
EndCondition = Literal["a", "b"]
SPACED_KX: Final[Mapping[str, float]] = {"a": 2.5, "b": 3.0}
"""Kx: connectors of the end blocks within l1/20 of the end (a), or from l1/20 to l1/10 (b)."""


def built_up_strut(
    *,
    plies: int,
    thickness: float,
    depth: float,
    fastened: Fastening,
    le_depth: Figure,
    le_stack: Figure,
    Fc_star: Figure,
    Emin: Figure,
    c: float = 0.8,
) -> StrutValues:
    """Fc' of 2 to 5 full-length plies fastened after 15.3.3 or 15.3.4, over the area of all plies.

    `le_depth` is the effective length for buckling in the depth of the plies, `le_stack` across the stack. Raises
    UsageError `not-built-up` for fewer or more plies or plies thinner than 1-1/2 in.
    """
    require_positive("built-up strut", {"ply thickness": thickness, "depth": depth})
    if not 2 <= plies <= 5 or thickness < 1.5:
        raise UsageError(
            "not-built-up",
            where="built-up strut",
            what=f"{plies} plies of {thickness:g} in.",
            do="The clause holds for 2 to 5 plies of 1-1/2 in or more; take the leaves alone otherwise.",
        )
    stack = stack_axis(plies=plies, thickness=thickness, le=le_stack, Emin=Emin, fastened=fastened)
    axes = (Axis(name="in depth", le=le_depth, d=depth, Emin=Emin), stack)
    return strut_values(Fc_star=Fc_star, axes=axes, c=c)


def stack_axis(*, plies: int, thickness: float, le: Figure, Emin: Figure, fastened: Fastening) -> Axis:
    """The way in which a built-up strut buckles across its stack."""
    return Axis(name="across the stack", le=le, d=plies * thickness, Emin=Emin, Kf=FASTENED[fastened])


def gap_axis(*, thickness: float, l1: Figure, Emin: Figure, end_condition: EndCondition) -> Axis:
    """The way in which a spaced strut buckles across its gap."""
    return Axis(name="across the gap", le=l1, d=thickness, Emin=Emin, Kx=SPACED_KX[end_condition])


def leaves_alone(
    *,
    thickness: float,
    depth: float,
    le_depth: Figure,
    le_leaf: Figure,
    Fc_star: Figure,
    Emin: Figure,
    c: float = 0.8,
) -> StrutValues:
    """Fc' of plies that do not act together: each buckles across its own thickness over `le_leaf`.

    `le_leaf` is the distance between fasteners or restraints that hold that very leaf.
    """
    axes = (
        Axis(name="in depth", le=le_depth, d=depth, Emin=Emin),
        Axis(name="of one leaf", le=le_leaf, d=thickness, Emin=Emin),
    )
    return strut_values(Fc_star=Fc_star, axes=axes, c=c)


def spaced_strut(
    *,
    thickness: float,
    depth: float,
    l1: float,
    l2: float,
    l3: float,
    end_condition: EndCondition,
    Fc_star: Figure,
    Emin: Figure,
    c: float = 0.8,
) -> StrutValues:
    """Fc' of a spaced column over the area of all plies: fixity across the gap from end blocks with connectors.

    `l1` is the length between lateral restraints across the gap (in a truss, stayed panel points), `l2` in the
    depth, `l3` from the end block's connectors to the middle block. The end blocks' connectors must satisfy
    15.2.2; bolts alone do not. The limits of length are checked by `spaced_limits_checks`.
    """
    require_positive("spaced strut", {"thickness": thickness, "depth": depth, "l1": l1, "l3": l3})
    axes = (
        gap_axis(thickness=thickness, l1=l1, Emin=Emin, end_condition=end_condition),
        Axis(name="in depth", le=l2, d=depth, Emin=Emin),
    )
    return strut_values(Fc_star=Fc_star, axes=axes, c=c)


def spaced_limits_checks(
    *, thickness: float, depth: float, l1: float, l2: float, l3: float, of: Subject = SINGLE
) -> tuple[Check, Check, Check]:
    """l1/d1 up to 80, l2/d2 up to 50, l3/d1 up to 40."""
    return (
        _limit("l1/d1", l1 / thickness, 80.0, of),
        _limit("l2/d2", l2 / depth, 50.0, of),
        _limit("l3/d1", l3 / thickness, 40.0, of),
    )


def _limit(symbol: str, value: float, limit: float, of: Subject) -> Check:
    clause = "NDS-2018 15.2.3.2"
    demand: Derivation = derived(symbol, value, "", symbol.replace("/", " / "), clause)
    return set_against(
        what=f"slenderness of a spaced column, {symbol}",
        clause=clause,
        demand=demand,
        capacity=derived(f"{symbol} limit", limit, "", "", clause),
        unit=symbol,
        of=of,
    )

"""Wood that fails round a group of fasteners: net section, rows torn out, the whole group torn out.

Terms: a *row* runs along the grain; the critical spacing is the lesser of end distance and spacing in the row.
A split ring or shear plate shears a *plug* off the face that it sits in: at both sides of its groove and below it.
Inches, psi, lbf. Source: NDS-2018 Appendix E (not mandatory): net section and rows as quoted in secondary copies,
the group and the rows of rings from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.rings import connector as connector_data
from trussio.timber.working import MEMORY, SECONDARY, Figure, derived, number, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.check import Derivation

CLAUSE: Final = "NDS-2018 E"


@dataclass(frozen=True, kw_only=True)
class TearOut:
    """The three local values (lbf); `group` is None for a single row."""

    net: Derivation
    rows: Derivation
    group: Derivation | None


def net_tension(*, Ft: Figure, net_area: Figure) -> Derivation:
    """ZNT' = Ft' A_net."""
    steps = (step("Ft'", Ft, "psi"), step("A_net", net_area, "in2"))
    value = number(Ft) * number(net_area)
    return derived("ZNT'", value, "lbf", "Ft' A_net", f"{CLAUSE}.2-1", *steps, source=SECONDARY)


def row_tear_out(*, Fv: Figure, thickness: float, in_row: int, end: float, spacing: float | None) -> Derivation:
    """ZRT' of one row: n Fv' t times the lesser of end distance and spacing.

    Raises UsageError `distance-missing` for several fasteners without spacing.
    """
    require_positive("row tear-out", {"thickness": thickness, "end distance": end})
    if in_row > 1 and spacing is None:
        raise UsageError(
            "distance-missing",
            where="row tear-out",
            what="the spacing in the row is not given.",
            do="Enter the spacing in inches, as measured.",
        )
    critical = end if in_row == 1 or spacing is None else min(end, spacing)
    steps = (
        step("n", in_row, ""),
        step("Fv'", Fv, "psi"),
        step("t", thickness, "in"),
        step("s_critical", critical, "in"),
    )
    value = in_row * number(Fv) * thickness * critical
    return derived("ZRT'", value, "lbf", "n Fv' t s_critical", f"{CLAUSE}.3-2", *steps, source=SECONDARY)


def connector_row_tear_out(
    *, Fv: Figure, connector: str, faces: int, thickness: float, in_row: int, end: float, spacing: float | None
) -> Derivation:
    """ZRT' of one row of split rings or shear plates on one or two faces of a member.

    Each takes half of Fv' on its plug, whose area is the critical spacing times the depth of both sides and the
    diameter below; never more than where the whole thickness goes, as round bolts. Raises UsageError
    `unknown-connector` or `distance-missing`.
    """
    data = connector_data(connector)
    through = row_tear_out(Fv=Fv, thickness=thickness, in_row=in_row, end=end, spacing=spacing)
    critical = end if in_row == 1 or spacing is None else min(end, spacing)
    area = (2 * data["depth"] + data["diameter"]) * critical
    plug = derived(
        "A_plug",
        area,
        "in2",
        "(2 depth + D) s_critical",
        f"{CLAUSE}.7",
        step("depth", data["depth"], "in"),
        step("D", data["diameter"], "in"),
        source=MEMORY,
    )
    plugs = derived(
        "Z plugs",
        in_row * faces * number(Fv) / 2 * area,
        "lbf",
        f"n x {faces} (Fv'/2) A_plug",
        f"{CLAUSE}.7",
        plug,
        source=MEMORY,
    )
    least = min(through.value, plugs.value)
    formula = "least of the whole thickness and the plugs"
    return derived("ZRT'", least, "lbf", formula, f"{CLAUSE}.7", through, plugs, source=MEMORY)


def all_rows(rows: Sequence[Derivation]) -> Derivation:
    """ZRT' of every row, added up."""
    total = sum(row.value for row in rows)
    return derived("ZRT'", total, "lbf", "sum of the rows", f"{CLAUSE}.3-3", *rows, source=SECONDARY)


def group_tear_out(*, first: Derivation, last: Derivation, Ft: Figure, net_between: Figure) -> Derivation:
    """ZGT' = half of the two outer rows and Ft' on the net area between them."""
    value = first.value / 2 + last.value / 2 + number(Ft) * number(net_between)
    steps = (first, last, step("Ft'", Ft, "psi"), step("A_group", net_between, "in2"))
    formula = "ZRT1'/2 + ZRTn'/2 + Ft' A_group"
    return derived("ZGT'", value, "lbf", formula, f"{CLAUSE}.4-1", *steps, source=MEMORY)


def tear_out(
    *,
    Ft: Figure,
    Fv: Figure,
    thickness: float,
    depth: float,
    hole: float,
    rows: int,
    in_row: int,
    end: float,
    spacing: float | None,
    gauge: float | None,
) -> TearOut:
    """All three for a regular group in tension along the grain; `hole` is the measured or drilled diameter."""
    net = derived(
        "A_net", (depth - rows * hole) * thickness, "in2", f"(d - {rows} hole) t", "NDS-2018 3.1.2", source=MEMORY
    )
    require_positive("net section", {"net area": net.value})
    row = row_tear_out(Fv=Fv, thickness=thickness, in_row=in_row, end=end, spacing=spacing)
    group = None
    if rows > 1:
        if gauge is None:
            raise UsageError(
                "distance-missing",
                where="group tear-out",
                what="the spacing between rows is not given.",
                do="Enter it in inches, as measured.",
            )
        require_positive("group tear-out", {"wood between the holes of two rows": gauge - hole})
        between = (rows - 1) * (gauge - hole) * thickness
        group = group_tear_out(first=row, last=row, Ft=Ft, net_between=between)
    return TearOut(net=net_tension(Ft=Ft, net_area=net), rows=all_rows([row] * rows), group=group)

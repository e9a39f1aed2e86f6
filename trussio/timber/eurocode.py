"""Design values after EN 1995-1-1: strength classes, duration and moisture, size, partial factors.

N, mm, MPa, kg/m3. Characteristic values become design values as kmod X_k / gamma_M, times kh where size counts.
They go with partial factors on the loads; never mix them with allowable stresses.
Source: EN 1995-1-1:2004+A1+A2, EN 338, EN 14080, from memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from trussio.errors import UsageError
from trussio.timber import tables
from trussio.timber.working import Figure, derived, number, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.check import Derivation

Product = Literal["solid", "glulam", "LVL"]
Duration = Literal["permanent", "long", "medium", "short", "instantaneous"]

LONGEST_FIRST: Final[tuple[Duration, ...]] = ("permanent", "long", "medium", "short", "instantaneous")


def strength_class(name: str) -> tables.StrengthClass:
    """Characteristic values of a class (`C24`, `GL24h`). Raises UsageError `unknown-grade`."""
    known = tables.european()["classes"]
    if name not in known:
        raise UsageError(
            "unknown-grade",
            where=name,
            what="this strength class is not tabulated here.",
            do=f"Enter one of {', '.join(known)}, or state the characteristic values with their source.",
        )
    return known[name]


def modification_factor(*, service_class: int, duration: str) -> Derivation:
    """Factor kmod by service class (1 to 3) and duration class. Raises UsageError `unknown-duration`."""
    table = tables.european()["kmod"].get(str(service_class), {})
    if duration not in table:
        raise UsageError(
            "unknown-duration",
            where="kmod",
            what=f"service class {service_class} and duration {duration!r} are not tabulated.",
            do=f"Enter service class 1, 2 or 3 and one of {', '.join(LONGEST_FIRST)}.",
        )
    return derived(
        "kmod", table[duration], "", f"service class {service_class}, {duration}", "EN 1995-1-1 table 3.1"
    )


def shortest_duration(durations: Iterable[Duration]) -> Duration:
    """The duration class that a combination is taken with: the shortest of its loads."""
    return max(durations, key=LONGEST_FIRST.index)


def partial_factor(product: str) -> Derivation:
    """gamma_M of `solid`, `glulam`, `LVL` or `connection`. Raises UsageError `unknown-product`."""
    table = tables.european()["gammaM"]
    if product not in table:
        raise UsageError(
            "unknown-product",
            where="gamma_M",
            what=f"{product!r} has no partial factor here.",
            do=f"Enter one of {', '.join(table)}, or state the factor of your national annex.",
        )
    return derived("gamma_M", table[product], "", product, "EN 1995-1-1 table 2.3")


def size_factor(*, product: Product, depth: float) -> Derivation:
    """Factor kh on bending and tension: solid timber below 150 mm up to 1.3, glulam below 600 mm up to 1.1."""
    require_positive("kh", {"depth": depth})
    reference, power, most = {"solid": (150.0, 0.2, 1.3), "glulam": (600.0, 0.1, 1.1)}.get(
        product, (0.0, 1.0, 1.0)
    )
    value = min((reference / depth) ** power, most) if depth < reference else 1.0
    formula = f"({reference:g}/h)^{power:g}, at most {most:g}" if depth < reference else "1"
    clause = "EN 1995-1-1 3.2(3), 3.3(3)"
    return derived("kh", value, "", formula, clause, step("h", depth, "mm"))


def design_value(
    symbol: str,
    characteristic: Figure,
    *,
    kmod: Figure,
    gamma_M: Figure,
    factors: Mapping[str, Figure] | None = None,
) -> Derivation:
    """X_d = kmod X_k / gamma_M, times further factors by name (`kh`, `ksys`); MPa or N."""
    more = factors or {}
    value = number(kmod) * number(characteristic) / number(gamma_M)
    for factor in more.values():
        value *= number(factor)
    steps = (
        step(f"{symbol},k", characteristic, "MPa"),
        step("kmod", kmod, ""),
        step("gamma_M", gamma_M, ""),
        *(step(name, factor, "") for name, factor in more.items()),
    )
    formula = " x ".join((f"kmod {symbol},k / gamma_M", *more))
    return derived(f"{symbol},d", value, "MPa", formula, "EN 1995-1-1 2.14", *steps)

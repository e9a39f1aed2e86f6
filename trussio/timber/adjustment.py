"""Adjustment factors of members by conditions of use: duration, moisture, temperature, size, flat use and more.

Every function returns the factor as a derivation: one line with the condition that it answers to. Inches, psi
and degrees Fahrenheit, since the clauses are written in them. The stability factors stand in `stability`.
Source: NDS-2018 chapters 2 to 5 and Appendix D, as marked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber import tables
from trussio.timber.working import Figure, derived, number, require_positive, stated, step

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.timber.tables import SizeClass

DURATION_OF_KIND: Final = {
    "dead": "permanent",
    "post-tension": "permanent",
    "imposed": "permanent",
    "live": "ten years",
    "snow": "two months",
    "roof-live": "seven days",
    "wind": "ten minutes",
    "earthquake": "ten minutes",
    "impact": "impact",
}
"""The duration that each kind of load is taken with; movements, lack of fit and prestress stay, so permanent."""

LIGHT_FRAMING: Final = ("construction", "standard")
"""Grades of table 4A that are 2 to 4 in wide and have their size in their values."""


def adjusted(
    symbol: str, reference: Figure, factors: Mapping[str, Figure], *, base: str | None = None, unit: str = "psi"
) -> Derivation:
    """A reference value times its factors: `adjusted("Ft'", 1000, {"CD": 1.6, "CF": 1.2})` is 1920 psi.

    Factors are plain numbers, taken as stated, or derivations from this module. `base` is the symbol of the
    value that they multiply, by default the plain one.
    """
    value = number(reference)
    for factor in factors.values():
        value *= number(factor)
    start = symbol.rstrip("'*") if base is None else base
    formula = " x ".join((start, *factors))
    steps = (step(start, reference, unit), *(step(name, factor, "") for name, factor in factors.items()))
    return derived(symbol, value, unit, formula, "NDS-2018 4.3.1, 5.3.1", *steps)


def duration_factor(kinds: Iterable[str], *, connection: bool = False) -> Derivation:
    """CD of the shortest load that acts: 0.9 permanent, 1.15 snow, 1.25 roof live, 1.6 wind.

    `kinds` are load kinds of a run (`dead`, `snow`, ...) or names of durations (`permanent`, `ten years`, `two
    months`, `seven days`, `ten minutes`, `impact`). Never for Fc_perp, E and Emin. For a connection it is at most
    1.6, and impact is refused. Raises UsageError `unknown-duration`, naming a kind without one.
    """
    data = tables.factors()["duration"]
    named = [DURATION_OF_KIND.get(kind, kind) for kind in kinds]
    if not named:
        raise UsageError(
            "unknown-duration", where="CD", what="no load acts.", do="Name the kinds of load that act together."
        )
    for kind in named:
        if kind not in data["values"] or (connection and kind == "impact"):
            raise UsageError(
                "unknown-duration",
                where="CD",
                what=f"the load kind {kind!r} has no load duration{' for a connection' if connection else ''}.",
                do=f"Enter one of {', '.join(DURATION_OF_KIND)}, or a duration: {', '.join(data['values'])}.",
            )
    shortest = max(named, key=lambda kind: data["values"][kind])
    value = data["values"][shortest]
    return derived("CD", value, "", f"shortest duration: {shortest}", data["clause"], source=data["source"])


def wet_service_factor(
    symbol: str,
    *,
    size_class: SizeClass,
    wet: bool,
    size_adjusted: float | None = None,
    southern_pine: bool = False,
) -> Derivation:
    """CM of one value: above 19 % moisture (16 % for glulam) in service; table 4D holds for wet Southern Pine too.

    `size_adjusted` is the value times CF (psi), needed for Fb and Fc of wet dimension lumber, where low values are
    spared. Raises UsageError `value-missing` without it, or for a piece whose values are stated in place.
    """
    clause = "NDS-2018 4.3.3, 5.3.3"
    if not wet:
        return derived("CM", 1.0, "", "dry in service", clause)
    if size_class == "in place":
        raise UsageError(
            "value-missing",
            where="CM",
            what="values stated in place have no tabulated wet service factor.",
            do="State values that hold for the wet piece and say that it is dry, or state its size class.",
        )
    data = tables.factors()
    family = size_class if size_class in ("dimension", "glulam") else "timbers"
    if family == "timbers" and southern_pine:
        return derived("CM", 1.0, "", "Southern Pine timbers: the table holds wet or dry", "NDS-2018 table 4D")
    limit = data["wet_spared"].get(symbol) if family == "dimension" else None
    if limit is not None:
        if size_adjusted is None:
            raise UsageError(
                "value-missing",
                where="CM",
                what=f"{symbol} x CF decides CM of {symbol}.",
                do=f"Enter {symbol} x CF in psi.",
            )
        if size_adjusted <= limit:
            return derived("CM", 1.0, "", f"wet, {symbol} x CF at most {limit:g} psi", clause)
    return derived("CM", data["wet"][family][_family(symbol)], "", f"wet in service, {family}", clause)


def _family(symbol: str) -> str:
    """The symbol whose factors a value takes: Fby those of Fb, Emin_y those of Emin."""
    for family in ("Emin", "Fc_perp", "Fb", "Ft", "Fv", "Fc", "E"):
        if symbol.startswith(family):
            return family
    return symbol


def temperature_factor(symbol: str, *, temperature: float, wet: bool) -> Derivation:
    """Ct for a sustained temperature (F). Raises UsageError `outside-table` above 150 F."""
    clause = "NDS-2018 2.3.3"
    if temperature <= 100.0:
        return derived("Ct", 1.0, "", "up to 100 F", clause)
    if not temperature <= 150.0:
        raise UsageError(
            "outside-table",
            where="Ct",
            what=f"{temperature:g} F is above 150 F, where the table ends.",
            do="Enter the sustained temperature of the wood; above 150 F these values do not hold.",
        )
    if _family(symbol) in ("Ft", "E", "Emin"):
        value = 0.9
    elif temperature <= 125.0:
        value = 0.7 if wet else 0.8
    else:
        value = 0.5 if wet else 0.7
    return derived("Ct", value, "", f"{temperature:g} F, {'wet' if wet else 'dry'}", clause)


def _column(widths: list[float], width: float) -> int:
    """The column of the least nominal width that an actual width (in) fits under; the last takes all beyond."""
    return next((index for index, nominal in enumerate(widths) if width <= nominal), len(widths) - 1)


def size_factor(
    symbol: str, *, size_class: SizeClass, grade: str, thickness: float, width: float, southern_pine: bool
) -> Derivation:
    """CF of Fb, Ft and Fc by the dressed section (in), `width` being its depth for bending on edge.

    14 in nominal takes all that is wider. Raises UsageError `outside-table` for stud grade wider than 6 in.
    """
    require_positive("CF", {"thickness": thickness, "width": width})
    if size_class in ("in place", "glulam"):
        return derived("CF", 1.0, "", f"none for {size_class}", "NDS-2018 4.3.6")
    if size_class != "dimension":
        deep = symbol == "Fb" and width > 12.0
        value = (12.0 / width) ** (1 / 9) if deep else 1.0
        formula = "(12/d)^(1/9)" if deep else "1 up to 12 in deep, and but for Fb"
        return derived("CF", value, "", formula, "NDS-2018 4.3.6.2")
    if southern_pine:
        return _southern_pine_size(symbol, thickness, width)
    return _dimension_size(symbol, grade, thickness, width)


def _southern_pine_size(symbol: str, thickness: float, width: float) -> Derivation:
    value = 1.0
    if symbol in ("Fb", "Ft", "Fc") and width > 12.0:
        value = 0.9
    if symbol == "Fb" and thickness > 3.0 and width > 6.0:
        value *= 1.1
    return derived(
        "CF", value, "", "size is in the table; 1.1 for Fb 4 in thick, 0.9 wider than 12 in", "NDS-2018 table 4B"
    )


def _dimension_size(symbol: str, grade: str, thickness: float, width: float) -> Derivation:
    data = tables.factors()["size"]
    clause = "NDS-2018 4.3.6, table 4A"
    if symbol not in ("Fb", "Ft", "Fc"):
        return derived("CF", 1.0, "", f"none for {symbol}", clause)
    if grade.casefold() in LIGHT_FRAMING:
        return derived("CF", 1.0, "", f"none for {grade.casefold()} grade", clause)
    if grade.casefold() == "stud":
        if width > 6.0:
            raise UsageError(
                "outside-table",
                where="CF",
                what=f"stud grade is not tabulated {width:g} in wide.",
                do="Enter grade No.3, whose values and factors hold for stud grade 8 in and wider.",
            )
        value = data["stud"][symbol][0 if width <= 4.0 else 1]
        return derived("CF", value, "", f"stud grade, {width:g} in wide", clause)
    column = _column(data["widths"], width)
    thick = "4 in" if thickness > 3.0 else "2 and 3 in"
    rows = {"Fb": data["Fb_4"] if thickness > 3.0 else data["Fb_thin"], "Ft": data["Ft"], "Fc": data["Fc"]}
    formula = f"{data['widths'][column]:g} in nominal width, {thick} thick"
    return derived("CF", rows[symbol][column], "", formula, clause)


def flat_use_factor(
    symbol: str, *, size_class: SizeClass, grade: str, thickness: float, width: float
) -> Derivation:
    """Cfu of a piece bent about its weak axis: loaded on its wide face (in).

    For glulam `thickness` is the dimension parallel to the wide faces of the laminations that bends (dy). Raises
    UsageError `outside-table` where the table has no value.
    """
    clause = "NDS-2018 4.3.7, 5.3.7"
    if size_class == "glulam" and symbol in ("Fb", "Fby"):
        value = (12.0 / thickness) ** (1 / 9) if thickness < 12.0 else 1.0
        return derived("Cfu", value, "", "(12/dy)^(1/9) below 12 in", clause)
    data = tables.factors()["flat"]
    if size_class == "beams-and-stringers" and symbol in ("Fb", "E", "Emin"):
        row = data["stringers"].get(grade)
        if row is None:
            raise _no_flat_use(f"beams-and-stringers of grade {grade}")
        value = row["Fb" if symbol == "Fb" else "E"]
        return derived("Cfu", value, "", f"stringer {grade} on the flat", "NDS-2018 table 4D")
    if size_class != "dimension" or symbol != "Fb":
        return derived("Cfu", 1.0, "", f"none for {symbol} of {size_class}", clause)
    column = _column(data["widths"], width)
    found = data["4"][column] if thickness > 3.0 else data["thin"][column]
    if found is None:
        raise _no_flat_use(f"{thickness:g} x {width:g} in")
    return derived("Cfu", found, "", f"{data['widths'][column]:g} in nominal width on the flat", clause)


def _no_flat_use(what: str) -> UsageError:
    return UsageError(
        "outside-table",
        where="Cfu",
        what=f"no flat use factor is tabulated for {what}.",
        do="State Cfu with its source, or correct the section.",
    )


def incising_factor(symbol: str, *, size_class: SizeClass, incised: bool) -> Derivation:
    """Ci of dimension lumber incised for preservative treatment; timbers and glulam take none.

    Raises UsageError `value-missing` for an incised piece whose values are stated in place.
    """
    clause = "NDS-2018 4.3.8"
    if not incised:
        return derived("Ci", 1.0, "", "not incised", clause)
    if size_class == "in place":
        raise UsageError(
            "value-missing",
            where="Ci",
            what="values stated in place have no tabulated incising factor.",
            do="State values that hold for the incised piece and say that it is not, or state its size class.",
        )
    if size_class != "dimension":
        return derived("Ci", 1.0, "", f"incised; the clause is for dimension lumber, not {size_class}", clause)
    value = {"E": 0.95, "Emin": 0.95, "Fc_perp": 1.0}.get(_family(symbol), 0.8)
    return derived("Ci", value, "", "incised", clause)


def repetitive_factor(*, size_class: SizeClass, repetitive: bool) -> Derivation:
    """Cr of Fb: three or more dimension members at 24 in or less that share load; not a heavy truss."""
    holds = repetitive and size_class == "dimension"
    formula = "three or more sharing load at 24 in or less" if holds else "a single member"
    return derived("Cr", 1.15 if holds else 1.0, "", formula, "NDS-2018 4.3.9")


def volume_factor(*, length: float, depth: float, width: float, southern_pine: bool) -> Derivation:
    """CV of glulam bending: `length` between points of zero moment, `depth` and `width`, all in inches."""
    require_positive("CV", {"length": length, "depth": depth, "width": width})
    root = 20 if southern_pine else 10
    product = (252.0 / length) * (12.0 / depth) * (5.125 / width)
    formula = f"(21/L)^(1/{root}) (12/d)^(1/{root}) (5.125/b)^(1/{root}), at most 1"
    steps = (step("L", length / 12, "ft"), step("d", depth, "in"), step("b", width, "in"))
    return derived("CV", min(1.0, product ** (1 / root)), "", formula, "NDS-2018 5.3.6", *steps)


def minimum_modulus(E: float, *, product: str) -> Derivation:
    """Emin from E (psi) for `visual sawn`, `MEL`, `MSR` or `glulam`, unrounded (tables round to 10,000).

    Raises UsageError `unknown-product`.
    """
    variation = {"visual sawn": 0.25, "MEL": 0.15, "MSR": 0.11, "glulam": 0.10}
    if product not in variation:
        raise UsageError(
            "unknown-product",
            where="Emin",
            what=f"{product!r} has no COV here.",
            do=f"Use {', '.join(variation)}.",
        )
    k = 1.05 if product == "glulam" else 1.03
    value = E * (1 - 1.645 * variation[product]) * k / 1.66
    formula = f"E (1 - 1.645 x {variation[product]}) x {k} / 1.66"
    return derived("Emin", value, "psi", formula, "NDS-2018 D.4", stated("E", E, "psi"))

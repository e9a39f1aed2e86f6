"""The checks of one segment under one run after EN 1995-1-1, for documents that name a European strength class.

N, mm, MPa; forces are those of one ply. The code sets factored loads against design strengths: a run whose factors
are all 1 shows its ratio as a remark and is not evaluated, unless even so it exceeds 1.
Source: EN 1995-1-1 as marked by the parts; duration of each kind of load from its table 2.2, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber import tables
from trussio.timber.eurocode import (
    Duration,
    Product,
    design_value,
    modification_factor,
    partial_factor,
    shortest_duration,
    size_factor,
    strength_class,
)
from trussio.timber.eurocode_members import (
    Buckling,
    axial_stress,
    bending_check,
    bending_stress,
    buckling,
    buckling_at,
    compression_bending_checks,
    compression_check,
    critical_bending_stress,
    lateral_check,
    lateral_factor,
    shear_check,
    tension_bending_checks,
    tension_check,
)
from trussio.timber.european_stacks import stack_shear_check
from trussio.timber.segment_checks import BRACING, FLOOR, TENSION, Lengths, PlyForces
from trussio.timber.stock import ply_size
from trussio.timber.working import STATICS, not_evaluated, stated
from trussio.units import MM_PER_INCH, NEWTON_PER_POUND

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from trussio.model.material import Material, Section
    from trussio.timber.european_stacks import EuropeanStack
    from trussio.units import UnitSystem

MM: Final[Mapping[UnitSystem, float]] = {"us": MM_PER_INCH, "si": 1.0}
NEWTON: Final[Mapping[UnitSystem, float]] = {"us": NEWTON_PER_POUND, "si": 1.0}
DURATIONS: Final[Mapping[str, Duration]] = {
    "dead": "permanent",
    "post-tension": "permanent",
    "imposed": "permanent",
    "live": "medium",
    "snow": "short",
    "roof-live": "short",
    "wind": "short",
}
UNFACTORED: Final = "enter a combination with the partial factors of the loads, such as 1.35 dead and 1.5 snow"
SYMBOLS: Final = ("fmk", "ft0k", "fc0k", "fvk", "E005")


@dataclass(frozen=True, kw_only=True)
class EuropeanStock:
    """One ply of a member (mm) with its characteristic values (MPa)."""

    name: str
    breadth: float
    depth: float
    plies: int
    product: Product
    source: str
    values: Mapping[str, float]
    graded: tuple[float, float] | None = None

    @property
    def sizes(self) -> tuple[float, float]:
        """Breadth and depth that its size factors go by: those of the whole piece where it is worn."""
        return (self.breadth, self.depth) if self.graded is None else self.graded


@dataclass(frozen=True, kw_only=True)
class EuropeanDesign:
    """Design strengths under one duration (MPa)."""

    fmd: Derivation
    ft0d: Derivation
    fc0d: Derivation
    fvd: Derivation


def is_european(material: Material | None) -> bool:
    """Whether a material names a European class or gives characteristic values."""
    if material is None:
        return False
    return material.grade in tables.european()["classes"] or any(s in SYMBOLS for s in material.reference or {})


def european_stock_of(section: Section | None, material: Material, units: UnitSystem) -> EuropeanStock:
    """The stock of a member. Raises UsageError that names what is missing and what to enter."""
    if section is None or section.width is None or section.depth is None:
        raise UsageError(
            "value-missing",
            where="section",
            what="width and depth of one ply are not given.",
            do="Enter them as measured.",
        )
    if material.kind not in ("sawn", "glulam"):
        raise UsageError(
            "value-missing",
            where="material",
            what=f"kind {material.kind} is no timber.",
            do="Enter sawn or glulam.",
        )
    scale = MM[units] ** 2 / NEWTON[units]
    own = {symbol: value / scale for symbol, value in (material.reference or {}).items() if symbol in SYMBOLS}
    known = material.grade in tables.european()["classes"]
    table: dict[str, float] = {}
    if known or not set(SYMBOLS) <= set(own):
        row = strength_class(material.grade or "no grade")
        table = {
            "fmk": row["fmk"],
            "ft0k": row["ft0k"],
            "fc0k": row["fc0k"],
            "fvk": row["fvk"],
            "E005": row["E005"],
        }
    breadth, depth, plies = ply_size(section, section.width, section.depth)
    stated_by = material.source or "stated in the document"
    return EuropeanStock(
        name=f"{material.species or ''} {material.grade or ''}".strip(),
        breadth=breadth * MM[units],
        depth=depth * MM[units],
        plies=plies,
        product="glulam" if material.kind == "glulam" else "solid",
        source=f"{stated_by}; the rest from memory" if own and table else (stated_by if own else "from memory"),
        values={**table, **own},
    )


def duration_of(kinds: Iterable[str]) -> Duration:
    """The duration class of a run. Raises UsageError `unknown-duration`."""
    named = list(kinds)
    for kind in named:
        if kind not in DURATIONS:
            raise UsageError(
                "unknown-duration",
                where="kmod",
                what=f"the load kind {kind!r} has no duration class.",
                do=f"Enter one of {', '.join(DURATIONS)}.",
            )
    return shortest_duration(DURATIONS[kind] for kind in named)


def european_design(stock: EuropeanStock, *, duration: Duration, service_class: int) -> EuropeanDesign:
    """Design strengths of a stock; kh counts for bending and tension."""
    kmod = modification_factor(service_class=service_class, duration=duration)
    gamma = partial_factor(stock.product)
    kh = size_factor(product=stock.product, depth=stock.sizes[1])
    kh_t = size_factor(product=stock.product, depth=max(stock.sizes))

    def design(symbol: str, key: str, factor: Derivation | None = None) -> Derivation:
        value = stated(f"{symbol},k", stock.values[key], "MPa", stock.source)
        return design_value(
            symbol, value, kmod=kmod, gamma_M=gamma, factors={} if factor is None else {"kh": factor}
        )

    return EuropeanDesign(
        fmd=design("fm", "fmk", kh),
        ft0d=design("ft0", "ft0k", kh_t),
        fc0d=design("fc0", "fc0k"),
        fvd=design("fv", "fvk"),
    )


def european_checks(
    stock: EuropeanStock,
    design: EuropeanDesign,
    lengths: Lengths,
    forces: PlyForces,
    *,
    factored: bool,
    of: Subject,
    stack: EuropeanStack | None = None,
) -> list[Check]:
    """Every check of one segment under one run; a `stack` says how plies act across the plane."""
    area = stated("A", stock.breadth * stock.depth, "mm2", STATICS)
    modulus = stated("W", stock.breadth * stock.depth**2 / 6, "mm3", STATICS)
    bend = bending_stress(forces.moment, modulus, "sigma_my")
    checks: list[Check] = []
    sigma_t = axial_stress(max(forces.greatest, 0.0), area, "sigma_t0")
    if forces.greatest > FLOOR:
        checks.append(tension_check(force=forces.greatest, net_area=area, ft0d=design.ft0d, what=TENSION, of=of))
        checks += tension_bending_checks(sigma_t=sigma_t, ft0d=design.ft0d, sigma_my=bend, fmyd=design.fmd, of=of)[
            :1
        ]
    elif forces.least >= -FLOOR and forces.moment > FLOOR:
        checks.append(bending_check(sigma_m=bend, fmd=design.fmd, of=of))
    if forces.least >= -FLOOR and bend.value > sigma_t.value:  # an edge is compressed, and may go sideways
        checks += _edge(stock, design, lengths, bend, of)
    if forces.least < -FLOOR:
        checks += _compression(
            stock, design, lengths, force=-forces.least, section=(area, bend), of=of, stack=stack
        )
    if forces.shear > FLOOR:
        checks.append(
            shear_check(force=forces.shear, width=stock.breadth, depth=stock.depth, fvd=design.fvd, of=of)
        )
    return checks if factored else [unfactored(check) for check in checks]


def _buckling(stock: EuropeanStock, le: float, dimension: float, axis: str) -> Buckling:
    return buckling(
        le=le,
        dimension=dimension,
        fc0k=stock.values["fc0k"],
        E005=stock.values["E005"],
        product=stock.product,
        axis=axis,
    )


def _compression(
    stock: EuropeanStock,
    design: EuropeanDesign,
    lengths: Lengths,
    *,
    force: float,
    section: tuple[Derivation, Derivation],
    of: Subject,
    stack: EuropeanStack | None,
) -> list[Check]:
    area, bend = section
    y = _buckling(stock, lengths.in_plane, stock.depth, "y")
    across = lengths.panel if lengths.across is None else lengths.across
    z = _together(stock, _buckling(stock, across, stock.breadth, "z"), stack)
    held = z if lengths.across is not None else _buckling(stock, 0.0, stock.breadth, "z")
    sigma = axial_stress(force, area, "sigma_c0")
    checks = [compression_check(force=force, area=area, fc0d=design.fc0d, y=y, z=held, of=of)]
    checks += compression_bending_checks(
        sigma_c=sigma, fc0d=design.fc0d, y=y, z=held, sigma_my=bend, fmyd=design.fmd, of=of
    )
    if lengths.across is not None:
        shear = None if stack is None else stack_shear_check(stack, force * stack.plies, z.kc, of)
        checks += [] if shear is None else [shear]
        return [*checks, *_sideways(stock, design, lengths.across, (sigma, bend, z.kc), of)]
    both = compression_bending_checks(
        sigma_c=sigma, fc0d=design.fc0d, y=y, z=z, sigma_my=bend, fmyd=design.fmd, of=of
    )
    worst = max(check.ratio or 0.0 for check in both)
    return [
        *(check._replace(what=f"{check.what}, held across the plane") for check in checks),
        not_evaluated(
            what="compression across the truss plane",
            clause="EN 1995-1-1 6.3.2",
            of=of,
            reason=BRACING,
            remarks=(f"if every panel point were held: {worst:.2f}",),
        ),
    ]


def _together(stock: EuropeanStock, leaf: Buckling, stack: EuropeanStack | None) -> Buckling:
    """How plies that act together buckle across the plane; joining them never makes them slenderer than leaves."""
    if stack is None or stack.slenderness is None or stack.slenderness.value >= leaf.slenderness.value:
        return leaf
    fc0k, E005 = stock.values["fc0k"], stock.values["E005"]
    return buckling_at(stack.slenderness, fc0k=fc0k, E005=E005, product=stock.product, axis="z")


def _sideways(
    stock: EuropeanStock,
    design: EuropeanDesign,
    across: float,
    stresses: tuple[Derivation, Derivation, Derivation],
    of: Subject,
) -> list[Check]:
    """Lateral buckling of a compressed piece deeper than broad, in bending along with it (6.35)."""
    if across <= 0 or stock.depth <= stock.breadth:
        return []
    sigma_c, bend, kc_z = stresses
    compression = (sigma_c, design.fc0d, kc_z)
    kcrit = _lateral(stock, across)
    return [lateral_check(sigma_m=bend, fmd=design.fmd, kcrit=kcrit, compression=compression, of=of)]


def _edge(
    stock: EuropeanStock, design: EuropeanDesign, lengths: Lengths, bend: Derivation, of: Subject
) -> list[Check]:
    """Lateral buckling of a bent piece deeper than broad (6.33); tension that goes with it is not counted."""
    if stock.depth <= stock.breadth or lengths.across == 0:
        return []
    across = lengths.panel if lengths.across is None else lengths.across
    kcrit = _lateral(stock, across) if across > 0 else 1.0
    check = lateral_check(sigma_m=bend, fmd=design.fmd, kcrit=kcrit, of=of)
    if lengths.across is not None:
        return [check]
    remark = f"if every panel point were held: {check.ratio or 0:.2f}"
    return [not_evaluated(what=check.what, clause=check.clause, of=of, reason=BRACING, remarks=(remark,))]


def _lateral(stock: EuropeanStock, across: float) -> Derivation:
    """Factor kcrit as under a constant moment over the length across."""
    critical = critical_bending_stress(
        width=stock.breadth, depth=stock.depth, effective_length=across, E005=stock.values["E005"]
    )
    return lateral_factor(fmk=stock.values["fmk"], critical=critical)


def unfactored(check: Check) -> Check:
    """A check under loads without partial factors: open with its ratio, unless even so it is over."""
    if check.ratio is None or check.ratio > 1.0:
        return check
    remark = f"with the factors as written: {check.ratio:.2f}"
    return check._replace(ratio=None, capacity=None, reason=UNFACTORED, remarks=(*check.remarks, remark))

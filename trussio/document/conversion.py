"""A truss document from one unit system into the other: every quantity, and nothing else.

Each number goes through decimal arithmetic of 50 digits with exact factors and is rounded to the nearest double,
or to 12 digits where that lies within two units in the last place of it. So 84 in become 2133.6 mm, a length of
up to 12 digits comes back as it was, and any other number within four units in its last place.
Directions, turns in radians, factors of combinations, labels, notes and all other texts stay as they are: a text
that speaks of inches still does.

Factors: see `trussio.units`; 12 in a foot, 1728 cubic inches a cubic foot, 5/9 of a kelvin a degree Fahrenheit.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Context, Decimal
from math import ulp
from typing import TYPE_CHECKING, Final

from trussio.document.condition_conversion import converted_condition
from trussio.document.connections_conversion import converted_along, converted_connection
from trussio.document.ends_conversion import converted_ends
from trussio.document.sags import converted_sags
from trussio.document.site_conversion import KILO, converted_site, converted_surface, with_basis
from trussio.document.staging_conversion import (
    Factors,
    converted_stages,
    converted_tendon_load,
    converted_tendons,
)
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, SupportMovement, Warmer
from trussio.units import GRAVITY, KG_PER_POUND, MM_PER_INCH

if TYPE_CHECKING:
    from trussio.model.change import Change, Source
    from trussio.model.loading import Load, LoadCase, Loads
    from trussio.model.material import Material, Section
    from trussio.model.truss import Joint, JointId, Member, Support, Truss
    from trussio.units import UnitSystem

DIGITS: Final = Context(prec=50)
SHORT: Final = Context(prec=12)

MM: Final = Decimal(str(MM_PER_INCH))
KG: Final = Decimal(str(KG_PER_POUND))
NEWTON: Final = DIGITS.multiply(KG, Decimal(str(GRAVITY)))


def _over(dividend: Decimal, divisor: Decimal) -> Decimal:
    return DIGITS.divide(dividend, divisor)


def _times(*factors: Decimal) -> Decimal:
    product = Decimal(1)
    for factor in factors:
        product = DIGITS.multiply(product, factor)
    return product


LENGTH: Final = MM
AREA: Final = _times(MM, MM)
INERTIA: Final = _times(MM, MM, MM, MM)
FORCE: Final = NEWTON
MOMENT: Final = _times(NEWTON, MM)
SPRING: Final = _over(NEWTON, MM)
STRESS: Final = _over(NEWTON, AREA)
LINE_LOAD: Final = _over(NEWTON, _times(Decimal(12), MM))
AREA_LOAD: Final = _over(_times(NEWTON, KILO), _times(Decimal(144), AREA))
DENSITY: Final = _over(_times(KG, Decimal(10**9)), _times(Decimal(1728), MM, MM, MM))
DEGREES: Final = _over(Decimal(5), Decimal(9))
PER_DEGREE: Final = _over(Decimal(9), Decimal(5))
"""What one unit of `us` is in `si`, by kind of quantity."""
STAGING: Final = Factors(
    length=LENGTH,
    per_length=_over(Decimal(1), LENGTH),
    area=AREA,
    force=FORCE,
    stress=STRESS,
    spring=SPRING,
    turning=MOMENT,
)


class Conversion:
    """Into `to` from the other system."""

    def __init__(self, to: UnitSystem) -> None:
        self._into_si = to == "si"

    def __call__(self, value: float, factor: Decimal) -> float:
        """A number of one kind of quantity."""
        number = Decimal(repr(float(value)))
        exact = DIGITS.multiply(number, factor) if self._into_si else DIGITS.divide(number, factor)
        short, nearest = SHORT.plus(exact), float(exact)
        return float(short) if abs(DIGITS.subtract(short, exact)) <= 2 * Decimal(ulp(nearest)) else nearest

    def maybe(self, value: float | None, factor: Decimal) -> float | None:
        """The same where there is a number."""
        return None if value is None else self(value, factor)


def to_units(truss: Truss, units: UnitSystem) -> Truss:
    """The truss in the unit system `units`."""
    if truss.units == units:
        return truss
    convert = Conversion(units)
    factors = (LENGTH, FORCE, AREA_LOAD)
    converted = replace(
        truss,
        units=units,
        joints={name: _joint(joint, convert) for name, joint in truss.joints.items()},
        members={name: _member(member, convert) for name, member in truss.members.items()},
        supports={name: _support(support, convert) for name, support in truss.supports.items()},
        sections={name: _section(section, convert) for name, section in truss.sections.items()},
        materials={name: _material(material, convert) for name, material in truss.materials.items()},
        loads=_loads(truss.loads, convert),
        site=None if truss.site is None else converted_site(truss.site, convert, factors),
        surfaces={name: converted_surface(one, convert, factors) for name, one in truss.surfaces.items()},
        connections={
            name: converted_connection(one, convert, (LENGTH, FORCE, STRESS))
            for name, one in truss.connections.items()
        },
        condition=converted_condition(truss.condition, convert, LENGTH, AREA, INERTIA),
        sags=converted_sags(truss.sags, convert, LENGTH),
        tendons=converted_tendons(truss.tendons, convert, STAGING),
        stages=converted_stages(truss.stages, convert, STAGING),
        source=None if truss.source is None else _source(truss.source, convert),
    )
    return with_basis(truss, converted, convert, factors)


def _joint(joint: Joint, convert: Conversion) -> Joint:
    return replace(joint, x=convert(joint.x, LENGTH), y=convert(joint.y, LENGTH))


def _member(member: Member, convert: Conversion) -> Member:
    along = converted_along(member, convert, (LENGTH, FORCE, STRESS))
    along = converted_ends(along, convert, LENGTH, SPRING, MOMENT)
    if member.curve is None:
        return along
    return replace(along, curve=replace(member.curve, radius=convert(member.curve.radius, LENGTH)))


def _support(support: Support, convert: Conversion) -> Support:
    springs = {
        direction: convert(stiffness, MOMENT if direction == "turn" else SPRING)
        for direction, stiffness in support.springs.items()
    }
    return replace(support, springs=springs)


def _section(section: Section, convert: Conversion) -> Section:
    return replace(
        section,
        width=convert.maybe(section.width, LENGTH),
        depth=convert.maybe(section.depth, LENGTH),
        gap=convert(section.gap, LENGTH),
        area=convert.maybe(section.area, AREA),
        inertia=convert.maybe(section.inertia, INERTIA),
        shear_area=convert.maybe(section.shear_area, AREA),
    )


def _material(material: Material, convert: Conversion) -> Material:
    reference = material.reference
    return replace(
        material,
        E=convert.maybe(material.E, STRESS),
        G=convert.maybe(material.G, STRESS),
        density=convert.maybe(material.density, DENSITY),
        expansion=convert.maybe(material.expansion, PER_DEGREE),
        reference=None if reference is None else {name: convert(v, STRESS) for name, v in reference.items()},
    )


def _loads(loads: Loads, convert: Conversion) -> Loads:
    return replace(loads, cases={name: _case(case, convert) for name, case in loads.cases.items()})


def _case(case: LoadCase, convert: Conversion) -> LoadCase:
    return replace(case, loads=tuple(_load(load, convert) for load in case.loads))


def _load(load: Load, convert: Conversion) -> Load:
    changed: Load = load
    if isinstance(load, JointLoad):
        moment = convert(load.moment, MOMENT)
        changed = replace(load, fx=convert(load.fx, FORCE), fy=convert(load.fy, FORCE), moment=moment)
    elif isinstance(load, LineLoad):
        start, end = _place(load.start, convert), _place(load.end, convert)
        changed = replace(load, value=_intensity(load.value, convert), start=start, end=end)
    elif isinstance(load, PointLoad):
        at = load.at if isinstance(load.at, str) else convert(load.at, LENGTH)
        changed = replace(load, at=at, fx=convert(load.fx, FORCE), fy=convert(load.fy, FORCE))
    elif isinstance(load, SupportMovement):
        moves = {way: by if way == "turn" else convert(by, LENGTH) for way, by in load.moves.items()}
        changed = replace(load, moves=moves)
    elif isinstance(load, Longer):
        changed = replace(load, by=convert(load.by, LENGTH))
    elif isinstance(load, Warmer):
        changed = replace(load, by=convert(load.by, DEGREES))
    elif not isinstance(load, SelfWeight):
        changed = converted_tendon_load(load, convert, STAGING)
    return changed


def _intensity(value: float | tuple[float, float], convert: Conversion) -> float | tuple[float, float]:
    if isinstance(value, tuple):
        return (convert(value[0], LINE_LOAD), convert(value[1], LINE_LOAD))
    return convert(value, LINE_LOAD)


def _place(place: JointId | float | None, convert: Conversion) -> JointId | float | None:
    return place if place is None or isinstance(place, str) else convert(place, LENGTH)


def _source(source: Source, convert: Conversion) -> Source:
    return replace(source, changes=tuple(_change(change, convert) for change in source.changes))


def _change(change: Change, convert: Conversion) -> Change:
    where = change.where
    return replace(
        change,
        where=None if where is None else (convert(where[0], LENGTH), convert(where[1], LENGTH)),
        distance=convert.maybe(change.distance, LENGTH),
    )

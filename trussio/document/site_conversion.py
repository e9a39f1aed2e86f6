"""Site, surfaces and what is told of generated loads, from one unit system into the other.

The lines of a derivation carry their own units, those in which the clause is written, and stay as they are. The
digests of what was generated are taken again where they held, so that a conversion is no edit.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from trussio.model.generated import case_digest, edited, inputs_digest, outdated

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from trussio.model.site import AreaLoad, Hung, Site, Step, Surface
    from trussio.model.truss import Truss

    Convert = Callable[[float, Decimal], float]
    Factors = tuple[Decimal, Decimal, Decimal]

KILO: Final = Decimal(1000)
"""N/mm2 are MPa; an area load is given in kPa."""


def converted_site(site: Site, convert: Convert, factors: Factors) -> Site:
    """A site; `factors` are those of length, force and area load."""
    length, force, area = factors
    return replace(
        site,
        spacing=convert(site.spacing, length),
        ground_snow=_maybe(site.ground_snow, convert, area),
        flat_roof_snow=_maybe(site.flat_roof_snow, convert, area),
        roof_live=_maybe(site.roof_live, convert, area),
        panel_load=_maybe(site.panel_load, convert, force),
        steps=None if site.steps is None else tuple(_step(step, convert, length) for step in site.steps),
        hung=None if site.hung is None else {n: _hung(one, convert, factors) for n, one in site.hung.items()},
    )


def converted_surface(surface: Surface, convert: Convert, factors: Factors) -> Surface:
    """A surface."""
    length, _, area = factors
    purlins = surface.purlins
    return replace(
        surface,
        dead=_area_loads(surface.dead, convert, area),
        live=_area_loads(surface.live, convert, area),
        purlins=None
        if purlins is None
        else tuple(place if isinstance(place, str) else convert(place, length) for place in purlins),
    )


def with_basis(before: Truss, after: Truss, convert: Convert, factors: Factors) -> Truss:
    """The converted truss with what is told of its generated loads converted as well."""
    basis = before.loads.basis
    if basis is None:
        return after
    length, _, area = factors
    changed = set(edited(before.loads))
    cases = {}
    for run, made in basis.cases.items():
        points = tuple((convert(x, length), convert(load, area)) for x, load in made.diagram)
        digest = made.digest if run in changed else case_digest(after.loads.cases[run])
        cases[run] = replace(made, diagram=points, digest=digest)
    inputs = basis.inputs if outdated(before) else inputs_digest(after)
    return replace(after, loads=replace(after.loads, basis=replace(basis, cases=cases, inputs=inputs)))


def _maybe(value: float | None, convert: Convert, factor: Decimal) -> float | None:
    return None if value is None else convert(value, factor)


def _step(step: Step, convert: Convert, length: Decimal) -> Step:
    return step._replace(
        height=convert(step.height, length),
        length=_maybe(step.length, convert, length),
        run=_maybe(step.run, convert, length),
    )


def _hung(hung: Hung, convert: Convert, factors: Factors) -> Hung:
    at = hung.at if hung.at is None or isinstance(hung.at, str) else convert(hung.at, factors[0])
    return hung._replace(weight=convert(hung.weight, factors[1]), at=at)


def _area_loads(
    loads: Mapping[str, AreaLoad] | None, convert: Convert, area: Decimal
) -> dict[str, AreaLoad] | None:
    if loads is None:
        return None
    return {name: load._replace(value=convert(load.value, area)) for name, load in loads.items()}

"""Site and surfaces, written, and what is told of generated loads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import entry, entry_with_defaults, free
from trussio.document.positions import escaped

if TYPE_CHECKING:
    from collections.abc import Mapping
    from collections.abc import Set as AbstractSet

    from trussio.document.entry import Object
    from trussio.model.site import AreaLoad, Generated, Hung, LoadBasis, Site, Surface


def encode_site(site: Site) -> Object:
    """The JSON value of a site: its fields under their own names."""
    fields: Object = dict(vars(site))
    fields["near_eave"] = None if site.near_eave is None else list(site.near_eave)
    fields["steps"] = None if site.steps is None else [entry(step._asdict()) for step in site.steps]
    fields["hung"] = None if site.hung is None else {name: _hung(one) for name, one in site.hung.items()}
    fields["notes"] = free(site.notes)
    return entry(fields)


def encode_surface(surface: Surface) -> Object:
    """The JSON value of a surface."""
    return entry(
        {
            "kind": surface.kind,
            "member": surface.member,
            "role": surface.role,
            "snow": surface.snow,
            "dead": _area_loads(surface.dead),
            "live": _area_loads(surface.live),
            "purlins": None if surface.purlins is None else list(surface.purlins),
            "notes": free(surface.notes),
        }
    )


def encode_load_basis(basis: LoadBasis, written_out: AbstractSet[str]) -> Object:
    """The JSON value of what generated the loads."""
    fields: Object = {
        "edition": basis.edition,
        "spread": basis.spread,
        "inputs": basis.inputs,
        "cases": {
            name: _generated(made, f"/loads/basis/cases/{escaped(name)}", written_out)
            for name, made in basis.cases.items()
        },
        "combinations": {
            name: _generated(made, f"/loads/basis/combinations/{escaped(name)}", written_out)
            for name, made in basis.combinations.items()
        },
        "not_evaluated": list(basis.not_evaluated),
    }
    return entry_with_defaults(fields, {"not_evaluated": []}, "/loads/basis", written_out)


def _hung(hung: Hung) -> Object:
    return entry(hung._asdict())


def _area_loads(loads: Mapping[str, AreaLoad] | None) -> Object | None:
    return None if loads is None else {name: entry(load._asdict()) for name, load in loads.items()}


def _generated(made: Generated, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "pattern": made.pattern,
        "says": made.says,
        "clause": made.clause,
        "mark": made.mark,
        "digest": made.digest,
        "lines": [line._asdict() for line in made.lines],
        "diagram": [list(point) for point in made.diagram],
    }
    return entry_with_defaults(fields, {"lines": [], "diagram": []}, where, written_out)

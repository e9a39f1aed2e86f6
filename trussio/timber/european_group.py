"""A group of fasteners between European strength classes and steel: its distances and its design resistance.

Lengths mm, forces N, stresses MPa. Source: EN 1995-1-1 2.4.3 and the tables of distances that are handed in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.timber.eurocode import modification_factor, partial_factor
from trussio.timber.european_checks import duration_of
from trussio.timber.european_dowels import rules_of
from trussio.timber.fastened import edges, towards_end
from trussio.timber.joints import angle_between
from trussio.timber.working import derived

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from trussio.model.check import Derivation
    from trussio.model.connection import Fasteners
    from trussio.model.truss import MemberId
    from trussio.timber.bench import Bench, State
    from trussio.timber.european_dowels import Rules
    from trussio.timber.joints import Layer, Vector

HAIR: Final = 1e-9


class Bolts(NamedTuple):
    """A group of fasteners between layers; `brought` is what each stick brings (N), `scale` leads to mm and MPa.

    `known` says that rings or shear plates were detected, or seen in an opened joint.
    """

    fasteners: Fasteners
    layers: Sequence[Layer]
    brought: Mapping[MemberId, Vector]
    closings: Sequence[tuple[int, ...]]
    scale: tuple[float, float]
    known: bool = False

    @property
    def rules(self) -> Rules:
        """The rules of one fastener, those of its bolt for a ring."""
        return rules_of(self.fasteners, self.scale[0])

    @property
    def diameter(self) -> float:
        """Diameter in mm."""
        return self.fasteners.diameter * self.scale[0]

    @property
    def in_row(self) -> int:
        """The bolts of the longest row."""
        return -(-self.fasteners.count // (self.fasteners.rows or 1))


def design_resistance(bench: Bench, characteristic: Derivation, state: State) -> Derivation:
    """Kmod Fk / gamma_M of a connection."""
    service = 2 if bench.given.service_class is None else bench.given.service_class
    kmod = modification_factor(service_class=service, duration=duration_of(state.kinds))
    gamma = partial_factor("connection")
    value = kmod.value * characteristic.value / gamma.value
    return derived("F,Rd", value, "N", "kmod F,Rk / gamma_M", "EN 1995-1-1 2.17", characteristic, kmod, gamma)


def distance_refusals(
    at: Bolts, layer: Layer, own: Vector, table: Callable[[float, float], Mapping[str, Derivation]]
) -> Iterator[str]:
    """Distances of one layer below those of a table, by angle to the grain and rho_k."""
    found = table(angle_between(own, layer.grain), layer.rho_k or 0.0)
    least = {name: one.value for name, one in found.items()}
    where = next(iter(found.values())).lines[-1].clause.removeprefix("EN 1995-1-1 ")
    loaded, other = edges(layer, own)
    given: list[tuple[str, float | None, float]] = []
    if layer.inward is not None:
        if layer.piece.end is None:
            raise UsageError(
                "distance-missing",
                where="fasteners",
                what=f"the end distance in {layer.name} is not given.",
                do="Enter it as measured.",
            )
        given.append(("end distance", layer.piece.end, least["a3t" if towards_end(layer, own) else "a3c"]))
    given.append(("loaded edge distance", loaded, least["a4t"]))
    given.append(("unloaded edge distance", other, least["a4c"]))
    scale = at.scale[0]
    if at.in_row > 1 and at.fasteners.spacing is not None:
        given.append(("spacing in a row", at.fasteners.spacing * scale, least["a1"]))
    if (at.fasteners.rows or 1) > 1 and at.fasteners.gauge is not None:
        given.append(("spacing between rows", at.fasteners.gauge * scale, least["a2"]))
    for what, actual, floor in given:
        if actual is not None and actual < floor * (1 - HAIR):
            yield f"{what} {actual:.4g} mm in {layer.name} is below the least, {floor:.4g} mm ({where})"

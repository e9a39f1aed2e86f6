"""Site and surfaces of a roof, read: what loads are generated from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, distinct, each, record
from trussio.document.generated_decode import edition
from trussio.document.loads_decode import place, slope_or_plan
from trussio.document.names import joint_id, member_id, role
from trussio.document.values import (
    CONTROLS,
    chosen,
    free,
    nonnegative,
    number,
    positive,
    quantity,
    refuse,
    text,
)
from trussio.model.site import AreaLoad, Hung, Site, Step, Surface

if TYPE_CHECKING:
    from typing import Final, Literal

    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.document.values import IdRule
    from trussio.model.site import Exposure, Risk, Seen, Side, Terrain, Thermal
    from trussio.model.truss import JointId, Json

TERRAINS: Final[tuple[Terrain, ...]] = ("B", "C", "D", "above-tree-line", "alaska")
EXPOSURES: Final[tuple[Exposure, ...]] = ("fully", "partially", "sheltered", "windswept", "normal")
THERMALS: Final[tuple[Thermal, ...]] = (
    "heated",
    "just-above-freezing",
    "cold-ventilated",
    "unheated",
    "freezer",
    "greenhouse",
)
RISKS: Final[tuple[Risk, ...]] = ("I", "II", "III", "IV")
SIDES: Final[tuple[Side, ...]] = ("left", "right")
SHAPES: Final[tuple[Literal["curved", "pitched"], ...]] = ("curved", "pitched")
TALLER: Final[tuple[Literal["taller-roof", "parapet"], ...]] = ("taller-roof", "parapet")
SEEN: Final[tuple[Seen, ...]] = ("none", "in-model", "not-seen")
LINED: Final[tuple[Literal["roof", "ceiling"], ...]] = ("roof", "ceiling")
HUNG: Final[tuple[Literal["dead", "live"], ...]] = ("dead", "live")
NAME: IdRule = (frozenset(CONTROLS), 64)
"""What people call a roofing or something hung; nothing refers to it."""

side = chosen(SIDES)
seen = chosen(SEEN)
share = quantity(0.0, 1.0, "a number from 0 to 1")
SLOPE = quantity(0.0, 90.0, "a number from 0 to 90")
sides = distinct(side, 'a list of "left", "right" or both')


def flag(value: Json, where: str, ledger: Ledger) -> bool:
    """Yes or no."""
    if not isinstance(value, bool):
        refuse(value, where, ledger, "true or false")
        return False
    return value


def place_along(value: Json, where: str, ledger: Ledger) -> JointId | float:
    """A joint, or x in the plane of the truss."""
    return joint_id(value, where, ledger) if isinstance(value, str) else number(value, where, ledger)


def area_load(fields: Fields) -> AreaLoad:
    """A load per area."""
    return AreaLoad(
        value=fields.need("value", nonnegative),
        per=fields.get("per", slope_or_plan),
        source=fields.get("source", text),
    )


def hung(fields: Fields) -> Hung:
    """A weight that hangs somewhere."""
    given = {key for key in ("joint", "member", "at") if key in fields.value}
    if fields.sound and given not in ({"joint"}, {"member", "at"}):
        what = "it is not clear where this hangs."
        fields.ledger.add(fields.where, what, 'Give "joint", or "member" with "at", and not both.')
    return Hung(
        weight=fields.need("weight", nonnegative),
        joint=fields.get("joint", joint_id),
        member=fields.get("member", member_id),
        at=fields.get("at", place),
        kind=fields.get("kind", chosen(HUNG)),
        source=fields.get("source", text),
    )


def step(fields: Fields) -> Step:
    """Something taller beyond one end of the roof."""
    return Step(
        side=fields.need("side", side),
        kind=fields.need("kind", chosen(TALLER)),
        height=fields.need("height", positive),
        length=fields.get("length", positive),
        slope=fields.get("slope", SLOPE),
        run=fields.get("run", nonnegative),
        slippery=fields.get("slippery", flag),
    )


def site(fields: Fields) -> Site:
    """The site."""
    return Site(
        edition=fields.need("edition", edition),
        spacing=fields.need("spacing", positive),
        ground_snow=fields.get("ground_snow", nonnegative),
        flat_roof_snow=fields.get("flat_roof_snow", nonnegative),
        terrain=fields.get("terrain", chosen(TERRAINS)),
        exposure=fields.get("exposure", chosen(EXPOSURES)),
        exposure_factor=fields.get("exposure_factor", positive),
        thermal=fields.get("thermal", chosen(THERMALS)),
        thermal_factor=fields.get("thermal_factor", positive),
        risk=fields.get("risk", chosen(RISKS)),
        importance_factor=fields.get("importance_factor", positive),
        slippery=fields.get("slippery", flag),
        obstructed=fields.get("obstructed", flag),
        multiple_vaults=fields.get("multiple_vaults", flag),
        near_eave=fields.get("near_eave", sides),
        shape=fields.get("shape", chosen(SHAPES)),
        steps=fields.get("steps", STEPS),
        winter_wind=fields.get("winter_wind", share),
        roof_live=fields.get("roof_live", nonnegative),
        exceptional=fields.get("exceptional", positive),
        psi0_snow=fields.get("psi0_snow", share),
        psi0_live=fields.get("psi0_live", share),
        self_weight=fields.get("self_weight", flag),
        hung=fields.get("hung", HUNG_WEIGHTS),
        panel_load=fields.get("panel_load", nonnegative),
        knee_braces=fields.get("knee_braces", seen),
        columns=fields.get("columns", seen),
        notes=fields.get("notes", free),
    )


def surface(fields: Fields) -> Surface:
    """A surface."""
    if fields.sound and ("member" in fields.value) == ("role" in fields.value):
        both = "member" in fields.value
        what = "this surface names both a member and a role." if both else "this surface lies on nothing."
        do = "Keep the one that is meant." if both else 'Add "role", or "member" with an id.'
        fields.ledger.add(fields.where, what, do)
    return Surface(
        kind=fields.need("kind", chosen(LINED)),
        member=fields.get("member", member_id),
        role=fields.get("role", role),
        snow=fields.get("snow", flag),
        dead=fields.get("dead", AREA_LOADS),
        live=fields.get("live", AREA_LOADS),
        purlins=fields.get("purlins", PURLINS),
        notes=fields.get("notes", free),
    )


STEPS = each(record(step), "a list of steps")
HUNG_WEIGHTS = by_id(str, record(hung), rule=NAME)
AREA_LOADS = by_id(str, record(area_load), rule=NAME)
PURLINS = each(place_along, "a list of joints, or of numbers for x")
SITE = record(site)
SURFACES = by_id(str, record(surface))

"""Loads, read: cases of loads of every kind, and combinations of cases.

A load is told by the field that only its kind has: `joint`, `weight_of`, `support`, `longer`, `warmer`, `at`,
`tendon`; what is left is a line load, `down`, `right` or `across`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, distinct, each, record
from trussio.document.late import late
from trussio.document.names import DIRECTIONS, joint_id, member_id, role
from trussio.document.values import chosen, free, nonnegative, number, pair
from trussio.late import loaded
from trussio.model.loading import (
    JointLoad,
    LineLoad,
    Load,
    LoadCase,
    Loads,
    Longer,
    PointLoad,
    RunId,
    SelfWeight,
    SupportMovement,
    Target,
    Warmer,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Final, Literal

    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.document.values import Reader
    from trussio.model.loading import CaseKind
    from trussio.model.site import LoadBasis
    from trussio.model.truss import Direction, JointId, Json, MemberId

CASE_KINDS: Final[tuple[CaseKind, ...]] = (
    "dead",
    "snow",
    "roof-live",
    "live",
    "wind",
    "post-tension",
    "imposed",
    "other",
)
LINE_DIRECTIONS: Final[tuple[Literal["down", "right", "across"], ...]] = ("down", "right", "across")
PER: Final[tuple[Literal["slope", "plan"], ...]] = ("slope", "plan")

case_kind = chosen(CASE_KINDS)
slope_or_plan = chosen(PER)
two_intensities = pair("a number, or two for the ends of the stretch")


def place(value: Json, where: str, ledger: Ledger) -> JointId | float:
    """A place on a stick: a joint, or a distance from the stick's first joint."""
    if isinstance(value, str):
        return joint_id(value, where, ledger)
    return nonnegative(value, where, ledger)


def intensity(value: Json, where: str, ledger: Ledger) -> float | tuple[float, float]:
    """One intensity, or those at both ends of the stretch."""
    if not isinstance(value, list):
        return number(value, where, ledger)
    return two_intensities(value, where, ledger)


def target(fields: Fields) -> Target:
    """The stick or the role that a load acts on."""
    made = Target(member=fields.get("member", member_id), role=fields.get("role", role))
    if ("member" in fields.value) == ("role" in fields.value):
        both = "member" in fields.value
        fields.ledger.add(
            fields.where,
            "this load names both a member and a role." if both else "this load names no member and no role.",
            "Keep the one that is meant." if both else 'Add "member" with an id, or "role".',
        )
    return made


def joint_load(fields: Fields) -> JointLoad:
    """Forces and a moment at a joint."""
    return JointLoad(
        joint=fields.need("joint", joint_id),
        fx=fields.default("fx", number, 0.0),
        fy=fields.default("fy", number, 0.0),
        moment=fields.default("moment", number, 0.0),
        notes=fields.get("notes", free),
    )


def line_load(fields: Fields) -> LineLoad:
    """A load along a stick."""
    on = target(fields)
    start, end = fields.get("from", place), fields.get("to", place)
    values = {direction: fields.get(direction, intensity) for direction in LINE_DIRECTIONS}
    given = [direction for direction in LINE_DIRECTIONS if direction in fields.value]
    if len(given) != 1:
        words = " and ".join(given)
        fields.ledger.add(
            fields.where,
            f"this load acts {words} at once." if given else "this load says nothing that acts.",
            "Write one load for each."
            if given
            else 'Add "down", "right" or "across"; "at" makes fx, fy act on a stick.',
        )
    per = fields.get("per", slope_or_plan)
    if per is not None and "across" in given:
        what = 'a load across a stick is always per length of the stick, so "per" has no meaning.'
        fields.ledger.add(f"{fields.where}/per", what, 'Take "per" out.')
    direction = given[0] if given else "down"
    value = values[direction]
    return LineLoad(
        on=on,
        direction=direction,
        value=0.0 if value is None else value,
        start=start,
        end=end,
        per=per,
        notes=fields.get("notes", free),
    )


def point_load(fields: Fields) -> PointLoad:
    """A force on a stick."""
    return PointLoad(
        on=target(fields),
        at=fields.need("at", place),
        fx=fields.default("fx", number, 0.0),
        fy=fields.default("fy", number, 0.0),
        notes=fields.get("notes", free),
    )


def weight_of(value: Json, where: str, ledger: Ledger) -> Literal["all"] | tuple[MemberId, ...]:
    """All sticks, or those named."""
    if value == "all":
        return "all"
    return WEIGHED(value, where, ledger)


def self_weight(fields: Fields) -> SelfWeight:
    """The weight of sticks."""
    return SelfWeight(of=fields.need("weight_of", weight_of), notes=fields.get("notes", free))


def moves(fields: Fields) -> dict[Direction, float]:
    """How a support moves, by direction."""
    found = {direction: fields.get(direction, number) for direction in DIRECTIONS}
    return {direction: by for direction, by in found.items() if by is not None}


def movement(fields: Fields) -> SupportMovement:
    """The movement of a support."""
    return SupportMovement(
        support=fields.need("support", joint_id),
        moves=fields.need("moves", MOVES),
        notes=fields.get("notes", free),
    )


def longer(fields: Fields) -> Longer:
    """A stick longer than drawn."""
    return Longer(on=target(fields), by=fields.need("longer", number), notes=fields.get("notes", free))


def warmer(fields: Fields) -> Warmer:
    """A stick warmer than the rest."""
    return Warmer(on=target(fields), by=fields.need("warmer", number), notes=fields.get("notes", free))


def tendon_load(fields: Fields) -> Load:
    """What a case does to a tendon."""
    decode: Callable[[Fields], Load] = loaded("trussio.document.staging_decode:tendon_load")
    return decode(fields)


def load(fields: Fields) -> Load:
    """A load of whatever kind."""
    return next((decode for key, decode in TELLING.items() if key in fields.value), line_load)(fields)


def case(fields: Fields) -> LoadCase:
    """A load case."""
    return LoadCase(
        kind=fields.get("kind", case_kind),
        loads=fields.default("loads", LOADS, ()),
        notes=fields.get("notes", free),
    )


def loads(fields: Fields) -> Loads:
    """Cases and combinations, and what generated them."""
    return Loads(
        cases=fields.default("cases", CASES, {}),
        combinations=fields.default("combinations", COMBINATIONS, {}),
        basis=fields.get("basis", LOAD_BASIS),
        notes=fields.get("notes", free),
    )


WEIGHED = distinct(member_id, '"all" or a list of member ids', least=1)
MOVES = record(moves)
TELLING: Final[dict[str, Callable[[Fields], Load]]] = {
    "joint": joint_load,
    "weight_of": self_weight,
    "support": movement,
    "longer": longer,
    "warmer": warmer,
    "at": point_load,
    "tendon": tendon_load,
}
"""The field that tells a kind of load, and what reads that kind."""
LOADS = each(record(load), "a list of loads")
CASES = by_id(RunId, record(case))
COMBINATIONS = by_id(RunId, by_id(RunId, number))
LOAD_BASIS: Reader[LoadBasis] = late("trussio.document.generated_decode:LOAD_BASIS")

"""Tendons and stages, read; an action is told by the field that only its kind has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.decode import ENDS, HOLDS, SPRINGS
from trussio.document.fields import by_id, distinct, each, record
from trussio.document.names import joint_id, member_id, run_id
from trussio.document.site_decode import flag
from trussio.document.values import (
    ANY_ID,
    chosen,
    free,
    ident,
    nonnegative,
    number,
    positive,
    quantity,
    text,
    whole,
)
from trussio.model.staging import (
    Add,
    Jack,
    PutOn,
    Release,
    Remove,
    Replace,
    Shore,
    Stage,
    TakeOff,
    Tension,
)
from trussio.model.tendon import Point, Tendon, TendonLoad

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Final, Literal

    from trussio.document.fields import Fields
    from trussio.model.staging import Action

ACTS: Final[tuple[Literal["member", "force"], ...]] = ("member", "force")
STEELS: Final[tuple[Literal["strand", "bar"], ...]] = ("strand", "bar")
MOST_STRANDS = 999

tendon_id = ident(str, ANY_ID)
share = quantity(0.0, 1.0, "a number from 0 to 1")
strands = whole(1, MOST_STRANDS, "a whole number from 1 to 999")


def point(fields: Fields) -> Point:
    """An anchor or a deviator."""
    return Point(
        joint=fields.need("joint", joint_id),
        bears_on=fields.get("bears_on", member_id),
        offset=fields.default("offset", number, 0.0),
        bearing=fields.get("bearing", positive),
    )


def tendon(fields: Fields) -> Tendon:
    """A tendon."""
    return Tendon(
        path=fields.need("path", PATH),
        area=fields.get("area", positive),
        strands=fields.default("strands", strands, 1),
        E=fields.get("E", positive),
        stressed=fields.default("stressed", chosen(ENDS), "first"),
        friction=fields.get("friction", nonnegative),
        wobble=fields.default("wobble", nonnegative, 0.0),
        slip=fields.get("slip", nonnegative),
        loss=fields.get("loss", share),
        acts=fields.default("acts", chosen(ACTS), "member"),
        label=fields.get("label", text),
        notes=fields.get("notes", free),
        steel=fields.get("steel", chosen(STEELS)),
        fu=fields.get("fu", positive),
    )


def tendon_load(fields: Fields) -> TendonLoad:
    """What a case does to a tendon."""
    made = TendonLoad(
        tendon=fields.need("tendon", tendon_id),
        force=fields.get("force", nonnegative),
        stress=fields.get("stress", nonnegative),
        notes=fields.get("notes", free),
    )
    _one_of(fields, "force", "stress")
    return made


def put_on(fields: Fields) -> PutOn:
    """Cases come on."""
    return PutOn(cases=fields.need("load", CASES), notes=fields.get("notes", free))


def take_off(fields: Fields) -> TakeOff:
    """Cases go off."""
    return TakeOff(cases=fields.need("unload", CASES), notes=fields.get("notes", free))


def shore(fields: Fields) -> Shore:
    """Shores are set."""
    made = Shore(
        joints=fields.need("shore", JOINTS),
        holds=fields.default("holds", HOLDS, ("y",)),
        springs=fields.get("springs", SPRINGS),
        both_ways=fields.default("both_ways", flag, absent=False),
        notes=fields.get("notes", free),
    )
    if fields.sound and not made.holds and not made.springs:
        fields.ledger.add(fields.where, "these shores hold nothing.", 'Leave "holds" out for what holds y.')
    return made


def jack(fields: Fields) -> Jack:
    """Shores are jacked."""
    made = Jack(
        joints=fields.need("jack", JOINTS),
        force=fields.get("force", nonnegative),
        by=fields.get("by", number),
        notes=fields.get("notes", free),
    )
    _one_of(fields, "force", "by")
    return made


def release(fields: Fields) -> Release:
    """Shores are taken away."""
    return Release(joints=fields.need("release", JOINTS), notes=fields.get("notes", free))


def remove(fields: Fields) -> Remove:
    """Sticks are taken out."""
    return Remove(members=fields.need("remove", MEMBERS), notes=fields.get("notes", free))


def add(fields: Fields) -> Add:
    """Sticks come in."""
    made = Add(
        members=fields.need("add", MEMBERS),
        beside=fields.get("beside", member_id),
        glued=fields.default("glued", flag, absent=False),
        slip=fields.get("slip", positive),
        along=fields.get("slip_along", positive),
        notes=fields.get("notes", free),
    )
    ties = [key for key in ("glued", "slip", "slip_along") if fields.value.get(key)]
    if len(ties) > 1:
        what = f"these sticks are tied by {' and '.join(ties)} at once."
        fields.ledger.add(fields.where, what, "Keep the one that is so.")
    if ties and made.beside is None:
        what = f'"{ties[0]}" ties a stick to another, and none is named.'
        fields.ledger.add(fields.where, what, 'Say beside which stick it lies, with "beside".')
    return made


def exchange(fields: Fields) -> Replace:
    """A stick is taken out and another put in."""
    return Replace(
        member=fields.need("replace", member_id),
        by=fields.need("with", member_id),
        notes=fields.get("notes", free),
    )


def tension(fields: Fields) -> Tension:
    """Tendons are jacked."""
    return Tension(
        tendons=fields.need("tension", TENDON_IDS),
        to=fields.default("to", nonnegative, 1.0),
        notes=fields.get("notes", free),
    )


def action(fields: Fields) -> Action:
    """An action of whatever kind."""
    told = [key for key in TELLING if key in fields.value]
    if fields.sound and len(told) != 1:
        words = " and ".join(told)
        what = f"this action does {words} at once." if told else "this says nothing that is done."
        do = "Write one action for each." if told else f"Write one of {', '.join(TELLING)}."
        fields.ledger.add(fields.where, what, do)
    return TELLING[told[0] if told else "load"](fields)


def stage(fields: Fields) -> Stage:
    """A stage."""
    return Stage(
        id=fields.need("id", ident(str, ANY_ID)),
        actions=fields.need("actions", ACTIONS),
        runs=fields.get("runs", RUNS),
        notes=fields.get("notes", free),
    )


def _one_of(fields: Fields, one: str, other: str) -> None:
    both = one in fields.value
    if fields.sound and both == (other in fields.value):
        what = f'this gives both "{one}" and "{other}".' if both else f'this gives neither "{one}" nor "{other}".'
        fields.ledger.add(fields.where, what, "Give one of the two.")


CASES = distinct(run_id, "a list of one case id or more", least=1)
RUNS = distinct(run_id, "a list of cases and combinations")
JOINTS = distinct(joint_id, "a list of one joint id or more", least=1)
MEMBERS = distinct(member_id, "a list of one member id or more", least=1)
TENDON_IDS = distinct(tendon_id, "a list of one tendon id or more", least=1)
PATH = each(record(point), "a list of two points or more", least=2)
TELLING: Final[dict[str, Callable[[Fields], Action]]] = {
    "load": put_on,
    "unload": take_off,
    "shore": shore,
    "jack": jack,
    "release": release,
    "remove": remove,
    "add": add,
    "replace": exchange,
    "tension": tension,
}
"""The field that tells a kind of action, and what reads that kind."""
ACTIONS = each(record(action), "a list of actions")
TENDONS = by_id(str, record(tendon))
STAGES = each(record(stage), "a list of stages")

"""What a schema cannot say of a truss document: that its names name something and its parts fit together.

Each check enters its faults in the ledger and goes on. A reference is not looked up where the container that it
looks into is itself at fault, and geometry is not judged where a joint is unknown.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.bearings import check_bearing, check_movement
from trussio.document.positions import escaped
from trussio.document.site_names import hung_points, names_of_site
from trussio.document.sticks import Sticks, stick_faults
from trussio.late import loaded
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, SupportMovement, Warmer

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from trussio.document.ledger import Ledger
    from trussio.model.loading import Load, LoadCase, Loads
    from trussio.model.truss import Member, Truss

CONTAINERS = {
    "joint": "/joints",
    "member": "/members",
    "support": "/supports",
    "section": "/sections",
    "material": "/materials",
    "case": "/loads/cases",
    "run": "/loads",
    "tendon": "/tendons",
}
"""Where the things of each kind stand."""
OF_STICKS = (LineLoad, PointLoad, Longer, Warmer)
OF_TRUSS = (JointLoad, SelfWeight, SupportMovement, *OF_STICKS)
"""Loads on sticks, and all that are not on tendons."""
ENDS = "trussio.document.ends_faults:end_faults"
CONDITION = "trussio.document.condition_faults:check_condition"
CONNECTIONS = "trussio.document.connection_faults:check_connections"
SAGS = "trussio.document.sags:check_sags"
STAGING = "trussio.document.staging_faults:check_staging"


def check_truss(truss: Truss, ledger: Ledger) -> None:
    """Everything that a schema cannot say of a truss document."""
    _check_members(truss, ledger)
    _check_supports(truss, ledger)
    check_loads(truss.loads, ledger)
    sticks = Sticks(truss)
    for case, entry in truss.loads.cases.items():
        for index, load in enumerate(entry.loads):
            _check_load(truss, sticks, load, f"/loads/cases/{escaped(case)}/loads/{index}", ledger)
    if truss.connections or any(_says_more(member) for member in truss.members.values()):
        check_joined: Callable[[Truss, Sticks, Ledger], None] = loaded(CONNECTIONS)
        check_joined(truss, sticks, ledger)
    if truss.condition:
        _check_condition(truss, sticks, ledger)
    if truss.sags:
        _check_sags(truss, ledger)
    if truss.tendons or truss.stages or any(_tensed(case) for case in truss.loads.cases.values()):
        check_stages: Callable[[Truss, Ledger], None] = loaded(STAGING)
        check_stages(truss, ledger)
    for place, thing, named in names_of_site(truss.site, truss.surfaces):
        refer(ledger, place, named, truss.joints if thing == "joint" else truss.members, thing)
    for place, point in hung_points(truss.site):
        if point.on.member in truss.members:
            sticks.check_point(point, place, ledger)


def _check_supports(truss: Truss, ledger: Ledger) -> None:
    for name, support in truss.supports.items():
        where = f"/supports/{escaped(name)}"
        refer(ledger, where, name, truss.joints, "joint", on_key=True)
        check_bearing(support, where, ledger)


def _says_more(member: Member) -> bool:
    """Whether a member says what holds it, where it is cut, or what joins its plies."""
    return bool(member.braced or member.butts or member.laminations or member.stitched or member.spaced)


def _tensed(case: LoadCase) -> bool:
    """Whether a case may stress a tendon."""
    return any(not isinstance(load, OF_TRUSS) for load in case.loads)


def _check_condition(truss: Truss, sticks: Sticks, ledger: Ledger) -> None:
    for name, one in truss.condition.items():
        refer(ledger, f"/condition/{escaped(name)}/member", one.member, truss.members, "member")
    check: Callable[[Truss, Sticks, Ledger], None] = loaded(CONDITION)
    check(truss, sticks, ledger)


def _check_sags(truss: Truss, ledger: Ledger) -> None:
    for name, one in truss.sags.items():
        where = f"/sags/{escaped(name)}"
        for key, joint in (("from", one.start), ("to", one.end), ("at", one.at)):
            if joint is not None:
                refer(ledger, f"{where}/{key}", joint, truss.joints, "joint")
        for case in one.load or ():
            refer(ledger, f"{where}/load/{escaped(case)}", case, truss.loads.cases, "case", on_key=True)
    check: Callable[[Truss, Ledger], None] = loaded(SAGS)
    check(truss, ledger)


def check_loads(loads: Loads, ledger: Ledger) -> None:
    """That no run has two meanings, and that combinations combine cases that are there."""
    for name, factors in loads.combinations.items():
        where = f"/loads/combinations/{escaped(name)}"
        if name in loads.cases:
            what = f'"{name}" is a case and a combination at once.'
            ledger.add(where, what, "Give one of the two another id.", on_key=True)
        for case in factors:
            place = f"{where}/{escaped(case)}"
            if case in loads.combinations and case not in loads.cases:
                what = f'"{case}" is a combination; combinations combine cases.'
                ledger.add(place, what, "Write the factors of its cases here.", on_key=True)
            else:
                refer(ledger, place, case, loads.cases, "case", on_key=True)


def refer(
    ledger: Ledger, where: str, name: str, among: Collection[str], thing: str, *, on_key: bool = False
) -> bool:
    """Whether a name names something; a fault is entered where it does not.

    An empty name is the stand-in of one that was no id, which is a fault already.
    """
    if name in among:
        return True
    container = CONTAINERS[thing]
    if name and container not in ledger.broken:
        advice = ledger.meant(name, among) or f"Add it to {container}, or name one that is there."
        ledger.add(where, f'no {thing} is called "{name}".', advice, on_key=on_key)
    return False


def _check_members(truss: Truss, ledger: Ledger) -> None:
    for name, member in truss.members.items():
        where = f"/members/{escaped(name)}"
        known = [
            refer(ledger, f"{where}/through/{index}", joint, truss.joints, "joint")
            for index, joint in enumerate(member.through)
        ]
        if all(known):
            for place, what, advice in stick_faults(truss, member):
                ledger.add(f"{where}/{place}", what, advice)
            if member.offsets or member.turning or member.fastener_slip:
                _check_ends(truss, member, where, ledger)
        if member.section is not None:
            refer(ledger, f"{where}/section", member.section, truss.sections, "section")
        if member.material is not None:
            refer(ledger, f"{where}/material", member.material, truss.materials, "material")


def _check_ends(truss: Truss, member: Member, where: str, ledger: Ledger) -> None:
    faults: Callable[[Truss, Member], Iterator[tuple[str, str, str]]] = loaded(ENDS)
    for place, what, advice in faults(truss, member):
        ledger.add(f"{where}/{place}", what, advice)


def _check_load(truss: Truss, sticks: Sticks, load: Load, where: str, ledger: Ledger) -> None:
    if isinstance(load, JointLoad):
        refer(ledger, f"{where}/joint", load.joint, truss.joints, "joint")
    elif isinstance(load, SupportMovement):
        if refer(ledger, f"{where}/support", load.support, truss.supports, "support"):
            check_movement(truss.supports[load.support], load.moves, f"{where}/moves", ledger)
    elif isinstance(load, SelfWeight):
        for index, name in enumerate(load.of if load.of != "all" else ()):
            refer(ledger, f"{where}/weight_of/{index}", name, truss.members, "member")
    elif not isinstance(load, OF_STICKS):
        return
    elif load.on.member is None or refer(ledger, f"{where}/member", load.on.member, truss.members, "member"):
        if isinstance(load, LineLoad):
            sticks.check_stretch(load, where, ledger)
        elif isinstance(load, PointLoad):
            sticks.check_point(load, where, ledger)

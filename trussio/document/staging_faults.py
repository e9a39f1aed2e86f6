"""What a schema cannot say of tendons and stages: that they name what is there, in an order that can be done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.document.bearings import check_bearing
from trussio.document.coherence import refer
from trussio.document.positions import escaped
from trussio.model.chronology import troubles
from trussio.model.loading import LEAST
from trussio.model.staging import (
    NOW,
    Add,
    Jack,
    PutOn,
    Release,
    Remove,
    Replace,
    Shore,
    TakeOff,
    Tension,
)
from trussio.model.tendon import TendonLoad
from trussio.model.truss import Support

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from trussio.document.ledger import Ledger
    from trussio.model.loading import LoadCase
    from trussio.model.staging import Action
    from trussio.model.tendon import Point, Tendon
    from trussio.model.truss import Truss

Naming = tuple[str, str, str]
"""Place within an action, kind of thing, and its name or the field that holds it."""


def check_staging(truss: Truss, ledger: Ledger) -> None:
    """Everything that a schema cannot say of tendons and stages."""
    for name, tendon in truss.tendons.items():
        _check_tendon(truss, tendon, f"/tendons/{escaped(name)}", ledger)
    for name, case in truss.loads.cases.items():
        _check_case(truss, case, f"/loads/cases/{escaped(name)}", ledger)
    _check_stages(truss, ledger)
    for run in truss.loads.runs:
        if run.endswith(LEAST) and run.removesuffix(LEAST) in truss.loads.runs:
            ledger.add("/loads", f'"{run}" is what the run of least tendon force is called.', "Name it otherwise.")
        if truss.stages and run == NOW:
            ledger.add("/loads", f'"{NOW}" is what a stage calls the run of what is on.', "Name it otherwise.")


def _check_tendon(truss: Truss, tendon: Tendon, where: str, ledger: Ledger) -> None:
    for index, point in enumerate(tendon.path):
        place = f"{where}/path/{index}"
        known = refer(ledger, f"{place}/joint", point.joint, truss.joints, "joint")
        _check_point(truss, point, place, ledger, known=known)
        if index and point.joint == tendon.path[index - 1].joint:
            ledger.add(f"{place}/joint", "two points of the tendon lie at one joint.", "Keep one of them.")
    if tendon.slip and not (tendon.area and tendon.E):
        what = "a draw-in without area and E says nothing of the force."
        ledger.add(f"{where}/slip", what, "Give area and E of the steel.")


def _check_point(truss: Truss, point: Point, place: str, ledger: Ledger, *, known: bool) -> None:
    if point.bears_on is None:
        if point.offset:
            what = "an offset has no direction where no stick is named."
            ledger.add(f"{place}/offset", what, 'Say from which stick, with "bears_on".')
    elif refer(ledger, f"{place}/bears_on", point.bears_on, truss.members, "member") and known:
        through = truss.members[point.bears_on].through
        if through and point.joint not in through:
            what = f'"{point.bears_on}" does not run through "{point.joint}".'
            ledger.add(f"{place}/bears_on", what, "Name a stick that meets the tendon there.")


def _check_case(truss: Truss, case: LoadCase, where: str, ledger: Ledger) -> None:
    for index, load in enumerate(case.loads):
        if not isinstance(load, TendonLoad):
            continue
        place = f"{where}/loads/{index}"
        if case.kind != "post-tension":
            what = "a tendon is stressed in a case that is not of the kind post-tension."
            ledger.add(f"{where}/kind", what, 'Give it a case of its own with "kind": "post-tension".')
        name = load.tendon
        known = refer(ledger, f"{place}/tendon", name, truss.tendons, "tendon")
        if known and load.stress is not None and not truss.tendons[name].area:
            what = f'a stress says nothing of "{name}", whose area is not stated.'
            ledger.add(f"{place}/stress", what, "Give the area, or the force.")


def _check_stages(truss: Truss, ledger: Ledger) -> None:
    before = len(ledger.entries)
    seen: set[str] = set()
    for number, stage in enumerate(truss.stages):
        where = f"/stages/{number}"
        if stage.id and stage.id in seen:
            ledger.add(f"{where}/id", f'two stages are called "{stage.id}".', "Give one of them another id.")
        seen.add(stage.id)
        for index, run in enumerate(stage.runs or ()):
            refer(ledger, f"{where}/runs/{index}", run, truss.loads.runs, "run")
        for index, action in enumerate(stage.actions):
            _check_action(truss, action, f"{where}/actions/{index}", ledger)
            if isinstance(action, Add):
                _check_beside(truss, action, f"{where}/actions/{index}", stage.id, ledger)
    if len(ledger.entries) == before and not _broken(ledger):
        for trouble in troubles(truss):
            ledger.add(trouble.where, trouble.what, trouble.do)


def _broken(ledger: Ledger) -> bool:
    return bool(ledger.broken & {"/joints", "/members", "/supports", "/loads", "/loads/cases", "/tendons"})


def _check_action(truss: Truss, action: Action, where: str, ledger: Ledger) -> None:
    among: dict[str, Collection[str]] = {
        "joint": truss.joints,
        "member": truss.members,
        "case": truss.loads.cases,
        "tendon": truss.tendons,
    }
    for place, thing, name in _named(action):
        refer(ledger, f"{where}/{place}", name, among[thing], thing)
    if isinstance(action, Shore):
        check_bearing(Support(holds=action.holds, springs=action.springs or {}), where, ledger)


def _check_beside(truss: Truss, add: Add, where: str, stage: str, ledger: Ledger) -> None:
    """That sticks beside another run through its joints; of a truss as found this need not be so."""
    if add.beside is None or add.beside not in truss.members:
        return
    along = truss.members[add.beside].through
    for name in add.members:
        off = (
            [joint for joint in truss.members[name].through if joint not in along] if name in truss.members else []
        )
        if off:
            what = f'stage "{stage}" puts {name} beside {add.beside}, which does not run through {", ".join(off)}.'
            ledger.add(f"{where}/beside", what, "A stick beside another runs through joints of that one.")


def _named(action: Action) -> Iterator[Naming]:
    """Every name in an action."""
    for key, thing, field in NAMED[type(action)]:
        names = getattr(action, field)
        if isinstance(names, str):
            yield key, thing, names
        else:
            yield from ((f"{key}/{index}", thing, name) for index, name in enumerate(names or ()))


NAMED: Final[dict[type[Action], tuple[Naming, ...]]] = {
    PutOn: (("load", "case", "cases"),),
    TakeOff: (("unload", "case", "cases"),),
    Shore: (("shore", "joint", "joints"),),
    Jack: (("jack", "joint", "joints"),),
    Release: (("release", "joint", "joints"),),
    Remove: (("remove", "member", "members"),),
    Add: (("add", "member", "members"), ("beside", "member", "beside")),
    Replace: (("replace", "member", "member"), ("with", "member", "by")),
    Tension: (("tension", "tendon", "tendons"),),
}
"""By kind of action: key in the document, kind of thing, field of the record."""

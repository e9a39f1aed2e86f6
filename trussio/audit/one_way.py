"""Rods and butting struts nobody spoke of, slip of fasteners that nobody knows, and snow that acts upwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.unevaluable import touched_by
from trussio.audit.wording import listed, pointer
from trussio.model.finding import Finding
from trussio.model.loading import JointLoad, LineLoad, PointLoad

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from trussio.audit.subject import Subject
    from trussio.model.connection import Connection
    from trussio.model.loading import Load, RunId
    from trussio.model.truss import MemberId, Truss


def one_way(subject: Subject) -> Iterable[Finding]:
    """What is to be asked about members that may carry one way only."""
    truss = subject.truss
    rods = [name for name in truss.members if _may_be_rod(truss, name)]
    if rods:
        yield Finding(
            code="one-way-unstated",
            level="query",
            where=tuple(pointer("members", name) for name in rods),
            says=f"{listed(rods)} {'is' if len(rods) == 1 else 'are'} of steel and no rectangle, as rods are, and "
            "nothing says which way they carry: they are taken to carry both ways.",
            do='Say "acts": "tension" of rods; of steel that can push, confirm that it is held against buckling.',
            evidence={"acts": "tension"},
        )
    struts = [name for name in truss.members if _only_butts(truss, name)]
    if struts:
        yield Finding(
            code="one-way-unstated",
            level="query",
            where=tuple(pointer("members", name) for name in struts),
            says=f"{listed(struts)} only {'butts' if len(struts) == 1 else 'butt'}, without fasteners, and "
            "nothing says which way they carry: they are taken to carry both ways.",
            do='Say "acts": "compression" of struts that come loose when pulled, or enter what fastens them.',
            evidence={"acts": "compression"},
        )


def _may_be_rod(truss: Truss, name: MemberId) -> bool:
    """A stick of steel of which an area and no rectangle is stated; a top chord is none."""
    member, section, material = truss.members[name], truss.section_of(name), truss.material_of(name)
    if member.acts is not None or member.role == "top-chord" or member.fixed:
        return False
    return material is not None and material.kind == "steel" and section is not None and section.width is None


def _only_butts(truss: Truss, name: MemberId) -> bool:
    """A web that meets a joint by bearing alone."""
    member = truss.members[name]
    if member.acts is not None or member.role != "web":
        return False
    return any(
        any(piece.member == name for piece in one.pieces) and _bears_alone(one)
        for one in truss.connections.values()
    )


def _bears_alone(one: Connection) -> bool:
    bears = one.butt is not None or (one.seat is not None and not one.seat.washer)
    return one.joint is not None and one.fasteners is None and bears


def slip_unknown(truss: Truss) -> Iterator[Finding]:
    """Ends that are to slip by their fasteners, of which no stiffness follows."""
    for name, member in truss.members.items():
        if member.fastener_slip:
            joints = [member.through[0 if end == "first" else -1] for end in member.fastener_slip]
            yield Finding(
                code="fastener-slip-unknown",
                level="stop",
                where=(pointer("members", name, "fastener_slip"),),
                says=f"{name} is to slip by its fasteners at {listed(joints)}, and no stiffness follows from the "
                "document.",
                do="State fasteners there in a connection, and the density of the wood; or give the slip itself.",
            )


def snow_upwards(truss: Truss, runs: Collection[RunId] | None = None) -> Iterator[Finding]:
    """Loads upwards in cases of snow; only those that touch one of the runs (None: any)."""
    for case, content in truss.loads.cases.items():
        touched = touched_by(truss, case, runs) if content.kind == "snow" else []
        lifted = [index for index, load in enumerate(content.loads) if _lifts(load)] if touched else []
        if lifted:
            yield Finding(
                code="snow-upwards",
                level="stop",
                where=tuple(pointer("loads", "cases", case, "loads", index) for index in lifted),
                says=f"The case {case} is snow and pushes the roof up; snow is never negative. "
                f"Runs touched: {listed(touched)}.",
                do="Put the sign right (down is positive; fy is positive upwards), or give it its own kind.",
                evidence={"runs": [*touched]},
            )


def _lifts(load: Load) -> bool:
    match load:
        case LineLoad():
            values = load.value if isinstance(load.value, tuple) else (load.value,)
            return load.direction == "down" and min(values) < 0.0
        case JointLoad() | PointLoad():
            return load.fy > 0.0
        case _:
            return False

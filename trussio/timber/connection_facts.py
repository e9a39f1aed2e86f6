"""What is known of a connection: the ends that come to it, its grades, what must be said, and what stays open.

Source: forces from statics.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber.bench import DRY, SHELTERED, carried
from trussio.timber.joints import force_on_joint
from trussio.timber.stock import POUND
from trussio.timber.working import NOTHING, STATICS, not_evaluated, set_against, stated

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.check import Check
    from trussio.model.connection import Connection
    from trussio.model.truss import JointId, MemberId
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import End

CONNECTIONS: Final = "/connections/"
CLAUSE: Final = "NDS-2018 11.3, 12.3"
INFERRED: Final = "the fasteners are inferred and not seen"


def ends_of(bench: Bench, connection: Connection, joint: JointId) -> dict[MemberId, Sequence[End]]:
    """The ends of the sticks of a connection. Raises UsageError where one no longer comes to the joint."""
    found: dict[MemberId, Sequence[End]] = {}
    for piece in connection.pieces:
        if piece.member is None:
            continue
        ends = bench.ends.get((piece.member, joint))
        if ends is None:
            raise UsageError(
                "stick-away",
                where=piece.member,
                what=f"as found it does not come to {joint}.",
                do="Enter the connection as it is now.",
            )
        found[piece.member] = ends
    return found


def _greatest(bench: Bench, joint: JointId, sticks: Sequence[MemberId]) -> tuple[float, State, str] | None:
    """The greatest end force of some sticks at a joint (lbf), its run and the stick."""
    found = [
        (hypot(*force_on_joint(bench, state.run, bench.ends[name, joint])), state, name)
        for state in bench.states
        for name in sticks
        if (name, joint) in bench.ends
    ]
    return max(found, key=lambda one: one[0], default=None)


def open_check(bench: Bench, name: str, what: str, reason: str) -> Check:
    """One open check with the greatest force that the connection must carry."""
    connection = bench.truss.connections[name]
    joint = connection.joint
    sticks = [piece.member for piece in connection.pieces if piece.member is not None]
    ending = [stick for stick in sticks if joint and len(bench.ends.get((stick, joint), ())) == 1]
    greatest = None if joint is None else _greatest(bench, joint, ending or sticks)
    run, demand = None, NOTHING
    if greatest is not None:
        force, state, stick = greatest
        run = state.run
        demand = carried("force", force / POUND[bench.truss.units], bench.truss, f"greatest end force of {stick}")
    unit = "lbf" if bench.truss.units == "us" else "N"
    of = Subject(element=f"{CONNECTIONS}{name}", run=run)
    return not_evaluated(what=what, clause=CLAUSE, of=of, demand=demand, unit=unit, reason=reason)


def grades_of(bench: Bench, sticks: Mapping[MemberId, Sequence[End]]) -> str:
    """The grades of some sticks, each once."""
    return ", ".join(dict.fromkeys(bench.stock(stick).name for stick in sticks))


def remarks_of(bench: Bench, connection: Connection) -> tuple[str, ...]:
    """What a reader must see beside every ratio of a connection."""
    remarks = [INFERRED] if connection.evidence in (None, "inferred") else []
    if bench.given.wet is None or bench.given.temperature is None:
        remarks.append(DRY)
    plies: dict[MemberId, int] = {}
    for piece in connection.pieces:
        if piece.member is not None:
            plies[piece.member] = plies.get(piece.member, 0) + 1
    for stick, count in plies.items():
        section = bench.truss.section_of(stick)
        of = 1 if section is None or section.joined == "glued" else section.plies
        if count < of:
            remarks.append(f"{count} of {of} plies of {stick} are in this connection and bring their share")
    return tuple(remarks)


def sheltered(bench: Bench, connection: Connection) -> tuple[str, ...]:
    """The remarks of a connection, with the service class in place of moisture and temperature."""
    remarks = [one for one in remarks_of(bench, connection) if one != DRY]
    return (*remarks, SHELTERED) if bench.given.service_class is None else tuple(remarks)


def grade_of(bench: Bench, stick: MemberId) -> str:
    """The grade of a stick, or steel."""
    material = bench.truss.material_of(stick)
    return "steel" if material is not None and material.kind == "steel" else bench.stock(stick).name


def lifted_seat(pull: float, unit: str, of: Subject, reason: str) -> Check:
    """A seat that is pulled off, which carries nothing of that."""
    return set_against(
        what="a seat that is pulled",
        clause="statics",
        demand=stated("T", pull, unit, STATICS),
        capacity=stated("T carried", 0.0, unit, STATICS),
        unit=unit,
        of=of,
        reason=reason,
    )


def rod_area(bench: Bench, name: MemberId) -> float:
    """What a rod takes of its washer, in the units of the document. Raises UsageError where nobody gave it."""
    section = bench.truss.section_of(name)
    if section is None or section.gross_area is None:
        raise UsageError("value-missing", where=name, what="the rod has no section.", do="Enter its area.")
    return section.gross_area

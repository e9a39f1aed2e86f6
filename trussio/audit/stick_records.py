"""What a survey recorded along the sticks: bracing of the chords, splices, and butts of plies.

Bracing out of the plane decides what a chord may carry in compression, the bottom chord's too where uplift or
props push on it, so both chords need a record, and somebody who saw what it says. Butts of plies are asked about
where two of one stick lie nearer than `APART`, since the plies that run through then carry for two. All of it is
common practice, no source.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, Final

from trussio.audit.unevaluable import stick_length
from trussio.audit.wording import counted, joint_pointers, length, listed, member_pointers, pointer, rounded
from trussio.geometry import segment_length
from trussio.model.finding import Finding
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.connection import Butt
    from trussio.model.truss import JointId, MemberId, Truss

APART: Final = 24 * MM_PER_INCH
"""Butts of different plies should lie at least so far from each other, mm."""
CHORDS: Final = ("top-chord", "bottom-chord")


def bracing(subject: Subject) -> Iterator[Finding]:
    """Chords without a record where others have one, records that nobody saw, chords that nothing holds."""
    members = subject.truss.members
    chords = [name for name, member in members.items() if member.role in CHORDS]
    silent = [name for name in chords if members[name].braced is None]
    if silent and len(silent) < len(chords):
        yield Finding(
            code="bracing-not-recorded",
            level="query",
            where=member_pointers(silent),
            says=f"What holds {listed(silent)} out of the plane is not recorded, though it is for other chords.",
            do="Look what holds each chord out of the plane, and where; record it, also where nothing does.",
            evidence={"members": [*silent]},
        )
    unseen = {name: [b for b in members[name].braced or () if not b.seen] for name in chords}
    doubtful = [name for name, braces in unseen.items() if braces]
    if doubtful:
        number = sum(len(unseen[name]) for name in doubtful)
        yield Finding(
            code="bracing-not-seen",
            level="query",
            where=tuple(pointer("members", name, "braced") for name in doubtful),
            says=f"{counted(number, 'brace')} of {listed(doubtful)} nobody saw to hold: "
            f"{listed(dict.fromkeys(brace.by for name in doubtful for brace in unseen[name]))}.",
            do="See whether it is fastened at both ends and runs to something that stands.",
            evidence={"members": [*doubtful], "unseen": number},
        )
    bare = [name for name in chords if members[name].braced == ()]
    if bare:
        yield Finding(
            code="unbraced-chord",
            level="query",
            where=member_pointers(bare),
            says=f"The survey found nothing that holds {listed(bare)} out of the plane of the truss.",
            do="Ask what keeps it upright; in compression its free length is then all of it.",
            evidence={"members": [*bare]},
        )


def butts(subject: Subject) -> Iterator[Finding]:
    """Butts of different plies of one stick near to each other."""
    truss = subject.truss
    least = APART / MM_PER_INCH if truss.units == "us" else APART
    for name, member in truss.members.items():
        placed = [(index, butt, _along(truss, name, butt)) for index, butt in enumerate(member.butts or ())]
        for (one, first, start), (other, second, end) in combinations(placed, 2):
            gap = abs(end - start)
            if first.ply != second.ply and gap < least:
                units = truss.units
                yield Finding(
                    code="butts-close",
                    level="query",
                    where=tuple(pointer("members", name, "butts", index) for index in (one, other)),
                    says=f"Plies {first.ply} and {second.ply} of {name} are butted {length(gap, units)} apart, "
                    f"{length(start, units)} and {length(end, units)} along it."
                    if gap > 0
                    else f"Plies {first.ply} and {second.ply} of {name} are butted at one place, "
                    f"{length(start, units)} along it.",
                    do="Measure both again; find what brings the force of both plies past this place.",
                    evidence={"member": name, "plies": [first.ply, second.ply], "apart": rounded(gap)},
                )


def splices(subject: Subject) -> Iterator[Finding]:
    """Splices of whole sticks in a bent chord where nothing else meets: a hinge in the middle of a panel."""
    truss = subject.truss
    meeting: dict[JointId, list[MemberId]] = {name: [] for name in truss.joints}
    for segment in truss.segments:
        meeting[segment.first].append(segment.member)
        meeting[segment.last].append(segment.member)
    for joint, names in meeting.items():
        sticks = [truss.members[name] for name in names]
        ends = len(set(names)) == 2 == len(names) and joint not in truss.supports
        if ends and all(m.curve is not None and m.role in CHORDS and not m.fixed for m in sticks):
            yield Finding(
                code="splice-in-bent-chord",
                level="query",
                where=(*joint_pointers([joint]), *member_pointers(names)),
                says=f"{listed(names)} are spliced at {joint}, where no web meets them: a hinge in the bend of a "
                "chord, which moves in or out under load on one side.",
                do="See whether it is a hinge, or what passes the moment on; make it one if one stick runs on.",
                evidence={"joint": joint, "members": [*names]},
            )


def _along(truss: Truss, name: MemberId, butt: Butt) -> float:
    """How far along its stick a butt lies."""
    if isinstance(butt.at, str):
        return _to_joint(truss, name, butt.at)
    return min(butt.at, stick_length(truss, name))


def _to_joint(truss: Truss, name: MemberId, joint: JointId) -> float:
    gone = 0.0
    for segment in truss.segments:
        if segment.member == name:
            if segment.first == joint:
                break
            gone += segment_length(truss, segment)
    return gone

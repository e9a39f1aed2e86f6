"""How the truss was taken to act: every default in words, what the document says otherwise, and how to say so.

The defaults are those of common practice, no source, where none is named.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing.quantities import movement_scale
from trussio.model.staging import Add
from trussio.model.tendon import defaults
from trussio.report.work_words import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.truss import Idealisation, MemberId, Truss

OTHERWISE: Final = (
    "Where nothing else is entered, this is what is taken; each can be entered otherwise in the document, and is "
    "then taken as entered."
)


def taken(document: Truss, idealisation: Idealisation) -> tuple[str, ...]:
    """The lines, in the order of a walk from the bearings to the tendons."""
    return (
        OTHERWISE,
        _bearings(document),
        *_sticks(document, idealisation),
        *_one_way(document),
        *_slip(document),
        *_stages(document),
        *_tendons(document),
    )


def _bearings(truss: Truss) -> str:
    level = [
        joint
        for joint, support in truss.supports.items()
        if "x" in support.holds or "x" in support.springs or any(isinstance(way, tuple) for way in support.holds)
    ]
    if len(level) == 1:
        return f"Bearings: {level[0]} is held level and every other rolls."
    if not level:
        return "Bearings: none is held level."
    return (
        f"Bearings: {listed(level)} are held level, which takes part of the thrust off the bottom chord; where it "
        "is not sure that walls hold it, let all but one roll."
    )


def _sticks(truss: Truss, idealisation: Idealisation) -> Iterator[str]:
    if idealisation == "pinned":
        yield "Sticks: every segment is pinned at both ends, chords too."
        return
    yield (
        "Sticks: each runs through its inner joints and bends there, and is pinned at its ends, webs at both, but "
        "where they are entered as fixed."
    )
    splices = _splices(truss)
    if splices:
        yield (
            f"Splices of a whole chord at {listed(splices)}: a hinge for the chord; check "
            "the splice itself for the moment of a chord that runs through."
        )


def _splices(truss: Truss) -> list[str]:
    """Joints at which one stick of a chord ends, unfixed, and the next of the same role begins."""
    ends: dict[tuple[str, str], int] = {}
    for member in truss.members.values():
        if member.role in {"top-chord", "bottom-chord"}:
            for end, joint in (("first", member.through[0]), ("last", member.through[-1])):
                if end not in member.fixed:
                    ends[joint, str(member.role)] = ends.get((joint, str(member.role)), 0) + 1
    return list(dict.fromkeys(joint for (joint, _), count in ends.items() if count > 1))


def _one_way(truss: Truss) -> Iterator[str]:
    for acts, words in (("tension", "Rods"), ("compression", "Struts that only butt")):
        names = [name for name, member in truss.members.items() if member.acts == acts]
        if names:
            yield f"{words}: {listed(names)} carry {acts} alone; each run is solved whole with those that act."
    rods = [name for name in truss.members if truss.members[name].acts is None and _is_rod(truss, name)]
    if rods:
        yield (
            f"Rods: {listed(rods)} of steel carry both ways, as nothing says otherwise; look "
            "for compression in them before it is believed."
        )
    butting = _butting(truss)
    if butting:
        yield (
            f"Struts that only butt: {listed(butting)} have no fasteners and carry both ways, as nothing says "
            "otherwise."
        )


def _butting(truss: Truss) -> list[str]:
    """Webs that meet a joint by bearing alone and of which nobody said which way they act."""
    found: dict[str, None] = {}
    for one in truss.connections.values():
        bears = one.butt is not None or (one.seat is not None and not one.seat.washer)
        if one.joint is None or one.fasteners is not None or not bears:
            continue
        for piece in one.pieces:
            member = None if piece.member is None else truss.members[piece.member]
            if member is not None and member.role == "web" and member.acts is None:
                found[str(piece.member)] = None
    return [*found]


def _is_rod(truss: Truss, name: MemberId) -> bool:
    """A stick of steel, no top chord, whose section is stated by its area and not as a rectangle."""
    member = truss.members[name]
    material = None if member.material is None else truss.materials[member.material]
    section = None if member.section is None else truss.sections[member.section]
    steel = material is not None and material.kind == "steel"
    return steel and member.role != "top-chord" and section is not None and section.width is None


def _slip(truss: Truss) -> Iterator[str]:
    fastened = [name for name, member in truss.members.items() if member.fastener_slip]
    if fastened:
        yield (
            f"Slip in connections of {listed(fastened)}: by the fasteners stated there, EN 1995-1-1 table 7.1, "
            "from memory, check against the licensed text."
        )
    slipping = [name for name, member in truss.members.items() if member.slip or member.play]
    if not slipping and fastened:
        return
    if not slipping:
        yield "Slip in connections: none, for forces and movements; the true sag is larger."
        return
    scale = movement_scale(truss.units)
    play = [
        f"{name} {scale.text(max(member.play.values()))}" for name, member in truss.members.items() if member.play
    ]
    loose = f", with play of {listed(play)}" if play else ""
    yield (
        f"Slip in connections: as stated at the ends of {listed(slipping)}{loose}, none elsewhere; what it moves "
        "is said with each run."
    )


def _stages(truss: Truss) -> Iterator[str]:
    adds = [action for stage in truss.stages for action in stage.actions if isinstance(action, Add)]
    for words, said in (
        ("glued to", [add for add in adds if add.glued]),
        ("slipping along", [add for add in adds if add.slip or add.along]),
        (
            "held at their joints, without slip since none is stated, beside",
            [add for add in adds if add.beside and not (add.glued or add.slip or add.along)],
        ),
    ):
        for add in said:
            yield f"Sisters: {listed(add.members)} {words} {add.beside}."


def _tendons(truss: Truss) -> Iterator[str]:
    for name, tendon in truss.tendons.items():
        assumed = [one.says for one in defaults(tendon)]
        acts = (
            "a member that later loads stretch, slack where it would have to push"
            if tendon.acts == "member"
            else "no more than its force"
        )
        told = f"; not stated, so that the least force takes it that {listed(assumed)}" if assumed else ""
        yield f"Tendon {name}: after lock-off {acts}{told}."

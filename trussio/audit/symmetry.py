"""Near-symmetry: joints, members, sections and bearings without a twin across the middle of the truss.

Most trusses are alike on both sides. Where nearly all of a truss is, what is not may have been forgotten or
mistaken in the survey. Which way bearings hold sideways, how sticks are cut, and diagonals that all lean one way
are no fault; a diagonal that leans against its own where others lean with theirs is asked about. Terms as in
`mirror.py`.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.mirror import mirror
from trussio.audit.wording import joint_pointers, length, listed, member_pointers, pointer, rounded
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from trussio.audit.mirror import Mirror, Stretch
    from trussio.audit.subject import Subject
    from trussio.model.material import Material, Section
    from trussio.model.truss import JointId, MemberId, Truss

    Array = NDArray[np.float64]

FEW: Final = 0.12
"""More members without a twin than this share of all pieces (and than 2) are a design, not a slip."""
STEEP: Final = 0.15
"""A web leans where the smaller of its run and rise is above this share of the larger."""


def symmetry(subject: Subject) -> Iterator[Finding]:
    """Everything without a twin in a truss that is nearly symmetric."""
    found = mirror(subject)
    if found is None:
        return
    for one, other, off in found.moved:
        yield _moved(subject, one, other, off)
    alone = _alone(subject.truss, found)
    turned = [pair for pair in combinations(alone, 2) if _crosses(subject.truss, found, *pair)]
    leaning = {piece for pair in turned for piece in pair}
    lonely: dict[MemberId, list[Stretch]] = {}
    for piece in alone:
        if piece not in leaning:
            lonely.setdefault(piece.member, []).append(piece)
    if len(lonely) <= max(2, FEW * len(found.stretches)):
        yield from (_missing(found, run) for pieces in lonely.values() for run in _runs(pieces))
        yield from _joints_alone(found)
    if len(turned) <= _leaning_with_theirs(subject.truss, found):
        yield from (_turned(found, *pair) for pair in turned)
    yield from _differing(subject.truss, found)
    yield from _bearings(subject.truss, found)


def _alone(truss: Truss, found: Mirror) -> list[Stretch]:
    """Stretches whose twin is absent though its joints are there, less those across the middle of the truss."""
    present = {frozenset(piece[1:]) for piece in found.stretches}
    return [
        piece
        for piece in found.stretches
        if (twin := _twin(found, piece)) is not None
        and twin not in present
        and not _crosses(truss, found, piece, piece)
    ]


def _twin(found: Mirror, piece: Stretch) -> frozenset[JointId] | None:
    """The joints between which the twin of a stretch runs, or would; None where they are not there."""
    ends = [found.twins[name] for name in piece[1:] if name in found.twins]
    return frozenset(ends) if len(ends) == len(piece[1:]) else None


def _leaning_with_theirs(truss: Truss, found: Mirror) -> int:
    """How many pairs of diagonals of two panels are mirror images of each other."""
    present = {frozenset(piece[1:]) for piece in found.stretches}
    pairs = set()
    for piece in found.stretches:
        one, other = truss.joints[piece.first], truss.joints[piece.last]
        twin = _twin(found, piece)
        slanting = min(abs(other.x - one.x), abs(other.y - one.y)) > STEEP * max(
            abs(other.x - one.x), abs(other.y - one.y)
        )
        if truss.members[piece.member].role == "web" and slanting and twin in present - {frozenset(piece[1:])}:
            pairs.add(frozenset((frozenset(piece[1:]), twin)))
    return len(pairs)


def _runs(pieces: list[Stretch]) -> list[list[Stretch]]:
    """The pieces of one member by what follows on each other."""
    runs = [[pieces[0]]]
    for piece in pieces[1:]:
        if runs[-1][-1].last == piece.first:
            runs[-1].append(piece)
        else:
            runs.append([piece])
    return runs


def _crosses(truss: Truss, found: Mirror, piece: Stretch, other: Stretch) -> bool:
    """Whether the absent twin of a piece would cross another piece between their ends."""
    ends = [truss.joints[found.twins[name]] for name in piece[1:]]
    a, b = (np.array((joint.x, joint.y)) for joint in ends)
    c, d = (np.array((truss.joints[name].x, truss.joints[name].y)) for name in other[1:])
    return _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(start: Array, end: Array, point: Array) -> float:
    along, out = end - start, point - start
    return float(along[0] * out[1] - along[1] * out[0])


def _missing(found: Mirror, run: list[Stretch]) -> Finding:
    """A member, or a run of its stretches, whose twin is absent."""
    first, last, member = run[0].first, run[-1].last, run[0].member
    through = [found.twins[name] for name in (first, *(piece.last for piece in run))]
    absent = (through[0], through[-1])
    past = f" past {listed(through[1:-1])}" if through[1:-1] else ""
    return Finding(
        code="missing-twin",
        level="query",
        where=(*member_pointers([member]), *joint_pointers(through)),
        says=f"{member} from {first} to {last} has no twin: no member runs from {absent[0]}{past} to "
        f"{absent[1]}, though the truss is otherwise alike on both sides.",
        do=f"Look for a member from {absent[0]} to {absent[1]}: forgotten in the survey, or lost in the roof. "
        f"If neither, ask what {member} is for.",
        evidence={
            "member": member,
            "absent": [*absent],
            "axis": rounded(found.axis),
            **({"through": [*through]} if past else {}),
        },
    )


def _turned(found: Mirror, one: Stretch, other: Stretch) -> Finding:
    """Two diagonals of twin panels that are no mirror images of each other."""
    wanted = [(found.twins[piece.first], found.twins[piece.last]) for piece in (one, other)]
    return Finding(
        code="twin-turned",
        level="query",
        where=(*member_pointers([one.member, other.member]), *joint_pointers((*one[1:], *other[1:]))),
        says=f"{one.member} from {one.first} to {one.last} and {other.member} from {other.first} to {other.last} "
        "brace twin panels and lean the same way; the other braces lean as mirror images of each other.",
        do=f"Look which way each runs: the mirror image of {one.member} runs from {wanted[0][0]} to "
        f"{wanted[0][1]}, that of {other.member} from {wanted[1][0]} to {wanted[1][1]}.",
        evidence={
            "members": [one.member, other.member],
            "instead": [[*pair] for pair in wanted],
            "axis": rounded(found.axis),
        },
    )


def _moved(subject: Subject, one: JointId, other: JointId, off: float) -> Finding:
    far = length(off, subject.truss.units)
    return Finding(
        code="twin-moved",
        level="query",
        where=joint_pointers(dict.fromkeys((one, other))),
        says=f"{one} stands {far} off the middle of the truss."
        if one == other
        else f"{one} and {other} are twins, but one of them stands {far} off the mirror image of the other.",
        do="Measure both again.",
        evidence={"joints": [one, other], "distance": rounded(off)},
    )


def _joints_alone(found: Mirror) -> Iterator[Finding]:
    for name in dict.fromkeys(name for piece in found.stretches for name in piece[1:]):
        if name not in found.twins:
            members = dict.fromkeys(piece.member for piece in found.stretches if name in piece[1:])
            yield Finding(
                code="missing-twin",
                level="query",
                where=(*joint_pointers([name]), *member_pointers(members)),
                says=f"{name} has no twin across the middle of the truss; {listed(members)} would have "
                f"{'its' if len(members) == 1 else 'theirs'}.",
                do="Look whether a joint was forgotten on the other side, or is one too many here.",
                evidence={"joint": name, "members": [*members], "axis": rounded(found.axis)},
            )


def _differing(truss: Truss, found: Mirror) -> Iterator[Finding]:
    """Twins of different section, material or curve; one finding for each pair of members."""
    by_ends = {frozenset(piece[1:]): piece.member for piece in found.stretches}
    seen: set[frozenset[str]] = set()
    for piece in found.stretches:
        if piece.first not in found.twins or piece.last not in found.twins:
            continue
        twin = by_ends.get(frozenset((found.twins[piece.first], found.twins[piece.last])))
        pair = frozenset((piece.member, twin or piece.member))
        if twin is None or len(pair) < 2 or pair in seen:
            continue
        seen.add(pair)
        one, other = truss.members[piece.member], truss.members[twin]
        what = [
            word
            for word, here, there in (
                ("section", _size(truss, piece.member), _size(truss, twin)),
                ("material", _stuff(truss, piece.member), _stuff(truss, twin)),
                ("curve", one.curve, other.curve),
            )
            if here != there
        ]
        if what:
            each = [(name, m.section, m.material) for name, m in ((piece.member, one), (twin, other))]
            yield Finding(
                code="twin-differs",
                level="query",
                where=member_pointers([piece.member, twin]),
                says=f"{piece.member} and {twin} are twins, but differ in {listed(what)}: "
                + listed(
                    f"{name} is {section or 'without section'}, {material or 'without material'}"
                    for name, section, material in each
                )
                + ".",
                do="Measure both again; old trusses were mostly built alike on both sides.",
                evidence={"members": [piece.member, twin], "differ": [*what]},
            )


def _size(truss: Truss, member: MemberId) -> Section | None:
    """The section of a member without what is written beside it."""
    section = truss.section_of(member)
    return None if section is None else replace(section, label=None, sizing=None, notes=None)


def _stuff(truss: Truss, member: MemberId) -> Material | None:
    """The material of a member without what is written beside it."""
    material = truss.material_of(member)
    return None if material is None else replace(material, source=None, notes=None)


def _bearings(truss: Truss, found: Mirror) -> Iterator[Finding]:
    """One finding for all bearings without a twin: one moved inwards lacks it on both sides."""
    alone = [(name, found.twins[name]) for name in truss.supports if name in found.twins]
    alone = [(name, twin) for name, twin in alone if twin not in truss.supports]
    if alone:
        yield Finding(
            code="bearing-without-twin",
            level="query",
            where=(
                *(pointer("supports", name) for name, _ in alone),
                *joint_pointers(twin for _, twin in alone),
            ),
            says=f"{'; '.join(f'{name} bears on something, its twin {twin} does not' for name, twin in alone)}.",
            do=f"Ask what {listed(twin for _, twin in alone)} rests on; a bearing may stand at the wrong joint.",
            evidence={"pairs": [[name, twin] for name, twin in alone]},
        )

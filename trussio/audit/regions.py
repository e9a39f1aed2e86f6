"""Why a pinned truss is a mechanism: too few members, members in the wrong place, or a critical form.

Generic rigidity looks at the count of every region, bearings included as members to a rigid ground. If it finds
the truss rigid and the rank does not, the members are there and it is the form that fails.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.mechanisms import extent, mechanisms, plainest
from trussio.audit.rigidity import rigidity
from trussio.audit.wording import counted, joint_pointers, listed
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.rigidity import Rigidity
    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, Json


def regions(subject: Subject) -> Iterator[Finding]:
    """What the count of regions says of a truss that is a mechanism as pinned."""
    statics = subject.views["pinned"].statics
    if not statics.mechanisms or not statics.holds:
        return
    names, found = generic(subject)
    known = [[names[j] for j in region.joints if j < len(names)] for region in found.regions]
    spares = [(joints, region) for joints, region in zip(known, found.regions, strict=True) if region.spare > 0]
    if not found.freedom:
        yield Finding(
            code="critical-form",
            level="query",
            where=joint_pointers(statics.moving),
            says=_form(subject),
            do="Measure the joints that move again; so critical a form needs one more member in any case.",
            evidence={"moving": [*statics.moving]},
        )
    elif spares:
        joints, region = max(spares, key=lambda pair: pair[1].spare)
        yield Finding(
            code="misplaced-members",
            level="query",
            where=joint_pointers(joints),
            says=f"{counted(region.spare, 'member')} more than needed between {listed(joints)}, while "
            f"{counted(found.freedom, 'member')} elsewhere {'is' if found.freedom == 1 else 'are'} missing.",
            do="See whether a member was drawn to the wrong joint.",
            evidence={
                "spare": region.spare,
                "missing": found.freedom,
                "regions": [[*joints] for joints in known if len(joints) > 2],
            },
        )


def rigid_regions(subject: Subject) -> list[Json]:
    """Rigid regions of three joints or more as pinned, unless one holds every joint with nothing to spare."""
    names, found = generic(subject)
    known = [([names[j] for j in region.joints if j < len(names)], region.spare) for region in found.regions]
    large: list[Json] = [{"joints": [*joints], "spare": spare} for joints, spare in known if len(joints) > 2]
    whole = len(known) == 1 and len(known[0][0]) == len(names) and not known[0][1]
    return [] if whole else large


def _form(subject: Subject) -> str:
    view = subject.views["pinned"]
    groups = mechanisms(view.compat, view.rank.motions)
    if all(group.kind == "whole" for group in groups):
        return (
            "The holds are enough in number but badly placed: they are parallel or their lines meet in one point."
        )
    shapes = [shape for group in groups for shape in plainest(group)]
    if any(extent(view.compat, view.rank.stresses, shape) == "finite" for shape in shapes):
        return (
            "Members and holds are enough in every region: it is the form that fails, and the members do not stop "
            "the movement once it has begun."
        )
    return (
        "Members and holds are enough in every region: it is the form that fails. In this very shape, and in none "
        "near it, the joints can move."
    )


def generic(subject: Subject) -> tuple[list[JointId], Rigidity]:
    """The pinned truss on its bearings: the joints that are numbered, then its generic rigidity."""
    view = subject.views["pinned"]
    stations = view.idealised.stations
    names = [name for name in subject.truss.joints if name not in stations]
    number = {name: index for index, name in enumerate(names)}
    members = [
        (number[s.first], number[s.last])
        for s in subject.truss.segments
        if s.first not in stations and s.last not in stations
    ]
    members += [pair for pair, times in _chains(subject, number).items() for _ in range(times)]
    ground = [len(names) + k for k in range(len(view.compat.holds))]
    members += [(number[joint], place) for (joint, _), place in zip(view.compat.holds, ground, strict=True)]
    members += [(place - back, place) for k, place in enumerate(ground) for back in (1, 2) if back <= k]
    return names, rigidity(len(names) + len(ground), members)


def _chains(subject: Subject, number: dict[JointId, int]) -> dict[tuple[int, int], int]:
    """How many members each line through stations counts as: its segments less its stations."""
    stations = subject.views["pinned"].idealised.stations
    ends = {
        name: tuple(sorted((number[station.before], number[station.after]))) for name, station in stations.items()
    }
    lines: dict[tuple[int, int], int] = {}
    for pair in ends.values():
        lines[pair[0], pair[1]] = lines.get((pair[0], pair[1]), 0) - 1
    for segment in subject.truss.segments:
        pair = ends.get(segment.first, ends.get(segment.last, ()))
        if pair:
            lines[pair[0], pair[1]] = lines.get((pair[0], pair[1]), 0) + 1
    return lines

"""Scores of a reading against the truth of a sheet: joints, segments, roles, sizes, handling, and quiet errors."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.faulty.truth import Handling, Truth
    from trussio.drawing.reading import Reading
    from trussio.model.truss import JointId, Truss

Point = tuple[float, float]

SAME_PLACE: Final = 1.0
"""Inches within which a joint read is the true one."""
NAMED: Final = 36.0
"""Inches within which a change or question names a place."""


@dataclass(frozen=True, kw_only=True)
class Score:
    """What one reading is worth. Shares are 1 where there was nothing to tell."""

    joints: float
    segments: float
    roles: float
    sizes: float
    handling: Handling
    quiet: tuple[str, ...]
    error: str = ""


def scored(read: Callable[[], Reading], truth: Truth) -> Score:
    """Read and compare."""
    try:
        reading = read()
    except UnreadableError as error:
        return Score(joints=0, segments=0, roles=0, sizes=0, handling="refuse", quiet=(), error=str(error))
    truss = reading.trusses[0]
    per_inch = 25.4 if truss.units == "si" else 1.0
    places = {name: (joint.x / per_inch, joint.y / per_inch) for name, joint in truss.joints.items()}
    pairs = _matched(places, truth.joints)
    back = {true: read for read, true in pairs.items()}
    mine = {frozenset((segment.first, segment.last)): (segment.member, truss) for segment in truss.segments}
    wanted = {
        frozenset((back.get(one, f"?{one}"), back.get(other, f"?{other}"))): (role, size)
        for one, other, role, size in truth.segments
    }
    both = mine.keys() & wanted.keys()
    roles = [truss.members[mine[key][0]].role == wanted[key][0] for key in both if wanted[key][0] != "other"]
    sizes = [truss.members[mine[key][0]].label == wanted[key][1] for key in both if truth.sized and wanted[key][1]]
    return Score(
        joints=_f1(len(pairs), len(places), len(truth.joints)),
        segments=_f1(len(both), len(mine), len(wanted)),
        roles=_share(roles),
        sizes=_share(sizes),
        handling="ask" if reading.questions else "report" if reading.changes else "silent",
        quiet=tuple(_quiet(reading, truth, places, pairs, per_inch)),
    )


def _f1(hits: int, found: int, wanted: int) -> float:
    return 2 * hits / (found + wanted) if found + wanted else 1.0


def _share(hits: list[bool]) -> float:
    return sum(hits) / len(hits) if hits else 1.0


def _matched(places: dict[JointId, Point], joints: list[Point]) -> dict[JointId, int]:
    """True joint by joint read, the nearest pairs first."""
    near = sorted(
        (hypot(x - u, y - v), name, number)
        for name, (x, y) in places.items()
        for number, (u, v) in enumerate(joints)
        if abs(x - u) <= SAME_PLACE and abs(y - v) <= SAME_PLACE
    )
    found: dict[JointId, int] = {}
    taken: set[int] = set()
    for apart, name, number in near:
        if apart <= SAME_PLACE and name not in found and number not in taken:
            found[name] = number
            taken.add(number)
    return found


def _quiet(
    reading: Reading, truth: Truth, joints: dict[JointId, Point], pairs: dict[JointId, int], per_inch: float
) -> list[str]:
    """Joints, segments and sizes wrong or missing that neither a change nor a question names.

    A question for the unit names every length.
    """
    if any("unit" in asked.code for asked in reading.questions):
        return []
    where = [change.where for change in reading.changes] + [asked.where for asked in reading.questions]
    told = [(place[0] / per_inch, place[1] / per_inch) for place in where if place is not None]
    words = " ".join(asked.asks for asked in reading.questions)
    wrong: list[tuple[str, tuple[Point, ...]]] = [
        (f"joint {name} read", (at,)) for name, at in joints.items() if name not in pairs
    ]
    taken = set(pairs.values())
    wrong += [(f"joint {n} missing", (at,)) for n, at in enumerate(truth.joints) if n not in taken]
    wrong += _wrong_segments(reading.trusses[0], truth, pairs)
    return [
        f"{what} at {at[0][0]:.1f}, {at[0][1]:.1f}"
        for what, at in wrong
        if not any(hypot(x - u, y - v) <= NAMED for x, y in at for u, v in told)
        and not any(f" {word}" in f" {words}" for word in what.split() if word.startswith("w"))
    ]


def _wrong_segments(truss: Truss, truth: Truth, pairs: dict[JointId, int]) -> list[tuple[str, tuple[Point, ...]]]:
    """Segments between known joints that are too many, missing, or of another size, with places along them."""
    mine = {
        frozenset((pairs[segment.first], pairs[segment.last])): segment.member
        for segment in truss.segments
        if segment.first in pairs and segment.last in pairs
    }
    true = {frozenset(row[:2]): row for row in truth.segments}
    at = dict(enumerate(truth.joints))
    found = [(f"segment of {mine[key]} read", _along(*(at[n] for n in key))) for key in mine.keys() - true.keys()]
    known = set(pairs.values())
    found += [
        ("segment missing", _along(at[one], at[other]))
        for one, other, *_ in truth.segments
        if frozenset((one, other)) not in mine and {one, other} <= known
    ]
    for key in mine.keys() & true.keys():
        size, label = true[key][3], truss.members[mine[key]].label
        if truth.sized and size and label != size:
            found.append((f"{mine[key]} sized {label} for {size}", _along(*(at[n] for n in key))))
    return found


def _along(one: Point, other: Point) -> tuple[Point, ...]:
    """Places from one to the other, close enough that one lies near whatever stands beside the line."""
    steps = max(2, int(hypot(other[0] - one[0], other[1] - one[1]) / NAMED) + 1)
    return tuple(
        (one[0] + (other[0] - one[0]) * i / steps, one[1] + (other[1] - one[1]) * i / steps)
        for i in range(steps + 1)
    )

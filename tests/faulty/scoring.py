"""Scores of a reading against the truth of a sheet: joints, segments, roles, sizes, handling, and quiet errors."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.faulty.sheets import Sheet
    from tests.faulty.truth import Handling, Truth
    from trussio.drawing.reading import Reading
    from trussio.model.truss import JointId

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


def scored(read: Callable[[], Reading], truth: Truth, *, per_inch: float = 1.0) -> Score:
    """Read and compare; `per_inch` is base lengths of the document per inch."""
    try:
        reading = read()
    except UnreadableError as error:
        return Score(joints=0, segments=0, roles=0, sizes=0, handling="refuse", quiet=(), error=str(error))
    truss = reading.trusses[0]
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
    """Joints wrong or missing that neither a change nor a question names."""
    places = [change.where for change in reading.changes] + [asked.where for asked in reading.questions]
    told = [(place[0] / per_inch, place[1] / per_inch) for place in places if place is not None]
    wrong = [(f"joint {name} read", at) for name, at in joints.items() if name not in pairs]
    taken = set(pairs.values())
    wrong += [(f"joint {n} missing", at) for n, at in enumerate(truth.joints) if n not in taken]
    return [
        f"{what} at {at[0]:.1f}, {at[1]:.1f}"
        for what, at in wrong
        if not any(hypot(at[0] - x, at[1] - y) <= NAMED for x, y in told)
    ]


def per_inch_of(sheet: Sheet) -> float:
    """Base lengths per inch of the document that a sheet is read to."""
    return 25.4 if sheet.insunits in {4, 5, 6} else 1.0

"""What a support holds: no direction twice, no more than two in the plane, and movements only where it holds.

Directions count by their line: `x`, `[1, 0]` and `[-3, 0]` are one. A spring holds its direction as well. Two
directions that are not parallel hold a joint in the plane, so a third rigid one has nothing left to hold.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.document.ledger import Ledger
    from trussio.model.truss import Direction, Support

    Unit = tuple[float, float]

PARALLEL = 1e-9
"""Two directions are one where the sine of the angle between them is no more than this."""

ALONG = 1e-3
"""A movement lies along an inclined direction up to this sine, since both are written with a few digits."""

AXES: dict[str, Unit] = {"x": (1.0, 0.0), "y": (0.0, 1.0)}


def check_bearing(support: Support, where: str, ledger: Ledger) -> None:
    """That a support holds each direction once, and at most two in the plane rigidly."""
    turning = "turn" in support.holds
    if support.holds.count("turn") > 1 or (turning and "turn" in support.springs):
        place = "springs/turn" if "turn" in support.springs else f"holds/{_last_turn(support)}"
        ledger.add(f"{where}/{place}", "the turn of this joint is held twice.", "Keep one of the two.")
    held: list[Unit] = []
    for place, unit, rigid in _directions(support):
        if any(_sine(unit, other) <= PARALLEL for other in held):
            ledger.add(f"{where}/{place}", "this direction is held already.", "Keep one of the two.")
        elif rigid and len(held) == 2:
            what = "two other directions hold this joint already, so nothing is left for a third."
            ledger.add(f"{where}/{place}", what, "Take one of the three out, or make it a spring.")
        else:
            held.append(unit)


def check_movement(support: Support, moves: Mapping[Direction, float], where: str, ledger: Ledger) -> None:
    """That a support is moved only in directions that it holds."""
    if moves.get("turn") and "turn" not in support.holds and "turn" not in support.springs:
        what = "this support does not hold the turn of its joint, so it cannot turn it."
        ledger.add(f"{where}/turn", what, 'Add "turn" to what it holds, or take the movement out.')
    x, y = moves.get("x", 0.0), moves.get("y", 0.0)
    size = hypot(x, y)
    held = [unit for _, unit, _ in _directions(support)]
    spans = any(_sine(held[0], other) > PARALLEL for other in held[1:])
    if size > 0 and not spans and not any(_sine((x / size, y / size), unit) <= ALONG for unit in held):
        what = "this support does not hold its joint in the direction of the movement."
        ledger.add(where, what, "Move it along a direction that it holds, or let it hold this one.")


def _directions(support: Support) -> Iterator[tuple[str, Unit, bool]]:
    """Place, unit vector and whether it is rigid, of every direction in the plane that is held."""
    for index, hold in enumerate(support.holds):
        if not isinstance(hold, str):
            length = hypot(*hold)
            if length > 0:
                yield f"holds/{index}", (hold[0] / length, hold[1] / length), True
        elif hold in AXES:
            yield f"holds/{index}", AXES[hold], True
    for name in support.springs:
        if name in AXES:
            yield f"springs/{name}", AXES[name], False


def _last_turn(support: Support) -> int:
    return max(index for index, hold in enumerate(support.holds) if hold == "turn")


def _sine(one: Unit, other: Unit) -> float:
    return abs(one[0] * other[1] - one[1] * other[0])

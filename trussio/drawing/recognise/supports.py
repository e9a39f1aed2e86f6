"""Where a truss stands: as the basis says, at the symbols drawn, or else at its lowest outer joints.

A symbol or a column tells the place of a support; what it restrains is for the surveyor to say. Without one the
reader's default is one heel held and the other rolling, as an assumption.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.drawing.answers import chosen, question
from trussio.model.change import Assumption
from trussio.model.truss import Direction, Support

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Mark, Point
    from trussio.model.basis import Basis
    from trussio.model.change import Question
    from trussio.model.truss import JointId

NEAR_INCHES: Final = 30.0
"""A symbol belongs to the joint that is no further from its middle than this."""
LEAST_FILLED: Final = 3.0
LEAST_FOOT: Final = 0.7
WIDEST_FOOT: Final = 3.0
"""Height of a filled triangle in inches, and its width over its height (own judgement; an arrow has a third)."""
LEVEL: Final = 0.05
CENTRED: Final = 0.15
FAR_DOWN: Final = 1 / 3
"""Share of the height by which chords run on below the lowest outer joints, to stand on their feet."""
HOLDS: Final[dict[str, tuple[Direction, ...]]] = {
    "x y": ("x", "y"),
    "y": ("y",),
    "x": ("x",),
    "x y turn": ("x", "y", "turn"),
}


@dataclass(frozen=True, kw_only=True)
class Symbol:
    """A support symbol or a column: where it stands, and its entities."""

    at: Point
    handles: tuple[str, ...]


def filled_symbols(marks: Iterable[Mark], reach: Reach) -> list[Symbol]:
    """Filled triangles that look like supports: a level foot, the tip above its middle, no arrow's narrow head."""
    found = []
    for mark in marks:
        if not mark.corners:
            continue
        one, other, tip = sorted(mark.corners, key=lambda corner: corner[1])
        wide, high = abs(other[0] - one[0]), tip[1] - one[1]
        if (
            LEAST_FILLED * reach.inch <= high <= NEAR_INCHES * reach.inch
            and LEAST_FOOT * high <= wide <= WIDEST_FOOT * high
            and other[1] - one[1] <= LEVEL * wide
            and abs(tip[0] - (one[0] + other[0]) / 2) <= CENTRED * wide
        ):
            found.append(Symbol(at=tip, handles=(mark.handle,)))
    return found


def supports_of(
    truss: Recognised, basis: Basis | None, symbols: Sequence[Symbol], reach: Reach, answers: Answers
) -> tuple[dict[JointId, Support], list[Assumption], list[Question]]:
    """Supports, what was assumed of them, and what must be asked."""
    if basis is not None and basis.supports:
        return _stated(truss, basis)
    under = _by_joint(truss, symbols, reach)
    if len(under) >= 2:
        return _at_symbols(truss, under, answers)
    left, right, lower = _heels(truss, answers)
    assumption = Assumption(
        what=f"The truss stands at its lowest outer joints; {left} is held, {right} may roll.",
        rests_on="the reader's default; holding both would under-state the bottom chord",
        touches=(f"/supports/{left}", f"/supports/{right}"),
    )
    asked = [_asked(joint, symbol, "x y" if joint == left else "y") for joint, symbol in under.items()]
    holds = {left: "x y", right: "y"}
    for question_asked, joint in zip(asked, under, strict=True):
        holds[joint] = chosen(question_asked, answers, list(HOLDS))
    return {joint: Support(holds=HOLDS[what]) for joint, what in holds.items()}, [assumption], [*lower, *asked]


def _heels(truss: Recognised, answers: Answers) -> tuple[JointId, JointId, list[Question]]:
    """The outer joints that the truss stands on, with the question where chords run far down beyond them.

    Rafters that go on below a collar for a third of the height stand on their feet; shorter ends are eaves.
    """
    names = truss.names
    outer = (names[truss.outline.left], names[truss.outline.right])
    places = {joint: truss.at(node) for joint, node in truss.joints.items()}
    heights = [y for _, y in places.values()]
    foot = min(places[joint][1] for joint in outer) - FAR_DOWN * (max(heights) - min(heights))
    deep = sorted((x, joint) for joint, (x, y) in places.items() if y <= foot)
    if len(deep) < 2 or deep[0][0] > places[outer[0]][0] or deep[-1][0] < places[outer[1]][0]:
        return (*outer, [])
    feet = (deep[0][1], deep[-1][1])
    asked = question(
        "where-it-stands",
        f"The chords run on below {' and '.join(outer)}, to {' and '.join(feet)}. Where does the truss stand?",
        taken=" ".join(feet),
        options=[" ".join(feet), " ".join(outer)],
    )
    stands = outer if chosen(asked, answers, [" ".join(feet), " ".join(outer)]) == " ".join(outer) else feet
    return (*stands, [asked])


def _stated(truss: Recognised, basis: Basis) -> tuple[dict[JointId, Support], list[Assumption], list[Question]]:
    supports = {joint: support for joint, support in basis.supports.items() if joint in truss.joints}
    strange = [joint for joint in basis.supports if joint not in truss.joints]
    assumption = Assumption(
        what=f"The truss stands at {', '.join(supports) or 'no joint'}, as stated.",
        rests_on=basis.name,
        touches=tuple(f"/supports/{joint}" for joint in supports),
    )
    return supports, [assumption], [_no_such_joint(basis, joint) for joint in strange]


def _by_joint(truss: Recognised, symbols: Sequence[Symbol], reach: Reach) -> dict[JointId, Symbol]:
    """The symbol under each joint that has one, joints from left to right."""
    found: dict[JointId, Symbol] = {}
    for symbol in symbols:
        away = {
            joint: hypot(at[0] - symbol.at[0], at[1] - symbol.at[1])
            for joint, node in truss.joints.items()
            for at in (truss.at(node),)
        }
        joint = min(away, key=lambda name, away=away: away[name])  # type: ignore[misc]  # bound while it is called
        if away[joint] <= NEAR_INCHES * reach.inch:
            found.setdefault(joint, symbol)
    return dict(sorted(found.items(), key=lambda pair: truss.at(truss.joints[pair[0]])[0]))


def _at_symbols(
    truss: Recognised, under: dict[JointId, Symbol], answers: Answers
) -> tuple[dict[JointId, Support], list[Assumption], list[Question]]:
    supports: dict[JointId, Support] = {}
    questions = []
    for number, (joint, symbol) in enumerate(under.items()):
        asked = _asked(joint, symbol, "y" if number else "x y", truss.at(truss.joints[joint]))
        questions.append(asked)
        supports[joint] = Support(holds=HOLDS[chosen(asked, answers, list(HOLDS))])
    assumption = Assumption(
        what=f"The truss stands where symbols are drawn, at {', '.join(supports)}.",
        rests_on="the drawing; what each support restrains is asked",
        touches=tuple(f"/supports/{joint}" for joint in supports),
    )
    return supports, [assumption], questions


def _asked(joint: JointId, symbol: Symbol, taken: str, where: Point | None = None) -> Question:
    return question(
        "support-symbol",
        f"A support is drawn at {joint}. What does it hold?",
        taken=taken,
        options=list(HOLDS),
        where=where or symbol.at,
        handles=symbol.handles,
    )


def _no_such_joint(basis: Basis, joint: JointId) -> Question:
    return question(
        "support-without-joint",
        f"{basis.name} supports joint {joint}, which the truss as read does not have. Which joint is meant?",
        taken="left out",
        settle=f"Correct /supports/{joint} in {basis.name}.",
    )

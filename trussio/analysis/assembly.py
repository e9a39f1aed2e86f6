"""A truss made ready for its response: bearings, loads and segments put together as one frame of arrays.

The steps in order: where segments run, what they are made of, what the cases put on them, what holds the truss.
Loads between joints go into the released state of their segments, whose ends load the joints.
Shapes: n movements, m segments, c load cases.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.bearings import bearings
from trussio.analysis.frame import Frame
from trussio.analysis.lines import lines
from trussio.analysis.loading import applied
from trussio.analysis.mechanism import refusal
from trussio.analysis.pieces import pieces
from trussio.analysis.properties import gives
from trussio.analysis.response import respond
from trussio.analysis.spans import flexibility, loads_on, misfits, released, softness
from trussio.analysis.stations import carried, chain_moments, stops, ties
from trussio.errors import CannotAnalyseError
from trussio.late import loaded

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.bearings import Bearings
    from trussio.analysis.lines import Lines
    from trussio.analysis.loading import Applied
    from trussio.analysis.pieces import Pieces
    from trussio.analysis.properties import Gives
    from trussio.analysis.spans import Released
    from trussio.analysis.stations import Stop
    from trussio.analysis.wear import Wear
    from trussio.model.idealised import Idealised
    from trussio.model.loading import RunId
    from trussio.model.truss import Truss

    Spans = list[tuple[Pieces, Released]]


OFFSETS = "trussio.analysis.offsets"


class Assembly(NamedTuple):
    """A truss under some cases.

    `loads` (n, c) act at the movements, what segments under loads put on their joints among them; `gaps` (m, 3, c)
    are the misfits of the released segments, lack of fit and warmth among them. `spans` holds for straight and
    curved segments their pieces and released states. `among` lists the stations; `ground` (joints, 3, c) moves
    under the supports.
    """

    ideal: Idealised
    shape: Lines
    held: Bearings
    frame: Frame
    loads: Floats
    gaps: Floats
    spans: list[tuple[Pieces, Released]]
    among: list[Stop]
    ground: Floats


class Answer(NamedTuple):
    """What cases do to a frame: `movements` (n, c), `basic` forces (m, 3, c) and what is `needed` (n, c).

    That is the force which each watched movement needs from outside, from a bearing or as a station from its
    neighbours; zero elsewhere.
    """

    movements: Floats
    basic: Floats
    needed: Floats


def assembled(truss: Truss, ideal: Idealised, cases: list[RunId]) -> Assembly:
    """A truss under some cases.

    Raises CannotAnalyseError where a property that counts is missing or a load cannot be evaluated.
    """
    shape, made = placed(truss, ideal, cases)
    give, held, among = gives(truss, ideal), bearings(truss, ideal, made.ground), stops(truss, ideal)
    frame = _frame(truss, ideal, shape, held, among)
    gaps, loads, spans = np.zeros((len(shape.chord), 3, len(cases))), made.forces.copy(), []
    for cut, soft in _softened(truss, shape, give, made):
        state = released(shape, cut, *loads_on(shape, cut, made, len(cases)))
        frame.flexibility[cut.segments] = flexibility(shape, cut, soft)
        gaps[cut.segments] = misfits(shape, cut, soft, state)
        _add_ends(shape, frame, cut, state, loads)
        spans.append((cut, state))
    gaps[:, 0] += made.strains * shape.chord[:, None]
    if any(member.slip or member.turning for member in truss.members.values()):
        soften: Callable[[Truss, Lines, Spans, Floats, Floats], None] = loaded(
            "trussio.analysis.end_springs:soften"
        )
        soften(truss, shape, spans, frame.flexibility, gaps)
    return Assembly(
        ideal=ideal,
        shape=shape,
        held=held,
        frame=frame,
        loads=loads,
        gaps=gaps,
        spans=spans,
        among=among,
        ground=made.ground,
    )


def placed(truss: Truss, ideal: Idealised, cases: list[RunId]) -> tuple[Lines, Applied]:
    """Where the segments run, and the loads on them."""
    shape = lines(truss)
    made = applied(truss, ideal, shape, cases)
    if ideal.idealisation == "pinned" or not any(member.offsets for member in truss.members.values()):
        return shape, made
    offset: Callable[[Truss, Idealised, Lines], Lines] = loaded(f"{OFFSETS}:offset")
    spread: Callable[[Applied, Floats, Floats], Applied] = loaded(f"{OFFSETS}:spread")
    beside = offset(truss, ideal, shape)
    return beside, spread(made, shape.length, beside.length)


def answered(
    truss: Truss, made: Assembly, *, loads: Floats, gaps: Floats, pushed: Floats, start: Floats
) -> Answer:
    """What `loads` (n, c), misfits `gaps` (m, 3, c) and movements of the ground do.

    The latter prescribe movements `start` (n, c), or are `pushed` (n, c) on by springs.

    Raises CannotAnalyseError `mechanism`, naming the joints that can move, or `near-mechanism`.
    """
    frame = made.frame
    try:
        response = respond(frame, loads + pushed, gaps, carried(start, made.among))
    except CannotAnalyseError:
        raise refusal(truss, frame) from None
    except np.linalg.LinAlgError:
        raise CannotAnalyseError(
            "near-mechanism",
            what="stiffnesses lie so far apart that no force can be trusted.",
            do="Look for a section, a slip or a modulus of an odd size.",
        ) from None
    needed = np.zeros_like(loads)
    needed[frame.watched] = response.pulls - loads[frame.watched]
    response.forces[:, 1:] += chain_moments(made.shape, made.among, -needed)
    return Answer(movements=response.movements, basic=response.forces, needed=needed)


def _softened(truss: Truss, shape: Lines, give: Gives, made: Applied) -> list[tuple[Pieces, Floats]]:
    """The pieces of straight segments and those of arcs, with what a length of each gives (3, p)."""
    if not any(member.worn or member.bows for member in truss.members.values()):
        return [(cut, softness(cut, give)) for cut in _kinds(shape, made, {})]
    wear_of: Callable[[Truss, Lines], Wear] = loaded("trussio.analysis.wear:wear_of")
    deviated: Callable[[Wear, Lines, Pieces, Floats], tuple[Pieces, Floats]]
    deviated = loaded("trussio.analysis.wear:deviated")
    wear = wear_of(truss, shape)
    cuts: dict[int, list[float]] = {}
    for stretch in wear.stretches:
        cuts.setdefault(stretch.segment, []).extend((stretch.start, stretch.end))
    kinds = _kinds(shape, made, cuts, bowed=bool(wear.bows))
    return [deviated(wear, shape, cut, softness(cut, give)) for cut in kinds]


def _kinds(shape: Lines, made: Applied, cuts: dict[int, list[float]], *, bowed: bool = False) -> list[Pieces]:
    """The pieces of all straight segments, and those of all arcs, where there are any; `cuts` are more places."""
    for patch in made.patches:
        cuts.setdefault(patch.segment, []).extend((patch.start, patch.end))
    for point in made.points:
        cuts.setdefault(point.segment, []).append(point.place)
    curved = shape.half != 0.0
    kinds = (np.flatnonzero(~curved), np.flatnonzero(curved))
    return [pieces(shape, segments, cuts, bowed=bowed) for segments in kinds if len(segments)]


def _add_ends(shape: Lines, frame: Frame, cut: Pieces, state: Released, loads: Floats) -> None:
    """Add to the loads (n, c) what released segments put on their joints."""
    cos, sin = shape.along[cut.segments].T
    turn_arms: Callable[[Frame, Counts, int, tuple[Floats, Floats], Floats], None] | None = None
    if frame.arms is not None:
        turn_arms = loaded(f"{OFFSETS}:turn_arms")
    for end, (x, y) in enumerate(((0, 1), (2, 3))):
        along, across = -state.ends[:, x], -state.ends[:, y]
        joint = 2 * shape.ends[cut.segments, end]
        right, up = along * cos - across * sin, along * sin + across * cos
        np.add.at(loads, joint, right.T)
        np.add.at(loads, joint + 1, up.T)
        if turn_arms is not None:
            turn_arms(frame, cut.segments, end, (right, up), loads)


def _frame(truss: Truss, ideal: Idealised, shape: Lines, held: Bearings, among: list[Stop]) -> Frame:
    """The frame, whose flexibility is still to be found."""
    total = len(held.held)
    first = total - len(ideal.rotations)
    turns = [[total if end is None else first + end for end in ends] for ends in ideal.ends]
    joints = np.array([*(bearing.joint for bearing in held.all), *(stop.joint for stop in among)], dtype=np.intp)
    turning = np.array([bearing.turn for bearing in held.all if bearing.turn is not None], dtype=np.intp)
    frame = Frame(
        joints=shape.joints,
        ends=shape.ends,
        turns=np.array(turns, dtype=np.intp).reshape(-1, 2),
        total=total,
        flexibility=np.zeros((len(shape.chord), 3, 3)),
        free=np.flatnonzero(~held.held),
        springs=held.springs,
        watched=np.concatenate([2 * joints, 2 * joints + 1, turning]),
        ties=ties(held, among),
    )
    if shape.arms is None:
        return frame
    with_arms: Callable[[Frame, Idealised, Truss, Floats], Frame] = loaded(f"{OFFSETS}:with_arms")
    return with_arms(frame, ideal, truss, shape.arms)

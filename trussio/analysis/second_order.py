"""Forces of second order: equilibrium on the deflected truss, and the load at which it buckles in its plane.

The axial force N of a segment turns with its chord and bends it by its own deflection (`beam_columns`). Under
given N the truss answers linearly; N is found by turns until it no longer changes. All loads of a run grown by one
factor bring the truss to where its stiffness ceases to be positive: how often is counted, not searched for, so
that no buckling load is overlooked. N is the mean along the segment.
Terms: the *swing* of a segment is how far one end moves across the chord from the other.
Shapes: n movements, k unknowns, m segments, c load cases.

Source for the count, cited from memory: W. H. Wittrick and F. W. Williams, A general algorithm for computing
natural frequencies of elastic structures, Q. J. Mech. Appl. Math. 24 (1971).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.beam_columns import Spans, beam_columns, buckled, deflections, moments, softer
from trussio.analysis.frame import across, acting, deformation_rows, movements_of, unknown_part
from trussio.analysis.peaks import peaks

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from trussio.analysis.arrays import Flags, Floats
    from trussio.analysis.assembly import Assembly
    from trussio.analysis.beam_columns import BeamColumn
    from trussio.analysis.frame import Frame
    from trussio.analysis.loading import Applied
    from trussio.analysis.properties import Gives
    from trussio.analysis.wear import Wear

TURNS = 60
SETTLED = 1e-9
MOST = 100.0
"""Beyond so many times the loads no buckling is looked for."""
FIRST = 0.7548776662466927
"""Where the search begins: no round number, since exactly where something buckles nothing can be solved."""
CLOSE = 1e-7
TAKES_PART = 0.5
"""Segments whose work in buckling is more than this part of the largest take part in it."""


class Swaying(NamedTuple):
    """A truss as second order sees it: `swings` (m, n) by movements, and basic deformations `rows` (m, 3, n)."""

    frame: Frame
    columns: Sequence[BeamColumn | None]
    rows: Floats
    swings: Floats
    length: Floats
    acts: Flags
    loads: Floats
    gaps: Floats
    start: Floats


class Answer(NamedTuple):
    """`basic` (m, 3) forces and `peak` (m,) moments of second order."""

    basic: Floats
    peak: Floats


class Buckling(NamedTuple):
    """The factor on all loads at which the truss buckles, None beyond `MOST`, and the segments that take part."""

    factor: float | None
    segments: list[int]


def swaying(made: Assembly, applied: Applied, wear: Wear, give: Gives, slack: Collection[int] = ()) -> Swaying:
    """A truss under some cases, without the segments that are slack; `give` has the bending of every segment."""
    frame, held = made.frame, made.held
    local = deformation_rows(frame)
    swing = local[:, 1].copy()
    swing[:, 2] += 1.0
    at, count = movements_of(frame), frame.total
    rows, swings = np.zeros((len(at), 3, count + 1)), np.zeros((len(at), count + 1))
    every = np.arange(len(at))
    for column in range(6):
        rows[every, :, at[:, column]] += local[:, :, column]
        swings[every, at[:, column]] += swing[:, column] * made.shape.chord
    acts = acting(frame)
    acts[list(slack)] = False
    return Swaying(
        frame=frame,
        columns=beam_columns(Spans(made.shape, applied, give, wear, made.loads.shape[1])),
        rows=rows[..., :count],
        swings=swings[:, :count],
        length=made.shape.chord,
        acts=acts,
        loads=made.loads + held.pushed,
        gaps=made.gaps,
        start=held.start,
    )


def own_stiffness(of: Swaying, axial: Floats) -> Floats:
    """The stiffness (m, 3, 3) of segments against their basic deformations, under axial forces (m,)."""
    flexible = of.frame.flexibility.copy()
    for number, column in enumerate(of.columns):
        if column is not None:
            flexible[number] += softer(column, float(axial[number]))[0]
    both = of.acts[:, :, None] & of.acts[:, None, :]
    return np.where(both, np.linalg.inv(np.where(both, flexible, np.eye(3))), 0.0)


def whole_stiffness(of: Swaying, own: Floats, axial: Floats) -> Floats:
    """The stiffness (n, n) against all movements."""
    flat, carries = of.rows.reshape(-1, of.frame.total), np.where(of.acts[:, 0], axial / of.length, 0.0)
    pushed = np.einsum("mab,mbn->man", own, of.rows).reshape(-1, of.frame.total)
    found: Floats = flat.T @ pushed + of.swings.T @ (carries[:, None] * of.swings)
    return found + np.diag(of.frame.springs + _of_arms(of, carries))


def _of_arms(of: Swaying, carries: Floats) -> Floats:
    """What axial forces over length (m,) add to the turns (n,) of rigid arms, whose ends they push in or out."""
    found = np.zeros(of.frame.total + 1)
    if of.frame.arms is not None:
        pulled = carries[:, None] * across(of.frame)
        for end, way in ((0, 1.0), (1, -1.0)):
            np.add.at(found, of.frame.turns[:, end], way * (pulled * of.frame.arms[:, end]).sum(axis=1))
    return found[:-1]


def of_unknowns(of: Swaying, whole: Floats) -> Floats:
    """The part (k, k) of a stiffness that the unknowns meet."""
    ties = of.frame.ties
    return whole[np.ix_(of.frame.free, of.frame.free)] if ties is None else ties.T @ whole @ ties


def answer(of: Swaying, factors: Floats, axial: Floats) -> Answer | None:
    """The forces of a run, a sum of cases by `factors` (c,), from axial forces (m,) of first order on.

    None where they do not settle.
    """
    loads, start = of.loads @ factors, of.start @ factors
    for _ in range(TURNS):
        basic = _under(of, factors, loads, start, axial)
        if np.abs(basic[:, 0] - axial).max(initial=0.0) <= SETTLED * np.abs(basic[:, 0]).max(initial=0.0):
            return Answer(basic=basic, peak=np.array([_peak(of, m, basic[m], factors) for m in range(len(basic))]))
        axial = basic[:, 0]
    return None


def _under(of: Swaying, factors: Floats, loads: Floats, start: Floats, axial: Floats) -> Floats:
    """Basic forces (m, 3) under loads (n,), on segments that axial forces (m,) make softer or stiffer."""
    gaps = of.gaps @ factors
    for number, column in enumerate(of.columns):
        if column is not None:
            gaps[number] += softer(column, float(axial[number]))[1] @ factors
    own = own_stiffness(of, axial)
    whole = whole_stiffness(of, own, axial)
    before = np.einsum("mab,mb->ma", own, gaps)
    left = loads - whole @ start + of.rows.reshape(-1, of.frame.total).T @ before.ravel()
    step = np.linalg.solve(of_unknowns(of, whole), unknown_part(of.frame, left[:, None]))[:, 0]
    moved = start.copy()
    if of.frame.ties is None:
        moved[of.frame.free] += step
    else:
        moved += of.frame.ties @ step
    return np.asarray(np.einsum("mab,mb->ma", own, of.rows @ moved - gaps), dtype=np.float64)


def _peak(of: Swaying, number: int, basic: Floats, factors: Floats) -> float:
    """The moment of largest size on a segment."""
    column = of.columns[number]
    if column is None:
        return float(basic[1:][np.abs(basic[1:]).argmax()])
    moment = moments(column, float(basic[0]), np.concatenate([basic, factors]))
    cut = column.cut
    slope = moment @ cut.rule.slope.T / cut.length[:, None]
    value, _ = peaks(cut, moment[None], slope[None])
    return float(value[0, 0])


def buckling(of: Swaying, axial: Floats) -> Buckling:
    """At how many times the axial forces (m,) the truss buckles, and which segments do."""
    if not (axial < 0.0).any():
        return Buckling(None, [])
    low, high = 0.0, FIRST
    while not times_buckled(of, axial * high):
        low, high = high, 2.0 * high
        if low >= MOST:
            return Buckling(None, [])
    while high - low > CLOSE * high:
        middle = (low + high) / 2
        if times_buckled(of, axial * middle):
            high = middle
        else:
            low = middle
    return Buckling(high, _taking_part(of, axial, low, high)) if high <= MOST else Buckling(None, [])


def times_buckled(of: Swaying, axial: Floats) -> int:
    """In how many ways the truss has buckled under axial forces (m,)."""
    return int(sum(_between_joints(of, axial))) + _negative(
        of_unknowns(of, whole_stiffness(of, own_stiffness(of, axial), axial))
    )


def _between_joints(of: Swaying, axial: Floats) -> list[int]:
    """In how many ways each segment has buckled while its joints are held."""
    own = own_stiffness(of, axial)
    return [
        0
        if column is None or not of.acts[number, 0]
        else buckled(column, float(axial[number])) - _negative(own[number])
        for number, column in enumerate(of.columns)
    ]


def _negative(matrix: Floats) -> int:
    """How many eigenvalues of a symmetric matrix are negative, what is nothing but rounding left aside."""
    size = np.sqrt(np.abs(np.diag(matrix)))
    scale = 1.0 / np.where(size > 0.0, size, 1.0)
    scaled = (matrix + matrix.T) / 2 * scale * scale[:, None]
    return int(np.count_nonzero(np.linalg.eigvalsh(scaled) < -1e-14)) if len(matrix) else 0


def _taking_part(of: Swaying, axial: Floats, low: float, high: float) -> list[int]:
    """The segments that do most of the work when the truss buckles between two factors."""
    pairs = zip(_between_joints(of, axial * low), _between_joints(of, axial * high), strict=True)
    alone = [number for number, (before, after) in enumerate(pairs) if after > before]
    if alone:
        return alone
    force = axial * high
    own = own_stiffness(of, force)
    matrix = of_unknowns(of, whole_stiffness(of, own, force))
    shape = np.linalg.eigh((matrix + matrix.T) / 2)[1][:, 0]
    moved = np.zeros(of.frame.total)
    if of.frame.ties is None:
        moved[of.frame.free] = shape
    else:
        moved = of.frame.ties @ shape
    basic = np.einsum("mab,mb->ma", own, of.rows @ moved)
    work = np.array(
        [_work(of, number, float(force[number]), moved, basic[number]) for number in range(len(force))]
    )
    order = np.argsort(-work, kind="stable")
    return [int(number) for number in order if work[number] > TAKES_PART * work.max(initial=0.0)]


def _work(of: Swaying, number: int, force: float, moved: Floats, basic: Floats) -> float:
    """What compression does in a segment when it buckles: its size times how far the ends come together."""
    if force >= 0.0 or not of.acts[number, 0]:
        return 0.0
    nearer = float(of.swings[number] @ moved) ** 2 / of.length[number]
    column = of.columns[number]
    if column is not None:
        amounts = np.zeros(column.states.shape[1])
        amounts[:3] = basic
        off = deflections(column, moments(column, force, amounts))
        slope = off @ column.cut.rule.slope.T / column.cut.length[:, None]
        nearer += float(((slope**2) @ column.cut.rule.upto[-1] * column.cut.length).sum())
    return float(-force * nearer)

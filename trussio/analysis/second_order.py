"""Forces of second order: equilibrium on the truss as it has deflected, in its plane.

The axial force N of a segment turns with its chord and bends it by its own deflection (`beam_columns`). Under
given N the truss answers linearly; N is found by turns until it no longer changes. N is the mean along the
segment.
Terms: the *swing* of a segment is how far one end moves across the chord from the other. What is *put* on a truss
may be more than its cases: see `staged_sway` for stages and tendons, whose legs turn with their points as well.
Axial forces are those of segments and, behind them, of the legs of tendons.
Sticks that slip along others by fasteners are tied: the force of one of their segments lengthens the next.
Shapes: n movements, k unknowns, m segments, c load cases, l legs, s segments of sticks that slip.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.beam_columns import Spans, beam_columns, moments, softening
from trussio.analysis.frame import across, acting, deformation_rows, movements_of, unknown_part
from trussio.analysis.peaks import peaks

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from trussio.analysis.arrays import Counts, Flags, Floats
    from trussio.analysis.assembly import Assembly
    from trussio.analysis.beam_columns import BeamColumn
    from trussio.analysis.frame import Frame
    from trussio.analysis.loading import Applied
    from trussio.analysis.properties import Gives
    from trussio.analysis.redundants import Slipping
    from trussio.analysis.wear import Wear

TURNS = 60
SETTLED = 1e-9


class Stays(NamedTuple):
    """Tendons: what a force of one in each leg adds to the stiffness, `turning` (l, n, n), and what they hold.

    Legs pull at the movements by `pulls` (n, l); their force grows by `grows` (l, n) with the movements.
    """

    turning: Floats
    pulls: Floats
    grows: Floats


class Put(NamedTuple):
    """What one run puts on a truss: `loads` (n,), misfits `gaps` (m, 3), and movements `start` (n,) to begin with.

    `factors` (c,) are those of its cases, for what stands between joints. The first force of the legs is `tight`.
    """

    loads: Floats
    gaps: Floats
    start: Floats
    factors: Floats
    tight: Floats


class Swaying(NamedTuple):
    """A truss as second order sees it.

    Movements `at` (m, 6) of the ends of each segment make its basic deformations by `rows` (m, 3, 6) and its swing
    by `swings` (m, 6). `acts` (m, 3) tells which basic forces it carries.
    """

    frame: Frame
    columns: Sequence[BeamColumn | None]
    at: Counts
    rows: Floats
    swings: Floats
    length: Floats
    acts: Flags
    loads: Floats
    gaps: Floats
    start: Floats
    stays: Stays | None = None
    slips: Slipping | None = None


class Answer(NamedTuple):
    """`basic` (m, 3) forces and `peak` (m,) moments of second order."""

    basic: Floats
    peak: Floats


def swaying(made: Assembly, applied: Applied, wear: Wear, give: Gives) -> Swaying:
    """A truss under some cases; `give` has the bending of every segment, hinged or not."""
    rows = deformation_rows(made.frame)
    swings = rows[:, 1].copy()
    swings[:, 2] += 1.0
    return Swaying(
        frame=made.frame,
        columns=beam_columns(Spans(made.shape, applied, give, wear, made.loads.shape[1])),
        at=movements_of(made.frame),
        rows=rows,
        swings=swings * made.shape.chord[:, None],
        length=made.shape.chord,
        acts=acting(made.frame),
        loads=made.loads + made.held.pushed,
        gaps=made.gaps,
        start=made.held.start,
    )


def without(of: Swaying, slack: Collection[int]) -> Swaying:
    """The same without the segments that are slack."""
    acts = of.acts.copy()
    acts[list(slack)] = False
    return of._replace(acts=acts)


def own_stiffness(of: Swaying, softer: Floats) -> Floats:
    """The stiffness (m, 3, 3) of segments whose flexibility (m, 3, 3) has grown by `softer`."""
    both = of.acts[:, :, None] & of.acts[:, None, :]
    flexible = np.where(both, of.frame.flexibility + softer, np.eye(3))
    return np.where(both, np.linalg.inv(flexible), 0.0)


def whole_stiffness(of: Swaying, own: Floats, axial: Floats) -> Floats:
    """The stiffness (n, n) against all movements, under axial forces (m + l,)."""
    count = len(of.length)
    carries = np.where(of.acts[:, 0], axial[:count] / of.length, 0.0)
    parts = of.rows.transpose(0, 2, 1) @ own @ of.rows
    parts += carries[:, None, None] * of.swings[:, :, None] * of.swings[:, None]
    size = of.frame.total + 1
    places = of.at[:, :, None] * size + of.at[:, None]
    found = np.bincount(places.ravel(), parts.ravel(), size * size).reshape(size, size)[:-1, :-1]
    whole = np.asarray(found + np.diag(of.frame.springs + _of_arms(of, carries)), dtype=np.float64)
    ties = _ties(of, own)
    if ties is not None and of.slips is not None:
        rows = np.zeros((len(of.slips.segments), 3, size))
        for number, segment in enumerate(of.slips.segments.tolist()):
            for movement, row in zip(of.at[segment].tolist(), of.rows[segment].T, strict=True):
                rows[number, :, movement] += row
        flat = rows.reshape(-1, size)[:, :-1]
        whole = whole + flat.T @ ties @ flat
    if of.stays is None:
        return whole
    turned = np.tensordot(axial[count:], of.stays.turning, axes=1)
    return np.asarray(whole + turned - of.stays.pulls @ of.stays.grows, dtype=np.float64)


def basic_forces(of: Swaying, own: Floats, deformations: Floats) -> Floats:
    """The basic forces (m, 3) of segments whose basic deformations (m, 3) are not free."""
    found = np.asarray(np.einsum("mab,mb->ma", own, deformations), dtype=np.float64)
    ties = _ties(of, own)
    if ties is not None and of.slips is not None:
        found[of.slips.segments] += (ties @ deformations[of.slips.segments].ravel()).reshape(-1, 3)
    return found


def _ties(of: Swaying, own: Floats) -> Floats | None:
    """What ties between segments that slip change of their stiffness (3 s, 3 s); None where none slips."""
    if of.slips is None or not of.slips.segments.size:
        return None
    count = len(of.slips.segments)
    apart, across = np.zeros((2, count, 3, count, 3))
    numbers = np.arange(count)
    apart[numbers, :, numbers] = own[of.slips.segments]
    across[:, 0, :, 0] = of.slips.across
    apart, across = apart.reshape(3 * count, -1), across.reshape(3 * count, -1)
    tied = apart @ np.linalg.inv(np.eye(3 * count) + across @ apart)
    return np.asarray(tied - apart, dtype=np.float64)


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


def spread(of: Swaying, unknowns: Floats) -> Floats:
    """The movements (n,) that go with the unknowns (k,)."""
    if of.frame.ties is not None:
        return np.asarray(of.frame.ties @ unknowns, dtype=np.float64)
    moved = np.zeros(of.frame.total)
    moved[of.frame.free] = unknowns
    return moved


def ends(of: Swaying, moved: Floats) -> Floats:
    """The movements (m, 6) of the ends of segments."""
    return np.asarray(np.append(moved, 0.0)[of.at], dtype=np.float64)


def put(of: Swaying, factors: Floats) -> Put:
    """What a run, a sum of cases by `factors` (c,), puts on a truss without tendons."""
    return Put(
        loads=of.loads @ factors,
        gaps=of.gaps @ factors,
        start=of.start @ factors,
        factors=factors,
        tight=np.zeros(0),
    )


def answer(of: Swaying, on: Put, axial: Floats) -> Answer | None:
    """The forces of a run from axial forces (m,) of first order on. None where they do not settle."""
    axial, count = np.concatenate([axial, on.tight]), len(axial)
    for _ in range(TURNS):
        basic, legs = _under(of, on, axial)
        if (legs < 0.0).any():
            return None
        now = np.concatenate([basic[:, 0], legs])
        if np.abs(now - axial).max(initial=0.0) <= SETTLED * np.abs(now).max(initial=0.0):
            peak = np.array([_peak(of, number, basic[number], on.factors) for number in range(count)])
            return Answer(basic=basic, peak=peak)
        axial = now
    return None


def _under(of: Swaying, on: Put, axial: Floats) -> tuple[Floats, Floats]:
    """Basic forces (m, 3) and those of legs (l,), where axial forces (m + l,) make all softer or stiffer."""
    softer = softening(of.columns, axial, len(on.factors))
    gaps = on.gaps + softer[:, :, 3:] @ on.factors
    own = own_stiffness(of, softer[:, :, :3])
    whole = whole_stiffness(of, own, axial)
    before = basic_forces(of, own, gaps)
    pulls = np.einsum("mab,ma->mb", of.rows, before)
    pulled = np.bincount(of.at.ravel(), pulls.ravel(), of.frame.total + 1)[:-1]
    left = on.loads - whole @ on.start + pulled
    step = np.linalg.solve(of_unknowns(of, whole), unknown_part(of.frame, left[:, None]))[:, 0]
    further = spread(of, np.asarray(step, dtype=np.float64))
    deformed = np.einsum("mab,mb->ma", of.rows, ends(of, on.start + further))
    return basic_forces(
        of, own, deformed - gaps
    ), on.tight if of.stays is None else on.tight + of.stays.grows @ further


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

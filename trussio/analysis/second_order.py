"""Forces of second order: equilibrium on the truss as it has deflected, in its plane.

The axial force N of a segment turns with its chord and bends it by its own deflection (`beam_columns`). Under
given N the truss answers linearly; N is found by turns until it no longer changes. N is the mean along the
segment.
Terms: the *swing* of a segment is how far one end moves across the chord from the other.
Shapes: n movements, k unknowns, m segments, c load cases.
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
    from trussio.analysis.wear import Wear

TURNS = 60
SETTLED = 1e-9


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
    """The stiffness (n, n) against all movements, under axial forces (m,)."""
    carries = np.where(of.acts[:, 0], axial / of.length, 0.0)
    parts = of.rows.transpose(0, 2, 1) @ own @ of.rows
    parts += carries[:, None, None] * of.swings[:, :, None] * of.swings[:, None]
    size = of.frame.total + 1
    places = of.at[:, :, None] * size + of.at[:, None]
    found = np.bincount(places.ravel(), parts.ravel(), size * size).reshape(size, size)[:-1, :-1]
    return np.asarray(found + np.diag(of.frame.springs + _of_arms(of, carries)), dtype=np.float64)


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
    softer = softening(of.columns, axial, len(factors))
    gaps = of.gaps @ factors + softer[:, :, 3:] @ factors
    own = own_stiffness(of, softer[:, :, :3])
    whole = whole_stiffness(of, own, axial)
    before = np.einsum("mab,mb->ma", own, gaps)
    pulls = np.einsum("mab,ma->mb", of.rows, before)
    pulled = np.bincount(of.at.ravel(), pulls.ravel(), of.frame.total + 1)[:-1]
    left = loads - whole @ start + pulled
    step = np.linalg.solve(of_unknowns(of, whole), unknown_part(of.frame, left[:, None]))[:, 0]
    moved: Floats = start + spread(of, np.asarray(step, dtype=np.float64))
    deformed = np.einsum("mab,mb->ma", of.rows, ends(of, moved))
    return np.asarray(np.einsum("mab,mb->ma", own, deformed - gaps), dtype=np.float64)


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

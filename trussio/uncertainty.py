"""How far the forces of a truss may lie from those calculated: many variations within what a survey can tell.

Joints lie anywhere within the tolerance of where they were surveyed, sticks are stiffer or softer than said, all
values alike likely and each by itself. What is varied and how stands in `trussio.analysis.varied`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.analysis.sampling import moved_joints, run_forces, sampled, side_by_side
from trussio.analysis.varied import Spread, variations
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError, UsageError
from trussio.geometry import segment_length
from trussio.model.bands import Band, Bands, ReactionBands, SegmentBands
from trussio.model.idealised import idealise
from trussio.state import every_run, in_state, of_document

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.analysis.arrays import Floats
    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Joint, JointId, SegmentId, State, Truss

SAMPLES: Final = 1000
MOST_SAMPLES: Final = 1_000_000
OUTSIDE: Final = 0.05
NOTHING: Final = 1e-9
"""A force of this part of the largest in its run has no sign."""
ROUNDING: Final = 1e-12
"""Nor has one that strains the stiffest stick by less than this: rounding does as much."""
LONG: Final = 20.0
"""Seconds; what is expected to take longer is said before."""
STAGE: Final = 3e-3
SEGMENT: Final = 6e-6
"""Seconds for a stage, and for a segment in a run, of one variation that is analysed by itself: as measured."""
LEAST_LEFT: Final = 0.25
"""A tolerance of more than this part of a segment leaves nothing of its direction."""
MOST_SPREAD: Final = 0.9
HELD: Final = 2**24
"""So many numbers of all variations are kept at once; more runs take their turn."""
PEAK: Final = 7
AT_ONCE: Final = 64
"""So many variations of where joints lie are drawn at once; how many does not matter to them."""


class Varied(NamedTuple):
    """What is to be varied, and the runs of the truss that can be calculated."""

    truss: Truss
    surveyed: Results
    spread: Spread
    samples: int


def bands(
    truss: Truss,
    *,
    digest: str,
    tolerance: float,
    stiffness: float = 0.0,
    samples: int = SAMPLES,
    idealisation: Idealisation = "continuous",
    state: State = "found",
    despite_stops: bool = False,
) -> Bands:
    """The bands of every run; `tolerance` in the truss's base length, `stiffness` as a part (0.1 is 10 %).

    Raises what `calculate` raises, UsageError where tolerance, spread or samples make no sense, and
    CannotAnalyseError `near-mechanism` where the truss may be a mechanism within its tolerance.
    """
    surveyed = calculate(truss, digest=digest, idealisation=idealisation, state=state, despite_stops=despite_stops)
    made = in_state(truss, state, idealisation=idealisation)
    varied = Varied(made.truss, surveyed, Spread(tolerance, stiffness), samples)
    _refuse(varied)
    try:
        runs = _of_runs(varied)
    except CannotAnalyseError as error:
        raise of_document(error, made) from None
    return Bands(
        model=digest,
        idealisation=idealisation,
        state=state,
        rests_on=surveyed.rests_on,
        tolerance=tolerance,
        stiffness=stiffness,
        samples=samples,
        runs={run: one.segments for run, one in runs.items()},
        reactions={run: one.reactions for run, one in runs.items()},
        despite=surveyed.despite,
        not_evaluated={
            **surveyed.not_evaluated,
            **{
                run: f"{run} has no bands: within the tolerance there are shapes in which nothing balances it."
                for run in surveyed.runs
                if run not in runs
            },
        },
    )


def long_wait(truss: Truss, *, samples: int, idealisation: Idealisation, state: State) -> str | None:
    """What is to be said before variations that take long, since each is analysed by itself; else None."""
    try:
        made = in_state(truss, state, idealisation=idealisation).truss
        if side_by_side(made, idealise(made, idealisation)):
            return None
    except CannotAnalyseError:
        return None  # said with everything else that stops the analysis
    each = STAGE * (1 + len(made.stages)) + SEGMENT * len(every_run(made)) * len(made.segments)
    minutes = samples * each / 60
    if minutes * 60 < LONG:
        return None
    why = "stages and tendons are" if made.stages or made.tendons else "play, an inclined bearing or a station is"
    return (
        f"{samples:,} variations are analysed one by one, since {why} followed in each: expect "
        f"{minutes:.1f} minutes or more; --samples 1000 tells the same less finely."
    )


def varied_forces(
    truss: Truss, surveyed: Results, *, tolerance: float, stiffness: float = 0.0, samples: int = SAMPLES
) -> Iterator[dict[RunId, RunForces]]:
    """The forces of every run in each variation, one after the other: what checks need to be made many times.

    `surveyed` are the results of the truss in the state that is to be varied. Movements and reactions are left
    out.
    """
    made = in_state(truss, surveyed.state, idealisation=surveyed.idealisation)
    varied = Varied(made.truss, surveyed, Spread(tolerance, stiffness), samples)
    _refuse(varied)
    runs = list(surveyed.runs)
    for part in sampled(
        made.truss, idealisation=surveyed.idealisation, runs=runs, spread=varied.spread, samples=samples
    ):
        yield from run_forces(surveyed.runs, part)


def varied_joints(
    truss: Truss, surveyed: Results, *, tolerance: float, stiffness: float = 0.0, samples: int = SAMPLES
) -> Iterator[dict[JointId, Joint]]:
    """Where the joints lie in each variation of `varied_forces`, in the same order."""
    made = in_state(truss, surveyed.state, idealisation=surveyed.idealisation)
    _refuse(Varied(made.truss, surveyed, Spread(tolerance, stiffness), samples))
    ideal = idealise(made.truss, surveyed.idealisation)
    for variation in variations(made.truss, Spread(tolerance, stiffness), samples, AT_ONCE):
        for sample in range(variation.moved.shape[2]):
            yield moved_joints(made.truss, ideal, variation, sample)


def _refuse(varied: Varied) -> None:
    """Refuse what makes no sense."""
    tolerance, stiffness = varied.spread
    if not 1 <= varied.samples <= MOST_SAMPLES:
        raise UsageError(
            "bad-samples",
            what=f"{varied.samples} variations were asked for.",
            do=f"Ask for 1 to {MOST_SAMPLES:,}; 10,000 tell what there is to tell.",
        )
    if not 0.0 <= stiffness <= MOST_SPREAD:
        raise UsageError(
            "bad-spread",
            what=f"a stiffness spread of {stiffness:.0%} was asked for.",
            do=f"Give a part between 0 % and {MOST_SPREAD:.0%}; 10 % or 20 % is usual for old timber.",
        )
    shortest = min(varied.truss.segments, key=lambda segment: segment_length(varied.truss, segment))
    length = segment_length(varied.truss, shortest)
    if not 0.0 <= tolerance <= LEAST_LEFT * length:
        unit = "in." if varied.truss.units == "us" else "mm"
        raise UsageError(
            "bad-tolerance",
            where=shortest.id,
            what=f"a survey tolerance of {tolerance:g} {unit} leaves nothing of {shortest.id}, "
            f"{length:.4g} {unit} long.",
            do=f"Give 0 to {LEAST_LEFT * length:.3g} {unit}: how far off the survey may be.",
        )


class OfRun(NamedTuple):
    """The bands of one run."""

    segments: dict[SegmentId, SegmentBands]
    reactions: dict[JointId, ReactionBands]


def _of_runs(varied: Varied) -> dict[RunId, OfRun]:
    """The bands of all runs, of as many at a time as memory is spent on."""
    runs = list(varied.surveyed.runs)
    held = [2 * len(run.segments) + 3 * len(run.reactions) for run in varied.surveyed.runs.values()]
    figures = varied.samples * max(held, default=1)
    few = max(1, HELD // figures)
    found: dict[RunId, OfRun] = {}
    for start in range(0, len(runs), few):
        found.update(_of_some(varied, runs[start : start + few]))
    return found


def _of_some(varied: Varied, runs: Sequence[RunId]) -> dict[RunId, OfRun]:
    """The bands of some runs; of those that every variation balances."""
    slices = sampled(
        varied.truss,
        idealisation=varied.surveyed.idealisation,
        runs=runs,
        spread=varied.spread,
        samples=varied.samples,
    )
    parts = [(part.axial, [np.abs(of[:, PEAK]) for of in part.figures()], part.pushes()) for part in slices]
    found = {}
    for number, run in enumerate(runs):
        if any(not part[0][number].size or np.isnan(part[0][number]).any() for part in parts):
            continue
        axial, moment = (np.concatenate([part[which][number] for part in parts], axis=1) for which in (0, 1))
        names = list(varied.surveyed.runs[run].segments)
        nothing = max(NOTHING * np.abs(axial).max(initial=0.0), ROUNDING * _stiffest(varied.truss))
        shares = zip(
            names,
            _bands(axial),
            _bands(moment),
            (axial > nothing).mean(axis=1).tolist(),
            (axial < -nothing).mean(axis=1).tolist(),
            strict=True,
        )
        found[run] = OfRun(
            segments={name: SegmentBands(*rest) for name, *rest in shares},
            reactions=_reactions(
                list(varied.surveyed.runs[run].reactions),
                np.concatenate([part[2][number] for part in parts], axis=2),
                nothing,
            ),
        )
    return found


def _reactions(names: Sequence[JointId], pushes: Floats, nothing: float) -> dict[JointId, ReactionBands]:
    """The bands of bearings from what they push (b, 3, s); below `nothing` a push holds nothing down."""
    down = (pushes[:, 1] < -nothing).mean(axis=1).tolist()
    return {
        name: ReactionBands(x, y, turn, share)
        for name, (x, y, turn), share in zip(names, map(_bands, pushes), down, strict=True)
    }


def _stiffest(truss: Truss) -> float:
    """The largest E A of all sticks."""
    pairs = ((truss.section_of(name), truss.material_of(name)) for name in truss.members)
    return max(
        (m.E * s.gross_area for s, m in pairs if s is not None and m is not None and m.E and s.gross_area),
        default=0.0,
    )


def _bands(values: Floats) -> list[Band]:
    """The band of each row of values (m, s)."""
    samples = values.shape[1]
    low = int(OUTSIDE / 2 * samples)
    places = (low, (samples - 1) // 2, samples - 1 - low)
    return [Band(*row) for row in np.partition(values, places, axis=1)[:, places].tolist()]

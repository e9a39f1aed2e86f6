"""Write a proof of forces: rational forces in exact balance, movements, and a path for a unit load at every joint.

The forces of least energy are nearly in balance. Of the unknowns as many are chosen as there are equations, the
stiffest that are independent; the others keep their values, as the fractions that floats are, and those chosen
follow from the equations in exact arithmetic. Paths are the same choice under unit loads, to a few figures.

What checks the proof is `proof`, which has none of this: neither numpy, nor a choice, nor an elimination.
"""

from __future__ import annotations

import json
from fractions import Fraction
from hashlib import sha256
from math import fsum, sqrt
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.errors import CannotAnalyseError
from trussio.recheck.acting import AT_BOUND
from trussio.recheck.elimination import eliminate
from trussio.recheck.energy import factors_of, minimum
from trussio.recheck.gaps import leaving
from trussio.recheck.one_sided import cut_open
from trussio.recheck.problem import problem_of
from trussio.recheck.prove_tendons import solved
from trussio.recheck.reading import read
from trussio.recheck.statement import structure_of
from trussio.recheck.tally import loads_of
from trussio.recheck.tendons import parts_of, runs_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, State, Truss
    from trussio.recheck.problem import Problem
    from trussio.recheck.reading import Reading
    from trussio.recheck.statement import Entry, Row, Segment, Structure

    Array = NDArray[np.floating]
    Unknown = tuple[str, int | str]
    """(segment, 0: force density, 1 and 2: end moments), or (joint, direction) of a spring."""

FIGURES: Final = 6
"""Figures of the paths, which need only be near."""
NOTHING: Final = 1e-7
"""Forces of a path that are smaller than this part of its largest are left out."""


def prove(
    truss: Truss,
    document: bytes,
    *,
    idealisation: Idealisation,
    state: State = "found",
    runs: Iterable[RunId] | None = None,
) -> str:
    """A proof (JSON) of the forces of some runs, or of all, for the bytes of the document that states the truss.

    `truss` is in the state that the proof is of, its condition applied where it is as found.
    Raises CannotAnalyseError as `second_forces` does, and `not-provable` for what the checker refuses.
    """
    try:
        about = structure_of(json.loads(document), continuous=idealisation == "continuous", state=state)
    except ValueError as refused:
        raise _not_provable(refused) from None
    reading = read(truss, idealisation=idealisation, runs=runs)
    problem = problem_of(reading)
    found = minimum(reading, problem)
    if about.truss.get("tendons"):
        every = [str(run) for run in (truss.loads.runs if runs is None else runs)]
        try:
            written = {run: {"parts": _parts(about, run)} for run in runs_of(about.truss, every)}
        except ValueError as refused:
            raise _not_provable(refused) from None
        return _document(document, idealisation, state, written, {})
    columns = _columns(about)
    chosen = [] if about.yielding else _chosen(about, columns)
    written = {}
    for run, factors in factors_of(reading, problem, found).items():
        near, moved = _near(about, reading, found.forces @ factors, found.moved @ factors)
        if about.yielding:
            sides = _sides(about, problem, factors[len(reading.loads.joints) :].tolist(), run)
            written[run] = _one_sided(about, columns, near, moved, (run, sides))
        else:
            written[run] = _written(about, _balanced(about, columns, chosen, near, run), moved)
    paths = {} if about.yielding else _paths(about, columns, chosen)
    return _document(document, idealisation, state, written, paths)


def _not_provable(refused: ValueError) -> CannotAnalyseError:
    do = "Recheck it instead: principle 1 covers more."
    return CannotAnalyseError("not-provable", where="", what=str(refused), do=do)


def _document(document: bytes, idealisation: Idealisation, state: State, runs: Entry, paths: Entry) -> str:
    """A proof as a document of its own."""
    proof = {
        "format": "trussio/proof",
        "version": 1,
        "document": "sha256:" + sha256(document).hexdigest(),
        "idealisation": idealisation,
        "state": state,
        "runs": runs,
        "paths": paths,
    }
    return json.dumps(proof, ensure_ascii=False, separators=(",", ":")) + "\n"


def _parts(about: Structure, run: str) -> Entry:
    """What is jacked and what comes after in a run beside tendons, each with forces and paths of its own."""
    written = {}
    for name, part in parts_of(about, run).items():
        columns = _columns(part)
        chosen = _chosen(part, columns)
        near, moved = solved(part, columns, run)
        forces = _balanced(part, columns, chosen, near, run)
        loads = loads_of(part.truss, part.segments.values(), run).size
        pulled = [row for joint, way, _ in part.springs if way == "tendon" for row, _ in part.follows[joint, way]]
        paths = _paths(part, columns, chosen, loaded={*loads, *pulled})
        written[name] = {**_written(part, forces, moved), "paths": paths}
    return written


def _sides(about: Structure, problem: Problem, shortened: Sequence[float], run: str) -> dict[str, str]:
    """How everything acts that carries one way or has play: pulled, pushed or loose."""
    sides = {}
    for one, own, by in zip(about.yielding, problem.yielding, shortened, strict=True):
        room = AT_BOUND * max(abs(bound) for bound in (own.low, own.high) if np.isfinite(bound))
        sides[one.name] = "pulled" if by <= own.low + room else "pushed" if by >= own.high - room else "loose"
    ends = loads_of(about.truss, about.segments.values(), run).ends
    loose = {one.segment for one in about.yielding if sides[one.name] == "loose"}
    for one in about.yielding:  # where no load stands along it, all of its segment is loose
        if one.segment in loose and not any(force for end in (0, 1) for force, _ in ends[one.segment, end]):
            sides[one.name] = "loose"
    return sides


def _one_sided(
    about: Structure,
    columns: Mapping[Unknown, Mapping[str, Fraction]],
    near: Mapping[Unknown, float],
    moved: Mapping[tuple[str, str], float],
    acting: tuple[str, Mapping[str, str]],
) -> Entry:
    """A run with members that carry one way: how they act, and paths of its own around those that are loose."""
    run, sides = acting
    cut = cut_open(about, sides, loads_of(about.truss, about.segments.values(), run))
    known: dict[Unknown, float] = {
        (s.id, 0): s.cut / s.rib.chord for s in cut.segments.values() if s.cut is not None
    }
    chosen = _chosen(cut, {unknown: column for unknown, column in columns.items() if unknown not in known})
    forces = _balanced(about, columns, chosen, {**near, **known}, run)
    return {"acting": sides, **_written(about, forces, moved), "paths": _paths(cut, columns, chosen)}


def _columns(about: Structure) -> dict[Unknown, dict[str, Fraction]]:
    """What each unknown at 1 does to each free movement, exactly."""
    columns: dict[Unknown, dict[str, Fraction]] = {}
    for s in about.segments.values():
        x, y, square = s.whole
        columns[s.id, 0] = _on_free(about, s, Fraction(x, about.scale), Fraction(y, about.scale), {})
        across_x, across_y = Fraction(y * about.scale, square), Fraction(-x * about.scale, square)
        for end, turn in enumerate(s.turns, start=1):
            if turn is not None:
                side = -1 if end == 1 else 1
                columns[s.id, end] = _on_free(about, s, side * across_x, side * across_y, {turn: -side})
    for joint, name, _ in about.springs:
        columns[joint, name] = {movement: Fraction(part) for movement, part in about.at_row.get((joint, name), ())}
    return columns


def _on_free(
    about: Structure, s: Segment, x: Fraction, y: Fraction, turns: Mapping[str, int]
) -> dict[str, Fraction]:
    """What a pull on the first joint, its opposite on the last, and moments do to free movements."""
    rows: dict[tuple[str, str], Fraction] = {(turn, "turn"): Fraction(moment) for turn, moment in turns.items()}
    for joint, sign in zip(s.ends, (1, -1), strict=True):
        rows |= {(joint, "x"): sign * x, (joint, "y"): sign * y}
    column: dict[str, Fraction] = {}
    for row, value in rows.items():
        for movement, part in about.at_row.get(row, ()):
            column[movement] = column.get(movement, Fraction(0)) + part * value
    return {movement: value for movement, value in column.items() if value}


def _matrix(
    about: Structure, columns: Mapping[Unknown, Mapping[str, Fraction]], chosen: Sequence[Unknown]
) -> Array:
    """Free movements by chosen unknowns."""
    number = {name: index for index, name in enumerate(about.free)}
    matrix = np.zeros((len(number), len(chosen)))
    for column, unknown in enumerate(chosen):
        for name, value in columns[unknown].items():
            matrix[number[name], column] = float(value)
    return matrix


def _chosen(about: Structure, columns: Mapping[Unknown, Mapping[str, Fraction]]) -> list[Unknown]:
    """As many independent unknowns as there are free movements, the stiffest first."""
    every = list(columns)
    stiff: dict[Unknown, float] = {(joint, name): sqrt(k) for joint, name, k in about.springs}
    for s in about.segments.values():
        stiff[s.id, 0] = 1 / (s.rib.chord * sqrt(s.flexible[0][0]))
        stiff |= {(s.id, end): 1 / sqrt(s.flexible[end][end]) for end in (1, 2) if s.turns[end - 1] is not None}
    left = _matrix(about, columns, every) * [stiff[unknown] for unknown in every]
    left /= np.linalg.norm(left, axis=1)[:, None]
    chosen: list[int] = []
    for _ in range(len(left)):
        pick = int(np.argmax(np.sum(left**2, axis=0)))
        unit = left[:, pick] / np.linalg.norm(left[:, pick])
        left -= np.outer(unit, unit @ left)
        left[:, pick] = 0.0
        chosen.append(pick)
    return [every[index] for index in sorted(chosen)]


def _balanced(
    about: Structure,
    columns: Mapping[Unknown, Mapping[str, Fraction]],
    chosen: Sequence[Unknown],
    near: Mapping[Unknown, float],
    run: str,
) -> dict[Unknown, Fraction]:
    """Forces of one run in exact balance: those chosen follow from the others, which stay as they are."""
    exact = {unknown: Fraction(force) for unknown, force in near.items()} | dict.fromkeys(chosen, Fraction(0))
    loads = loads_of(about.truss, about.segments.values(), run).push
    right = {
        name: -sum((part * Fraction(fsum(loads[row])) for row, part in way.items() if row in loads), Fraction(0))
        for name, way in about.free.items()
    }
    rows: dict[str, dict[int, Fraction]] = {name: {} for name in about.free}
    number = {unknown: index for index, unknown in enumerate(chosen)}
    for unknown, column in columns.items():
        for name, part in column.items():
            if unknown in number:
                rows[name][number[unknown]] = part
            else:
                right[name] -= part * exact[unknown]
    answers = eliminate(rows.values(), list(right.values()))
    return exact | {unknown: answers[index] for unknown, index in number.items()}


def _written(
    about: Structure, forces: Mapping[Unknown, Fraction], moved: Mapping[tuple[str, str], float]
) -> Entry:
    """Forces and movements of one run as a proof holds them."""
    densities: dict[str, list[str]] = {}
    springs: dict[str, dict[str, str]] = {}
    for segment in about.segments:
        parts = [forces.get((segment, part), Fraction(0)) for part in (0, 1, 2)]
        densities[segment] = [str(part) for part in (parts if any(parts[1:]) else parts[:1])]
    for joint, way, _ in about.springs:
        springs.setdefault(joint, {})[way] = str(forces[joint, way])
    return {
        "forces": densities,
        "springs": springs,
        "movements": {joint: [moved[joint, "x"], moved[joint, "y"]] for joint in about.truss["joints"]},
        "turns": {turn: by for (turn, kind), by in moved.items() if kind == "turn"},
    }


def _near(
    about: Structure, reading: Reading, forces: Array, moved: Array
) -> tuple[dict[Unknown, float], dict[tuple[str, str], float]]:
    """Forces of least energy and movements of one run, by the names that a proof knows them by."""
    segments, moments = list(about.segments.values()), reading.equations.moments
    values, shifts = forces.tolist(), moved.tolist()
    near: dict[Unknown, float] = {
        (s.id, 0): value / s.rib.chord for s, value in zip(segments, values, strict=False)
    }
    near |= {
        (segments[index].id, end + 1): value
        for (index, end), value in zip(moments, values[len(segments) :], strict=False)
    }
    springs = values[len(segments) + len(moments) :]
    near |= {(joint, name): value for (joint, name, _), value in zip(about.springs, springs, strict=True)}
    rows: list[tuple[str, str]] = [(joint, axis) for joint in reading.truss.joints for axis in "xy"]
    rows += [(joint if stick is None else f"{stick}:{joint}", "turn") for joint, stick in reading.equations.turns]
    return near, dict(zip(rows, shifts, strict=True))


def _paths(
    about: Structure,
    columns: Mapping[Unknown, Mapping[str, Fraction]],
    chosen: Sequence[Unknown],
    *,
    loaded: Collection[Row] = (),
) -> Entry:
    """Forces that nearly carry a unit load, to a few figures: at all shifts, and at the turns that need them.

    A turn needs one when a moment acts on it in some case, or when another path leaves anything there.
    """
    number, inverse = (
        {name: index for index, name in enumerate(about.free)},
        np.linalg.inv(_matrix(about, columns, chosen)),
    )
    cases = about.truss.get("loads", {}).get("cases", {})
    loads = [load for case in cases.values() for load in case.get("loads", ())]
    turned = {*loaded, *((load["joint"], "turn") for load in loads if load.get("moment"))}
    wanted = [name for name, way in about.free.items() if turned & way.keys() or any(r[1] != "turn" for r in way)]
    paths: Entry = {}
    left_by = leaving(about)
    while wanted:
        name = wanted.pop()
        if name in paths:
            continue
        paths[name] = _path(about, dict(zip(chosen, (-inverse[:, number[name]]).tolist(), strict=True)))
        wanted += [m for m, part in left_by(paths[name]).items() if part and m not in paths]
    return {name: paths[name] for name in about.free if name in paths}


def _path(about: Structure, values: dict[Unknown, float]) -> Entry:
    chord = {s.id: s.rib.chord for s in about.segments.values()}
    in_force = {
        (name, part): value * chord[name] if part == 0 else value / chord.get(name, 1.0)
        for (name, part), value in values.items()
    }
    least = NOTHING * max(abs(value) for value in in_force.values())
    kept = {
        unknown: float(f"{values[unknown]:.{FIGURES}g}")
        for unknown, value in in_force.items()
        if abs(value) > least
    }
    moments = {s: [kept.get((s, end), 0.0) for end in (1, 2)] for s in about.segments}
    springs: dict[str, dict[str, float]] = {}
    for joint, way, _ in about.springs:
        springs.setdefault(joint, {})[way] = kept.get((joint, way), 0.0)
    return {
        "densities": [kept.get((s, 0), 0.0) for s in about.segments],
        "moments": {segment: pair for segment, pair in moments.items() if any(pair)},
        "springs": springs,
    }

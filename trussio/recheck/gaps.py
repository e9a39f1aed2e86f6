"""How far forces are from those that movements would cause, and what rounding may do: for the checker of proofs.

Sizes are roots of energies: |f|^2 is the sum of f F f over segments and springs. Lengths are roots, so that loads
along segments and deformations are sums of floats. Each term has seen fewer than 30 roundings of 1.2e-16, so that
`ROUNDING` times the sizes of the terms bounds the error of a sum.

What an error of a load does to forces is bounded by *paths*: for each free movement j a state of forces, of size
p_j, that nearly carries a unit load there, r_jk being what it leaves unbalanced at k. Let t_j be the size of the
forces that such a load truly causes. They are the smallest of all in balance with it (the two lines in `proof`,
with u = 0), so that t_j <= p_j + sum of |r_jk| t_k. If the sum of |r_jk| p_k is at most p_j / 2 for every j, then
t_j <= 2 p_j. Only the standard library is needed.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import chain
from math import fsum, sqrt
from operator import mul
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.recheck.ribs import stiffness

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from trussio.recheck.ribs import Triple
    from trussio.recheck.statement import Entry, Row, Segment, Structure
    from trussio.recheck.tally import Loads

ROUNDING: Final = 4e-15


class Gap(NamedTuple):
    """Of one segment or spring: its part of |f - f_u|^2, what rounding may add to the size, and s of its force."""

    square: float
    rough: float
    stiff: float


def gap_of(s: Segment, forces: Triple, misfits: Iterable[tuple[Triple, Triple]], u: Mapping[Row, float]) -> Gap:
    """The gap of a segment: its deformation by forces and loads against what belongs to the movements."""
    acting = s.acting()
    present = acting if s.cut is None else [0, *acting]
    belongs = belonging(s, u, bends=any(acting))
    stiff, off, rough = stiffness(s.flexible, acting), [], []
    for place, k in enumerate(acting):
        terms = [-part for part in belongs[k]] + [s.flexible[k][j] * forces[j] for j in present]
        sizes = belongs[k] + [sqrt(s.flexible[k][k] * s.flexible[j][j]) * forces[j] for j in present]
        for value, size in misfits:
            terms.append(value[k])
            sizes.append(size[k])
        off.append(fsum(terms))
        rough.append(_error(sizes) * sqrt(stiff[place][place]))
    square = sum(a * b * part for a, row in zip(off, stiff, strict=True) for b, part in zip(off, row, strict=True))
    return Gap(max(square, 0.0), sum(rough), 0.0 if s.cut is not None else stiff[0][0])


def belonging(s: Segment, u: Mapping[Row, float], *, bends: bool) -> list[list[float]]:
    """Terms of the deformations that belong to movements: lengthening, and turns of the ends against the chord."""
    (x, y), chord, (first, last) = s.near, s.rib.chord, s.ends
    x, y = x / chord, y / chord
    shifts = (-u[first, "x"], -u[first, "y"], u[last, "x"], u[last, "y"])
    longer = [part * shift for part, shift in zip((x, y, x, y), shifts, strict=True)]
    if not bends:
        return [longer]
    swung = [part * shift / chord for part, shift in zip((-y, x, -y, x), shifts, strict=True)]
    first_turn, last_turn = (0.0 if turn is None else u[turn, "turn"] for turn in s.turns)
    return [longer, [*swung, -first_turn], [last_turn, *(-part for part in swung)]]


def spring_gap(
    stiff: float, reaction: float, moved: Sequence[float], misfits: Iterable[tuple[Triple, Triple]]
) -> Gap:
    """The gap of a spring: what its reaction makes it give way by, against how it and its ground move.

    Where it follows other rows, `misfits` have the size of what its movement is made of.
    """
    off = [reaction / stiff, *moved]
    sizes = [*off, *(size[0] for _, size in misfits)]
    return Gap(stiff * fsum(off) ** 2, _error(sizes) * sqrt(stiff), stiff)


def path_sizes(about: Structure, paths: Entry) -> dict[str, float]:
    """The size p of every path. Raises ValueError when one does not carry its unit load nearly enough.

    A path has the force density of every segment in order, and moments and springs where it needs any. A free
    movement needs no path where no load acts and no path leaves anything at all unbalanced.
    """
    segments = list(about.segments.values())
    stretch = [s.rib.chord**2 * s.flexible[0][0] for s in segments]
    size = {}
    for name, path in paths.items():
        densities, moments = path["densities"], path["moments"]
        if len(densities) != len(segments):
            raise ValueError(f"The path of {name} does not run through the sticks of this truss.")
        parts = [path["springs"][joint][way] ** 2 / k for joint, way, k in about.springs]
        for s, density in zip(segments, densities, strict=True) if moments else ():
            f = (density * s.rib.chord, *moments.get(s.id, (0, 0)))
            parts += [f[i] * f[j] * s.flexible[i][j] for i in range(3) for j in range(3) if i or j]
        size[name] = sqrt(sum(map(mul, map(mul, densities, densities), stretch)) + fsum(parts))
    leaves = leaving(about)
    for name, path in paths.items():
        left = leaves(path)
        left[name] = left.get(name, 0.0) + 1.0
        if lacking := left.keys() - size.keys():
            raise ValueError(f"The proof has no path for {min(lacking)}, where others leave something.")
        if not 2 * sum(abs(part) * size[movement] for movement, part in left.items()) <= size[name]:
            raise ValueError(f"The path of {name} does not carry its load.")
    return size


def leaving(about: Structure) -> Callable[[Entry], dict[str, float]]:
    """A function that tells what a path does to the free movements, in floats, where that is not nothing."""
    segments = list(about.segments.values())
    pulls = [(*s.near, about.number[s.ends[0], "x"], about.number[s.ends[1], "x"]) for s in segments]
    movements = [about.at_row.get(row, ()) for row in about.number]

    def left_by(path: Entry) -> dict[str, float]:
        rows = [0.0] * len(movements)
        for (x, y, first, last), density in zip(pulls, path["densities"], strict=True):
            if density:
                along, up = density * x, density * y
                rows[first] += along
                rows[first + 1] += up
                rows[last] -= along
                rows[last + 1] -= up
        left: dict[str, float] = {}
        others = [(value, about.at_row.get(row, ())) for row, value in _bent(about, path).items()]
        for value, ways in chain(zip(rows, movements, strict=True), others):
            if value:
                for movement, part in ways:
                    left[movement] = left.get(movement, 0.0) + part * value
        return left

    return left_by


def _bent(about: Structure, path: Entry) -> dict[Row, float]:
    """What the moments and springs of a path do to rows."""
    rows: dict[Row, float] = defaultdict(float)
    for name, (first, last) in path["moments"].items():
        s = about.segments[name]
        shear = (last - first) / s.rib.chord**2
        for joint, turn, sign, moment in zip(s.ends, s.turns, (1, -1), (first, last), strict=True):
            rows[joint, "x"] += sign * shear * s.near[1]
            rows[joint, "y"] -= sign * shear * s.near[0]
            rows[str(turn), "turn"] += sign * moment
    for joint, name, _ in about.springs:
        rows[joint, name] += path["springs"][joint][name]
    return rows


def load_error(about: Structure, sizes: Mapping[str, float], loads: Loads) -> float:
    """The size of the forces that rounding of the loads may cause: 2 p for each, and some room."""
    parts = [
        (name, abs(float(part)) * size)
        for row, size in loads.size.items()
        for name, part in about.at_row.get(row, ())
        if size
    ]
    if lacking := [name for name, _ in parts if name not in sizes]:
        raise ValueError(f"The proof has no path for {lacking[0]}, where loads act.")
    return 3 * ROUNDING * fsum(sizes[name] * size for name, size in parts)


def _error(terms: Sequence[float]) -> float:
    """What rounding may have done to a sum."""
    return ROUNDING * sum(map(abs, terms))

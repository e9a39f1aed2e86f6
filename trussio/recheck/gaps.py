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
from math import fsum, sqrt
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


def pull(segments: Iterable[Segment], state: Entry, number: Callable[[Entry], Entry]) -> dict[Row, Entry]:
    """What forces of segments and springs do to joints: exactly where `number` reads fractions, else in floats."""
    rows: dict[Row, Entry] = defaultdict(int)
    for s in segments:
        density, first, last = (number(part) for part in state["forces"].get(s.id, "000"))
        x, y = (float(s.x), float(s.y)) if number is float else (s.x, s.y)
        shear = (last - first) / (x * x + y * y)
        for joint, turn, sign, moment in zip(s.ends, s.turns, (1, -1), (first, last), strict=True):
            rows[joint, "x"] += sign * (density * x + shear * y)
            rows[joint, "y"] += sign * (density * y - shear * x)
            if turn is not None:
                rows[turn, "turn"] += sign * moment
            elif moment:
                raise ValueError(f"{s.id} has a moment at a hinge.")
    for joint, springs in state.get("springs", {}).items():
        for name, force in springs.items():
            rows[joint, name] += number(force)
    return rows


def as_floats(s: Segment, state: Entry, number: Callable[[Entry], Entry]) -> Triple:
    """Axial force and end moments of a segment."""
    density, first, last = (float(number(part)) for part in state["forces"].get(s.id, "000"))
    return density * s.rib.chord, first, last


def gap_of(s: Segment, forces: Triple, misfits: Iterable[tuple[Triple, Triple]], u: Mapping[Row, float]) -> Gap:
    """The gap of a segment: its deformation by forces and loads against what belongs to the movements."""
    x, y, chord = float(s.x), float(s.y), s.rib.chord
    moved = [(side * u[joint, "x"], side * u[joint, "y"]) for joint, side in zip(s.ends, (-1, 1), strict=True)]
    longer = [part for dx, dy in moved for part in (x * dx / chord, y * dy / chord)]
    swung = [part for dx, dy in moved for part in (-y * dx / chord / chord, x * dy / chord / chord)]
    first, last = (0.0 if turn is None else u[turn, "turn"] for turn in s.turns)
    belongs = (longer, [*swung, -first], [last, *(-part for part in swung)])
    acting = [0, *(end for end, turn in enumerate(s.turns, start=1) if turn is not None)]
    stiff, off, rough = stiffness(s.flexible, acting), [], []
    for place, k in enumerate(acting):
        terms = [-part for part in belongs[k]] + [s.flexible[k][j] * forces[j] for j in acting]
        sizes = belongs[k] + [sqrt(s.flexible[k][k] * s.flexible[j][j]) * forces[j] for j in acting]
        off.append(fsum([*terms, *(value[k] for value, _ in misfits)]))
        rough.append(_error([*sizes, *(size[k] for _, size in misfits)]) * sqrt(stiff[place][place]))
    square = sum(a * b * part for a, row in zip(off, stiff, strict=True) for b, part in zip(off, row, strict=True))
    return Gap(max(square, 0.0), sum(rough), stiff[0][0])


def spring_gaps(about: Structure, springs: Entry, loads: Loads, u: Mapping[Row, float]) -> list[Gap]:
    """The gaps of the springs, whose reactions are read by fractions."""
    gaps = []
    for joint, name, stiff in about.springs:
        off = (float(springs[joint, name]) / stiff, u[joint, name], -loads.moves[joint, name])
        gaps.append(Gap(stiff * fsum(off) ** 2, _error(off) * sqrt(stiff), stiff))
    return gaps


def path_sizes(about: Structure, paths: Entry) -> dict[str, float]:
    """The size p of every path. Raises ValueError when one does not carry its unit load nearly enough."""
    size: dict[str, float] = {}
    left: dict[str, dict[str, float]] = {}
    for name, state in paths.items():
        rows = pull(about.segments, state, float)
        left[name] = {k: sum(float(c) * rows[row] for row, c in way.items()) for k, way in about.free.items()}
        left[name][name] += 1
        parts = [state.get("springs", {}).get(joint, {}).get(way, 0) ** 2 / k for joint, way, k in about.springs]
        for s in about.segments:
            if s.id in state["forces"]:
                f = as_floats(s, state, float)
                parts += [f[i] * f[j] * s.flexible[i][j] for i in range(3) for j in range(3)]
        size[name] = sqrt(fsum(parts))
    for name in about.free:
        if not 2 * sum(abs(part) * size[k] for k, part in left[name].items()) <= size[name]:
            raise ValueError(f"The path of {name} does not carry its load.")
    return size


def load_error(about: Structure, sizes: Mapping[str, float], loads: Loads) -> float:
    """The size of the forces that rounding of the loads may cause."""
    return fsum(
        2 * sizes[name] * ROUNDING * abs(float(part)) * loads.size[joint]
        for name, way in about.free.items()
        for (joint, _), part in way.items()
    )


def _error(terms: Sequence[float]) -> float:
    """What rounding may have done to a sum."""
    return ROUNDING * fsum(abs(term) for term in terms)

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


def pull(segments: Mapping[str, Segment], state: Entry, number: Callable[[Entry], Entry]) -> dict[Row, Entry]:
    """What forces of segments and springs do to joints: exactly where `number` reads fractions, else in floats.

    The forces of a segment are its force density and, where it has any, its moments at the first and last end.
    """
    rows: dict[Row, Entry] = defaultdict(int)
    for name, forces in state["forces"].items():
        s = segments[name]
        x, y, square = s.near if number is float else s.exact
        density = number(forces[0])
        along, up = density * x, density * y
        if len(forces) > 1:
            _, first, last = (number(part) for part in forces)
            shear = (last - first) / square
            along, up = along + shear * y, up - shear * x
            for turn, moment in zip(s.turns, (first, -last), strict=True):
                if turn is None and moment:
                    raise ValueError(f"{name} has a moment at a hinge.")
                rows[turn or name, "turn"] += moment
        first_joint, last_joint = s.ends
        rows[first_joint, "x"] += along
        rows[first_joint, "y"] += up
        rows[last_joint, "x"] -= along
        rows[last_joint, "y"] -= up
    for joint, springs in state.get("springs", {}).items():
        for name, force in springs.items():
            rows[joint, name] += number(force)
    return rows


def as_floats(s: Segment, state: Entry, number: Callable[[Entry], Entry]) -> Triple:
    """Axial force and end moments of a segment."""
    density, *moments = (float(number(part)) for part in state["forces"].get(s.id, "0"))
    first, last = moments or (0.0, 0.0)
    return density * s.rib.chord, first, last


def gap_of(s: Segment, forces: Triple, misfits: Iterable[tuple[Triple, Triple]], u: Mapping[Row, float]) -> Gap:
    """The gap of a segment: its deformation by forces and loads against what belongs to the movements."""
    (x, y, _), chord = s.near, s.rib.chord
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
    """The size p of every path. Raises ValueError when one does not carry its unit load nearly enough.

    A path has the force density of every segment in order, and moments and springs where it needs any. A free
    movement needs no path where no load acts and no path leaves anything at all unbalanced.
    """
    stretch = [s.rib.chord**2 * s.flexible[0][0] for s in about.segments.values()]
    size = {}
    for name, path in paths.items():
        parts = [density * density * soft for density, soft in zip(path["densities"], stretch, strict=True)]
        parts += [path["springs"][joint][way] ** 2 / k for joint, way, k in about.springs]
        for segment, (first, last) in path["moments"].items():
            s = about.segments[segment]
            f = (path["densities"][list(about.segments).index(segment)] * s.rib.chord, first, last)
            parts += [f[i] * f[j] * s.flexible[i][j] for i in range(3) for j in range(3) if i or j]
        size[name] = sqrt(fsum(parts))
    for name, path in paths.items():
        left = left_by(about, path)
        left[name] += 1.0
        if not 2 * sum(abs(part) * size[movement] for movement, part in left.items() if part) <= size[name]:
            raise ValueError(f"The path of {name} does not carry its load.")
    return size


def left_by(about: Structure, path: Entry) -> dict[str, float]:
    """What a path does to every free movement, in floats."""
    rows: dict[Row, float] = defaultdict(float)
    for (s, (first_x, first_y, last_x, last_y)), density in zip(about.ends, path["densities"], strict=True):
        if density:
            along, up = density * s[0], density * s[1]
            rows[first_x] += along
            rows[first_y] += up
            rows[last_x] -= along
            rows[last_y] -= up
    bent = {segment: ("0", *moments) for segment, moments in path["moments"].items()}
    for row, value in pull(about.segments, {"forces": bent, "springs": path["springs"]}, float).items():
        rows[row] += value
    left: dict[str, float] = defaultdict(float)
    for row, value in rows.items():
        for movement, part in about.at_row.get(row, ()):
            left[movement] += part * value
    return left


def load_error(about: Structure, sizes: Mapping[str, float], loads: Loads) -> float:
    """The size of the forces that rounding of the loads may cause."""
    return fsum(
        2 * sizes[name] * ROUNDING * abs(part) * size
        for row, size in loads.size.items()
        for name, part in about.at_row.get(row, ())
        if size
    )


def _error(terms: Sequence[float]) -> float:
    """What rounding may have done to a sum."""
    return ROUNDING * fsum(abs(term) for term in terms)

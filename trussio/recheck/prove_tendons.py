"""Near forces and movements of a structure as the checker of proofs reads it, and proofs of runs with tendons.

The forces of least energy of a part of a run, found from what the checker itself reads: flexibilities, what each
unknown does to each free movement, loads. That they are right is shown by the proof alone.
"""

from __future__ import annotations

from collections import defaultdict
from math import fsum
from typing import TYPE_CHECKING

import numpy as np

from trussio.recheck.gaps import belonging
from trussio.recheck.statement import movements_of
from trussio.recheck.tally import loads_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from numpy.typing import NDArray

    from trussio.recheck.statement import Row, Structure
    from trussio.recheck.tally import Loads

    Array = NDArray[np.float64]
    Unknown = tuple[str, int | str]

REFINED = 2
"""So often forces are bettered by what they leave undone."""


def solved(
    about: Structure, columns: Mapping[Unknown, Mapping[str, Fraction]], run: str
) -> tuple[dict[Unknown, float], dict[Row, float]]:
    """Forces of a run, by unknowns of a proof, and movements."""
    loads = loads_of(about.truss, about.segments.values(), run)
    ground = movements_of(about, {"movements": {}, "turns": {}}, loads)
    unknowns, soft, deformed, scale = _deforming(about, columns, loads, ground)
    number = {name: index for index, name in enumerate(about.free)}
    acts = np.zeros((len(number), len(unknowns)))
    for index, unknown in enumerate(unknowns):
        for name, part in columns[unknown].items():
            acts[number[name], index] = float(part) * scale[index]
    pushed = np.array(
        [
            fsum(float(part) * fsum(loads.push[row]) for row, part in way.items() if row in loads.push)
            for way in about.free.values()
        ]
    )
    half = np.linalg.inv(np.linalg.cholesky(soft))
    basis, corner = np.linalg.qr(half @ acts.T)
    inverse = np.linalg.inv(corner)

    def least(off: Array, left: Array) -> tuple[Array, Array]:
        moved = inverse @ (inverse.T @ left - basis.T @ (half @ off))
        return -half.T @ (half @ off + basis @ (corner @ moved)), moved

    forces, moved = least(deformed, pushed)
    for _ in range(REFINED):
        more, further = least(soft @ forces + deformed + acts.T @ moved, pushed + acts @ forces)
        forces, moved = forces + more, moved + further
    u = defaultdict(float, ground)
    for by, way in zip(moved.tolist(), about.free.values(), strict=True):
        for row, whole in way.items():
            u[row] += by * float(whole)
    near = {unknown: force * by for unknown, force, by in zip(unknowns, forces.tolist(), scale, strict=True)}
    return near, u


def _deforming(
    about: Structure,
    columns: Mapping[Unknown, Mapping[str, Fraction]],
    loads: Loads,
    ground: Mapping[Row, float],
) -> tuple[Sequence[Unknown], Array, Array, list[float]]:
    """The unknowns, their flexibility, what deforms them, and force densities per axial force."""
    unknowns = list(columns)
    index = {unknown: place for place, unknown in enumerate(unknowns)}
    soft, deformed = np.zeros((len(unknowns), len(unknowns))), np.zeros(len(unknowns))
    scale = [1.0] * len(unknowns)
    for s in about.segments.values():
        acting = s.acting()
        belongs = belonging(s, ground, bends=any(acting))
        scale[index[s.id, 0]] = 1 / s.rib.chord
        for k in acting:
            deformed[index[s.id, k]] = fsum(value[k] for value, _ in loads.misfit[s.id]) - fsum(belongs[k])
            for j in acting:
                soft[index[s.id, k], index[s.id, j]] = s.flexible[k][j]
    for joint, name, stiff in about.springs:
        place = index[joint, name]
        soft[place, place] = 1 / stiff
        deformed[place] = ground.get((joint, name), 0.0) - loads.moves[joint, name]
    return unknowns, soft, deformed, scale

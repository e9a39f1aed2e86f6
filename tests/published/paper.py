"""Truss documents written as a person would write them, and the figures that a closed form gives for them.

A `Case` is one JSON document, the options it is analysed with, and figures by (run, kind, name, part): `axial`,
`ends`, `shear`, `moment`, `peak`, `peak_at` of a segment, `reaction` of a support, `moves` of a joint. Tolerance
is relative to the figure, and to the largest of its kind where the figure is 0. The source stands with each.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId

Json = Mapping[str, object]
Path = tuple[str, str, str, int | str]

PIN: Final[Json] = {"holds": ["x", "y"]}
ROLLER: Final[Json] = {"holds": ["y"]}
CLAMP: Final[Json] = {"holds": ["x", "y", "turn"]}
E: Final = 10_000.0
A: Final = 10_000.0
INERTIA: Final = 50e6
EA: Final = E * A
EI: Final = E * INERTIA


@dataclass(frozen=True, kw_only=True)
class Case:
    """One document and what paper says of it."""

    says: str
    source: str
    document: Json
    figures: Mapping[Path, float]
    options: tuple[str, ...] = ()
    within: float = 1e-9


def stick(*through: str, more: Json | None = None, s: str = "s", m: str = "m") -> Json:
    """A member through joints; `more` is what else it has."""
    return {"through": list(through), "section": s, "material": m, **(more or {})}


def beam(*through: str, more: Json | None = None, s: str = "s") -> Json:
    """A member with both ends fixed to their joints."""
    return stick(*through, s=s, more={"fixed": ["first", "last"], **(more or {})})


def document(
    *,
    joints: Mapping[str, tuple[float, float]],
    members: Mapping[str, Json],
    supports: Mapping[str, Json],
    cases: Mapping[str, Sequence[Json]],
    units: str = "si",
    sections: Mapping[str, Json] | None = None,
    materials: Mapping[str, Json] | None = None,
    combinations: Mapping[str, Mapping[str, float]] | None = None,
    kinds: Mapping[str, str] | None = None,
    more: Json | None = None,
) -> Json:
    """A document in mm and N with one section and material unless others are named."""
    kind = kinds or {}
    return {
        "format": "trussio/truss",
        "version": 1,
        "title": "Closed form",
        "units": units,
        "joints": {name: {"x": x, "y": y} for name, (x, y) in joints.items()},
        "members": dict(members),
        "supports": dict(supports),
        "sections": {"s": {"area": A, "inertia": INERTIA}, **(sections or {})},
        "materials": {"m": {"kind": "sawn", "E": E, "expansion": 1e-5, "density": 500}, **(materials or {})},
        "loads": {
            "cases": {
                name: {"loads": list(loads), **({"kind": kind[name]} if name in kind else {})}
                for name, loads in cases.items()
            },
            "combinations": {name: dict(factors) for name, factors in (combinations or {}).items()},
        },
        **(more or {}),
    }


def figure(runs: Mapping[RunId, RunForces], path: Path) -> float:
    """What results say where a path points."""
    run, kind, name, part = path
    forces = next(of for name_of, of in runs.items() if name_of == run)
    if kind == "reaction":
        return float(getattr(next(r for j, r in forces.reactions.items() if j == name), str(part)))
    if kind == "moves":
        return float(getattr(next(m for j, m in forces.joints.items() if j == name), str(part)))
    segment = next(f for s, f in forces.segments.items() if s == name)
    if kind == "axial":
        return segment.axial
    if kind in {"peak", "peak_at"}:
        return {"peak": segment.moment_peak, "peak_at": segment.moment_peak_at}[kind]
    pair = {"ends": segment.axial_ends, "shear": segment.shear, "moment": segment.moment}[kind]
    return pair[int(part)]


def off(case: Case, runs: Mapping[RunId, RunForces]) -> list[str]:
    """The figures that are not met, in words."""
    largest: dict[str, float] = {}
    for path, value in case.figures.items():
        largest[path[1]] = max(largest.get(path[1], 0.0), abs(value))
    missed = []
    for path, value in case.figures.items():
        found = figure(runs, path)
        size = abs(value) if abs(value) > 1e-9 * largest[path[1]] else largest[path[1]] or 1.0
        if not abs(found - value) <= case.within * size:
            missed.append(f"{path}: {found!r}, on paper {value!r}")
    return missed

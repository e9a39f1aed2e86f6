"""Members that carry one way and connections with play, for the checker of proofs: only the standard library.

Such an end or member is *pulled* (in tension, its play drawn out), *pushed* (in compression, its play closed) or
*loose*: then it carries no force there, and what it has shortened by lies between bounds. Once a proof says which,
the truss is linear: what is loose is cut, and the play of the rest is a misfit. Forces and movements of that truss
have bounds like any others: with f and f_u within `size` of the true f*, a movement along which a unit load causes
forces of size t is off by no more than t times `size` (the work of these forces on f_u - f*), and t is at most 2 p
of its path (see `gaps`).

If with all that is left open every sign holds, what acts by more than its half width, what is loose by more than
what its shortening may be off, then these are the forces of the truss itself, since one state alone has all signs
right: energy is least there and convex. If a sign does not, the checker cannot tell, and says so.
"""

from __future__ import annotations

from collections import defaultdict
from math import fsum, inf, sqrt
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.recheck.gaps import ROUNDING, belonging, path_sizes
from trussio.recheck.ribs import stiffness
from trussio.recheck.slipping import along_axis

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.recheck.gaps import Gap
    from trussio.recheck.ribs import Triple
    from trussio.recheck.statement import Entry, Row, Segment, Structure
    from trussio.recheck.tally import Loads

    Left = tuple[Loads, Mapping[Row, float], float]
    """Loads of a run, movements, and the size that these leave open."""

TOO_NEAR: Final = (
    "cannot tell: {} is so near to carrying the other way, or to carrying at all, that no sign is proved"
)
BENT: Final = (
    "cannot tell: how far the play of {} is used is not bounded, since its axis is bent against its chord"
)


class Yielding(NamedTuple):
    """A segment, or play at an end of it, that may shorten by `low` to `high` without force (negative: lengthen).

    The force that then works on it is `own` times the forces of the segment, and what loads on it do at that end.
    """

    name: str
    segment: str
    own: Triple
    low: float
    high: float
    end: int | None
    side: str = ""


def yielding_of(truss: Entry, segments: Sequence[Segment]) -> list[Yielding]:
    """Everything of a truss that yields."""
    found = []
    for s in segments:
        acts = truss["members"][s.stick].get("acts")
        if acts:
            bounds = (0.0, inf) if acts == "tension" else (-inf, 0.0)
            found.append(Yielding(s.id, s.id, (1.0, 0.0, 0.0), *bounds, None))
    for s in segments:
        for end, play in s.plays:
            name = f"{s.id} {('first', 'last')[end]}"
            found.append(Yielding(name, s.id, along_axis(s.rib, end), -play, play, end))
    return found


def cut_open(about: Structure, sides: Mapping[str, str], loads: Loads) -> Structure:
    """The linear structure that the sides make, its misfits entered among the loads."""
    if sides.keys() != {one.name for one in about.yielding}:
        raise ValueError("The proof does not say of each member that carries one way, or has play, how it acts.")
    segments, yielding = dict(about.segments), []
    for one in about.yielding:
        side = sides[one.name]
        by = {"pulled": one.low, "pushed": one.high, "loose": 0.0}.get(side, inf)
        if abs(by) == inf:
            raise ValueError(f"{one.name} cannot be {side}.")
        yielding.append(one._replace(side=side))
        terms = loads.ends.get((one.segment, one.end), ())
        if side != "loose":
            a, b, c = (-by * part for part in one.own)
            loads.misfit[one.segment].append(((a, b, c), (abs(a), abs(b), abs(c))))
            continue
        known, before = -fsum(force for force, _ in terms), segments[one.segment].cut
        if before not in {None, known}:
            raise ValueError(f"{one.name} cannot be loose, since loads along it pull at its other end.")
        off = 2 * ROUNDING * sum(size for _, size in terms)
        segments[one.segment] = segments[one.segment]._replace(cut=known, off=off)
        for row in [(end, axis) for end in segments[one.segment].ends for axis in ("x", "y")]:
            loads.size[row] += sum(size for _, size in terms)
    return about._replace(segments=segments, yielding=yielding)


def sizes_of_cut(about: Structure, paths: Entry) -> dict[str, float]:
    """The sizes of paths, none of which may run through what is loose."""
    loose = [index for index, s in enumerate(about.segments.values()) if s.cut is not None]
    sizes = path_sizes(about, paths)
    for name, path in paths.items():
        if any(path["densities"][index] for index in loose):
            raise ValueError(f"The path of {name} runs through a member that is loose.")
    return sizes


def unproved(
    about: Structure,
    sizes: Mapping[str, float],
    gaps: Mapping[str, tuple[Triple, Gap]],
    left: Left,
) -> str:
    """Why some sign is not proved, or nothing."""
    loads, _, size = left
    for one in about.yielding:
        s, terms = about.segments[one.segment], loads.ends.get((one.segment, one.end), ())
        parts = [*(a * b for a, b in zip(one.own, gaps[s.id][0], strict=True)), *(force for force, _ in terms)]
        force = fsum(parts)
        rough = ROUNDING * (sum(map(abs, parts)) + sum(by for _, by in terms))
        if one.side == "loose":
            if one.own != (1.0, 0.0, 0.0):
                return BENT.format(one.name)
            if abs(force) > rough:
                raise ValueError(f"{one.name} is said to be loose and carries a force.")
        elif not (1 if one.side == "pulled" else -1) * force > rough + size * _root(s, one.own):
            return TOO_NEAR.format(one.name)
    for s in about.segments.values():
        if s.cut is not None and not _shortened_between(about, sizes, s, gaps[s.id][0], left):
            return TOO_NEAR.format(s.id)
    return ""


def _root(s: Segment, own: Triple) -> float:
    """By how much the force on `own` may be off where forces are off by a size of one."""
    acting = s.acting()
    stiff = stiffness(s.flexible, acting)
    whole = sum(
        own[i] * own[j] * part
        for i, row in zip(acting, stiff, strict=True)
        for j, part in zip(acting, row, strict=True)
    )
    return sqrt(max(whole, 0.0))


def _shortened_between(
    about: Structure,
    sizes: Mapping[str, float],
    s: Segment,
    forces: Triple,
    left: Left,
) -> bool:
    """Whether what is loose has shortened by an amount that it may, whatever is left open."""
    loads, u, size = left
    terms = [-part for part in belonging(s, u, bends=False)[0]]
    terms += [soft * force for soft, force in zip(s.flexible[0], forces, strict=True)]
    terms += [value[0] for value, _ in loads.misfit[s.id]]
    rough = sum(map(abs, terms)) + sum(by[0] for _, by in loads.misfit[s.id])
    reach: dict[str, float] = defaultdict(float)
    for end, sign in zip(s.ends, (-1, 1), strict=True):
        for axis, part in zip("xy", s.near, strict=True):
            for name, by in about.at_row.get((end, axis), ()):
                reach[name] += sign * part / s.rib.chord * by
    if lacking := reach.keys() - sizes.keys():
        raise ValueError(f"The proof has no path for {min(lacking)}, where something is loose.")
    off = 2 * sum(abs(part) * sizes[name] for name, part in reach.items()) + sqrt(s.flexible[0][0])
    room, shortened = off * size + ROUNDING * rough, fsum(terms)
    loose = [one for one in about.yielding if one.segment == s.id and one.side == "loose"]
    return sum(one.low for one in loose) + room < shortened < sum(one.high for one in loose) - room

"""Check a proof of forces against the truss document: `python -m trussio.recheck.proof PROOF TRUSS`.

A proof gives for each run forces f that balance the loads at every joint exactly (rationals, verified as such) and
movements u of the joints. Let f* be the true forces, f_u those that u would cause, and (a, b) the sum of a F b
over segments and springs, F being their flexibility. f - f* balances no load, so it does no work on F (f* - f_u),
deformations that belong to a movement: (f - f*, f* - f_u) = 0, and hence (Prager and Synge, 1947, from memory)
    |f - f*|^2 + |f* - f_u|^2 = |f - f_u|^2 =: G,   so that each true force lies within sqrt(G s) of f,
s being its entry on the diagonal of inv(F) of its own segment. Poor movements make the claim weaker, never false.
Nothing is assembled and no system is solved: every line below is about one joint or one segment.

Lengths are roots, so that G and loads along segments are known to rounding only; `gaps` bounds what that may do,
and it is added to every half width. The small modules imported here read the document and its segments; like this
file they need nothing but the standard library, and `trussio.recheck.alone` writes all of them as one file. What
they do not read is refused: stages, slip by fasteners. Exit code 0: every axial force is proved to WITHIN
of the largest force of its run (an axial force, an end moment over the length, what loads bring to a joint, what
warmth, misfit or a moved bearing would cause if nothing else gave way); 1: some less closely, or a run is not in
it or cannot be told; 3: refused, nothing proved.
"""

from __future__ import annotations

import json
import sys
from hashlib import sha256
from math import fsum, inf, sqrt
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.late import loaded
from trussio.recheck.balancing import ratio, unbalanced, whole
from trussio.recheck.gaps import gap_of, load_error, path_sizes, spring_gap
from trussio.recheck.ribs import CLOSE
from trussio.recheck.statement import movements_of, structure_of
from trussio.recheck.tally import loads_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.recheck.gaps import Gap
    from trussio.recheck.ribs import Triple
    from trussio.recheck.statement import Entry, Structure

WITHIN: Final = 1e-6
BYTES: Final = 2**25  # the largest file that is read


class Proved(NamedTuple):
    """Axial force and half width by segment, and the largest force of the run; `why` there are none, if so."""

    forces: dict[str, tuple[float, float]]
    largest: float
    why: str = ""


def check_run(about: Structure, sizes: Mapping[str, float], run: str, state: Entry) -> Proved:
    """Every axial force of a run, with the half width to which it is proved."""
    loads = loads_of(about.truss, about.segments.values(), run)
    if about.yielding:  # what carries one way: the truss that is left by what the proof says is loose
        about = loaded("trussio.recheck.one_sided:cut_open")(about, state.get("acting", {}), loads)
        sizes = loaded("trussio.recheck.one_sided:sizes_of_cut")(about, state.get("paths", {}))
    exact = {name: [ratio(part) for part in parts] for name, parts in state["forces"].items()}
    springs = {(joint, name): ratio(force) for joint, of in state["springs"].items() for name, force in of.items()}
    if springs.keys() != {(joint, name) for joint, name, _ in about.springs}:
        raise ValueError(f"In {run} the springs are not those of the document.")
    pushed = [(row, fsum(terms).as_integer_ratio()) for row, terms in loads.push.items()]
    if movement := unbalanced(about, exact, [*springs.items(), *pushed]):
        raise ValueError(f"In {run} the forces do not balance: {movement}.")
    u = movements_of(about, state, loads)
    gaps: dict[str, tuple[Triple, Gap]] = {}
    made_of = [abs(fsum(terms)) for (_, way), terms in loads.push.items() if way != "turn"]
    for name, s in about.segments.items():
        density, first, last = (above / below for above, below in [*exact.get(name, []), *[(0, 1)] * 3][:3])
        axial = density * s.rib.chord
        gaps[name] = ((axial, first, last), gap_of(s, (axial, first, last), loads.misfit[name], u))
        moved = [abs(loads.moves[end, way]) for end in s.ends for way in ("x", "y") if (end, way) in loads.moves]
        given = sum(moved) + sum(abs(value[0]) for value, _ in loads.misfit[name])
        made_of += [abs(axial), abs(first) / s.rib.chord, abs(last) / s.rib.chord, gaps[name][1].stiff * given]
    every = [gap for _, gap in gaps.values()]
    for joint, name, stiff in about.springs:
        above, below = springs[joint, name]
        moved = [u[joint, name], -loads.moves[joint, name]]
        every.append(spring_gap(stiff, above / below, moved, loads.misfit[joint]))
    size = sqrt(fsum(gap.square for gap in every)) + fsum(gap.rough for gap in every)
    size = (size + load_error(about, sizes, loads)) * (1 + CLOSE)
    if not size < inf:
        raise ValueError(f"In {run} the movements are no numbers.")
    why = about.yielding and loaded("trussio.recheck.one_sided:unproved")(about, sizes, gaps, (loads, u, size))
    if why:
        return Proved({}, max(made_of), why)
    off = {name: size * sqrt(gap.stiff) + about.segments[name].off for name, (_, gap) in gaps.items()}
    return Proved({name: (force[0], off[name]) for name, (force, _) in gaps.items()}, max(made_of))


def check(proof: Entry, document: bytes) -> dict[str, Proved]:
    """The same for every run of a truss document, by its bytes; no force where the proof has no such run."""
    if proof["format"] != "trussio/proof" or proof["version"] != 1:
        raise ValueError("This is no proof.")
    if proof["idealisation"] not in {"continuous", "pinned"}:
        raise ValueError("This proof names no idealisation.")
    if proof["document"] != "sha256:" + sha256(document).hexdigest():
        raise ValueError("This proof belongs to another document.")
    if proof.get("state") not in {"found", "built"}:
        raise ValueError("This proof does not say whether it is of the truss as found or as built.")
    continuous = proof["idealisation"] == "continuous"
    about = structure_of(json.loads(document, parse_int=whole), continuous=continuous, state=proof["state"])
    sizes = path_sizes(about, proof["paths"])
    checked, loads = check_run, about.truss.get("loads", {})
    every = [*loads.get("cases", ()), *loads.get("combinations", ())]
    if about.truss.get("tendons"):  # runs are sums of what is jacked and what comes after
        checked, every = loaded("trussio.recheck.tendons:in_parts")(check_run, about.truss, every)
    proved = {run: checked(about, sizes, run, state) for run, state in proof["runs"].items()}
    return {run: proved.get(run, Proved({}, 0.0, "not proved, since the proof has no such run")) for run in every}


def read(path: str) -> bytes:
    """The bytes of a file that is not too large."""
    with open(path, "rb") as file:
        data = file.read(BYTES + 1)
    if len(data) > BYTES:
        raise ValueError(f"{path} is larger than {BYTES} bytes.")
    return data


def main(arguments: Sequence[str]) -> int:
    """Check a proof and a document, and say what is proved."""
    try:
        proof, document = (read(path) for path in arguments)
        claim = json.loads(proof, parse_constant=ratio, parse_int=whole)
        proved = check(claim, document)
    except (OSError, ValueError, LookupError, TypeError, AttributeError, ArithmeticError, RecursionError) as why:
        sys.stderr.write(f"Refused, nothing is proved. {type(why).__name__}: {why!s:.300}\n")
        return 3
    if not proved:
        sys.stdout.write("Nothing is proved: the document has no run.\n")
    worst = 0.0 if proved else inf
    for run, (forces, largest, why_not) in proved.items():
        if not forces:
            sys.stdout.write(f"{run}: {why_not}.\n")
            worst = inf
            continue
        name = max(forces, key=lambda segment: forces[segment][1])
        part = forces[name][1] / largest if largest else 0.0 if not forces[name][1] else inf
        worst = max(worst, part)
        of = f"{run}: axial forces ({claim['idealisation']}, as {claim['state']})"
        sys.stdout.write(f"{of} proved to {part:.1e} of the largest force, {name} least closely.\n")
    return 0 if worst <= WITHIN else 1


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))

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
file they need nothing but the standard library. A pinned truss with stations is refused. Exit code 0: every axial
force is proved to WITHIN of the largest of its run; 1: some less closely; 3: refused, and nothing is proved.
"""

from __future__ import annotations

import json
import sys
from fractions import Fraction
from hashlib import sha256
from math import fsum, inf, sqrt
from typing import TYPE_CHECKING, Final

from trussio.recheck.gaps import as_floats, gap_of, load_error, path_sizes, pull, spring_gaps
from trussio.recheck.statement import movements_of, structure_of
from trussio.recheck.tally import loads_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.recheck.statement import Entry, Structure

    Proved = dict[str, tuple[float, float]]
    """Axial force and half width by segment."""

WITHIN: Final = 1e-6
BYTES: Final = 2**25
"""The largest file that is read."""
DIGITS: Final = 4000
"""The longest number."""


def rational(text: object) -> Fraction:
    """A fraction written in whole numbers, -12/7: without exponents, so that its size is that of its text."""
    if not isinstance(text, str) or len(text) > DIGITS or not text.lstrip("-").replace("/", "", 1).isdecimal():
        raise ValueError(f"{text!s:.20} is not a fraction of at most {DIGITS} digits.")
    return Fraction(text)


def check_run(about: Structure, sizes: Mapping[str, float], run: str, state: Entry) -> Proved:
    """Every axial force of a run, with the half width to which it is proved."""
    segments = about.segments.values()
    loads = loads_of(about.truss, segments, run)
    rows = pull(about.segments, state, rational)
    for row, terms in loads.push.items():
        rows[row] += Fraction(fsum(terms))
    for name, way in about.free.items():
        if sum(part * rows[row] for row, part in way.items()):
            raise ValueError(f"In {run} the forces do not balance: {name}.")
    u = movements_of(about.truss, state, loads.moves)
    forces = [as_floats(s, state, rational) for s in segments]
    gaps = [gap_of(s, f, loads.misfit[s.id], u) for s, f in zip(segments, forces, strict=True)]
    springs = {(j, name): rational(force) for j, of in state["springs"].items() for name, force in of.items()}
    every = [*gaps, *spring_gaps(about, springs, loads, u)]
    size = sqrt(fsum(gap.square for gap in every)) + fsum(gap.rough for gap in every)
    size += load_error(about, sizes, loads)
    if not size < inf:
        raise ValueError(f"In {run} the movements are no numbers.")
    return {s.id: (f[0], size * sqrt(gap.stiff)) for s, f, gap in zip(segments, forces, gaps, strict=True)}


def check(proof: Entry, document: bytes) -> dict[str, Proved]:
    """The same for every run of a proof, against the bytes of a truss document."""
    if proof["format"] != "trussio/proof" or proof["version"] != 1:
        raise ValueError("This is no proof.")
    if proof["document"] != "sha256:" + sha256(document).hexdigest():
        raise ValueError("This proof belongs to another document.")
    about = structure_of(json.loads(document), continuous=proof["idealisation"] == "continuous")
    sizes = path_sizes(about, proof["paths"])
    return {run: check_run(about, sizes, run, state) for run, state in proof["runs"].items()}


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
        proved = check(json.loads(proof, parse_constant=rational), document)
    except (OSError, ValueError, LookupError, TypeError, AttributeError, ArithmeticError, RecursionError) as why:
        sys.stderr.write(f"Refused, nothing is proved. {type(why).__name__}: {why!s:.300}\n")
        return 3
    worst = 0.0
    for run, forces in proved.items():
        largest = max(abs(force) for force, _ in forces.values())
        name = max(forces, key=lambda segment: forces[segment][1])
        part = forces[name][1] / largest if largest else inf
        worst = max(worst, part)
        sys.stdout.write(f"{run}: axial forces proved to {part:.1e} of the largest, {name} least closely.\n")
    return 0 if worst <= WITHIN else 1


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))

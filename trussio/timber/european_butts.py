"""Where single plies of a stick of a European strength class are cut: what the others and the bolts across carry.

As for other sticks: the connection across gives no more than the cut ply itself, compression crosses a butt only
where it was found tight, bending stays with the plies that run through, and both shares are added. N, mm, MPa.
Source: EN 1995-1-1 6.1, 6.2, 8; the sum over plies and of both shares is an own derivation.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber.crossing import crossings
from trussio.timber.european_checks import MM, NEWTON, unfactored
from trussio.timber.european_fastened import across_plane
from trussio.timber.european_group import Bolts
from trussio.timber.european_layers import european_plate, european_ply
from trussio.timber.joints import End, layer_forces, plane_forces
from trussio.timber.segment_checks import FLOOR
from trussio.timber.working import OWN, STATICS, derived, interaction, not_evaluated, set_against, stated

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.model.check import Check, Derivation
    from trussio.model.connection import Butt
    from trussio.model.truss import Segment
    from trussio.timber.bench import Bench, State
    from trussio.timber.european_checks import EuropeanStock
    from trussio.timber.joints import Layer, Vector

CLAUSE: Final = "EN 1995-1-1 6.1.2, 6.1.4"
ACROSS: Final = "enter what brings the cut ply's force past its butt"


class Section(NamedTuple):
    """The section at a butt: its name in words, the plies cut there, the way of the stick, the moment (N-mm)."""

    name: str
    broken: Mapping[int, Butt]
    along: Vector
    moment: float


def european_section(
    bench: Bench, segment: Segment, stock: EuropeanStock, at: Section, state: State
) -> Iterator[Check]:
    """The section at a butt under one run, axial force alone and with bending."""
    forces = bench.forces(state.run, segment.id)
    newton = NEWTON[bench.truss.units]
    of = Subject(segment.id, state.run, stock.name)
    for sense in (1.0, -1.0):
        force = max(sense * one for one in (forces.axial, *forces.axial_ends)) * newton
        if force <= FLOOR:
            continue
        for check in _carried(bench, (segment, stock, state), at, (sense, force), of):
            yield check if state.factored else unfactored(check)


def _carried(
    bench: Bench,
    on: tuple[Segment, EuropeanStock, State],
    at: Section,
    carries: tuple[float, float],
    of: Subject,
) -> Iterator[Check]:
    segment, stock, state = on
    sense, force = carries
    design = bench.european_design_of(segment.member, stock, state)
    strength, word = (design.ft0d, "tension") if sense > 0 else (design.fc0d, "compression")
    ply = derived("ply", strength.value * stock.breadth * stock.depth, "N", "f,d b h", CLAUSE, strength)
    unbroken = max(0, stock.plies - len(at.broken))
    total, steps, lacking = unbroken * ply.value, [ply], ""
    for number, butt in at.broken.items():
        if sense < 0 and butt.tight:
            total += ply.value
            continue
        try:
            brought = min(_across(bench, segment, butt, (at.along, sense), state), ply.value)
        except UsageError as fault:
            lacking = str(fault)
            continue
        total += brought
        steps.append(
            derived(f"across {number}", brought, "N", "F,Rd of the bolts, at most the ply", "", source=OWN)
        )
    what = f"{word}{at.name}"
    demand = stated("force", force, "N", STATICS)
    if lacking and force > total:
        alone = f"what is known carries {total:.0f} N; {lacking}"
        yield not_evaluated(what=what, clause=CLAUSE, of=of, demand=demand, unit="N", reason=alone)
        return
    formula = f"{unbroken} unbroken plies and what the connections across give"
    capacity = derived("carried", total, "N", formula, CLAUSE, *steps, source=OWN)
    check = set_against(what=what, clause=CLAUSE, demand=demand, capacity=capacity, unit="N", of=of)
    yield check
    if at.moment > FLOOR and unbroken and check.ratio is not None:
        yield _bent(stock, design.fmd, at, (unbroken, word), check)


def _bent(stock: EuropeanStock, fmd: Derivation, at: Section, plies: tuple[int, str], check: Check) -> Check:
    """What the section carries along the grain, and the bending of the plies that run through, together."""
    unbroken, word = plies
    modulus = unbroken * stock.breadth * stock.depth**2 / 6
    sigma = derived("sigma_m", at.moment / modulus, "MPa", f"M / ({unbroken} b h^2 / 6)", "", source=STATICS)
    axial = derived("axial share", check.ratio or 0.0, "", "force / carried", "", check.derivation, source=OWN)
    total = axial.value + sigma.value / fmd.value
    clause = "EN 1995-1-1 6.2.3"
    ratio = derived("at the butt", total, "", "axial share + sigma_m / fmd", clause, axial, sigma, fmd, source=OWN)
    return interaction(what=f"{word} with bending{at.name}", clause=clause, ratio=ratio, of=check.subject)


def _across(bench: Bench, segment: Segment, butt: Butt, way: tuple[Vector, float], state: State) -> float:
    """The force of the cut ply that its bolts bring past the butt (N). Raises UsageError where not known."""
    across = butt.across
    if across is None or across.fasteners is None:
        raise UsageError("butt-open", where=f"ply {butt.ply}", what="nobody knows what is there:", do=f"{ACROSS}.")
    along, sense = way
    end = End(segment, 0, along)
    layers: list[Layer] = []
    for piece in across.pieces:
        if piece.member is None:
            layers.append(european_plate(bench.truss, piece, along))
        else:
            here = (end,) if piece.ply == butt.ply else (end, end)
            layers.append(european_ply(bench, piece, segment.member, here)._replace(plies=1))
    closing = tuple(i for i, piece in enumerate(across.pieces) if piece.ply != butt.ply)
    units = bench.truss.units
    brought = {segment.member: (sense * along[0], sense * along[1])}
    at = Bolts(
        fasteners=across.fasteners,
        layers=layers,
        brought=brought,
        closings=(closing,),
        scale=(MM[units], NEWTON[units] / MM[units] ** 2),
    )
    forces = layer_forces(layers, brought, closing)
    found = [
        (across_plane(bench, at, crossing, state, Subject()).capacity or 0.0) / hypot(*crossing.force)
        for crossing in crossings(layers, forces, plane_forces(forces))
        if hypot(*crossing.force) > FLOOR
    ]
    return min(found, default=0.0)

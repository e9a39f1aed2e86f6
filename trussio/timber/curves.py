"""Curved sticks: what bending the laminations takes of a glued stick's strength, and stress across its grain.

A moment *flattens* the curve where it stretches the hollow side; then the laminations are pulled apart. Only glued
laminations bent to the curve have rules; what was sawn to it, nailed, or not told is open in words.
Inches, psi. Source: NDS-2018 5.2.8, 5.3.8, 5.4.1, as marked by `bending`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber.adjustment import adjusted, temperature_factor, wet_service_factor
from trussio.timber.bending import curvature_factor, radial_check, radial_tension_value
from trussio.timber.european_checks import EuropeanStock
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND
from trussio.timber.working import not_evaluated

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.check import Check, Derivation
    from trussio.model.truss import MemberId, Segment
    from trussio.timber.bench import Bench, State
    from trussio.timber.stock import Stock

UNTOLD: Final = "the stick is curved and nobody said how it was made: enter its laminations, bent or sawn to shape"
SAWN: Final = "it was sawn to its curve, so the grain runs out at its edges: enter values graded for that slope"
NAILED: Final = "its bent laminations are not glued: what bending left in them, and how they act together, is open"
THICKNESS: Final = "enter the thickness of one of its bent laminations"
EUROPEAN: Final = "curved sticks of European strength classes: use eurocode_details.curved_beam_checks"
BRIEF: Final = frozenset(("wind", "earthquake"))


def what_is_open(bench: Bench, name: MemberId) -> str:
    """Why the curvature of a stick is open, empty where it is straight or its rules are applied."""
    member, stock = bench.truss.members[name], bench.stock(name)
    made = member.laminations
    if member.curve is None:
        return ""
    if made is None or not made.bent:
        return UNTOLD if made is None else SAWN
    if isinstance(stock, EuropeanStock) or stock.kind != "glulam":
        return EUROPEAN if isinstance(stock, EuropeanStock) else NAILED
    try:
        bend_factor(bench, name, stock)
    except UsageError as fault:
        return str(fault)
    return THICKNESS if made.thickness is None else ""


def bend_factor(bench: Bench, name: MemberId, stock: Stock) -> Derivation | None:
    """Cc of a glued stick whose laminations were bent, by the radius of its hollow side; None for any other."""
    member = bench.truss.members[name]
    made, inch = member.laminations, INCH[bench.truss.units]
    if member.curve is None or made is None or not made.bent or made.thickness is None or stock.kind != "glulam":
        return None
    return curvature_factor(
        lamination=made.thickness * inch,
        radius=member.curve.radius * inch - stock.depth / 2,
        southern_pine_or_hardwood=stock.values.southern_pine,
    )


def radial_checks(bench: Bench, segment: Segment) -> Iterator[Check]:
    """Stress across the grain of a glued curved segment in every state, where it bends."""
    member = bench.truss.members[segment.member]
    stock = bench.stock(segment.member)
    if member.curve is None or what_is_open(bench, segment.member) or isinstance(stock, EuropeanStock):
        return
    first, last = bench.truss.joints[segment.first], bench.truss.joints[segment.last]
    left = (member.curve.bows == "up") == (last.x > first.x)  # it bulges to local +y
    factor = POUND[bench.truss.units] * INCH[bench.truss.units] / stock.plies
    for state in bench.states:
        forces = bench.forces(state.run, segment.id)
        moments = (forces.moment_peak, *forces.moment)
        of = Subject(segment.id, state.run, stock.name, stock.remarks)
        for sense, flattens in ((1.0, left), (-1.0, not left)):
            moment = max(sense * one for one in moments) * factor
            if moment <= FLOOR:
                continue
            yield _radial(bench, segment, stock, state, (moment, flattens, of))


def _radial(bench: Bench, segment: Segment, stock: Stock, state: State, at: tuple[float, bool, Subject]) -> Check:
    moment, flattens, of = at
    curve = bench.truss.members[segment.member].curve
    try:
        return radial_check(
            moment=moment,
            flattens=flattens,
            radius=(0.0 if curve is None else curve.radius) * INCH[bench.truss.units],
            width=stock.breadth,
            depth=stock.depth,
            Frt=_across(bench, segment.member, stock, state) if flattens else 0.0,
            Fc_perp_y=0.0 if flattens else bench.value(segment.member, "Fc_perp_y", state),
            of=of,
        )
    except UsageError as fault:
        what = "radial tension" if flattens else "radial compression"
        return not_evaluated(what=what, clause="NDS-2018 5.4.1", of=of, reason=str(fault))


def _across(bench: Bench, name: MemberId, stock: Stock, state: State) -> Derivation:
    """Frt': stated, or a third of Fv or 15 psi, with CD, CM and Ct."""
    if "Frt" in stock.values.values:
        return bench.value(name, "Frt", state)
    use = bench.use(state)
    plain = radial_tension_value(
        Fvx=stock.values.value("Fv"),
        southern_pine=stock.values.southern_pine,
        wind_or_earthquake=bool(BRIEF & set(state.kinds)),
    )
    factors = {
        "CD": use.CD,
        "CM": wet_service_factor("Fv", size_class="glulam", wet=use.wet),
        "Ct": temperature_factor("Fv", temperature=use.temperature, wet=use.wet),
    }
    return adjusted("Frt'", plain, factors)

"""The bench on which one truss is reviewed: stocks, lengths and values that members and runs share.

Forces and lengths come in the document's units and leave here in those of the code: lbf and in, or N and mm.
What depends on neither run nor segment is computed once. Source: NDS-2018 or EN 1995-1-1, as marked by the parts.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Line, Subject
from trussio.timber.adjustment import duration_factor
from trussio.timber.bracing import held_lengths
from trussio.timber.curves import bend_factor, what_is_open
from trussio.timber.design_values import Use, adjusted_value
from trussio.timber.european_checks import (
    MM,
    NEWTON,
    EuropeanDesign,
    EuropeanStock,
    duration_of,
    european_checks,
    european_design,
    european_stock_of,
    is_european,
)
from trussio.timber.european_stacks import Use as StackUse
from trussio.timber.european_stacks import european_stack_of
from trussio.timber.fastened import nothing_kept
from trussio.timber.joints import ends_at
from trussio.timber.lengths import segment_lengths
from trussio.timber.segment_checks import (
    FLOOR,
    GROSS,
    Lengths,
    PlyForces,
    Prepared,
    prepare,
    segment_checks,
    segment_slenderness,
)
from trussio.timber.stacks import stack_of
from trussio.timber.stock import INCH, LEAVES, POUND, Design, Stock, design_of, stock_of
from trussio.timber.working import STATICS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.forces import Results, SegmentForces
    from trussio.model.loading import RunId
    from trussio.model.truss import JointId, MemberId, Segment, SegmentId, Truss
    from trussio.timber.european_stacks import EuropeanStack
    from trussio.timber.fastened import Lasting, Value
    from trussio.timber.lengths import SegmentLength
    from trussio.timber.stacks import Stack
    from trussio.timber.torn import Local

TEMPERATE: Final = 70.0
DRY: Final = "taken as dry and never over 100 F: the document does not say"
SHELTERED: Final = "taken as service class 2: the document does not say"
HOLES: Final = "gross section: the net sections at its connections have checks of their own where they are known"
BRACED: Final = "held across the plane where the document says so, there at the compressed edge too"
IN_PLANE: Final = "bracing in the truss plane is in the document and not counted"
UNSEEN: Final = "somebody must see whether the bracing truly holds"
NEVERTHELESS: Final = "met without the bracing that nobody saw"
EVEN_SO: Final = "not met even if the bracing that nobody saw holds"
WEB_ENDS: Final = "web taken as held at both ends across the plane by the chords"


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """What the document does not say of the roof.

    `wet` and `temperature` (F) in service, or the service class of EN 1995-1-1: where None the review takes dry
    wood up to 100 F (service class 2) and says so beside every ratio. `lateral` gives by member the length between
    what holds it across the truss plane, in base lengths, 0 where it is held throughout.
    """

    wet: bool | None = None
    temperature: float | None = None
    service_class: int | None = None
    lateral: Mapping[MemberId, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class State:
    """One run that is checked: the kinds of its loads, and whether any of its factors is over 1."""

    run: RunId
    kinds: tuple[str, ...]
    factored: bool


class Bench:
    """One truss with its results under review. What is computed once is kept; nothing else changes."""

    def __init__(
        self,
        truss: Truss,
        results: Results,
        given: Conditions,
        states: Sequence[State],
        *,
        lengths: Mapping[SegmentId, SegmentLength] | None = None,
    ) -> None:
        self.truss = truss
        self.results = results
        self.given = given
        self.states = states
        self.lengths = segment_lengths(truss) if lengths is None else lengths
        self.segments: Mapping[str, Segment] = {segment.id: segment for segment in truss.segments}
        braced = any(member.braced is not None for member in truss.members.values())
        self.held = held_lengths(truss, self.lengths) if braced else {}
        self.ends = ends_at(truss) if truss.connections else {}
        self.pierced = {
            (name, one.joint)
            for one in truss.connections.values()
            if one.fasteners is not None
            for piece in one.pieces
            for name in (piece.member, piece.meets)
        }
        self.groups: dict[tuple[object, ...], Value] = {}
        self.lasting: dict[tuple[object, ...], Lasting] = {}
        self.kept = nothing_kept()
        self.wood: dict[tuple[object, ...], tuple[Local, ...]] = {}
        self.to_end: dict[tuple[MemberId, JointId], float] = {}
        self.removed: dict[tuple[MemberId, JointId], Mapping[str, Derivation]] = {}
        self._values: dict[tuple[object, ...], Derivation] = {}
        self.durations = {state.kinds: duration_factor(state.kinds) for state in states}
        self.stocks: dict[tuple[object, object], Stock | EuropeanStock] = {}
        self._designs: dict[tuple[object, ...], Design] = {}
        self._prepared: dict[tuple[object, ...], Prepared] = {}
        self._stacks: dict[tuple[object, ...], Stack | None] = {}
        self._european_stacks: dict[tuple[object, ...], EuropeanStack | None] = {}
        self._european: dict[tuple[object, ...], EuropeanDesign] = {}

    def under(self, results: Results, states: Sequence[State]) -> Bench:
        """A bench for other forces and states of the same truss, which shares what depends on neither."""
        twin = copy(self)
        twin.results, twin.states = results, states
        twin.durations = {state.kinds: duration_factor(state.kinds) for state in states}
        return twin

    def moved(self, lengths: Mapping[SegmentId, SegmentLength]) -> Bench:
        """A bench for other lengths of segments of the same truss; what bracing holds stays where it was."""
        twin = copy(self)
        twin.lengths, twin.to_end = lengths, {}
        return twin

    def with_left(self, truss: Truss, name: MemberId, left: Stock | EuropeanStock) -> Bench:
        """A bench for the same forces on a truss of whose member only so much is left."""
        bench = self.changed(truss, self.given)
        member = truss.members[name]
        bench.stocks[member.section, member.material] = left
        return bench

    def changed(self, truss: Truss, given: Conditions) -> Bench:
        """A bench for the same forces on other sections, or under other conditions."""
        return Bench(truss, self.results, given, self.states, lengths=self.lengths)

    def forces(self, run: RunId, segment: SegmentId) -> SegmentForces:
        """Forces of one segment in one run."""
        return self.results.runs[run].segments[segment]

    def stock(self, name: MemberId) -> Stock | EuropeanStock:
        """The stock of a member. Raises UsageError that names what is missing."""
        member = self.truss.members[name]
        key = (member.section, member.material)
        if key not in self.stocks:
            section, material = self.truss.section_of(name), self.truss.material_of(name)
            if material is not None and is_european(material):
                self.stocks[key] = european_stock_of(section, material, self.truss.units)
            else:
                self.stocks[key] = stock_of(section, material, self.truss.units)
        return self.stocks[key]

    def checks(self, segment: Segment, stock: Stock | EuropeanStock) -> list[Check]:
        """Every check of one segment in every state; bracing that nobody saw is read both ways."""
        seen = self._checks(segment, stock, self.across(segment))
        held = self.held.get(segment.id)
        if held is None or segment.member in self.given.lateral or held.seen == held.with_unseen:
            return seen
        if held.seen is None:
            return seen
        return both_ways(seen, self._checks(segment, stock, held.with_unseen))

    def _checks(self, segment: Segment, stock: Stock | EuropeanStock, across: float | None) -> list[Check]:
        remarks = self._remarks(segment, stock, across)
        checks: list[Check] = []
        compressed: tuple[Prepared, Subject] | None = None
        units = self.truss.units
        found: dict[float, tuple[Design, Prepared]] = {}
        for state in self.states:
            of = Subject(segment.id, state.run, stock.name, remarks)
            forces = self.forces(state.run, segment.id)
            if isinstance(stock, EuropeanStock):
                if self._stands_for(state):
                    continue
                checks += self._eurocode(segment, stock, state, across, of)
                continue
            ply = ply_forces(forces, stock.plies, POUND[units], INCH[units])
            CD = self.durations[state.kinds].value
            if CD not in found:
                found[CD] = self._nds(segment, stock, state, across)
            design, prepared = found[CD]
            checks += segment_checks(design, prepared, ply, of)
            if compressed is None and ply.least < -FLOOR:
                compressed = (prepared, of)
        return checks if compressed is None else [*checks, *segment_slenderness(*compressed)]

    @property
    def factored_states(self) -> tuple[State, ...]:
        """The states by which the European code checks: those with partial factors, and what they do not cover."""
        return tuple(state for state in self.states if not self._stands_for(state))

    def _stands_for(self, state: State) -> bool:
        """Whether a run without partial factors is left to one that has them and the same kinds of load."""
        kinds = set(state.kinds)
        return not state.factored and any(other.factored and set(other.kinds) == kinds for other in self.states)

    def across(self, segment: Segment) -> float | None:
        """Length between what holds a segment across the plane: stated, braced, or for a web its whole stick."""
        member = self.truss.members[segment.member]
        whole = self.lengths[segment.id].stick if member.role == "web" else None
        if segment.id in self.held:
            whole = self.held[segment.id].seen
        return self.given.lateral.get(segment.member, whole)

    def use(self, state: State) -> Use:
        """The conditions of use under one run."""
        temperature = TEMPERATE if self.given.temperature is None else self.given.temperature
        return Use(CD=self.durations[state.kinds], wet=bool(self.given.wet), temperature=temperature)

    def value(self, name: MemberId, symbol: str, state: State, *, flat: bool = False) -> Derivation:
        """An adjusted value of a stick under one run; UsageError where it is not known, or of another code."""
        member = self.truss.members[name]
        key = (member.section, member.material, symbol, self.durations[state.kinds].value, flat)
        if key not in self._values:
            stock = self.stock(name)
            if isinstance(stock, EuropeanStock):
                raise UsageError(
                    "other-code",
                    where=name,
                    what=f"{symbol} belongs to NDS-2018, and this stick is of a European strength class.",
                    do="Use the single checks of eurocode_members.",
                )
            sizes = sorted((stock.breadth, stock.depth))
            self._values[key] = adjusted_value(
                stock.values, symbol, use=self.use(state), thickness=sizes[0], width=sizes[1], flat=flat
            )
        return self._values[key]

    def _scaled(self, segment: Segment, scale: float, across: float | None) -> Lengths:
        size = self.lengths[segment.id]
        return Lengths(
            in_plane=size.in_plane * scale,
            across=None if across is None else across * scale,
            panel=size.panel * scale,
        )

    def _nds(self, segment: Segment, stock: Stock, state: State, across: float | None) -> tuple[Design, Prepared]:
        member, CD = self.truss.members[segment.member], self.durations[state.kinds]
        key = (member.section, member.material, CD.value, segment.member if stock.kind == "glulam" else "")
        if key not in self._designs:
            use = self.use(state)
            stick = self.lengths[segment.id].stick * INCH[self.truss.units]
            bent = None if what_is_open(self, segment.member) else bend_factor(self, segment.member, stock)
            self._designs[key] = design_of(stock, use, length=stick, bent=bent)
        size = self.lengths[segment.id]
        stack = self.stack(segment, stock, across)
        whole = (*key, size.in_plane, size.panel, across, stack)
        if whole not in self._prepared:
            lengths = self._scaled(segment, INCH[self.truss.units], across)
            self._prepared[whole] = prepare(stock, self._designs[key], lengths, stack=stack)
        return self._designs[key], self._prepared[whole]

    def stack(self, segment: Segment, stock: Stock, across: float | None) -> Stack | None:
        """How the plies of a segment act across the plane; over its own panel where nobody said what holds it."""
        member = self.truss.members[segment.member]
        if member.stitched is None and member.spaced is None:
            return None
        length = self.lengths[segment.id].panel if across is None else across
        key = (segment.member, stock.breadth, stock.depth, length)
        if key not in self._stacks:
            l1 = length * INCH[self.truss.units]
            self._stacks[key] = stack_of(self.truss, segment.member, stock, l1)
        return self._stacks[key]

    def _eurocode(
        self, segment: Segment, stock: EuropeanStock, state: State, across: float | None, of: Subject
    ) -> list[Check]:
        forces = self.forces(state.run, segment.id)
        units = self.truss.units
        design = self.european_design_of(segment.member, stock, state)
        ply = ply_forces(forces, stock.plies, NEWTON[units], MM[units])
        lengths = self._scaled(segment, MM[units], across)
        stack = self.european_stack(segment, stock, state, across)
        of = of if stack is None else of._replace(remarks=(*of.remarks, stack.says))
        return european_checks(stock, design, lengths, ply, factored=state.factored, of=of, stack=stack)

    def european_stack(
        self, segment: Segment, stock: EuropeanStock, state: State, across: float | None
    ) -> EuropeanStack | None:
        """How the plies of a segment of a European class act across the plane under one run."""
        if stock.plies == 1:
            return None
        length = self.lengths[segment.id].panel if across is None else across
        duration = duration_of(state.kinds)
        key = (segment.member, stock.breadth, stock.depth, length, duration)
        if key not in self._european_stacks:
            mm, service = MM[self.truss.units], self.given.service_class
            use = StackUse(duration, 2 if service is None else service, mm, NEWTON[self.truss.units] / mm**2)
            found = european_stack_of(self.truss, segment.member, stock, length * mm, use)
            self._european_stacks[key] = found
        return self._european_stacks[key]

    def european_design_of(self, name: MemberId, stock: EuropeanStock, state: State) -> EuropeanDesign:
        """Design strengths of a stick of a European class under one run."""
        member, duration = self.truss.members[name], duration_of(state.kinds)
        key = (member.section, member.material, duration)
        if key not in self._european:
            service = 2 if self.given.service_class is None else self.given.service_class
            self._european[key] = european_design(stock, duration=duration, service_class=service)
        return self._european[key]

    def _remarks(self, segment: Segment, stock: Stock | EuropeanStock, across: float | None) -> tuple[str, ...]:
        """What a reader must see beside every ratio of this segment."""
        both = all((segment.member, joint) in self.pierced for joint in (segment.first, segment.last))
        remarks = [HOLES if both else GROSS]
        if isinstance(stock, EuropeanStock):
            remarks += [SHELTERED] if self.given.service_class is None else []
        else:
            stack = self.stack(segment, stock, across)
            leaves = LEAVES.format(stock.plies)
            remarks += [stack.says if stack and one == leaves else one for one in stock.remarks]
            remarks += [DRY] if self.given.wet is None or self.given.temperature is None else []
        if segment.id in self.held:
            remarks.append(BRACED)
        elif self.truss.members[segment.member].role == "web" and segment.member not in self.given.lateral:
            remarks.append(WEB_ENDS)
        if any(brace.plane == "in" for brace in self.truss.members[segment.member].braced or ()):
            remarks.append(IN_PLANE)
        return tuple(remarks)


def both_ways(seen: Sequence[Check], held: Sequence[Check]) -> list[Check]:
    """Checks without and with bracing that nobody saw: one verdict where both agree, else open with both."""
    found: list[Check] = []
    by_what = {(check.what, check.run): check for check in held}
    for without in seen:
        counted = by_what.get((without.what, without.run), without)
        if without.ratio is None or counted.ratio is None or without.ratio == counted.ratio:
            found.append(without)
        elif without.ratio <= 1.0:
            found.append(without._replace(remarks=(*without.remarks, NEVERTHELESS)))
        elif counted.ratio > 1.0:
            found.append(counted._replace(remarks=(*counted.remarks, EVEN_SO)))
        else:
            remark = f"with the bracing that nobody saw: {counted.ratio:.2f}; without it: {without.ratio:.2f}"
            remarks = (*without.remarks, remark)
            found.append(without._replace(ratio=None, capacity=None, reason=UNSEEN, remarks=remarks))
    return found


def ply_forces(forces: SegmentForces, plies: int, force: float, length: float) -> PlyForces:
    """The share of one ply, with the factors that bring force and length into the units of the code."""
    first, last = forces.axial_ends
    moment = max(abs(forces.moment_peak), abs(forces.moment[0]), abs(forces.moment[1]))
    each = force / plies
    return PlyForces(
        least=min(forces.axial, first, last) * each,
        greatest=max(forces.axial, first, last) * each,
        moment=moment * each * length,
        shear=max(abs(forces.shear[0]), abs(forces.shear[1])) * each,
    )


def greatest_axial(bench: Bench, segments: Sequence[Segment]) -> tuple[Derivation | None, RunId | None]:
    """The greatest axial force, of either sense, of some segments in the document's force unit, and its run."""
    found = max(
        (
            (abs(bench.forces(state.run, segment.id).axial), state.run, segment.id)
            for segment in segments
            for state in bench.states
        ),
        default=None,
    )
    if found is None:
        return None, None
    force, run, segment_id = found
    return carried("N", force, bench.truss, f"greatest axial force, in {segment_id}"), run


def carried(symbol: str, force: float, truss: Truss, says: str) -> Derivation:
    """A force that must be carried, in the document's unit."""
    line = Line(symbol, force, "lbf" if truss.units == "us" else "N", says, "", STATICS)
    return Derivation(force, (line,))

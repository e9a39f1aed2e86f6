"""Whether plies joined along a stick may count as one built-up column, or as a spaced one: the rules, one by one.

Terms: t is the thickness of a ply, D the diameter of what goes through, l1 the length between points held across
the plane. Every rule that is not met, or cannot be judged, gives a sentence; none means that plies act together.
Inches, psi, lbf. Source: NDS-2018 15.2 and 15.3, from memory; plies as full-length pieces, common practice.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.timber.working import derived, number, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.check import Derivation
    from trussio.timber.columns import EndCondition
    from trussio.timber.rings import Group
    from trussio.timber.working import Figure

NAILED: Final = "NDS-2018 15.3.3"
BOLTED: Final = "NDS-2018 15.3.4"
SPACED: Final = "NDS-2018 15.2"
MOST_PLIES: Final = 5
LEAST_THICKNESS: Final = 1.5
HAIR: Final = 1e-9
END_BLOCKS: Final[dict[Group, tuple[float, float]]] = {
    "A": (9.55, 468.0),
    "B": (8.14, 399.0),
    "C": (6.73, 330.0),
    "D": (5.32, 261.0),
}
"""K_S of end blocks: psi per step of l1/d1 over 11, and its greatest value, by connector group."""
STOCKY: Final = 11.0


class Plies(NamedTuple):
    """Plies of one stick in inches: how many, their thickness and depth, the clear gap between them."""

    number: int
    thickness: float
    depth: float
    gap: float = 0.0


class Stitches(NamedTuple):
    """Nails or bolts through all plies in inches; what nobody said is None. One row where `rows` is None."""

    diameter: float
    spacing: float
    rows: int | None = None
    gauge: float | None = None
    end: float | None = None
    edge: float | None = None
    length: float | None = None
    opposite: bool | None = None
    staggered: bool | None = None
    washers: bool | None = None
    tight: bool | None = None


class Blocks(NamedTuple):
    """Blocks in the gap in inches, over a length `l1`: `blocks` between the two at its ends, as in a document.

    `connectors` is what the rings or shear plates in one face of an end block may carry along the grain (lbf),
    0 where there are none, None where nobody said.
    """

    l1: float
    blocks: int | None
    end: float | None
    between: float | None
    connectors: Figure | None


def nailed_faults(plies: Plies, nails: Stitches) -> tuple[str, ...]:
    """What keeps nailed plies from counting as one column (15.3.1, 15.3.3); empty where nothing does."""
    D, t = nails.diameter, plies.thickness
    require_positive("nails", {"diameter": D, "spacing": nails.spacing})
    through = (plies.number - 1 + 0.75) * t

    def faults() -> Iterator[str]:
        yield from _plies(plies)
        if not nails.opposite:
            yield f"nails next to each other must be driven from opposite faces ({NAILED})"
        yield from _within("length of the nails", nails.length, through, None, NAILED)
        yield from _within("end distance", nails.end, 15 * D, 18 * D, NAILED)
        yield from _within("spacing in a row", nails.spacing, 20 * D, 6 * t, NAILED)
        yield from _rows(plies, nails, (10 * D, 20 * D), NAILED)
        yield from _within("edge distance", nails.edge, 5 * D, 20 * D, NAILED)
        if (nails.rows or 1) != 2 and not nails.staggered:
            yield f"nails in one row, or in more than two, must be staggered ({NAILED})"

    return tuple(faults())


def bolted_faults(plies: Plies, bolts: Stitches, *, hardwood: bool = False) -> tuple[str, ...]:
    """What keeps bolted plies from counting as one column (15.3.1, 15.3.4); empty where nothing does."""
    D = bolts.diameter
    require_positive("bolts", {"diameter": D, "spacing": bolts.spacing})
    least, most = (5.0, 6.0) if hardwood else (7.0, 8.4)

    def faults() -> Iterator[str]:
        yield from _plies(plies)
        if not bolts.washers:
            yield f"washers or plates must lie under head and nut ({BOLTED})"
        if not bolts.tight:
            yield f"nuts must be tight and the plies touch ({BOLTED})"
        yield from _within("end distance", bolts.end, least * D, most * D, BOLTED)
        yield from _within("spacing in a row", bolts.spacing, 4 * D, 6 * plies.thickness, BOLTED)
        yield from _rows(plies, bolts, (1.5 * D, 10 * D), BOLTED)
        yield from _within("edge distance", bolts.edge, 1.5 * D, 10 * D, BOLTED)

    return tuple(faults())


def end_condition(*, end: float, l1: float) -> EndCondition | None:
    """End condition of a spaced column: a up to l1/20, b up to l1/10, None beyond."""
    require_positive("spaced column", {"l1": l1})
    if end <= l1 / 20 * (1 + HAIR):
        return "a"
    return "b" if end <= l1 / 10 * (1 + HAIR) else None


def end_block_constant(*, l1: float, thickness: float, group: Group) -> Derivation:
    """K_S (psi): what the connectors in each face of an end block must carry per area of one ply (15.2.2.5)."""
    require_positive("KS", {"l1": l1, "thickness": thickness})
    slope, most = END_BLOCKS[group]
    ratio = l1 / thickness
    value = min(most, max(0.0, slope * (ratio - STOCKY)))
    line = derived("l1/d1", ratio, "", "l1 / d1", SPACED, step("l1", l1, "in"), step("d1", thickness, "in"))
    return derived("KS", value, "psi", f"{slope} (l1/d1 - 11), 0 to {most:g}", "NDS-2018 15.2.2.5", line)


def spaced_faults(plies: Plies, at: Blocks, group: Group) -> tuple[str, ...]:
    """What keeps plies apart from counting as a spaced column (15.2); empty where nothing does."""

    def faults() -> Iterator[str]:
        if plies.gap <= 0:
            yield f"no gap stands between the plies ({SPACED}.1)"
        elif plies.gap < plies.thickness * (1 - HAIR):
            t = plies.thickness
            yield f"blocks {plies.gap:.4g} in thick are thinner than a ply, {t:.4g} in ({SPACED}.2.4)"
        if at.end is None:
            yield f"how far from the end the fasteners of the end blocks stand is not given ({SPACED}.2.1)"
        elif end_condition(end=at.end, l1=at.l1) is None:
            most = f"l1/10, {at.l1 / 10:.4g} in"
            yield f"the end blocks' fasteners stand {at.end:.4g} in from the end, over {most} ({SPACED}.2.1)"
        yield from _between(at)
        if at.connectors is None:
            yield f"what fastens the blocks is not given ({SPACED}.2.5)"
            return
        need = end_block_constant(l1=at.l1, thickness=plies.thickness, group=group)
        force = need.value * plies.thickness * plies.depth
        has = number(at.connectors)
        if has < force * (1 - HAIR):
            yield (
                f"rings or shear plates in a face of an end block carry {has:.0f} lbf of the {force:.0f} lbf that "
                f"KS asks for; bolts and nails do not count ({SPACED}.2.5)"
            )

    require_positive("spaced column", {"l1": at.l1, "thickness": plies.thickness, "depth": plies.depth})
    return tuple(faults())


def _between(at: Blocks) -> Iterator[str]:
    """Blocks between the ends: one in the middle tenth, or several no farther than half of what lies between."""
    if at.blocks is None or at.between is None:
        yield f"the blocks between the ends, or how far they stand apart, are not given ({SPACED}.2.2)"
        return
    inner = at.l1 - 2 * (at.end or 0.0)
    if at.blocks == 0:
        yield f"no block stands between those at the ends ({SPACED}.1)"
    elif at.blocks == 1 and abs(at.between - inner / 2) > at.l1 / 20 * (1 + HAIR):
        yield f"the one block between stands out of the middle tenth of the length ({SPACED}.2.2)"
    elif at.blocks > 1 and at.between > inner / 2 * (1 + HAIR):
        half = f"half of {inner:.4g} in between the ends"
        yield f"blocks stand {at.between:.4g} in apart, over {half} ({SPACED}.2.2)"


def _plies(plies: Plies) -> Iterator[str]:
    if plies.gap > 0:
        yield f"the plies stand {plies.gap:.4g} in apart (NDS-2018 15.3.1)"
    if not 2 <= plies.number <= MOST_PLIES:
        yield f"{plies.number} plies; the clause is for 2 to {MOST_PLIES} (NDS-2018 15.3.1)"
    if plies.thickness < LEAST_THICKNESS * (1 - HAIR):
        yield f"plies {plies.thickness:.4g} in thick are under {LEAST_THICKNESS:g} in (NDS-2018 15.3.1)"


def _rows(plies: Plies, of: Stitches, gauge: tuple[float, float], clause: str) -> Iterator[str]:
    rows = of.rows or 1
    if rows > 1:
        yield from _within("spacing between rows", of.gauge, *gauge, clause)
    elif plies.depth > 3 * plies.thickness * (1 + HAIR):
        yield f"plies deeper than 3 x their thickness need two rows or more ({clause})"


def _within(what: str, actual: float | None, least: float, most: float | None, clause: str) -> Iterator[str]:
    if actual is None:
        yield f"the {what} is not given ({clause})"
    elif actual < least * (1 - HAIR):
        yield f"{what} {actual:.4g} in is below the least, {least:.4g} in ({clause})"
    elif most is not None and actual > most * (1 + HAIR):
        yield f"{what} {actual:.4g} in is above the most, {most:.4g} in ({clause})"

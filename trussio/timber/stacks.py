"""What the document says of the plies of a stick, read by the rules of built-up and spaced columns.

Plies act together where somebody saw what joins them and every rule is met; otherwise each leaf buckles alone, and
the remark beside every ratio names what is not met. Only buckling across the plane is touched: plies lie beside
each other, and bend in the plane side by side. Inches, psi, lbf.
Source: NDS-2018 15.2, 15.3, as marked by `stitching`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from trussio.errors import UsageError
from trussio.timber import tables
from trussio.timber.rings import GROUPS, connector_values, species_group
from trussio.timber.stitching import (
    Blocks,
    Plies,
    Stitches,
    bolted_faults,
    end_condition,
    nailed_faults,
    spaced_faults,
)
from trussio.timber.stock import INCH, LEAVES

if TYPE_CHECKING:
    from trussio.model.connection import Fasteners, Spaced, Stitched
    from trussio.model.truss import Member, MemberId, Truss
    from trussio.timber.rings import Group
    from trussio.timber.stock import Stock

SAME: Final = 0.01
"""Part of a size within which a measured diameter is that of the table."""
UNSEEN: Final = "nobody saw what joins them along the stick"
CUT: Final = "plies are cut along the stick, and the clause is for plies of full length"
STACKED: Final = "plies stacked in the plane are not taken as built up or spaced here"
GUSSETS: Final = "gussets are no blocks of NDS-2018 15.2"
GLUED: Final = "glued blocks are no end blocks with rings or shear plates (NDS-2018 15.2.1)"
CLAUSES: Final = {
    "nailed": "NDS-2018 15.3.3",
    "bolted": "NDS-2018 15.3.4",
    "a": "NDS-2018 15.2",
    "b": "NDS-2018 15.2",
}


class Stack(NamedTuple):
    """How the plies of a stick act across the plane: `how` is None for leaves alone; `l3` (in) where spaced."""

    how: Literal["nailed", "bolted", "a", "b"] | None
    plies: int
    says: str
    l3: float = 0.0


How = Literal["nailed", "bolted", "a", "b"]


def stack_of(truss: Truss, name: MemberId, stock: Stock, l1: float) -> Stack | None:
    """How the plies act over a length `l1` (in) held across the plane; None where nobody said what joins them."""
    member, section = truss.members[name], truss.section_of(name)
    if section is None or stock.plies == 1 or (member.stitched is None and member.spaced is None):
        return None
    inch, leaves = INCH[truss.units], LEAVES.format(stock.plies)
    if l1 <= 0:
        return Stack(None, stock.plies, leaves)  # held throughout: nothing buckles across
    plies = Plies(stock.plies, stock.breadth, stock.depth, section.gap * inch)
    plain = tuple(plain_faults(member, stacked=section.arranged == "stacked"))
    how, faults = _stitched(member.stitched, plies, inch)
    if member.spaced is not None:
        how, faults = _spaced(member.spaced, plies, stock, l1, inch)
    if plain or faults or how is None:
        return Stack(None, stock.plies, f"{leaves}: {'; '.join((*plain, *faults))}")
    words = "one across the plane" if member.spaced is None else f"a spaced column, end condition {how}"
    l3 = 0.0 if member.spaced is None else (member.spaced.between or 0.0) * inch
    return Stack(how, stock.plies, f"{stock.plies} plies act as {words}: what joins them meets {CLAUSES[how]}", l3)


def _stitched(one: Stitched | None, plies: Plies, inch: float) -> tuple[How | None, tuple[str, ...]]:
    """Nails or bolts, and what they do not meet."""
    if one is None:
        return None, ()
    stitches = in_inches(one, inch)
    if one.kind == "bolt":
        return "bolted", bolted_faults(plies, stitches)
    return "nailed", nailed_faults(plies, stitches)


def plain_faults(member: Member, *, stacked: bool) -> list[str]:
    """What keeps any plies from acting together, whatever joins them."""
    said = member.stitched if member.stitched is not None else member.spaced
    cuts = None if member.laminations is None else member.laminations.cuts
    found = {UNSEEN: said is None or not said.seen, CUT: bool(member.butts or cuts), STACKED: stacked}
    return [words for words, holds in found.items() if holds]


def in_inches(one: Stitched, inch: float) -> Stitches:
    """The nails or bolts of the document in inches."""

    def length(value: float | None) -> float | None:
        return None if value is None else value * inch

    return Stitches(
        diameter=one.diameter * inch,
        spacing=one.spacing * inch,
        rows=one.rows,
        gauge=length(one.gauge),
        end=length(one.end),
        edge=length(one.edge),
        length=length(one.length),
        opposite=one.opposite,
        staggered=one.staggered,
        washers=one.washers,
        tight=one.tight,
    )


def _spaced(
    spaced: Spaced, plies: Plies, stock: Stock, l1: float, inch: float
) -> tuple[How | None, tuple[str, ...]]:
    """The end condition of blocks, and what they do not meet."""
    end = None if spaced.end is None else spaced.end * inch
    condition = None if end is None else end_condition(end=end, l1=l1)
    own = [words for words, holds in ((GUSSETS, spaced.gussets), (GLUED, spaced.glued)) if holds]
    try:
        group = GROUPS[int(species_group(stock.values.species).value) - 1]
        blocks = Blocks(
            l1=l1,
            blocks=spaced.blocks,
            end=end,
            between=None if spaced.between is None else spaced.between * inch,
            connectors=None if spaced.fasteners is None else _carried(spaced.fasteners, plies, group, inch),
        )
        return condition, (*own, *spaced_faults(plies, blocks, group))
    except UsageError as fault:
        return condition, (*own, str(fault))


def _carried(one: Fasteners, plies: Plies, group: Group, inch: float) -> float:
    """What rings or shear plates in one face carry along the grain (lbf), before every factor; 0 for all else."""
    if one.connector is None:
        return 0.0
    for name, data in tables.connectors()["connectors"].items():
        if name.endswith(one.kind) and abs(data["diameter"] - one.connector * inch) <= SAME * data["diameter"]:
            return one.count * connector_values(name=name, group=group, faces=1, thickness=plies.thickness).P.value
    raise UsageError(
        "unknown-connector",
        where=one.kind,
        what=f"none of {one.connector * inch:.4g} in is tabulated here.",
        do="Enter the size of the ring or plate as the tables have it.",
    )

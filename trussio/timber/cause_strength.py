"""Rules that explain a standing by strength: axial force or bending, slenderness, lost section.

Each rule gives one sentence with numbers of the model, or nothing.
Source: the parts of the checks as derived.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Final

from trussio.model.check import ratio_words
from trussio.timber.butts import AT_BUTT
from trussio.timber.connection_facts import CONNECTIONS
from trussio.timber.worn import worn_stretches

if TYPE_CHECKING:
    from trussio.timber.cause_facts import Facts

LITTLE: Final = 0.1
"""Part of the larger share below which a share is little."""
SLENDER: Final = 0.6
"""Part of the strength that buckling leaves, below which slenderness decides."""
STOCKY: Final = 0.85
LOST: Final = 0.98
AROUND: Final = (
    "row tear-out",
    "group tear-out",
    "shear at the connection",
    "net section of",
    "yield of",
    "end of",
)
"""Beginnings of the checks of what is round the fasteners."""
FASTENED: Final = ("fasteners", "split rings", "shear plates")


def axial_or_bending(facts: Facts) -> str:
    """Raised where axial force and bending act together: what each would take it to alone."""
    alone = facts.alone
    if facts.slender or alone is None or not facts.check.interaction or not (alone.axial and alone.bending):
        return ""
    axial, bending = ratio_words(alone.axial), ratio_words(alone.bending)
    told = f"axial force alone takes it to {axial}, bending alone to {bending}"
    if alone.axial == inf or alone.bending < LITTLE * alone.axial:
        return f"It is mostly axial force: {told}."
    if alone.axial < LITTLE * alone.bending:
        return f"It is mostly bending: {told}."
    return f"Axial force and bending come together: {told}."


def slenderness_decides(facts: Facts) -> str:
    """Raised where buckling leaves little of the strength in compression."""
    factor = _buckling(facts)
    if factor is None or factor >= SLENDER:
        return ""
    left = f"{factor * 100:.0f} %"
    return f"Slenderness decides, not strength: {_lengths(facts)}buckling leaves {left} of the strength."


def strength_decides(facts: Facts) -> str:
    """Raised where a piece in compression is stocky: bracing would not help."""
    factor = _buckling(facts)
    if factor is None or factor < STOCKY:
        return ""
    taken = f"{100 - factor * 100:.0f} %"
    return f"Strength decides, not slenderness: {_lengths(facts)}buckling takes only {taken} of it."


def too_slender(facts: Facts) -> str:
    """Raised where slenderness itself is over the limit, which is so under any load."""
    if not facts.slender or facts.check.demand is None or facts.check.verdict != "not met":
        return ""
    long, thick = facts.figure("le"), facts.figure("d")
    size = f": {long:.4g} in. between what holds it, {thick:.4g} in. thick" if long is not None and thick else ""
    return f"It is too slender for a strut, whatever the load{size}; le/d {facts.check.demand:.1f}."


def no_bound(facts: Facts) -> str:
    """Raised where the compression has reached the stress at which the piece buckles."""
    if not facts.check.reason.startswith("the amplified moment has no bound"):
        return ""
    return f"It buckles: {facts.check.reason.partition(': ')[2]}, beyond which nothing holds it."


def section_lost(facts: Facts) -> str:
    """Raised where decay, splits or holes leave less than the whole section."""
    whole, left, unit = None, None, "in2"
    if AT_BUTT not in facts.check.what:  # there the holes are those of one ply
        whole, left = facts.figure("A"), facts.figure("A_net")
    worn = () if facts.segment is None else worn_stretches(facts.bench, facts.segment)
    if worn and facts.segment is not None:
        section = facts.truss.section_of(facts.segment.member)
        whole = None if section is None else section.gross_area
        left = min(one.section.gross_area or 0.0 for one in worn)
        unit = "in2" if facts.truss.units == "us" else "mm2"
    if whole is None or left is None or left >= LOST * whole:
        return ""
    return f"Of its section {left / whole * 100:.0f} % is left ({left:.4g} of {whole:.4g} {unit})."


def wood_first(facts: Facts) -> str:
    """Raised where a piece at a connection gives way before the fasteners in it."""
    check = facts.check
    if check.verdict != "not met" or not check.element.startswith(CONNECTIONS):
        return ""
    if not check.what.startswith(AROUND):
        return ""
    alone = next(
        (one for one in facts.checks if one.run == check.run and one.what.startswith(FASTENED) and one.ratio), None
    )
    if alone is None or alone.ratio is None or check.ratio is None or alone.ratio >= check.ratio:
        return ""
    return f"It is {check.what} that gives way first; the fasteners themselves stand at {alone.reads}."


def _buckling(facts: Facts) -> float | None:
    """CP or kc of the governing check, where it is one of compression."""
    if facts.slender:
        return None
    factors = [facts.figure(symbol) for symbol in ("CP", "kc,y", "kc,z")]
    return min((factor for factor in factors if factor is not None), default=None)


def _lengths(facts: Facts) -> str:
    """The greatest slenderness of the governing check, by its axis."""
    told = {
        line.symbol: line.value
        for line in facts.check.derivation.lines
        if line.symbol.startswith(("le/d ", "lambda_y", "lambda_z", "lambda_ef"))
    }
    if not told:
        return ""
    name = max(told, key=lambda symbol: told[symbol])
    sideways = " across the truss plane"
    axes = {"lambda_y": " in the truss plane", "lambda_z": sideways, "lambda_ef": f"{sideways}, of all plies"}
    axis = axes.get(name, name[4:])
    symbol = "slenderness" if name.startswith("lambda") else "le/d"
    return f"{symbol} {told[name]:.3g}{axis}, "

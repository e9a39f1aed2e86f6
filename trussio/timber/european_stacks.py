"""What the document says of the plies of a stick of a European class, read by Annex C of EN 1995-1-1.

Two or three plies stitched in contact slip on each other; two to four held apart by packs or gussets are a spaced
column. Where a condition of the annex is not met or not known the plies are leaves that each buckle alone, and the
remark says which. What fastens them must carry a shear of its own. Plies lie beside each other. N, mm, MPa.
Source: EN 1995-1-1 Annex B and C, from memory, as marked by `eurocode_columns`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from trussio.errors import UsageError
from trussio.timber.eurocode import modification_factor, partial_factor, strength_class
from trussio.timber.eurocode_columns import column_shear, eta, pack_shear, slipping_column, spaced_slenderness
from trussio.timber.eurocode_dowels import (
    embedment_strength,
    nail_embedment,
    slip_modulus,
    timber_single_shear,
    yield_moment,
)
from trussio.timber.stacks import plain_faults
from trussio.timber.stock import LEAVES
from trussio.timber.working import derived, not_evaluated, set_against

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.check import Check, Derivation, Subject
    from trussio.model.connection import Spaced, Stitched
    from trussio.model.truss import MemberId, Truss
    from trussio.timber.eurocode import Duration
    from trussio.timber.eurocode_columns import Fastened
    from trussio.timber.european_checks import EuropeanStock
    from trussio.timber.tables import StrengthClass

HAIR: Final = 1e-9
LEAST_NAILS: Final = 4
LEAST_BOLTS: Final = 2
LEAST_BLOCKS: Final = 2
PACKS: Final = "check by 8.3 or 8.9 that what fastens each pack or gusset carries this shear"
NO_FU: Final = "enter Fu of what goes through the plies"


class Use(NamedTuple):
    """Duration and service class of a run, and what leads from base lengths to mm and base stresses to MPa."""

    duration: Duration
    service_class: int
    mm: float
    mpa: float


class EuropeanStack(NamedTuple):
    """How plies act across the plane: `slenderness` is None for leaves alone, which `says` tells with the reason.

    `share` is what one fastener, or one pack, gets of the shear Vd; `resists` the design resistance of a fastener.
    """

    says: str
    plies: int
    slenderness: Derivation | None = None
    part: Literal["fastener", "pack"] = "fastener"
    share: float = 0.0
    resists: Derivation | None = None


def european_stack_of(
    truss: Truss, name: MemberId, stock: EuropeanStock, length: float, use: Use
) -> EuropeanStack | None:
    """How the plies act over a `length` (mm) held across the plane; None for one ply."""
    member, section = truss.members[name], truss.section_of(name)
    if section is None or stock.plies == 1:
        return None
    leaves = LEAVES.format(stock.plies)
    if (member.stitched is None and member.spaced is None) or length <= 0:
        return EuropeanStack(leaves, stock.plies)
    material = truss.material_of(name)
    plain = plain_faults(member, stacked=section.arranged == "stacked")
    gap = section.gap * use.mm
    try:
        row = strength_class((None if material is None else material.grade) or "no grade")
        if member.stitched is not None:
            faults = [*plain, *_stitched_faults(stock, gap)]
            made = None if faults else _slipping(member.stitched, stock, length, row, use)
        else:
            spaced = member.spaced
            faults = [*plain, *(() if spaced is None else _spaced_faults(spaced, stock, length, gap, use.mm))]
            made = None if faults or spaced is None else _spaced(spaced, stock, length, gap, use)
    except UsageError as fault:
        faults, made = [str(fault)], None
    if made is None:
        return EuropeanStack(f"{leaves}: {'; '.join(faults)}", stock.plies)
    return made


def stack_shear_check(stack: EuropeanStack, force: float, kc: Derivation, of: Subject) -> Check | None:
    """What fastens plies that act together, under the compression of all of them (N); None for leaves."""
    if stack.slenderness is None:
        return None
    shear = column_shear(force=force, kc=kc, slenderness=stack.slenderness)
    what, clause = f"shear on one {stack.part} between the plies", "EN 1995-1-1 C.2.2, C.3.3"
    demand = derived("F", shear.value * stack.share, "N", f"{stack.share:.4g} Vd", clause, shear)
    if stack.resists is None:
        reason = PACKS if stack.part == "pack" else NO_FU
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="N", reason=reason)
    return set_against(what=what, clause=clause, demand=demand, capacity=stack.resists, unit="N", of=of)


def _stitched_faults(stock: EuropeanStock, gap: float) -> Iterator[str]:
    if gap > 0:
        yield f"the plies stand {gap:.4g} mm apart (Annex C.2)"
    if stock.plies > 3:
        yield f"{stock.plies} plies; Annex B is for two or three"


def _slipping(one: Stitched, stock: EuropeanStock, length: float, row: StrengthClass, use: Use) -> EuropeanStack:
    d, rows = one.diameter * use.mm, one.rows or 1
    Kser = slip_modulus("bolt" if one.kind == "bolt" else "nail", rho_mean=row["rho_mean"], diameter=d)
    slenderness, beam = slipping_column(
        pieces=stock.plies,
        thickness=stock.breadth,
        depth=stock.depth,
        length=length,
        E=row["E0mean"],
        K=2 / 3 * Kser.value * rows,
        spacing=one.spacing * use.mm,
    )
    resists = None if one.Fu is None else _resistance(one, stock, row, use)
    says = f"{stock.plies} plies slip on each other across the plane (Annex C.2), {one.kind}s with 2/3 Kser"
    return EuropeanStack(says, stock.plies, slenderness, "fastener", beam.fastener[0] / rows, resists)


def _resistance(one: Stitched, stock: EuropeanStock, row: StrengthClass, use: Use) -> Derivation:
    """Fv,Rd of one nail or bolt between two plies, without rope."""
    d, Fu = one.diameter * use.mm, (one.Fu or 0.0) * use.mpa
    if one.kind == "bolt":
        fh = embedment_strength(rho_k=row["rho_k"], diameter=d)
    else:
        fh = nail_embedment(rho_k=row["rho_k"], diameter=d)
    t, My = stock.breadth, yield_moment(fu=Fu, diameter=d)
    F = timber_single_shear(fh1=fh, fh2=fh, t1=t, t2=t, diameter=d, My=My, Fax=0.0, rope="bolt").F
    kmod = modification_factor(service_class=use.service_class, duration=use.duration)
    gamma = partial_factor("connection")
    value = kmod.value * F.value / gamma.value
    return derived("Fv,Rd", value, "N", "kmod Fv,Rk / gamma_M", "EN 1995-1-1 2.17", F, kmod, gamma)


def _fastened(one: Spaced) -> Fastened | None:
    """How packs or gussets are fastened in the words of table C.1; None for what it does not have."""
    kind = None if one.fasteners is None else one.fasteners.kind
    if one.glued:
        return "glued gussets" if one.gussets else "glued packs"
    if kind == "nail":
        return "nailed gussets" if one.gussets else "nailed packs"
    return "bolted packs" if kind in ("split ring", "shear plate") and not one.gussets else None


def _spaced_faults(one: Spaced, stock: EuropeanStock, length: float, gap: float, mm: float) -> Iterator[str]:
    what, widest = ("gussets", 6.0) if one.gussets else ("packs", 3.0)
    if gap <= 0:
        yield "no gap stands between the plies (Annex C.3)"
    elif gap > widest * stock.breadth * (1 + HAIR):
        yield f"a gap of {gap:.4g} mm is over {widest:g} x the thickness of a ply with {what} (C.3.1)"
    if not 2 <= stock.plies <= 4:
        yield f"{stock.plies} plies; Annex C.3 is for two to four"
    if one.between is None or one.blocks is None:
        yield f"how many {what} there are, or how far they stand apart, is not given (C.3.1)"
    elif one.blocks < LEAST_BLOCKS or one.between * mm > length / 3 * (1 + HAIR):
        yield f"{what} must stand at the ends and the third points at least (C.3.1)"
    yield from _pack_faults(one, what, gap, mm)


def _pack_faults(one: Spaced, what: str, gap: float, mm: float) -> Iterator[str]:
    """What is wrong with one pack or gusset: its length and what fastens it."""
    longest = 2.0 if one.gussets else 1.5
    if one.length is None:
        yield f"the length of the {what} is not given (C.3.1)"
    elif one.length * mm < longest * gap * (1 - HAIR):
        yield f"{what} {one.length * mm:.4g} mm long are under {longest:g} x the gap (C.3.1)"
    if _fastened(one) is None:
        yield f"table C.1 has no {what} that are fastened so: glue, nails, or for packs rings or shear plates"
    elif not one.glued and one.fasteners is not None:
        least = LEAST_NAILS if one.fasteners.kind == "nail" else LEAST_BOLTS
        if one.fasteners.count < least:
            yield f"{one.fasteners.count} in one face of a pack or gusset are under the least, {least} (C.3.1)"


def _spaced(one: Spaced, stock: EuropeanStock, length: float, gap: float, use: Use) -> EuropeanStack:
    fastened, bay = _fastened(one), (one.between or 0.0) * use.mm
    if fastened is None:
        raise UsageError("value-missing", where="spaced", what="nothing fastens it.", do="Enter what does.")
    slenderness = spaced_slenderness(
        shafts=stock.plies,
        thickness=stock.breadth,
        depth=stock.depth,
        gap=gap,
        length=length,
        bay=bay,
        eta=eta(fastened, use.duration),
    )
    says = f"{stock.plies} plies act as a spaced column with {fastened} (Annex C.3)"
    share = pack_shear(shear=1.0, bay=bay, pitch=stock.breadth + gap).value
    return EuropeanStack(says, stock.plies, slenderness, "pack", share)

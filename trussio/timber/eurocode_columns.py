"""Columns of several pieces after EN 1995-1-1 Annex C: pieces in contact that slip, shafts held apart by packs.

Terms: a *shaft* is one piece of a spaced column, h thick and b deep, a apart; a *bay* is what lies between packs
or gussets. Slendernesses here are those for buckling across the pieces; in their depth each buckles as it is.
N, mm, MPa. Source: EN 1995-1-1:2004 Annex B and C, from memory.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, Final, Literal

from trussio.errors import UsageError
from trussio.timber.composite import Part, SlipJoint, slipping_beam
from trussio.timber.working import STATICS, derived, number, require_known, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Derivation
    from trussio.timber.composite import SlippingBeam
    from trussio.timber.eurocode import Duration
    from trussio.timber.working import Figure

Fastened = Literal["glued packs", "nailed packs", "bolted packs", "glued gussets", "nailed gussets"]
ETA: Final[Mapping[str, tuple[float, float]]] = {
    "glued packs": (1.0, 1.0),
    "nailed packs": (4.0, 3.0),
    "bolted packs": (3.5, 2.5),
    "glued gussets": (3.0, 2.0),
    "nailed gussets": (6.0, 4.5),
}
"""Table C.1 for permanent and long-term loads, and for shorter ones; bolts are those with connectors."""
LEAST_BAY: Final = 30.0
"""Least slenderness of a shaft between packs that counts."""


def eta(fastened: Fastened, duration: Duration) -> Derivation:
    """Factor eta of table C.1 by what fastens packs or gussets, and the duration of the load."""
    require_known("eta", fastened, ETA)
    value = ETA[fastened][0 if duration in ("permanent", "long") else 1]
    return derived("eta", value, "", f"{fastened}, {duration}", "EN 1995-1-1 table C.1")


def spaced_slenderness(
    *, shafts: int, thickness: float, depth: float, gap: float, length: float, bay: float, eta: Figure
) -> Derivation:
    """lambda_ef = sqrt(lambda^2 + eta n/2 lambda_1^2) of 2 to 4 shafts (C.10); `bay` l1 between middles of packs.

    lambda is that of a solid column of the same area and inertia, lambda_1 that of one shaft over a bay, at least
    30. Raises UsageError `not-built-up`.
    """
    require_positive("spaced column", {"h": thickness, "b": depth, "a": gap, "bay": bay})
    if not 2 <= shafts <= 4:
        raise UsageError(
            "not-built-up",
            where="spaced column",
            what=f"{shafts} shafts.",
            do="The clause holds for 2 to 4; take the shafts alone otherwise.",
        )
    pitch = thickness + gap
    places = [(i - (shafts - 1) / 2) * pitch for i in range(shafts)]
    area = shafts * thickness * depth
    inertia = sum(depth * thickness**3 / 12 + thickness * depth * z**2 for z in places)
    whole = length * sqrt(area / inertia)
    own = max(LEAST_BAY, sqrt(12) * bay / thickness)
    steps = (
        derived(
            "lambda",
            whole,
            "",
            "l sqrt(Atot / Itot)",
            "",
            step("l", length, "mm"),
            step("a", gap, "mm"),
            source=STATICS,
        ),
        derived("lambda_1", own, "", "sqrt 12 l1 / h, at least 30", "EN 1995-1-1 C.11", step("l1", bay, "mm")),
        step("eta", eta, ""),
    )
    value = sqrt(whole**2 + number(eta) * shafts / 2 * own**2)
    formula = f"sqrt(lambda^2 + eta {shafts}/2 lambda_1^2)"
    return derived("lambda_ef", value, "", formula, "EN 1995-1-1 C.10", *steps)


def slipping_column(
    *, pieces: int, thickness: float, depth: float, length: float, E: float, K: float, spacing: float
) -> tuple[Derivation, SlippingBeam]:
    """lambda_ef = l sqrt(Atot E / EIef) of two or three equal pieces in contact (C.2), and its section by Annex B.

    `K` is the slip modulus of the fasteners of all rows in one place, `spacing` that along the column. The section
    is that under a shear of 1 N.
    """
    layers = [Part(E=E, width=depth, depth=thickness, at=0.0) for _ in range(pieces)]
    joints = [SlipJoint(K=K, spacing=spacing)] * (pieces - 1)
    beam = slipping_beam(layers=layers, joints=joints, span=length, moment=0.0, shear=1.0)
    value = length * sqrt(pieces * thickness * depth * E / beam.EI_ef.value)
    formula = "l sqrt(Atot E / EIef)"
    return derived("lambda_ef", value, "", formula, "EN 1995-1-1 C.3, C.4", beam.EI_ef), beam


def column_shear(*, force: float, kc: Figure, slenderness: Figure) -> Derivation:
    """Vd that fasteners of a column of several pieces must carry between them (C.5), from its compression."""
    lam = number(slenderness)
    steps = (step("Fc,d", force, "N"), step("kc", kc, ""), step("lambda_ef", slenderness, ""))
    if lam < 30:
        value, formula = force / (120 * number(kc)), "Fc,d / (120 kc)"
    elif lam < 60:
        value, formula = force * lam / (3600 * number(kc)), "Fc,d lambda_ef / (3600 kc)"
    else:
        value, formula = force / (60 * number(kc)), "Fc,d / (60 kc)"
    return derived("Vd", value, "N", formula, "EN 1995-1-1 C.5", *steps)


def pack_shear(*, shear: Figure, bay: float, pitch: float) -> Derivation:
    """Td on one pack or gusset of two shafts, `pitch` from middle to middle (C.13): Vd l1 / a1."""
    require_positive("pack", {"pitch": pitch, "bay": bay})
    steps = (step("Vd", shear, "N"), step("l1", bay, "mm"), step("a1", pitch, "mm"))
    return derived("Td", number(shear) * bay / pitch, "N", "Vd l1 / a1", "EN 1995-1-1 C.13", *steps)

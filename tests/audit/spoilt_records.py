"""Spoilt trusses of what a survey and a site record: splices, eccentric joints, heels, generated loads."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from tests.audit.forms import pitched, supported
from tests.audit.spoilt import SNOW, Spoilt, jointed, surveyed
from tests.trusses import PIN, ROLLER, stick
from trussio.model.connection import Butt
from trussio.model.generated import case_digest, factors_digest, inputs_digest
from trussio.model.loading import LoadCase, Loads, RunId
from trussio.model.site import Generated, LoadBasis, Pattern, Site
from trussio.model.truss import MemberId

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import Truss


def offset(truss: Truss, name: str, x: float, y: float) -> Truss:
    """The truss with the first end of a stick beside its joint."""
    member = replace(truss.members[MemberId(name)], offsets={"first": (x, y)})
    return replace(truss, members={**truss.members, MemberId(name): member})


def generated(*, factor: float = 1.0, spacing: float = 4000.0) -> Truss:
    """The truss with loads said to be generated for a spacing of 4 m, and what then became of them."""
    case, factors = LoadCase(loads=(SNOW,), kind="snow"), {RunId("S"): 1.0}
    site = Site(edition="en1991", spacing=4000.0, knee_braces="none", columns="none")
    truss = replace(pitched(), site=site)
    basis = LoadBasis(
        edition="en1991",
        spread="chord",
        inputs=inputs_digest(truss),
        cases={RunId("S"): _made("uniform", case_digest(case))},
        combinations={RunId("C"): _made("combination", factors_digest(factors))},
    )
    loads = Loads(cases={RunId("S"): case}, combinations={RunId("C"): {RunId("S"): factor}}, basis=basis)
    return replace(truss, loads=loads, site=replace(site, spacing=spacing))


def _made(pattern: Pattern, digest: str) -> Generated:
    return Generated(pattern=pattern, says="snow", clause="5.3.3", mark="from memory", digest=digest)


RECORDS: Final[Mapping[str, Spoilt]] = {
    "frame-not-seen": Spoilt(
        truss=replace(pitched(), site=Site(edition="en1991", spacing=4000.0, columns="not-seen")),
        says="Nobody saw whether knee braces or columns that run on hold the truss at its ends; they would change "
        "the forces near the heels.",
    ),
    "splices-in-panel": Spoilt(
        truss=surveyed(bottom={"butts": (Butt(ply=1, at=4500.0), Butt(ply=1, at=5500.0))}),
        says="bottom has two splices in one panel, in ply 1, 4500 mm and 5500 mm along it: a piece shorter than "
        "it, held by nothing else.",
    ),
    "splice-mid-panel": Spoilt(
        truss=surveyed(left={"butts": (Butt(ply=1, at=1200.0),)}),
        says="left bends between its joints and is butted in the middle of a panel: ply 1 1200 mm along it.",
    ),
    "eccentric-joint": Spoilt(
        truss=offset(pitched(), "d2", 150.0, 0.0),
        says="The axis of d2 misses B2 by 128 mm, 0.53 of the depth of bottom there, and bends it by its force "
        "times that; its axis passes outside the stick.",
    ),
    "heel-off-bearing": Spoilt(
        truss=supported(
            jointed(
                pitched(bottom=stick("B0", "H", "B1", "B2", "B3", "B4", "B5", "B6", role="bottom-chord")),
                H=(300.0, 0.0),
            ),
            H=PIN,
            B6=ROLLER,
        ),
        says="The middle of the bearing at H stands 300 mm beside B0, where the chords meet, 1.25 of the depth of "
        "bottom: the reaction bends bottom by that much.",
    ),
    "edited-loads": Spoilt(
        truss=generated(factor=1.5),
        says="C was edited, or taken out, after being generated for en1991: clause and numbers under "
        "`loads.basis` no longer stand behind it.",
    ),
    "outdated-loads": Spoilt(
        truss=generated(spacing=5000.0),
        says="Site, surfaces or geometry have changed since the loads were generated from them.",
    ),
}

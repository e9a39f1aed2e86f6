"""Columns of several pieces after EN 1995-1-1 Annex C: single functions and the review, worked out by hand.

The equations of Annexes B and C are from memory; no published example was found.
"""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import pytest

from tests.timber.roof import STRUT, axial, results, truss
from trussio.errors import UsageError
from trussio.model.check import Check
from trussio.model.connection import Fasteners, Spaced, Stitched
from trussio.model.material import Material, Section
from trussio.model.truss import MemberId, Truss
from trussio.timber.bench import Conditions
from trussio.timber.cause_facts import Facts
from trussio.timber.cause_strength import slenderness_decides
from trussio.timber.eurocode import Duration
from trussio.timber.eurocode_columns import (
    Fastened,
    column_shear,
    eta,
    pack_shear,
    slipping_column,
    spaced_slenderness,
)
from trussio.timber.review import bench_of, checks_of, review

WEB = MemberId("web")
NAILS = Stitched(kind="nail", diameter=4.0, spacing=50.0, seen=True, rows=2, Fu=600.0)
PACKS = Spaced(
    seen=True,
    blocks=2,
    end=75.0,
    between=1000.0,
    length=150.0,
    fasteners=Fasteners(kind="nail", diameter=4.0, count=4),
)
APART = Section(width=50.0, depth=200.0, plies=2, gap=100.0)
TOUCHING = Section(width=50.0, depth=200.0, plies=2)
LEAVES = "2 plies taken as leaves that share the load and each buckle alone"


def roof(section: Section, *, stitched: Stitched | None = None, spaced: Spaced | None = None) -> Truss:
    made = truss(
        material=Material(kind="sawn", species="spruce", grade="C24"),
        web=section,
        combinations={"U": {"D": 1.35, "S": 1.5}},
    )
    web = replace(made.members[WEB], stitched=stitched, spaced=spaced)
    return replace(made, units="si", members={**made.members, WEB: web})


def checks(made: Truss, force: float = -40000.0, across: float = 3000.0) -> dict[str, Check]:
    given = Conditions(service_class=2, lateral={WEB: across})
    found = review(made, results(made, {"U": {STRUT: axial(force)}}), given)
    return {check.what: check for check in found if check.element == STRUT}


def strength(slenderness: float) -> float:
    """By hand, kc fc0d: fc0k 21, E005 7400, beta 0.2, kmod 0.9."""
    rel = slenderness / pi * sqrt(21 / 7400)
    k = 0.5 * (1 + 0.2 * (rel - 0.3) + rel**2)
    return 0.9 * 21 / 1.3 / (k + sqrt(k**2 - rel**2))


SPACED_WHOLE = 3000 / sqrt(200 * (200**3 - 100**3) / 12 / 20000)
"""Itot = b ((2h + a)^3 - a^3) / 12 of the annex, Atot = 2 b h: 39.28."""
BAY = 1000 * sqrt(12) / 50


def slipping() -> tuple[float, float]:
    """Slenderness of two nailed plies, and what one nail gets of 1 N of shear, by Annex B for two equal pieces."""
    E, A, inertia = 11000.0, 50 * 200, 200 * 50**3 / 12
    K = 2 * 2 / 3 * 420**1.5 * 4**0.8 / 30
    g = 1 / (1 + pi**2 * E * A * 50 / (K * 3000**2))
    a2 = g * 50 / (1 + g)
    a1 = 50 - a2
    EI = E * (2 * inertia + g * A * a1**2 + A * a2**2)
    return 3000 * sqrt(2 * A * E / EI), g * E * A * a1 * 50 / EI / 2


def test_two_plies_that_slip_on_their_nails() -> None:
    lam, _ = slipping()
    K = 2 * 2 / 3 * 420**1.5 * 4**0.8 / 30
    found, _ = slipping_column(pieces=2, thickness=50.0, depth=200.0, length=3000.0, E=11000.0, K=K, spacing=50.0)
    assert found.value == pytest.approx(lam)
    assert 3000 * sqrt(12) / 100 < lam < 3000 * sqrt(12) / 50


def test_stiff_fasteners_make_one_piece_and_none_make_leaves() -> None:
    def lam(K: float) -> float:
        found, _ = slipping_column(
            pieces=3, thickness=50.0, depth=200.0, length=3000.0, E=11000.0, K=K, spacing=50.0
        )
        return found.value

    assert lam(1e15) == pytest.approx(3000 * sqrt(12) / 150, rel=1e-6)
    assert lam(1e-6) == pytest.approx(3000 * sqrt(12) / 50, rel=1e-6)


@pytest.mark.parametrize(
    ("fastened", "duration", "value"),
    [
        ("glued packs", "permanent", 1.0),
        ("nailed packs", "permanent", 4.0),
        ("nailed packs", "medium", 3.0),
        ("bolted packs", "long", 3.5),
        ("bolted packs", "short", 2.5),
        ("glued gussets", "short", 2.0),
        ("nailed gussets", "long", 6.0),
        ("nailed gussets", "short", 4.5),
    ],
)
def test_table_c1(fastened: Fastened, duration: Duration, value: float) -> None:
    assert eta(fastened, duration).value == value


def test_two_and_three_shafts() -> None:
    two = spaced_slenderness(shafts=2, thickness=50.0, depth=200.0, gap=100.0, length=3000.0, bay=1000.0, eta=3.0)
    assert two.value == pytest.approx(sqrt(SPACED_WHOLE**2 + 3 * BAY**2))
    three = spaced_slenderness(shafts=3, thickness=50.0, depth=200.0, gap=100.0, length=3000.0, bay=400.0, eta=3.0)
    inertia = 200 * ((150 + 200) ** 3 - (50 + 200) ** 3 + 50**3) / 12
    assert three.value == pytest.approx(sqrt(3000**2 * 30000 / inertia + 4.5 * 30**2))  # lambda_1 27.7 counts 30


def test_five_shafts_are_refused() -> None:
    with pytest.raises(UsageError, match="holds for 2 to 4"):
        spaced_slenderness(shafts=5, thickness=50.0, depth=200.0, gap=50.0, length=3000.0, bay=1000.0, eta=3.0)


@pytest.mark.parametrize(
    ("slenderness", "Vd"),
    [(29.9, 1000 / 120), (30.0, 1000 / 120), (45.0, 12.5), (60.0, 1000 / 60), (90.0, 1000 / 60)],
)
def test_the_shear_between_pieces(slenderness: float, Vd: float) -> None:
    assert column_shear(force=500.0, kc=0.5, slenderness=slenderness).value == pytest.approx(Vd)
    assert pack_shear(shear=Vd, bay=1000.0, pitch=150.0).value == pytest.approx(Vd * 1000 / 150)


def test_leaves_where_nobody_says_what_joins_them() -> None:
    check = checks(roof(TOUCHING))["compression with buckling"]
    assert check.capacity == pytest.approx(strength(3000 * sqrt(12) / 50))
    assert LEAVES in check.remarks


def test_nailed_plies_in_the_review() -> None:
    """Capacity by lambda_ef; what one nail gets of Vd = Fc/(60 kc) against mode f of 8.6 without rope."""
    lam, share = slipping()
    found = checks(roof(TOUCHING, stitched=NAILS))
    check = found["compression with buckling"]
    assert check.capacity == pytest.approx(strength(lam))
    assert "2 plies slip on each other across the plane (Annex C.2), nails with 2/3 Kser" in check.remarks
    nail = found["shear on one fastener between the plies"]
    kc = strength(lam) / (0.9 * 21 / 1.3)
    assert nail.demand == pytest.approx(40000 / (60 * kc) * share)
    fh, My = 0.082 * 350 * 4**-0.3, 0.3 * 600 * 4**2.6
    assert nail.capacity == pytest.approx(0.9 / 1.3 * 1.15 * sqrt(2 * My * fh * 4))
    unknown = checks(roof(TOUCHING, stitched=NAILS._replace(Fu=None)))["shear on one fastener between the plies"]
    assert (unknown.verdict, unknown.reason) == ("not evaluated", "enter Fu of what goes through the plies")


def test_a_spaced_column_in_the_review() -> None:
    lam = sqrt(SPACED_WHOLE**2 + 3 * BAY**2)
    found = checks(roof(APART, spaced=PACKS))
    check = found["compression with buckling"]
    assert check.capacity == pytest.approx(strength(lam))
    assert "2 plies act as a spaced column with nailed packs (Annex C.3)" in check.remarks
    pack = found["shear on one pack between the plies"]
    kc = strength(lam) / (0.9 * 21 / 1.3)
    assert pack.verdict == "not evaluated"
    assert pack.demand == pytest.approx(40000 / (60 * kc) * 1000 / 150)


@pytest.mark.parametrize(
    ("section", "stitched", "spaced", "rule"),
    [
        (TOUCHING, NAILS._replace(seen=False), None, "nobody saw what joins them along the stick"),
        (APART, NAILS, None, "the plies stand 100 mm apart (Annex C.2)"),
        (replace(TOUCHING, plies=4), NAILS, None, "4 plies; Annex B is for two or three"),
        (TOUCHING, None, PACKS, "no gap stands between the plies (Annex C.3)"),
        (
            replace(APART, gap=151.0),
            None,
            PACKS._replace(length=400.0),
            "a gap of 151 mm is over 3 x the thickness",
        ),
        (APART, None, PACKS._replace(blocks=1), "packs must stand at the ends and the third points at least"),
        (APART, None, PACKS._replace(between=1001.0), "packs must stand at the ends and the third points"),
        (APART, None, PACKS._replace(between=None), "how many packs there are, or how far"),
        (APART, None, PACKS._replace(length=149.0), "packs 149 mm long are under 1.5 x the gap"),
        (APART, None, PACKS._replace(length=None), "the length of the packs is not given"),
        (APART, None, PACKS._replace(fasteners=None), "table C.1 has no packs that are fastened so"),
        (
            APART,
            None,
            PACKS._replace(fasteners=Fasteners(kind="nail", diameter=4.0, count=3)),
            "3 in one face of a pack or gusset are under the least, 4",
        ),
        (APART, None, PACKS._replace(gussets=True, length=199.0), "gussets 199 mm long are under 2 x the gap"),
    ],
)
def test_a_condition_that_is_not_met_leaves_leaves_and_is_named(
    section: Section, stitched: Stitched | None, spaced: Spaced | None, rule: str
) -> None:
    check = checks(roof(section, stitched=stitched, spaced=spaced))["compression with buckling"]
    assert check.capacity == pytest.approx(strength(3000 * sqrt(12) / 50))
    assert any(rule in remark and "taken as leaves" in remark for remark in check.remarks)


def test_exactly_on_the_conditions_a_column_is_spaced() -> None:
    wide = checks(roof(replace(APART, gap=150.0), spaced=PACKS._replace(length=225.0)))
    assert "shear on one pack between the plies" in wide
    gussets = PACKS._replace(gussets=True, length=200.0)
    assert "shear on one pack between the plies" in checks(roof(APART, spaced=gussets))


def test_a_short_bay_never_makes_it_slenderer_than_leaves() -> None:
    short = PACKS._replace(between=100.0)
    check = checks(roof(APART, spaced=short), across=300.0)["compression with buckling"]
    alone = checks(roof(APART), across=300.0)["compression with buckling"]
    assert check.capacity == alone.capacity


def test_the_cause_tells_the_slenderness_of_all_plies() -> None:
    """Where buckling decides, the sentence names lambda_ef, not the slenderness in the plane."""
    lam, _ = slipping()
    made = roof(TOUCHING, stitched=NAILS)
    given = Conditions(service_class=2, lateral={WEB: 3000.0})
    bench, _ = bench_of(made, results(made, {"U": {STRUT: axial(-200000.0)}}), given)
    own = [one for one in checks_of(bench, STRUT) if one.what == "compression with buckling"]
    state = bench.states[0]
    facts = Facts(bench=bench, segment=bench.segments[STRUT], check=own[0], checks=tuple(own), state=state)
    says = slenderness_decides(facts)
    assert says.startswith(
        f"Slenderness decides, not strength: slenderness {lam:.3g} across the truss plane, of all plies"
    )

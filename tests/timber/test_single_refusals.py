"""Single checks refuse what cannot be, in words: no traceback, no empty answer, no value by a silent default."""

from __future__ import annotations

from math import inf, nan
from typing import TYPE_CHECKING

import pytest

from trussio.errors import UsageError
from trussio.timber.axial import tension_check
from trussio.timber.bearing import hankinson
from trussio.timber.combined import compression_bending_checks, tension_bending_checks
from trussio.timber.connection import connection_check
from trussio.timber.eurocode_details import notch_factor
from trussio.timber.eurocode_dowels import effective_number, embedment_strength, timber_double_shear
from trussio.timber.fasteners import bolt
from trussio.timber.lateral import Piece
from trussio.timber.reference import as_stated, sawn
from trussio.timber.rings import connector_values
from trussio.timber.single_european import european_joint, european_stick_checks
from trussio.timber.single_joint import JointValue, dowel_joint, ring_joint
from trussio.timber.single_member import stick_checks, use_of
from trussio.timber.stability import column_stability, slenderness
from trussio.timber.withdrawal import combined_value
from trussio.timber.wood_failure import tear_out

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.model.check import Check
    from trussio.timber.eurocode_dowels import Johansen

FIR = sawn(species="Douglas Fir-Larch", grade="No. 2", thickness=1.5, width=5.5)
DRY = use_of(CD=1.0)


def stick(**given: float) -> tuple[Check, ...]:
    return stick_checks(FIR, **{"width": 1.5, "depth": 5.5, "use": DRY, "across": 0.0, **given})  # type: ignore[arg-type]  # one of several numbers


def group(**given: object) -> JointValue:
    wood = Piece(thickness=1.5, G=0.5)
    asked = {"fastener": bolt(0.5), "main": wood, "side": wood, "CD": 1.0, "EA_main": 1e7, "EA_side": 1e7, **given}
    return dowel_joint(**asked)  # type: ignore[arg-type]  # the keywords are those of the call


def european(**given: float) -> tuple[Check, ...]:
    asked = {"width": 100, "depth": 200, "duration": "medium", "service_class": 1, "axial": -1e3, "across": 0.0}
    return european_stick_checks("C24", **{**asked, **given})  # type: ignore[arg-type]  # one of several numbers


def planes(Fax: float = 0.0, rope: str = "bolt") -> Johansen:
    return timber_double_shear(fh1=20, fh2=20, t1=50, t2=50, diameter=12, My=1e5, Fax=Fax, rope=rope)  # type: ignore[arg-type]  # a wrong word is the case


REFUSED: list[tuple[str, Callable[[], object], str]] = [
    ("a force that is no number", lambda: stick(axial=nan), "no-number at stick: the axial force is nan"),
    ("a moment without end", lambda: stick(moment=inf), "no-number at stick: the moment is inf"),
    ("CD of nothing", lambda: use_of(CD=0), "outside-table at CD: 0 is not between 0.9 and 2"),
    ("CD over that of impact", lambda: use_of(CD=2.1), "2.1 is not between"),
    ("values of another size class", lambda: stick(width=5.5, depth=9.5, axial=1.0), "size-class-mismatch"),
    ("no fastener", lambda: group(count=0), "count is 0"),
    ("more rows than fasteners", lambda: group(count=2, rows=3), "2 fasteners stand in 3 rows"),
    ("no spacing", lambda: group(count=3, spacing=0.0), "spacing is 0"),
    ("shear in three planes", lambda: group(shear="triple"), "'triple' is not known. Enter one of single, double"),
    (
        "rings without wood",
        lambda: ring_joint(name="4 in split ring", group="B", pieces=[], bolt=0.75),
        "no wooden",
    ),
    (
        "a group that is none",
        lambda: connector_values(name="4 in split ring", group="E", faces=1, thickness=3.0),  # type: ignore[arg-type]  # a wrong word is the case
        "'E' is not known. Enter one of A, B, C, D",
    ),
    (
        "an angle below the surface",
        lambda: combined_value(kind="nail", withdrawal=1.0, lateral=1.0, angle=-30.0),
        "angle-outside at load to surface: -30 degrees",
    ),
    ("no strength across the grain", lambda: hankinson(1000.0, 0.0, 30.0), "the value across it is 0"),
    ("a strength below nothing", lambda: column_stability(Fc_star=-1.0, FcE=100.0, c=0.8), "Fc* is -1"),
    ("a length below nothing", lambda: slenderness(-5.0, 3.0), "the effective length is -5"),
    ("no section left", lambda: tension_check(force=1.0, net_area=0.0, Ft=500.0), "A_net is 0"),
    (
        "no compression value",
        lambda: compression_bending_checks(fc=1, Fc=0, fb1=1, Fb1=1, FcE1=9, FcE2=9, FbE=9),
        "Fc' is 0",
    ),
    ("no tension value", lambda: tension_bending_checks(ft=1, fb=1, Ft=0, Fb_star=1, Fb_star_star=1), "Ft' is 0"),
    (
        "rows whose holes run into each other",
        lambda: tear_out(
            Ft=700, Fv=200, thickness=3.5, depth=9, hole=0.8, rows=2, in_row=3, end=5, spacing=3, gauge=0.8
        ),
        "wood between the holes of two rows is 0",
    ),
    ("a force of the other sense", lambda: connection_check(force=-1.0, capacity=5.0), "the force is -1"),
    ("a bolt over 30 mm", lambda: embedment_strength(rho_k=350, diameter=30.1), "30.1 mm is over 30 mm"),
    ("an angle over 90", lambda: embedment_strength(rho_k=350, diameter=12, angle=91), "91 degrees is outside"),
    ("a rope of a strange kind", lambda: planes(rope="rivet"), "'rivet' is not known"),
    ("a rope that pushes", lambda: planes(Fax=-1.0), "Fax,Rk is -1"),
    ("a row of none", lambda: effective_number(count=0, spacing=50, diameter=12), "number is 0"),
    (
        "a product without notches",
        lambda: notch_factor(depth=100, left=50, to_support=9, product="plywood"),  # type: ignore[arg-type]  # a wrong word is the case
        "'plywood' is not known. Enter one of solid, glulam, LVL",
    ),
    (
        "no shear plane",
        lambda: european_joint(planes(), diameter=12, planes=0, duration="short", service_class=1),
        "number of shear planes is 0",
    ),
    ("a European length below nothing", lambda: european(across=-1.0), "a length between restraints is -1"),
    ("a European force that is no number", lambda: european(axial=nan), "the axial force is nan"),
]


@pytest.mark.parametrize(("ask", "says"), [pytest.param(ask, says, id=name) for name, ask, says in REFUSED])
def test_what_cannot_be_is_refused_in_words(ask: Callable[[], object], says: str) -> None:
    with pytest.raises(UsageError) as refused:
        ask()
    assert says in str(refused.value)


def test_what_is_on_the_limit_is_taken() -> None:
    assert use_of(CD=0.9).CD == 0.9
    assert use_of(CD=2.0).CD == 2.0
    assert embedment_strength(rho_k=350, diameter=30).value == pytest.approx(0.082 * 0.7 * 350)
    assert group(count=2, rows=2).value.value == pytest.approx(2 * group().value.value)
    assert combined_value(kind="nail", withdrawal=0.0, lateral=100.0, angle=90.0).value == 0.0


def test_stated_values_hold_for_the_piece_that_they_were_stated_for() -> None:
    own = as_stated(name="tie", species="fir", size_class="dimension", values={"Ft": 600.0}, source="graded 2021")
    assert stick_checks(own, width=5.5, depth=9.5, use=DRY, axial=1000.0, across=0.0)[0].verdict == "met"


@pytest.mark.parametrize("grade", ["No.2", "no 2", "#2"])
@pytest.mark.parametrize("species", ["Douglas Fir-Larch", "douglas fir larch"])
def test_a_species_and_a_grade_are_known_by_their_usual_spellings(species: str, grade: str) -> None:
    assert sawn(species=species, grade=grade, thickness=1.5, width=5.5) == FIR

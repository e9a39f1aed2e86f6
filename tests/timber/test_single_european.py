"""Single checks after EN 1995-1-1: one stick, one joint, notches, curves, bearing and pulled screws."""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt, tan

import pytest

from trussio.errors import UsageError
from trussio.model.check import Check
from trussio.timber import tables
from trussio.timber.eurocode_axial import bolt_distances, combined_check, nail_withdrawal, screw_withdrawal
from trussio.timber.eurocode_details import (
    curved_beam_checks,
    effective_bearing_area,
    notch_factor,
    notched_shear_check,
    tension_perpendicular_check,
    volume_factor_across,
)
from trussio.timber.eurocode_dowels import (
    embedment_strength,
    steel_single_shear,
    timber_double_shear,
    yield_moment,
)
from trussio.timber.single_european import european_joint, european_stick_checks


def named(checks: tuple[Check, ...], what: str) -> Check:
    [found] = [check for check in checks if check.what == what]
    return found


def test_a_column_of_c24_buckles_by_its_slenderness() -> None:
    """100 x 200, 3 m both ways, medium, service class 1."""
    checks = european_stick_checks(
        "C24",
        width=100.0,
        depth=200.0,
        duration="medium",
        service_class=1,
        axial=-60000.0,
        in_plane=3000.0,
        across=3000.0,
    )
    rel = 3000 * sqrt(12) / 100 / pi * sqrt(21 / 7400)
    k = 0.5 * (1 + 0.2 * (rel - 0.3) + rel**2)
    kc = 1 / (k + sqrt(k**2 - rel**2))
    check = named(checks, "compression with buckling")
    assert check.demand == pytest.approx(3.0)
    assert check.capacity == pytest.approx(kc * 0.8 * 21 / 1.3)


def test_stated_values_go_before_those_of_the_class() -> None:
    own = {"fmk": 20.0, "ft0k": 10.0, "fc0k": 18.0, "fvk": 3.0, "E005": 6000.0}
    [tension, *_] = european_stick_checks(
        "graded in place",
        width=100.0,
        depth=200.0,
        duration="short",
        service_class=2,
        axial=50000.0,
        across=0.0,
        values=own,
    )
    assert tension.capacity == pytest.approx(0.9 * 10 / 1.3)
    with pytest.raises(UsageError, match="unknown-grade"):
        european_stick_checks("C99", width=1.0, depth=1.0, duration="short", service_class=2)


@pytest.mark.parametrize(
    ("across", "ratio"),
    [
        pytest.param(
            4000.0, 15 / (0.9 * 24 / 1.3) / (1.56 - 0.75 * 0.96125), id="over: 4 m free, lambda_rel,m 0.961"
        ),
        pytest.param(1000.0, 15 / (0.9 * 24 / 1.3), id="held each metre: kcrit 1"),
        pytest.param(0.0, None, id="held throughout: nothing to check"),
    ],
)
@pytest.mark.parametrize("axial", [0.0, 1000.0])
def test_a_beam_of_c24_goes_sideways(across: float, ratio: float | None, axial: float) -> None:
    """60 x 200, 6 kNm, short, class 2: 15 against 0.9 x 24 / 1.3 MPa; sigma_m,crit 0.78 b2 E005 / (h lef)."""
    checks = european_stick_checks(
        "C24", width=60, depth=200, duration="short", service_class=2, moment=6e6, across=across, axial=axial
    )
    found = [check.ratio for check in checks if check.what == "lateral buckling"]
    assert found == ([] if ratio is None else [pytest.approx(ratio, rel=1e-4)])


def test_a_beam_whose_edge_nobody_said_is_held_is_open() -> None:
    checks = european_stick_checks("C24", width=60, depth=200, duration="short", service_class=2, moment=6e6)
    assert named(checks, "bending").reads == "90 %"
    assert named(checks, "lateral buckling").verdict == "not evaluated"
    square = european_stick_checks("C24", width=60, depth=60, duration="short", service_class=2, moment=6e4)
    assert [check.what for check in square] == ["bending"]


def test_a_group_of_bolts_counts_less_than_its_number() -> None:
    """M12 in double shear, 50 - 80 - 50, three in a row at 5 d, two rows, medium."""
    fh = embedment_strength(rho_k=350.0, diameter=12.0)
    My = yield_moment(fu=400.0, diameter=12.0)
    one = timber_double_shear(fh1=fh, fh2=fh, t1=50.0, t2=80.0, diameter=12.0, My=My, Fax=5000.0, rope="bolt")
    joint = european_joint(
        one, diameter=12.0, planes=2, in_row=3, rows=2, spacing=60.0, duration="medium", service_class=2
    )
    nef = 3**0.9 * (60 / (13 * 12)) ** 0.25
    assert joint.value == pytest.approx(nef * 2 * 2 * 0.8 * one.F.value / 1.3)
    assert joint.lines[-1].unit == "N"
    with pytest.raises(UsageError, match="spacing in a row"):
        european_joint(one, diameter=12.0, planes=2, in_row=3, duration="medium", service_class=2)


def test_a_steel_plate_on_one_side_is_thin_thick_or_between() -> None:
    """A bolt of 12 mm: fh 25, My 76745, t1 60 mm; thin up to 6 mm, thick from 12 mm on."""
    fh, My, d, t = 25.0, 76745.0, 12.0, 60.0

    def value(plate: float) -> float:
        return steel_single_shear(fh=fh, t1=t, diameter=d, My=My, Fax=0.0, rope="bolt", plate=plate).F.value

    thin = min(0.4 * fh * t * d, 1.15 * sqrt(2 * My * fh * d))
    thick = min(fh * t * d, fh * t * d * (sqrt(2 + 4 * My / (fh * d * t**2)) - 1), 2.3 * sqrt(My * fh * d))
    assert value(6.0) == pytest.approx(thin)
    assert value(12.0) == pytest.approx(thick)
    assert value(9.0) == pytest.approx((thin + thick) / 2)
    rope = steel_single_shear(fh=fh, t1=t, diameter=d, My=My, Fax=400.0, rope="bolt", plate=12.0)
    assert rope.F.value == pytest.approx(min(fh * t * d, thick + 100))


@pytest.mark.parametrize(("left", "kv"), [(200.0, 1.0), (150.0, None)])
def test_a_notch_lifts_the_grain_at_its_corner(left: float, kv: float | None) -> None:
    found = notch_factor(depth=200.0, left=left, to_support=50.0, product="solid")
    a = left / 200
    expected = 5 / (sqrt(200) * (sqrt(a * (1 - a)) + 0.8 * 50 / 200 * sqrt(1 / a - a**2))) if kv is None else kv
    assert found.value == pytest.approx(min(1.0, expected))
    check = notched_shear_check(force=5000.0, width=100.0, left=left, fvd=2.0, kv=found)
    assert check.ratio == pytest.approx(1.5 * 5000 / (0.67 * 100 * left) / (2 * found.value))
    sloped = notch_factor(depth=200.0, left=150.0, to_support=50.0, product="solid", slope=4.0)
    assert sloped.value > notch_factor(depth=200.0, left=150.0, to_support=50.0, product="solid").value
    with pytest.raises(UsageError, match="impossible-distance"):
        notch_factor(depth=200.0, left=201.0, to_support=0.0, product="solid")


def test_tension_across_the_grain_falls_with_the_volume() -> None:
    assert volume_factor_across(0.01).value == 1.0
    assert volume_factor_across(0.32).value == pytest.approx(0.5)
    check = tension_perpendicular_check(stress=0.1, ft90d=0.3, kdis=1.4, kvol=0.5)
    assert check.ratio == pytest.approx(0.1 / (1.4 * 0.5 * 0.3))


@pytest.mark.parametrize("slope", [0.0, 12.0])
def test_a_curved_beam_at_its_apex(slope: float) -> None:
    bending, across = curved_beam_checks(
        moment=2e8,
        width=160.0,
        depth=900.0,
        inner_radius=8000.0,
        lamination=40.0,
        fmd=15.0,
        ft90d=0.3,
        volume=1.0,
        slope=slope,
    )
    t, x = tan(radians(slope)), 900 / 8450
    kl = 1 + 1.4 * t + 5.4 * t**2 + (0.35 - 8 * t) * x + (0.6 + 8.3 * t - 7.8 * t**2) * x**2 + 6 * t**2 * x**3
    kp = 0.2 * t + (0.25 - 1.5 * t + 2.6 * t**2) * x + (2.1 * t - 4 * t**2) * x**2
    plain = 6 * 2e8 / (160 * 900**2)
    assert bending.demand == pytest.approx(kl * plain)
    assert bending.capacity == pytest.approx((0.76 + 0.001 * 200) * 15)
    assert across.demand == pytest.approx(kp * plain)
    assert across.capacity == pytest.approx(1.4 * 0.01**0.2 * 0.3)


def test_a_tightening_moment_gives_no_tension_across() -> None:
    [bending] = curved_beam_checks(
        moment=1e8,
        width=160.0,
        depth=900.0,
        inner_radius=12000.0,
        lamination=40.0,
        fmd=15.0,
        ft90d=0.3,
        volume=1.0,
        flattens=False,
    )
    assert bending.capacity == 15.0


def test_the_bearing_area_reaches_thirty_millimetres_further() -> None:
    assert effective_bearing_area(length=100.0, width=50.0).value == 50 * 160
    assert effective_bearing_area(length=100.0, width=50.0, to_end=0.0).value == 50 * 130
    assert effective_bearing_area(length=20.0, width=50.0).value == 50 * 60
    assert effective_bearing_area(length=100.0, width=50.0, gap=40.0).value == 50 * 140


@pytest.mark.parametrize(("times", "share"), [(12.0, 1.0), (10.0, 0.5), (8.0, 0.0)])
def test_a_smooth_nail_holds_by_its_point_or_its_head(times: float, share: float) -> None:
    found = nail_withdrawal(rho_k=350.0, diameter=4.0, penetration=4 * times, head=8.0, head_side=30.0)
    point = 20e-6 * 350**2 * share * 4 * 4 * times
    assert found.value == pytest.approx(min(point, 20e-6 * 350**2 * 4 * 30 + 70e-6 * 350**2 * 64))


def test_a_screw_pulled_at_an_angle() -> None:
    found = screw_withdrawal(rho_k=350.0, diameter=8.0, threads=80.0, angle=45.0, count=4)
    fax = 0.52 * 8**-0.5 * 80**-0.1 * 350**0.8
    a = radians(45)
    assert found.value == pytest.approx(4**0.9 * fax * 8 * 80 / (1.2 * cos(a) ** 2 + sin(a) ** 2))
    with pytest.raises(UsageError, match="use the declared value"):
        screw_withdrawal(rho_k=350.0, diameter=5.0, threads=80.0)


def test_nails_add_their_loads_and_screws_their_squares() -> None:
    nail = combined_check(kind="smooth nail", axial=500.0, Fax=1000.0, across=400.0, Fv=800.0)
    screw = combined_check(kind="screw", axial=500.0, Fax=1000.0, across=400.0, Fv=800.0)
    assert (nail.ratio, screw.ratio) == (1.0, 0.5)


def test_the_least_distances_of_bolts() -> None:
    along, across = (bolt_distances(diameter=16.0, angle=angle) for angle in (0.0, 90.0))
    assert {name: least.value for name, least in along.items()} == pytest.approx(
        {"a1": 80, "a2": 64, "a3t": 112, "a3c": 64, "a4t": 48, "a4c": 48}
    )
    assert {name: least.value for name, least in across.items()} == pytest.approx(
        {"a1": 64, "a2": 64, "a3t": 112, "a3c": 112, "a4t": 64, "a4c": 48}
    )


def test_the_strength_classes_climb() -> None:
    rows = tables.european()["classes"]
    for family in (
        ("C14", "C16", "C18", "C20", "C22", "C24", "C27", "C30", "C35", "C40"),
        ("GL20h", "GL24h", "GL28h"),
    ):
        for key in ("fmk", "ft0k", "fc0k", "E0mean", "E005", "rho_k"):
            values = [rows[name][key] for name in family]
            assert values == sorted(values)
            assert values[0] < values[-1]

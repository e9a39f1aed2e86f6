"""EN 1995-1-1: values, member checks and dowels at their limits; own arithmetic, no full example was at hand."""

from __future__ import annotations

from math import sqrt

import pytest

from trussio.errors import UsageError
from trussio.timber import eurocode, eurocode_dowels, eurocode_members, tables

STOCKY = eurocode_members.buckling(le=0.0, dimension=100.0, fc0k=21.0, E005=7400.0, product="solid")


@pytest.mark.parametrize(
    ("service", "duration", "kmod"),
    [(1, "permanent", 0.6), (2, "short", 0.9), (3, "medium", 0.65), (3, "instantaneous", 0.9)],
)
def test_duration_and_moisture(service: int, duration: str, kmod: float) -> None:
    assert eurocode.modification_factor(service_class=service, duration=duration).value == kmod


@pytest.mark.parametrize(
    "name", [name for name, row in tables.european()["classes"].items() if row["product"] == "solid"]
)
def test_no_class_has_a_slip_of_the_pen(name: str) -> None:
    """EN 338 derives what is not tested: E005 0.67 (hardwood 0.84), E90 1/30 (1/15), G 1/16 of E."""
    row, hard = eurocode.strength_class(name), name.startswith("D")
    E = row["E0mean"]
    assert row["fmk"] == float(name.partition(" ")[0][1:])
    assert row["E005"] == pytest.approx((0.84 if hard else 0.67) * E, rel=0.012)
    assert row["E90mean"] == pytest.approx(E / (15 if hard else 30), rel=0.02)
    assert row["Gmean"] == pytest.approx(E / 16, rel=0.02)
    across = 0.007 if not hard else 0.01 if row["rho_k"] < 700 else 0.015
    assert row["fc90k"] == pytest.approx(across * row["rho_k"], rel=0.025)
    assert row["fc0k"] == pytest.approx(4.3 * row["fmk"] ** 0.5, abs=0.51)
    assert row["rho_mean"] == pytest.approx(1.2 * row["rho_k"], rel=0.015)
    assert row["ft0k"] == pytest.approx(0.6 * row["fmk"] if hard else 0.73 * row["fmk"] - 3.07, abs=0.6)


@pytest.mark.parametrize(("service", "duration"), [(4, "short"), (1, "snow")])
def test_conditions_that_no_table_has(service: int, duration: str) -> None:
    with pytest.raises(UsageError) as fault:
        eurocode.modification_factor(service_class=service, duration=duration)
    assert fault.value.do == (
        "Enter service class 1, 2 or 3 and one of permanent, long, medium, short, instantaneous."
    )


def test_classes_and_products() -> None:
    assert eurocode.strength_class("C24")["ft0k"] == 14.5
    assert eurocode.strength_class("C24 (EN 338:2009)")["ft0k"] == 14
    assert eurocode.shortest_duration(["permanent", "short", "medium"]) == "short"
    assert (eurocode.strength_class("C50")["fmk"], eurocode.strength_class("C50")["ft0k"]) == (50, 33.5)
    assert (eurocode.strength_class("D70")["fmk"], eurocode.strength_class("D70")["rho_k"]) == (70, 800)
    with pytest.raises(UsageError, match="unknown-grade at C99"):
        eurocode.strength_class("C99")
    with pytest.raises(UsageError, match="unknown-product"):
        eurocode.partial_factor("steel")


@pytest.mark.parametrize(
    ("product", "depth", "kh"),
    [
        ("solid", 150.0, 1.0),
        ("solid", 100.0, 1.5**0.2),
        ("solid", 20.0, 1.3),
        ("glulam", 600.0, 1.0),
        ("glulam", 200.0, 1.1),
        ("LVL", 100.0, 1.0),
    ],
)
def test_small_sections_are_stronger(product: eurocode.Product, depth: float, kh: float) -> None:
    assert eurocode.size_factor(product=product, depth=depth).value == pytest.approx(kh)


def test_design_value() -> None:
    found = eurocode.design_value("ft0", 14.5, kmod=0.9, gamma_M=1.3, factors={"kh": 1.1})
    assert found.value == pytest.approx(0.9 * 14.5 / 1.3 * 1.1)


@pytest.mark.parametrize(("force", "verdict"), [(100000.0, "met"), (100100.0, "not met")])
def test_tension_and_compression(force: float, verdict: str) -> None:
    assert eurocode_members.tension_check(force=force, net_area=10000.0, ft0d=10.0).verdict == verdict
    check = eurocode_members.compression_check(force=force, area=10000.0, fc0d=10.0, y=STOCKY, z=STOCKY)
    assert check.verdict == verdict


@pytest.mark.parametrize(("force", "verdict"), [(13400.0, "met"), (13410.0, "not met")])
def test_cracks_take_a_third_of_the_shear(force: float, verdict: str) -> None:
    assert eurocode_members.shear_check(force=force, width=100.0, depth=100.0, fvd=3.0).verdict == verdict


def test_the_lesser_bending_counts_seven_tenths() -> None:
    first, second = eurocode_members.tension_bending_checks(
        sigma_t=2.0, ft0d=10.0, sigma_my=5.0, fmyd=10.0, sigma_mz=3.0, fmzd=10.0
    )
    assert first.ratio == pytest.approx(0.2 + 0.5 + 0.21)
    assert second.ratio == pytest.approx(0.2 + 0.35 + 0.3)
    over = eurocode_members.tension_bending_checks(sigma_t=5.1, ft0d=10.0, sigma_my=5.0, fmyd=10.0)[0]
    assert over.verdict == "not met"


def test_stocky_pieces_square_their_compression() -> None:
    first, second = eurocode_members.compression_bending_checks(
        sigma_c=5.0, fc0d=10.0, y=STOCKY, z=STOCKY, sigma_my=5.0, fmyd=10.0, sigma_mz=1.0, fmzd=10.0
    )
    assert (first.clause, second.clause) == ("EN 1995-1-1 (6.19)", "EN 1995-1-1 (6.20)")
    assert first.ratio == pytest.approx(0.25 + 0.5 + 0.07)


@pytest.mark.parametrize(("relative", "stocky"), [(0.2999, True), (0.3001, False)])
def test_buckling_begins_at_three_tenths(relative: float, *, stocky: bool) -> None:
    le = relative * 3.141592653589793 * sqrt(7400 / 21) * 100 / sqrt(12)
    found = eurocode_members.buckling(le=le, dimension=100.0, fc0k=21.0, E005=7400.0, product="solid")
    assert found.relative.value == pytest.approx(relative)
    assert (found.kc.value == 1.0) == stocky
    first = eurocode_members.compression_bending_checks(
        sigma_c=5.0, fc0d=10.0, y=found, z=STOCKY, sigma_my=1.0, fmyd=10.0
    )[0]
    assert first.clause == ("EN 1995-1-1 (6.19)" if stocky else "EN 1995-1-1 6.3.2 (6.23)")


def test_slender_glulam_is_straighter() -> None:
    def kc(product: eurocode.Product) -> float:
        return eurocode_members.buckling(
            le=3000.0, dimension=100.0, fc0k=24.0, E005=9600.0, product=product
        ).kc.value

    assert kc("glulam") > kc("solid")


def test_bending_across_needs_its_strength() -> None:
    with pytest.raises(UsageError, match="value-missing"):
        eurocode_members.tension_bending_checks(sigma_t=1.0, ft0d=1.0, sigma_my=0.0, fmyd=1.0, sigma_mz=1.0)


@pytest.mark.parametrize(
    ("critical", "kcrit"),
    [
        (24 / 0.75**2, 1.0),
        (24.0, 0.81),
        (24 / 1.4**2, 0.51),
        (24 / 2.0**2, 0.25),
    ],
)
def test_lateral_buckling_has_three_parts(critical: float, kcrit: float) -> None:
    assert eurocode_members.lateral_factor(fmk=24.0, critical=critical).value == pytest.approx(kcrit, abs=1e-9)


def test_lateral_checks() -> None:
    assert eurocode_members.lateral_check(sigma_m=8.1, fmd=10.0, kcrit=0.81).verdict == "met"
    assert eurocode_members.lateral_check(sigma_m=8.2, fmd=10.0, kcrit=0.81).verdict == "not met"
    both = eurocode_members.lateral_check(sigma_m=5.0, fmd=10.0, kcrit=1.0, compression=(3.0, 10.0, 0.5))
    assert both.ratio == pytest.approx(0.25 + 0.6)
    critical = eurocode_members.critical_bending_stress(
        width=50.0, depth=200.0, effective_length=2000.0, E005=7400.0
    )
    assert critical.value == pytest.approx(0.78 * 2500 * 7400 / 400000)


@pytest.mark.parametrize(("force", "verdict"), [(37500.0, "met"), (37600.0, "not met")])
def test_bearing(force: float, verdict: str) -> None:
    check = eurocode_members.bearing_check(force=force, effective_area=10000.0, fc90d=2.5, kc90=1.5)
    assert check.verdict == verdict


@pytest.mark.parametrize(("angle", "value"), [(0.0, 13.0), (90.0, 2.5), (45.0, 2 * 13 * 2.5 / 15.5)])
def test_strength_at_an_angle(angle: float, value: float) -> None:
    found = eurocode_members.strength_at_angle(fc0d=13.0, fc90d=2.5, kc90=1.0, angle=angle)
    assert found.value == pytest.approx(value)


FH, MY = 25.0, 70000.0


def test_two_equal_timbers_fail_by_the_known_modes() -> None:
    found = eurocode_dowels.timber_single_shear(
        fh1=FH, fh2=FH, t1=60.0, t2=60.0, diameter=12.0, My=MY, Fax=0.0, rope="bolt"
    )
    assert found.modes["a"] == found.modes["b"] == pytest.approx(FH * 60 * 12)
    assert found.modes["c"] == pytest.approx(FH * 60 * 12 * (sqrt(2) - 1))
    assert found.modes["d"] == pytest.approx(found.modes["e"])
    assert found.modes["f"] == pytest.approx(1.15 * sqrt(2 * MY * FH * 12))
    assert found.F.value == min(found.modes.values())
    assert found.modes[found.mode] == found.F.value


@pytest.mark.parametrize(
    ("rope", "Fax", "gain"),
    [
        pytest.param("bolt", 400.0, 100.0, id="a quarter of the axial capacity"),
        pytest.param("bolt", 1e9, 0.25, id="up to a quarter of the Johansen part"),
        pytest.param("dowel", 1e9, 0.0, id="none for dowels"),
        pytest.param("screw", 1e9, 1.0, id="as much again for screws"),
        pytest.param("round nail", 1e9, 0.15, id="little for round nails"),
    ],
)
def test_the_rope_part_is_capped(rope: eurocode_dowels.RopeKind, Fax: float, gain: float) -> None:
    found = eurocode_dowels.timber_double_shear(
        fh1=FH, fh2=FH, t1=60.0, t2=60.0, diameter=12.0, My=MY, Fax=Fax, rope=rope
    )
    part = found.johansen["k"]
    assert found.modes["k"] == pytest.approx(part + (gain if gain > 1 else gain * part))
    assert found.modes["g"] == found.johansen["g"]
    assert found.modes["h"] == pytest.approx(0.5 * FH * 60 * 12)


def test_steel_plates() -> None:
    def outside(plate: float) -> dict[str, float]:
        return dict(
            eurocode_dowels.steel_outside(
                fh=FH, t2=200.0, diameter=12.0, My=MY, Fax=0.0, rope="bolt", plate=plate
            ).modes
        )

    thin, thick = 1.15 * sqrt(2 * MY * FH * 12), 2.3 * sqrt(MY * FH * 12)
    assert outside(6.0)["k"] == pytest.approx(thin)
    assert outside(12.0)["m"] == pytest.approx(thick)
    assert outside(9.0)["k-m"] == pytest.approx((thin + thick) / 2)
    middle = eurocode_dowels.steel_in_middle(fh=FH, t1=60.0, diameter=12.0, My=MY, Fax=0.0, rope="bolt")
    assert middle.modes["f"] == pytest.approx(FH * 60 * 12)
    assert middle.modes["g"] == pytest.approx(FH * 60 * 12 * (sqrt(2 + 4 * MY / (FH * 12 * 3600)) - 1))
    assert middle.modes["h"] == pytest.approx(thick)


def test_embedment_and_yield() -> None:
    assert eurocode_dowels.embedment_strength(rho_k=350.0, diameter=10.0).value == pytest.approx(25.83)
    across = eurocode_dowels.embedment_strength(rho_k=350.0, diameter=10.0, angle=90.0, wood="hardwood")
    assert across.value == pytest.approx(25.83 / 1.05)
    assert eurocode_dowels.nail_embedment(rho_k=350.0, diameter=4.0).value == pytest.approx(28.7 * 4**-0.3)
    assert eurocode_dowels.yield_moment(fu=600.0, diameter=4.0, square=True).value == pytest.approx(270 * 4**2.6)


def test_rows_of_bolts_count_less_than_their_number() -> None:
    assert eurocode_dowels.effective_number(count=4, spacing=60.0, diameter=12.0).value == pytest.approx(
        4**0.9 * (60 / 156) ** 0.25
    )
    assert eurocode_dowels.effective_number(count=1, spacing=600.0, diameter=12.0).value == 1.0
    assert eurocode_dowels.effective_number(count=4, spacing=60.0, diameter=12.0, angle=90.0).value == 4.0


def test_splitting_and_blocks() -> None:
    found = eurocode_dowels.splitting_resistance(width=50.0, depth=200.0, to_farthest=100.0)
    assert found.value == pytest.approx(14 * 50 * sqrt(200))
    with pytest.raises(UsageError, match="he 200 mm is not within the depth 200 mm"):
        eurocode_dowels.splitting_resistance(width=50.0, depth=200.0, to_farthest=200.0)
    block = eurocode_dowels.block_shear(net_tension_area=1000.0, ft0k=14.5, net_shear_area=5000.0, fvk=4.0)
    assert block.value == pytest.approx(21750.0)


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        ("bolt", 420**1.5 * 12 / 23),
        ("nail", 420**1.5 * 12**0.8 / 30),
        ("staple", 420**1.5 * 12**0.8 / 80),
        ("split ring", 420 * 6),
    ],
)
def test_slip(kind: eurocode_dowels.SlipKind, expected: float) -> None:
    assert eurocode_dowels.slip_modulus(kind, rho_mean=420.0, diameter=12.0).value == pytest.approx(expected)
    steel = eurocode_dowels.slip_modulus(kind, rho_mean=420.0, diameter=12.0, steel_side=True)
    assert steel.value == pytest.approx(2 * expected)
    mixed = eurocode_dowels.slip_modulus(kind, rho_mean=400.0, diameter=12.0, rho_mean_2=441.0)
    assert mixed.value == pytest.approx(expected)


@pytest.mark.parametrize("diameter", [0.0, -12.0])
def test_sizes_that_cannot_be(diameter: float) -> None:
    with pytest.raises(UsageError, match="impossible-distance"):
        eurocode_dowels.embedment_strength(rho_k=350.0, diameter=diameter)

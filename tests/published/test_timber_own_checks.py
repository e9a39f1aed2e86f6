"""Own checks of timber members: arithmetic recomputed apart, not published (`timber_own_checks.json`).

They hold the arithmetic of a clause, not its reading.
"""

from __future__ import annotations

import json
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict

import pytest

from trussio.timber import (
    adjustment,
    axial,
    bearing,
    bending,
    columns,
    combined,
    composite,
    eurocode,
    eurocode_dowels,
    eurocode_members,
    net_section,
    stability,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

DIGITS = 1.5e-5
"""The results are written to six digits."""

Inputs = dict[str, float]


class OwnCheck(TypedDict):
    title: str
    inputs: Inputs
    results: dict[str, float]


class OwnChecks(TypedDict):
    checks: dict[str, OwnCheck]


def _own() -> OwnChecks:
    text = (Path(__file__).parent / "timber_own_checks.json").read_text(encoding="utf-8")
    loaded: OwnChecks = json.loads(text)
    return loaded


OWN = _own()["checks"]


def oc01(given: Inputs) -> Mapping[str, float]:
    Fc_star = adjustment.adjusted("Fc*", given["Fc_psi"], {"CF": given["CF"], "CD": given["CD"]})
    strut = columns.built_up_strut(
        plies=3,
        thickness=1.5,
        depth=5.5,
        fastened="nailed",
        le_depth=given["le_in"],
        le_stack=given["le_in"],
        Fc_star=Fc_star,
        Emin=given["Emin_psi"],
    )
    return {
        "A_in2": 3 * 1.5 * 5.5,
        "Fc_star_psi": Fc_star.value,
        "le1_d1": strut.slenderness[0].value,
        "FcE1_psi": strut.FcE[0].value,
        "CP_strong_Kf1": strut.CP[0].value,
        "le2_d2": strut.slenderness[1].value,
        "FcE2_psi": strut.FcE[1].value,
        "CP_weak_with_Kf": strut.CP[1].value,
        "CP_governing": strut.CP[strut.governing].value,
        "Fc_adj_psi": strut.Fc.value,
        "P_allow_lb": strut.Fc.value * 24.75,
    }


def oc02(given: Inputs) -> Mapping[str, float]:
    Fc_star = adjustment.adjusted("Fc*", given["Fc_psi"], {"CF": given["CF"], "CD": given["CD"]})
    d1, d2, l1, l2, l3 = (given[name] for name in ("d1_in", "d2_in", "l1_in", "l2_in", "l3_in"))
    strut = columns.spaced_strut(
        thickness=d1,
        depth=d2,
        l1=l1,
        l2=l2,
        l3=l3,
        end_condition="a",
        Fc_star=Fc_star,
        Emin=given["Emin_psi"],
    )
    limits = columns.spaced_limits_checks(thickness=d1, depth=d2, l1=l1, l2=l2, l3=l3)
    demands = [check.demand for check in limits]
    assert [check.verdict for check in limits] == ["met", "met", "met"]
    return {
        "l1_d1": demands[0] or 0.0,
        "l2_d2": demands[1] or 0.0,
        "l3_d1": demands[2] or 0.0,
        "FcE_d1_psi": strut.FcE[0].value,
        "CP_d1": strut.CP[0].value,
        "FcE_d2_psi": strut.FcE[1].value,
        "CP_d2": strut.CP[1].value,
        "Fc_star_psi": Fc_star.value,
        "Fc_adj_psi": strut.Fc.value,
        "P_allow_lb": strut.Fc.value * 2 * d1 * d2,
    }


def oc03(given: Inputs) -> Mapping[str, float]:
    b, d = given["b_in"], given["d_in"]
    area = net_section.net_area(b * d, {"hole": net_section.hole_area(0.8125, b, oversize=0.0)})
    S = bending.section_modulus(b, d)
    Ft = adjustment.adjusted("Ft'", given["Ft_psi"], {"CD": given["CD"]})
    Fb = adjustment.adjusted("Fb*", given["Fb_psi"], {"CD": given["CD"]})
    le = stability.beam_length(given["lu_in"], d, "uniform")
    RB = stability.beam_slenderness(le, depth=d, width=b)
    FbE = stability.beam_buckling_stress(given["Emin_psi"], RB)
    CL = stability.beam_stability(Fb_star=Fb, FbE=FbE)
    ft = axial.stress("ft", given["T_lb"], area, force_symbol="T", area_symbol="A_net")
    fb = bending.bending_stress(given["M_lb_in"], S)
    tension, compression = combined.tension_bending_checks(
        ft=ft, fb=fb, Ft=Ft, Fb_star=Fb, Fb_star_star=bending.bending_value(Fb_star=Fb, CL=CL)
    )
    only = axial.tension_check(force=given["T_lb"], net_area=area, Ft=Ft)
    assert tension.ratio is not None
    assert compression.ratio is not None
    assert only.ratio is not None
    return {
        "A_net_in2": area.value,
        "S_in3": S.value,
        "ft_psi": ft.value,
        "fb_psi": fb.value,
        "Ft_adj_psi": Ft.value,
        "Fb_star_psi": Fb.value,
        "eq_3_9_1": tension.ratio,
        "lu_over_d": given["lu_in"] / d,
        "le_in": le.value,
        "RB": RB.value,
        "FbE_psi": FbE.value,
        "CL": CL.value,
        "Fb_star_star_psi": compression.derivation.figure("Fb'"),
        "eq_3_9_2": compression.ratio,
        "ft_only_ratio": only.ratio,
    }


def oc04(given: Inputs) -> Mapping[str, float]:
    b, d = given["b_in"], given["d_in"]
    Fc_star = adjustment.adjusted("Fc*", given["Fc_psi"], {"CD": given["CD"]})
    Fb_star = adjustment.adjusted("Fb*", given["Fb_psi"], {"CD": given["CD"]})
    axes = (
        axial.Axis(name="1", le=given["le1_in"], d=d, Emin=given["Emin_psi"]),
        axial.Axis(name="2", le=given["le2_in"], d=b, Emin=given["Emin_psi"]),
    )
    strut = axial.strut_values(Fc_star=Fc_star, axes=axes, c=0.8)
    RB = stability.beam_slenderness(stability.beam_length(given["le1_in"], d, "uniform"), depth=d, width=b)
    FbE = stability.beam_buckling_stress(given["Emin_psi"], RB)
    CL = stability.beam_stability(Fb_star=Fb_star, FbE=FbE)
    Fb1 = bending.bending_value(Fb_star=Fb_star, CL=CL)
    Fb2 = bending.bending_value(Fb_star=Fb_star, CL=given["CL_minor"], Cfu=given["Cfu"])
    fb1 = bending.bending_stress(given["M1_lb_in"], bending.section_modulus(b, d))
    fb2 = bending.bending_stress(given["M2_lb_in"], bending.section_modulus(d, b))
    fc = given["P_lb"] / (b * d)
    main, side = combined.compression_bending_checks(
        fc=fc,
        Fc=strut.Fc,
        fb1=fb1,
        Fb1=Fb1,
        fb2=fb2,
        Fb2=Fb2,
        FcE1=strut.FcE[0],
        FcE2=strut.FcE[1],
        FbE=FbE,
    )
    assert main.ratio is not None
    assert side.ratio is not None
    return {
        "fc_psi": fc,
        "fb1_psi": fb1.value,
        "fb2_psi": fb2.value,
        "FcE1_psi": strut.FcE[0].value,
        "FcE2_psi": strut.FcE[1].value,
        "Fc_star_psi": Fc_star.value,
        "CP": strut.CP[1].value,
        "Fc_adj_psi": strut.Fc.value,
        "RB": RB.value,
        "FbE_psi": FbE.value,
        "CL": CL.value,
        "Fb1_adj_psi": Fb1.value,
        "Fb2_adj_psi": Fb2.value,
        "eq_3_9_3": main.ratio,
        "eq_3_9_4": side.ratio,
    }


def oc05(given: Inputs) -> Mapping[str, float]:
    t, R = given["t_in"], given["R_in"]
    Cc = bending.curvature_factor(lamination=t, radius=R, southern_pine_or_hardwood=False)
    fr = bending.radial_stress(moment=given["M_lb_in"], radius=R, width=given["b_in"], depth=given["d_in"])
    Frt = bending.radial_tension_value(Fvx=265.0, southern_pine=False, wind_or_earthquake=False)
    return {
        "t_over_R": t / R,
        "Cc": Cc.value,
        "fr_psi": fr.value,
        "limit_t_over_R": 1 / 125,
        "Frt_other_loads_psi": Frt.value,
    }


def oc06(given: Inputs) -> Mapping[str, float]:
    Cb = bearing.bearing_area_factor(length=given["lb_in"], to_end=12.0)
    F = bearing.hankinson(given["Fc_star_psi"], given["Fc_perp_psi"], given["theta_deg"])
    return {
        "Cb": Cb.value,
        "Fc_perp_adj_psi": Cb.value * given["Fc_perp_psi"],
        "F_theta_without_Cb_psi": F.value,
    }


def oc07(given: Inputs) -> Mapping[str, float]:
    low, high = given["dmin_in"], given["dmax_in"]
    return {
        "d_equiv_in": stability.tapered_dimension(low, high, "tapered to one end").value,
        "d_default_third_in": stability.tapered_dimension(low, high, "other").value,
    }


def oc08(given: Inputs) -> Mapping[str, float]:
    A1, A2, N0, N = given["A1_in2"], given["A2_in2"], given["N_dead_lb"], given["N_total_lb"]
    E1, E2 = given["E1_psi"], given["E2_psi"]
    old, new = composite.shared_force(E1=E1, A1=A1, E2=E2, A2=A2, before=N0, later=N - N0)
    together = composite.shared_force(E1=E1, A1=A1, E2=E2, A2=A2, before=0.0, later=N)[0]
    return {
        "share_existing": old.figure("share"),
        "N_locked_in_existing_lb": old.figure("N_locked"),
        "N_shared_lb": old.figure("N_shared"),
        "sigma_existing_psi": old.value,
        "sigma_sister_psi": new.value,
        "force_sister_lb": new.value * A2,
        "check_sum_lb": old.value * A1 + new.value * A2,
        "sigma_existing_before_psi": N / A1,
        "sigma_existing_if_all_shared_psi": together.value,
        "ratio_existing": old.value / given["Ft1_psi"],
        "ratio_sister": new.value / given["Ft2_psi"],
    }


def oc09(given: Inputs) -> Mapping[str, float]:
    K = eurocode_dowels.slip_modulus("dowel", rho_mean=given["rho_m_kg_m3"], diameter=given["d_mm"])
    layer = composite.Part(E=given["E_MPa"], width=given["b_mm"], depth=given["h_mm"])
    beam = composite.slipping_beam(
        layers=(layer, layer),
        joints=(composite.SlipJoint(K=K.value, spacing=given["s_mm"]),),
        span=given["span_mm"],
        moment=given["M_Nmm"],
        shear=given["V_N"],
    )
    whole = composite.composite_section(
        [composite.Part(E=given["E_MPa"], width=50.0, depth=150.0, at=at) for at in (75.0, 225.0)]
    )
    return {
        "Kser_N_mm": K.value,
        "gamma1": beam.gamma[0],
        "a1_mm": beam.a[0],
        "a2_mm": beam.a[1],
        "EI_ef_Nmm2": beam.EI_ef.value,
        "EI_none_Nmm2": 2 * layer.E * layer.inertia,
        "EI_full_Nmm2": whole.EI,
        "sigma1_MPa": beam.sigma[0],
        "sigma_m1_MPa": beam.sigma_m[0],
        "sigma2_MPa": beam.sigma[1],
        "F_fastener_N": beam.fastener[0],
    }


def _european(given: Inputs, product: eurocode.Product, kh: float) -> Mapping[str, float]:
    b, h = given["b_mm"], given["h_mm"]
    gamma = eurocode.partial_factor(product)
    assert gamma.value == given["gammaM"]
    fc0d = eurocode.design_value("fc0", given["fc0k"], kmod=given["kmod"], gamma_M=gamma)
    fmd = eurocode.design_value("fm", given["fmk"], kmod=given["kmod"], gamma_M=gamma, factors={"kh": kh})
    y = eurocode_members.buckling(
        le=given["Ly_mm"], dimension=h, fc0k=given["fc0k"], E005=given["E05"], product=product
    )
    z = eurocode_members.buckling(
        le=given["Lz_mm"], dimension=b, fc0k=given["fc0k"], E005=given["E05"], product=product, axis="z"
    )
    sigma_c = given["N_N"] / (b * h)
    sigma_m = eurocode_members.bending_stress(given["My_Nmm"], b * h**2 / 6, "sigma_my")
    first, second = eurocode_members.compression_bending_checks(
        sigma_c=sigma_c, fc0d=fc0d, y=y, z=z, sigma_my=sigma_m, fmyd=fmd
    )
    held = eurocode_members.buckling(le=0.0, dimension=h, fc0k=given["fc0k"], E005=given["E05"], product=product)
    stocky = eurocode_members.compression_bending_checks(
        sigma_c=sigma_c, fc0d=fc0d, y=held, z=held, sigma_my=sigma_m, fmyd=fmd
    )[0]
    assert first.ratio is not None
    assert second.ratio is not None
    assert stocky.ratio is not None
    return {
        "lambda_y": y.slenderness.value,
        "lambda_rel_y": y.relative.value,
        "k_y": y.kc.figure("k_y"),
        "kc_y": y.kc.value,
        "lambda_z": z.slenderness.value,
        "lambda_rel_z": z.relative.value,
        "k_z": z.kc.figure("k_z"),
        "kc_z": z.kc.value,
        "fc0d_MPa": fc0d.value,
        "fmd_MPa": fmd.value,
        "sigma_c_MPa": sigma_c,
        "sigma_m_MPa": sigma_m.value,
        "eq_6_23": first.ratio,
        "eq_6_24": second.ratio,
        "eq_6_19": stocky.ratio,
        "Nc_Rd_z_kN": z.kc.value * fc0d.value * b * h / 1000,
    }


def oc10(given: Inputs) -> Mapping[str, float]:
    assert eurocode.modification_factor(service_class=1, duration="medium").value == given["kmod"]
    return _european(given, "solid", eurocode.size_factor(product="solid", depth=given["h_mm"]).value)


def oc11(given: Inputs) -> Mapping[str, float]:
    kh = eurocode.size_factor(product="glulam", depth=given["h_mm"]).value
    assert kh == pytest.approx(given["kh"], rel=DIGITS)
    return _european(given, "glulam", kh)


def oc12(_given: Inputs) -> Mapping[str, float]:
    return {
        "DF-L No.2 sawn": adjustment.minimum_modulus(1.6e6, product="visual sawn").value,
        "DF-L Sel Str sawn": adjustment.minimum_modulus(1.9e6, product="visual sawn").value,
        "glulam 1.8E": adjustment.minimum_modulus(1.8e6, product="glulam").value,
        "glulam 1.6E": adjustment.minimum_modulus(1.6e6, product="glulam").value,
    }


def oc13(given: Inputs) -> Mapping[str, float]:
    CF = adjustment.size_factor(
        "Fb",
        size_class="beams-and-stringers",
        grade="No.1",
        thickness=7.5,
        width=given["d_in"],
        southern_pine=False,
    )
    return {"CF": CF.value}


def oc14(given: Inputs) -> Mapping[str, float]:
    b, d = given["b_in"], given["d_in"]
    axes = tuple(axial.Axis(name=n, le=given["le_in"], d=d, Emin=given["Emin_psi"]) for n in "12")
    strut = axial.strut_values(Fc_star=given["Fc_psi"], axes=axes, c=0.8)
    fc = given["P_lb"] / (b * d)
    check = combined.compression_bending_checks(
        fc=fc,
        Fc=strut.Fc,
        fb1=0.0,
        Fb1=given["Fb_psi"],
        FcE1=strut.FcE[0],
        FcE2=strut.FcE[1],
        FbE=inf,
        eccentricity1=combined.Eccentricity(distance=given["e_in"], depth=d),
    )[0]
    assert check.ratio is not None
    FcE = strut.FcE[0].value
    return {
        "fc_psi": fc,
        "FcE_psi": FcE,
        "CP": strut.CP[0].value,
        "Fc_adj_psi": strut.Fc.value,
        "amplified_term_numerator_psi": (check.ratio - (fc / strut.Fc.value) ** 2)
        * given["Fb_psi"]
        * (1 - fc / FcE),
        "interaction": check.ratio,
    }


OWN_WORKED: Mapping[str, Callable[[Inputs], Mapping[str, float]]] = {
    "OC-01": oc01,
    "OC-02": oc02,
    "OC-03": oc03,
    "OC-04": oc04,
    "OC-05": oc05,
    "OC-06": oc06,
    "OC-07": oc07,
    "OC-08": oc08,
    "OC-09": oc09,
    "OC-10": oc10,
    "OC-11": oc11,
    "OC-12": oc12,
    "OC-13": oc13,
    "OC-14": oc14,
}


@pytest.mark.parametrize("name", OWN)
def test_own_check(name: str) -> None:
    found = OWN_WORKED[name](OWN[name]["inputs"])
    assert dict(found) == pytest.approx(OWN[name]["results"], rel=DIGITS)

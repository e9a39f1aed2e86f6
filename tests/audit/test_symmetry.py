"""Near-symmetry: what has no twin is named, designs that are no mirror image are left alone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.audit.forms import BALK, moved, pitched, supported
from tests.trusses import PIN, ROLLER, build, stick
from trussio.audit.mirror import mirror
from trussio.audit.subject import subject_of
from trussio.audit.symmetry import symmetry
from trussio.model.truss import Joint, JointId, SectionId, Support

if TYPE_CHECKING:
    from trussio.model.finding import Finding
    from trussio.model.truss import Truss


def lonely(truss: Truss) -> list[tuple[str, str]]:
    return [(finding.code, finding.says) for finding in symmetry(subject_of(truss, "continuous"))]


def codes(truss: Truss) -> list[str]:
    return [code for code, _ in lonely(truss)]


def test_the_axis_is_found_and_every_joint_has_its_twin() -> None:
    found = mirror(subject_of(pitched(), "continuous"))
    assert found is not None
    assert found.axis == pytest.approx(6000.0)
    assert found.twins[JointId("T1")] == "T5"
    assert found.twins[JointId("T3")] == "T3"
    assert lonely(pitched()) == []


@pytest.mark.parametrize(
    ("says", "truss", "expected"),
    [
        ("a brace forgotten", pitched(skipped="d2"), ["missing-twin"]),
        ("a post forgotten, its joints purlin points now", pitched(skipped="p5"), ["missing-twin"]),
        ("the middle post has no twin to miss", pitched(skipped="p3"), []),
        ("both braces gone are alike again", pitched(skipped="d2 d4"), []),
        ("a joint 23 mm off is within the survey (snap 24 mm)", moved(pitched(), "B2", x=23.0), []),
        ("a joint 25 mm off is not", moved(pitched(), "B2", x=25.0), ["twin-moved"]),
        ("the middle joint stands off the middle", moved(pitched(), "T3", x=80.0), ["twin-moved"]),
        ("a bearing more on one side", supported(pitched(), B0=PIN, B6=ROLLER, B2=ROLLER),
         ["bearing-without-twin"]),
        ("one end held in x alone is how bearings are", supported(pitched(), B0=PIN, B6=Support(holds=("y",))),
         []),
        ("a chord cut on one side only",
         pitched(bottom=stick("B0", "B1", "B2"), b2=stick("B2", "B3", "B4", "B5", "B6")), []),
    ],
)  # fmt: skip
def test_what_has_no_twin(says: str, truss: Truss, expected: list[str]) -> None:
    assert codes(truss) == expected, says


def test_a_purlin_point_on_one_side_is_no_fault() -> None:
    truss = pitched(left=stick("B0", "S1", "T1", "T2", "T3", role="top-chord"))
    assert lonely(replace(truss, joints={**truss.joints, JointId("S1"): Joint(x=1000.0, y=500.0)})) == []


def test_another_section_or_material_is_told_once_for_a_pair() -> None:
    truss = pitched(p1=replace(stick("B1", "T1", role="web"), section=SectionId("old"), material=None))
    other = replace(truss, sections={**truss.sections, SectionId("old"): replace(BALK, depth=140.0)})
    assert lonely(other) == [
        (
            "twin-differs",
            "p1 and p5 are twins, but differ in section and material: p1 is old, without material and p5 is s, m.",
        )
    ]


def test_a_section_of_another_name_and_the_same_size_is_the_same() -> None:
    truss = pitched(p1=replace(stick("B1", "T1", role="web"), section=SectionId("again")))
    again = replace(BALK, label="150x250", notes={"seen": "from below"})
    assert lonely(replace(truss, sections={**truss.sections, SectionId("again"): again})) == []


def parallel(*braces: tuple[str, str]) -> Truss:
    """Six panels of parallel chords with the braces given."""
    return build(
        joints={f"{row}{k}": (k * 2000.0, 2000.0 * (row == "T")) for row in "BT" for k in range(7)},
        members={
            "bottom": stick(*(f"B{k}" for k in range(7)), role="bottom-chord"),
            "top": stick(*(f"T{k}" for k in range(7)), role="top-chord"),
            **{f"p{k}": stick(f"B{k}", f"T{k}", role="web") for k in range(7)},
            **{f"d{k}": stick(*pair, role="web") for k, pair in enumerate(braces)},
        },
        supports={"B0": PIN, "B6": ROLLER},
        cases={},
    )


def test_braces_that_all_lean_one_way_are_a_design() -> None:
    assert lonely(parallel(*((f"B{k}", f"T{k + 1}") for k in range(6)))) == []


def test_a_single_brace_across_the_middle_panel_is_a_design() -> None:
    five = parallel(("T0", "B1"), ("T1", "B2"), ("T2", "B3"), ("B3", "T4"), ("B4", "T5"), ("B5", "T6"))
    assert lonely(five) == []


def test_one_brace_left_out_of_those_that_lean_to_the_middle_is_told() -> None:
    found = lonely(parallel(("T0", "B1"), ("T1", "B2"), ("T2", "B3"), ("B3", "T4"), ("B4", "T5")))
    assert [says for _, says in found] == [
        (
            "d0 from T0 to B1 has no twin: no member runs from T6 to B5, though the truss is otherwise alike on "
            "both sides."
        )
    ]


LEANING = (("T0", "B1"), ("T1", "B2"), ("T2", "B3"), ("B3", "T4"), ("B4", "T5"), ("B5", "T6"))


def test_a_brace_that_leans_against_its_own_is_told_once_with_its_mirror_image() -> None:
    (found,) = symmetry(subject_of(parallel(*LEANING[:4], ("T4", "B5"), LEANING[5]), "continuous"))
    assert found.code == "twin-turned"
    assert found.where == ("/members/d1", "/members/d4", "/joints/T1", "/joints/B2", "/joints/T4", "/joints/B5")
    assert found.says.startswith("d1 from T1 to B2 and d4 from T4 to B5 brace twin panels and lean the same way")
    assert found.do == (
        "Look which way each runs: the mirror image of d1 runs from T5 to B4, that of d4 from T2 to B1."
    )


@pytest.mark.parametrize(
    ("says", "braces", "expected"),
    [
        ("two pairs lean with theirs and one does not", [*LEANING[:5], ("T5", "B6")], ["twin-turned"]),
        ("one pair does and two do not: some other design", [*LEANING[:4], ("T4", "B5"), ("T5", "B6")], []),
        ("none does", [*LEANING[:3], ("T3", "B4"), ("T4", "B5"), ("T5", "B6")], []),
    ],
)
def test_braces_that_lean_one_way_are_a_design_unless_most_lean_as_twins(
    says: str, braces: list[tuple[str, str]], expected: list[str]
) -> None:
    assert codes(parallel(*braces)) == expected, says


def test_half_a_top_chord_gone_is_one_finding_for_the_whole_stick() -> None:
    whole = pitched()
    half = replace(whole, members={name: m for name, m in whole.members.items() if name != "left"})
    ((code, says),) = lonely(half)
    assert code == "missing-twin"
    assert says == (
        "right from T3 to B6 has no twin: no member runs from T3 past T2 and T1 to B0, though the truss is "
        "otherwise alike on both sides."
    )


def test_a_lean_to_is_not_held_to_be_symmetric() -> None:
    mono = {
        name: Joint(x=joint.x, y=joint.x / 4 if name.startswith("T") else 0.0)
        for name, joint in pitched().joints.items()
    }
    assert lonely(replace(pitched(), joints=mono)) == []


def test_a_joint_without_twin_names_its_members() -> None:
    truss = pitched(extra=stick("J9", "T4", role="web"), other=stick("J9", "B4", role="web"))
    found: list[Finding] = list(
        symmetry(
            subject_of(
                replace(truss, joints={**truss.joints, JointId("J9"): Joint(x=9000.0, y=5000.0)}), "continuous"
            )
        )
    )
    assert [finding.where for finding in found] == [("/joints/J9", "/members/extra", "/members/other")]

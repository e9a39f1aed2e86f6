"""Bracing, butts, species and size class, both ways and at the limit."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.audit.forms import BALK, TIMBER, pitched
from tests.audit.spoilt import surveyed
from tests.trusses import THREE_HINGED_ARCH, stick
from trussio.audit.grading import BEYOND, E_PSI, MPA_PER_PSI, grading
from trussio.audit.splices import APART, butts, splices
from trussio.audit.stick_records import bracing, surroundings
from trussio.audit.subject import subject_of
from trussio.model.connection import Butt
from trussio.model.material import Material, Section
from trussio.model.site import Site
from trussio.model.truss import Joint, JointId, MaterialId, Member, MemberId, SectionId, Truss

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.connection import Brace
    from trussio.model.site import Seen

ARCH, LEFT = THREE_HINGED_ARCH.truss, MemberId("left")


def codes(truss: Truss) -> list[str]:
    subject = subject_of(truss, "continuous")
    return [finding.code for rule in (bracing, butts, grading) for finding in rule(subject)]


def made_of(material: Material, section: Section = BALK) -> Truss:
    return replace(pitched(), materials={MaterialId("m"): material}, sections={SectionId("s"): section})


def test_chords_recorded_and_seen_are_silent() -> None:
    assert codes(pitched()) == []


@pytest.mark.parametrize(
    ("records", "expected", "words"),
    [
        ({name: {"braced": None} for name in ("bottom", "left", "right")}, ["bracing-not-recorded"],
         "What holds bottom, left and right out of the plane is not recorded."),
        ({"left": {"braced": None}}, ["bracing-not-recorded"],
         "What holds left out of the plane is not recorded, though it is for other chords."),
        ({"left": {"braced": ()}, "right": {"braced": None}}, ["bracing-not-recorded", "unbraced-chord"],
         "What holds right out of the plane"),
        ({"p1": {"braced": ()}}, [], ""),
    ],
    ids=["no chord", "one chord", "one found bare", "webs are not asked about"],
)  # fmt: skip
def test_bracing_is_always_asked_for(
    records: Mapping[str, Mapping[str, tuple[Brace, ...] | None]], expected: list[str], words: str
) -> None:
    truss = surveyed(**records)
    assert codes(truss) == expected
    assert "".join(finding.says for finding in bracing(subject_of(truss, "continuous"))).startswith(words)


@pytest.mark.parametrize(
    ("braces", "columns", "where"),
    [
        (None, None, ("/site", "/site")),
        ("none", "not-seen", ("/site/columns",)),
        ("not-seen", "in-model", ("/site/knee_braces",)),
        ("in-model", "none", None),
    ],
)
def test_knee_braces_and_columns_are_as_given_or_asked_about(
    braces: Seen | None, columns: Seen | None, where: tuple[str, ...] | None
) -> None:
    site = Site(edition="en1991", spacing=4000.0, knee_braces=braces, columns=columns)
    found = [finding.where for finding in surroundings(subject_of(replace(pitched(), site=site), "continuous"))]
    assert found == ([] if where is None else [where])
    assert list(surroundings(subject_of(pitched(), "continuous"))) == []


@pytest.mark.parametrize(
    ("ply", "at", "expected"),
    [
        (2, 4000.0 + APART, []),
        (2, 4000.0 + APART - 1, ["butts-close"]),
        (1, 4000.0 + APART - 1, []),
        (2, JointId("B2"), ["butts-close"]),
        (2, JointId("B3"), []),
    ],
    ids=["just far enough", "a millimetre less", "the same ply again", "at the joint beside", "a panel further"],
)
def test_butts_of_two_plies_keep_apart(ply: int, at: float | JointId, expected: list[str]) -> None:
    truss = surveyed(bottom={"butts": (Butt(ply=1, at=4000.0), Butt(ply=ply, at=at))})
    assert codes(truss) == expected


@pytest.mark.parametrize(
    ("left", "expected"),
    [
        (ARCH.members[LEFT], ["splice-in-bent-chord"]),
        (replace(ARCH.members[LEFT], fixed=("last",)), []),
        (replace(ARCH.members[LEFT], curve=None), []),
        (replace(ARCH.members[LEFT], role="web"), []),
    ],
    ids=["two arcs", "one fixed at its end", "one straight: a knee", "no chord"],
)
def test_a_splice_in_a_bent_chord_is_asked_about(left: Member, expected: list[str]) -> None:
    truss = replace(ARCH, members={**ARCH.members, LEFT: left})
    assert [finding.code for finding in splices(subject_of(truss, "continuous"))] == expected


def test_a_bent_chord_spliced_where_a_web_meets_it_is_silent() -> None:
    joints = {**ARCH.joints, JointId("O"): Joint(x=0.0, y=0.0)}
    post = stick("O", "C", role="web")
    truss = replace(ARCH, joints=joints, members={**ARCH.members, MemberId("post"): post})
    assert list(splices(subject_of(truss, "continuous"))) == []


@pytest.mark.parametrize("species", sorted(E_PSI))
@pytest.mark.parametrize(("end", "factor"), [(0, 1 / BEYOND), (1, BEYOND)])
def test_stiffness_may_lie_a_sixth_beyond_the_tables(species: str, end: int, factor: float) -> None:
    limit = E_PSI[species][end] * MPA_PER_PSI * factor
    further = 0.999 if end == 0 else 1.001
    timber = replace(TIMBER, species=species.title())
    assert codes(made_of(replace(timber, E=limit * (2 - further)))) == []
    assert codes(made_of(replace(timber, E=limit * further))) == ["species-stiffness"]
    assert codes(made_of(replace(timber, E=limit * further, kind="glulam"))) == []


def test_a_species_that_no_table_names_is_not_judged() -> None:
    assert codes(made_of(replace(TIMBER, species="Invented fir", E=1.0))) == []


@pytest.mark.parametrize(
    ("size_class", "thin", "expected"),
    [
        ("dimension", 4.4 * 25.4, []),
        ("dimension", 4.5 * 25.4, ["wrong-size-class"]),
        ("beams-and-stringers", 4.0 * 25.4, ["wrong-size-class"]),
        ("posts-and-timbers", 4.1 * 25.4, []),
        ("heartwood", 20.0, []),
    ],
)
def test_size_classes_go_by_the_thickness_of_a_ply(size_class: str, thin: float, expected: list[str]) -> None:
    material, section = replace(TIMBER, size_class=size_class), replace(BALK, width=thin)
    assert codes(made_of(material, section)) == expected

"""Labels against sizes: of sections and of sticks, both ways and at the limit, and which side is the deep one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.audit.forms import BALK, pitched
from trussio.audit.sections import sections
from trussio.audit.subject import subject_of
from trussio.model.material import Section
from trussio.model.truss import MemberId, SectionId, Truss


def codes(truss: Truss) -> list[tuple[str, str]]:
    found = sections(subject_of(truss, "continuous"))
    return [(finding.code, finding.where[0]) for finding in found]


def sized(section: Section) -> Truss:
    return replace(pitched(), sections={SectionId("s"): section})


def labelled(label: str, section: Section = BALK) -> Truss:
    truss = sized(section)
    brace = replace(truss.members[MemberId("d2")], label=label)
    return replace(truss, members={**truss.members, MemberId("d2"): brace})


@pytest.mark.parametrize(
    ("says", "section", "expected"),
    [
        ("upright as its label says", replace(BALK, label="140x240"), []),
        ("the other way round", replace(BALK, width=240.0, depth=200.0, label="200x240"), ["section-lies-flat"]),
        ("meant to lie flat", replace(BALK, width=240.0, depth=200.0, label="240x200"), []),
        ("a square", replace(BALK, width=140.0, depth=140.0, label="140x140"), []),
        ("two hundredths wider than deep", replace(BALK, width=204.0, depth=200.0, label="200x204"), []),
        ("without a label only much wider counts", replace(BALK, width=240.0, depth=200.0), []),
    ],
)
def test_a_label_tells_which_side_is_deep(says: str, section: Section, expected: list[str]) -> None:
    assert [code for code, _ in codes(sized(section))] == expected, says


@pytest.mark.parametrize(
    ("label", "expected"),
    [
        ("140x240", []),
        ("240 x 140", []),
        ("75x150", [("label-disagrees", "/members/d2/label")]),
        ("2-140x240", [("label-disagrees", "/members/d2/label")]),
        ("rod", []),
    ],
)
def test_the_label_of_a_stick_is_held_against_its_section(label: str, expected: list[tuple[str, str]]) -> None:
    assert codes(labelled(label)) == expected


def test_a_stick_that_is_labelled_as_its_section_is_told_once() -> None:
    wrong = replace(BALK, label="75x150")
    assert codes(labelled("75x150", wrong)) == [("label-disagrees", "/sections/s/label")]

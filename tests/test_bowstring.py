"""The curved-top sample under unbalanced snow: what is over, why, and how the sentence follows the document."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import trussio
from trussio.assess import assess
from trussio.model.condition import Severed
from trussio.model.truss import MemberId, SectionId
from trussio.timber.review import review

if TYPE_CHECKING:
    from trussio.model.standing import Checks, Standing
    from trussio.model.truss import Truss

NAME = "hall-truss-2.json"
BOTTOM = MemberId("bottom")


def hall() -> Truss:
    return trussio.read_truss((Path(__file__).parent.parent / "samples" / "hall" / NAME).read_bytes(), name=NAME)


def checked(truss: Truss) -> Checks:
    return trussio.check(truss, trussio.calculate(truss, digest=trussio.digest_of_truss(truss)))


def standing(checks: Checks, element: str) -> Standing:
    [found] = [one for one in checks.standings if one.element == element]
    return found


def why(one: Standing) -> dict[str, str]:
    return {cause.rule: cause.says for cause in one.causes}


@pytest.fixture(scope="module")
def as_drawn() -> Checks:
    return checked(hall())


def test_a_web_is_over_by_slenderness_under_snow_on_one_side(as_drawn: Checks) -> None:
    for element, run in (("w5:B3-T3", "D+SL"), ("w9:B5-T5", "D+SR")):
        one = standing(as_drawn, element)
        assert (one.verdict, one.governs.run) == ("not met", run)
        assert one.governs.what == "slenderness"
        assert why(one)["too-slender"].startswith("It is too slender for a strut, whatever the load: 90.38 in.")
        assert why(one)["sign-changed"].startswith("Its force has changed sign: with the load even (run D+S)")


def test_and_by_buckling_too() -> None:
    truss = hall()
    results = trussio.calculate(truss, digest=trussio.digest_of_truss(truss))
    over = [
        check
        for check in review(truss, results)
        if check.element == "w5:B3-T3" and check.what == "compression with buckling" and check.verdict == "not met"
    ]
    assert [check.run for check in over] == ["D+SL"]


def test_the_bottom_chord_is_over_by_tension_with_bending_next_to_its_splice(as_drawn: Checks) -> None:
    one = standing(as_drawn, "bottom:B2-B3")
    assert one == as_drawn.standings[0]
    assert one.governs.what == "tension with bending at the butt of ply 1 at 205"
    assert one.verdict == "not met"
    told = why(one)
    assert told["splice"].startswith("Ply 1 is cut on it, 22.7 in. from where it bends most")
    assert "by what brings cut plies past their butts) of its 2 plies' 37.9 k" in told["cut-ply"]
    truss = hall()
    results = trussio.calculate(truss, digest=trussio.digest_of_truss(truss))
    runs = {
        check.run
        for check in review(truss, results)
        if check.element == one.element and check.what == one.governs.what and check.verdict == "not met"
    }
    assert runs == {"D+S", "D+SL", "D+SR"}


def test_without_the_splice_neither_it_nor_its_sentence_stands_there() -> None:
    truss = hall()
    members = {**truss.members, BOTTOM: replace(truss.members[BOTTOM], butts=None)}
    one = standing(checked(replace(truss, members=members)), "bottom:B2-B3")
    assert one.verdict != "not met"
    assert not {"splice", "cut-ply"} & set(why(one))


def test_a_stouter_web_is_no_longer_explained_by_slenderness() -> None:
    truss = hall()
    stout = SectionId("3x6")
    members = {**truss.members, MemberId("w5"): replace(truss.members[MemberId("w5")], section=stout)}
    one = standing(checked(replace(truss, members=members)), "w5:B3-T3")
    assert one.verdict == "met"
    assert "too-slender" not in why(one)


def test_on_good_wood_the_same_chord_is_not_explained_by_its_old_stamp(as_drawn: Checks) -> None:
    """Tension stated as graded in place is told as stated; where the stamp says the same nothing is told."""
    assert "old-stamp" in why(standing(as_drawn, "bottom:B1-B2"))
    truss = hall()

    def told(stamp: str) -> dict[str, str]:
        graded = {
            name: replace(material, grade=stamp, reference={**(material.reference or {}), "Ft": 660.0})
            for name, material in truss.materials.items()
        }
        return why(standing(checked(replace(truss, materials=graded)), "bottom:B1-B2"))

    assert "and counts 660 psi as stated: by the value" in told("1200f")["old-stamp"]
    same = told("660f")
    assert "axial-or-bending" in same
    assert "old-stamp" not in same


def test_the_whole_chain_tells_what_was_found_broken_and_so_does_the_page() -> None:
    web = Severed(member=MemberId("w4"), at=60.0, seen="broken through")
    truss = replace(hall(), condition={"b1": web})
    digest = trussio.digest_of_truss(truss)
    made = assess(truss, name=NAME, digest=digest)
    assert made.checks is not None
    assert made.checks == checked(truss)
    [one] = made.checks.failures
    assert (one.condition, one.built.element) == ("/condition/b1", "w4:B2-T3")
    assert "Found broken, and how it stood as built" in trussio.page(made)
    sound = assess(hall(), name=NAME, digest=trussio.digest_of_truss(hall()))
    assert "Found broken" not in trussio.page(sound)

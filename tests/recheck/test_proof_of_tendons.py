"""Proofs beside tendons: what is jacked and what comes after add up; a leg that may have to push is not told."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from hashlib import sha256
from math import exp, pi
from typing import TYPE_CHECKING, Any

import pytest

from tests.analysis.staged import stages, stressed, tendon
from tests.recheck.test_proof import written
from tests.recheck.test_proof_of_connections import P, straight
from tests.recheck.truth import truth
from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.document.encode import write_truss
from trussio.errors import CannotAnalyseError
from trussio.model.loading import RunId
from trussio.model.material import Section
from trussio.model.staging import PutOn
from trussio.model.tendon import Point, Tendon
from trussio.model.truss import JointId, MaterialId, Member, MemberId, SectionId
from trussio.recheck.alone import checker
from trussio.recheck.holding import stations_of
from trussio.recheck.proof import Proved, check, main
from trussio.recheck.prove import prove
from trussio.recheck.stages import staged_forces
from trussio.recheck.tendons import Tendon as Way
from trussio.recheck.tendons import leg_forces

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from trussio.model.truss import Idealisation, Truss

D, PT = RunId("D"), RunId("PT")


def proof_of(truss: Truss, idealisation: Idealisation = "continuous") -> dict[str, Any]:
    proof: dict[str, Any] = json.loads(prove(truss, write_truss(truss).encode(), idealisation=idealisation))
    return proof


def proved(truss: Truss, idealisation: Idealisation = "continuous") -> dict[str, Proved]:
    return check(proof_of(truss, idealisation), write_truss(truss).encode())


def tied(*, acts: bool = True, least: bool = False) -> Truss:
    """A bar of 2000 with a tendon beside it that is as stiff as the bar, E A = 1e7; D pulls with 1000."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"old": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("B", fx=1000.0),)},
    )
    cable = tendon("A", "B", area=1000.0, E=1e4, acts="member" if acts else "force", sure=not least)
    made = stressed(truss, {"t": cable}, 600.0)
    more = {RunId("both"): {D: 1.0, PT: 1.0}, RunId("lifted"): {D: -2.0, PT: 1.0}}
    return replace(made, loads=replace(made.loads, combinations=more))


@pytest.mark.parametrize(("acts", "later"), [(True, 500.0), (False, 1000.0)])
def test_a_tendon_shares_what_comes_after_lock_off(acts: bool, later: float) -> None:  # noqa: FBT001  # a column
    found = proved(tied(acts=acts))
    assert list(found) == ["D", "PT", "both", "lifted"]
    for run, force in (("D", later), ("PT", -600.0), ("both", later - 600.0)):
        middle, width = found[run].forces["old:A-B"]
        assert abs(middle - force) <= width + 1e-9, run
        assert width < 1e-9 * found[run].largest


def test_a_run_of_the_least_force_has_all_losses() -> None:
    """0.15 of 600 goes with time where nobody says how much."""
    found = proved(tied(least=True))
    assert list(found) == ["D", "PT", "PT (least)", "both", "both (least)", "lifted", "lifted (least)"]
    assert found["PT (least)"].forces["old:A-B"][0] == pytest.approx(-510.0)
    assert found["both (least)"].forces["old:A-B"][0] == pytest.approx(500.0 - 510.0)


def test_a_tendon_that_would_have_to_push_is_not_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Twice D the other way takes 1000 from the 600 of the tendon: it would go slack."""
    truss = tied()
    document = write_truss(truss).encode()
    assert check(proof_of(truss), document)["lifted"].forces == {}
    assert main(written(tmp_path, prove(truss, document, idealisation="continuous"), document)) == 1
    out = capsys.readouterr().out
    assert "lifted: cannot tell: no bound shows that no leg of the tendon t has to push.\n" in out
    assert "both: axial forces (continuous, as found) proved to" in out
    on_limit = replace(truss, loads=replace(truss.loads, combinations={RunId("limit"): {D: -1.2, PT: 1.0}}))
    assert proved(on_limit)["limit"].forces == {}
    short = replace(truss, loads=replace(truss.loads, combinations={RunId("less"): {D: -1.19999, PT: 1.0}}))
    assert proved(short)["less"].forces


def draped(seed: int, idealisation: Idealisation) -> Truss:
    """A generated truss with a tendon under it, off the axis of a stick in the middle, and a mere force."""
    rng = seeded(seed)
    truss = random_truss(rng, idealisation=idealisation, panels=6)
    us, middle = truss.units == "us", JointId("B3")
    over = [name for name, member in truss.members.items() if middle in member.through[1:-1]]
    turned = Point(middle, over[0], -20.0) if over and idealisation == "continuous" else Point(middle)
    made = Tendon(
        path=(Point(JointId("B1")), turned, Point(JointId("B5"))),
        area=0.4 if us else 300.0,
        E=2.9e7 if us else 2e5,
        wobble=1e-6,
        slip=rng.choice([None, 0.0, 0.01]),
        friction=rng.choice([None, 0.1]),
        loss=rng.choice([None, 0.0]),
        stressed=rng.choice(["first", "last"]),
    )
    other = Tendon(path=(Point(JointId("B0")), Point(JointId("B6"))), acts="force")
    truss = stressed(truss, {"t": made, "o": other}, 20000.0)
    more = {**truss.loads.combinations, RunId("all"): {D: 1.2, PT: 1.0, RunId("S"): 0.5}}
    return replace(truss, loads=replace(truss.loads, combinations=more))


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
@pytest.mark.parametrize("seed", range(4))
def test_generated_trusses_agree_with_least_energy(seed: int, idealisation: Idealisation) -> None:
    truss = draped(seed, idealisation)
    found = proved(truss, idealisation)
    own = staged_forces(truss, idealisation)
    assert [*own] == [*found]
    for run, of in own.items():
        assert not isinstance(of, str)
        for name, force in of.axial.items():
            middle, width = found[run].forces[name]
            assert width <= 1e-9 * of.size
            assert abs(force - middle) <= width + 1e-10 * of.size


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_the_truth_lies_within(idealisation: Idealisation) -> None:
    """To sixty figures: locked off, a straight tendon is a hinged bar between its points."""
    bends = idealisation == "continuous"
    for seed in range(3):
        truss = straight(seed, (), idealisation)
        first, last = JointId("B0"), JointId("B4")
        bar = Member(through=(first, last), section=SectionId("bar"), material=MaterialId("steel"))
        material = replace(next(iter(truss.materials.values())), E=2e5)
        barred = replace(
            truss,
            members={**truss.members, MemberId("bar"): bar},
            sections={**truss.sections, SectionId("bar"): Section(area=70.0, inertia=1.0)},
            materials={**truss.materials, MaterialId("steel"): material},
        )
        lines = {} if bends else {joint: (one, other) for joint, (one, other, _) in stations_of(barred).items()}
        known = truth(barred, P, bends=bends, stations=lines).axial
        made = stressed(truss, {"t": tendon(first, last, area=70.0, E=2e5, sure=True)}, 500.0)
        found = proved(made, idealisation)
        for name, force in known.items():
            if name != "bar:B0-B4":
                middle, width = found[P].forces[name]
                assert abs(force - Decimal(middle)) <= Decimal(width), (seed, name)
                assert width < 1e-8 * found[P].largest


@pytest.mark.parametrize(
    ("says", "change", "message"),
    [
        ("a part left out", lambda run: run["parts"].pop("after"), "does not tell both by what is jacked"),
        ("no parts", lambda run: run.pop("parts"), "does not tell both by what is jacked"),
        (
            "a tendon's force changed by a billionth",
            lambda run: run["parts"]["after"]["springs"]["t"].update(
                tendon=str(Fraction(run["parts"]["after"]["springs"]["t"]["tendon"]) * (1 + Fraction(1, 10**9)))
            ),
            "do not balance",
        ),
        ("no such force", lambda run: run["parts"]["after"]["springs"].pop("t"), "the springs are not those"),
        ("a path left out", lambda run: run["parts"]["jacked"]["paths"].clear(), "no path for B x"),
    ],
)
def test_a_proof_that_was_tampered_with_is_refused(
    says: str, change: Callable[[dict[str, Any]], object], message: str
) -> None:
    proof = proof_of(tied())
    change(proof["runs"]["both"])
    document = write_truss(tied()).encode()
    with pytest.raises(ValueError, match=message):
        pytest.fail(f"{says}: {check(proof, document)}")


def test_another_force_at_the_jack_is_refused_and_another_area_widens_the_bounds() -> None:
    proof, document = proof_of(tied()), json.loads(write_truss(tied()))

    def checked() -> dict[str, Proved]:
        other = json.dumps(document).encode()
        return check(proof | {"document": "sha256:" + sha256(other).hexdigest()}, other)

    assert checked()["both"].forces["old:A-B"][1] < 1e-6
    document["tendons"]["t"]["area"] *= 1.1
    of = checked()["D"]
    assert 0.01 < of.forces["old:A-B"][1] / of.largest < 0.2
    document["loads"]["cases"]["PT"]["loads"][0]["force"] *= 1 + 1e-9
    with pytest.raises(ValueError, match="In PT the forces do not balance"):
        checked()


def test_friction_and_draw_in_by_leg() -> None:
    """Turned twice by pi / 4; the draw-in takes the area between the lines of force, E A = 2e7."""
    way = Way([1414.0, 1000.0, 1414.0], [pi / 4, pi / 4], [{}, {}, {}])
    cable = {"friction": 0.2, "loss": 0.1, "area": 100.0, "E": 2e5}
    shares = [1.0, exp(-0.2 * pi / 4), exp(-0.2 * pi / 2)]
    assert leg_forces(cable, way, 1000.0, least=False) == pytest.approx([1000.0 * part for part in shares])
    assert leg_forces(cable, way, 1000.0, least=True) == pytest.approx([900.0 * part for part in shares])
    back = leg_forces({**cable, "stressed": "last"}, way, 1000.0, least=False)
    assert back == pytest.approx([1000.0 * part for part in shares[::-1]])
    after = leg_forces({**cable, "slip": 3e-3}, way, 1000.0, least=False)
    taken = sum(long * (1000 * was - now) for long, was, now in zip(way.lengths, shares, after, strict=True))
    assert taken == pytest.approx(3e-3 * 2e7)
    with pytest.raises(ValueError, match="takes all of the force"):
        leg_forces({**cable, "slip": 10.0}, way, 1000.0, least=False)


def test_a_tendon_off_the_axis_bends_the_stick_that_it_bears_on() -> None:
    """Off the axis of a stick that runs through, and refused where that would turn a hinge."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0)},
        members={"beam": stick("A", "M", "B", fixed=("first", "last"))},
        supports={"A": PIN, "B": ROLLER},
        cases={},
    )
    cable = tendon("A", "B", on="beam", offsets=(-50.0, -50.0), sure=True)
    made = stressed(truss, {"t": cable}, 600.0)
    proof = proof_of(made)
    for segment in ("beam:A-M", "beam:M-B"):
        parts = proof["runs"]["PT"]["parts"]["jacked"]["forces"][segment]
        assert [float(Fraction(part)) for part in parts] == pytest.approx([-0.6, -30000.0, -30000.0])
    assert check(proof, write_truss(made).encode())["PT"].forces
    hinged = replace(made, members={MemberId("beam"): stick("A", "M", "B")})
    with pytest.raises(CannotAnalyseError, match="turns the hinged end of beam"):
        proof_of(hinged)


def test_rods_that_carry_one_way_beside_tendons_are_refused_in_words() -> None:
    truss = tied()
    rod = replace(truss.members[MemberId("old")], acts="compression")
    with pytest.raises(
        CannotAnalyseError, match="Members that carry one way, or have play, beside tendons"
    ) as caught:
        proof_of(replace(truss, members={MemberId("old"): rod}))
    assert caught.value.code == "not-provable"


def test_stages_are_refused_in_words() -> None:
    truss = stages(tied(), (PutOn((D,)),))
    with pytest.raises(CannotAnalyseError, match="Stages are not covered") as caught:
        proof_of(truss)
    assert caught.value.code == "not-provable"


def test_as_one_file(tmp_path: Path) -> None:
    (tmp_path / "checker.py").write_text(checker(), encoding="utf-8")
    document = write_truss(tied()).encode()
    paths = written(tmp_path, prove(tied(), document, idealisation="continuous"), document)
    command = [sys.executable, "-I", "-S", str(tmp_path / "checker.py"), *paths]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (1, "")
    assert "both: axial forces (continuous, as found) proved to" in done.stdout

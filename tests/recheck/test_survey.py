"""Proofs of trusses as found: what a survey found is read by the checker itself, and the truth lies within."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import pytest

from tests.recheck.giving import surveyed
from tests.recheck.test_proof import written
from tests.recheck.test_proof_of_connections import P, straight
from tests.recheck.truth import truth
from tests.strategies import seeded
from tests.trusses import CLAMP, PIN, ROLLER, along, at_joint, build, stick
from trussio.document.encode import write_truss
from trussio.errors import CannotAnalyseError
from trussio.geometry import segment_length
from trussio.model.condition import Bow, Left, Lost, LostSection, Missing, Parted, Released, Severed
from trussio.model.material import Section
from trussio.model.truss import JointId, MemberId
from trussio.recheck.alone import checker
from trussio.recheck.energy import second_forces
from trussio.recheck.holding import stations_of
from trussio.recheck.proof import Proved, check
from trussio.recheck.prove import prove
from trussio.state import in_state

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from pathlib import Path
    from random import Random

    from trussio.model.condition import Condition
    from trussio.model.truss import Idealisation, State, Truss

LONG = 1000 * 2**0.5
KINDS = ("severed", "missing", "lost", "released", "parted", "bow")
MEMBER = MemberId("s")


def proof_of(truss: Truss, idealisation: Idealisation = "continuous", state: State = "found") -> dict[str, Any]:
    made = in_state(truss, state, idealisation=idealisation).truss
    text = prove(made, write_truss(truss).encode(), idealisation=idealisation, state=state)
    proof: dict[str, Any] = json.loads(text)
    return proof


def proved(truss: Truss, idealisation: Idealisation = "continuous") -> Mapping[str, Proved]:
    return check(proof_of(truss, idealisation), write_truss(truss).encode())


def found(truss: Truss, rng: Random, kinds: Sequence[str]) -> Truss:
    """A truss of which something was found, each on a stick of its own."""
    condition: dict[str, Condition] = {}
    for name, kind in zip(rng.sample(list(truss.members), len(kinds)), kinds, strict=True):
        member, section = truss.members[name], truss.section_of(name)
        segments = [segment for segment in truss.segments if segment.member == name]
        long = sum(segment_length(truss, segment) for segment in segments)
        start, end = sorted(rng.uniform(0, long) for _ in range(2))
        everywhere = rng.random() < 0.4
        assert section is not None
        left = Left(
            area=(section.gross_area or 0) * 0.6,
            inertia=(section.bending_inertia or 0) * 0.4,
            shift=rng.choice([0.0, 0.01 * long]),
        )
        bent = rng.choice(segments)
        entry: dict[str, Condition] = {
            "severed": Severed(member=name, at=rng.uniform(0.1, 0.9) * long, seen=""),
            "missing": Missing(member=name, seen=""),
            "lost": LostSection(
                member=name,
                what=left,
                start=None if everywhere else start,
                end=None if everywhere else end,
                seen="",
            ),
            "released": Released(member=name, at=rng.choice(member.through), seen=""),
            "parted": Parted(member=name, at=rng.choice(member.through), seen=""),
            "bow": Bow(member=name, by=rng.uniform(-0.01, 0.01) * long, between=(bent.first, bent.last), seen=""),
        }
        if kind != "bow" or member.curve is None:
            condition[f"found-{name}"] = entry[kind]
    return replace(truss, condition=condition)


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_generated_trusses_as_found_are_proved(idealisation: Idealisation) -> None:
    """Two findings each, arcs, ends beside joints, connections that give, all loads; what falls is passed by."""
    stood: Counter[str] = Counter()
    for seed in range(24):
        rng = seeded(seed)
        kinds = [KINDS[seed % 6], rng.choice(KINDS)]
        truss = surveyed(seed, ("offsets", "slip", "turning") if seed % 3 == 0 else (), idealisation)
        truss = found(truss, rng, kinds)
        try:
            forces = second_forces(
                in_state(truss, "found", idealisation=idealisation).truss, idealisation=idealisation
            )
        except CannotAnalyseError:
            continue
        stood.update(kinds)
        claims = proved(truss, idealisation)
        for run, of in forces.items():
            assert {*claims[run].forces} == {*of.axial}
            for name, force in of.axial.items():
                middle, width = claims[run].forces[name]
                assert width <= 1e-8 * of.size
                assert abs(force - middle) <= width + 1e-10 * of.size
    assert all(stood[kind] >= 2 for kind in KINDS)


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_the_truth_of_trusses_that_came_apart_lies_within(idealisation: Idealisation) -> None:
    """To sixty figures, of what the truss as found is; which parts stand is told by the records."""
    stood = 0
    for seed in range(12):
        truss = found(straight(seed, (), idealisation), seeded(seed), [("severed", "missing", "parted")[seed % 3]])
        there = in_state(truss, "found", idealisation=idealisation).truss
        try:
            second_forces(there, idealisation=idealisation)
        except CannotAnalyseError:
            continue
        stood += 1
        bends = idealisation == "continuous"
        lines = {joint: (one, other) for joint, (one, other, _) in stations_of(there).items()}
        known = truth(there, P, bends=bends, stations={} if bends else lines).axial
        claims = proved(truss, idealisation)["P"]
        for name, force in known.items():
            middle, width = claims.forces[name]
            assert abs(force - Decimal(middle)) <= Decimal(width), (seed, name)
    assert stood > 4


def test_a_cut_tie_and_a_stub() -> None:
    """A clamped stick that is cut: each half is a cantilever, and the load at the tip of one stays there."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0)},
        members={"s": stick("A", "B", fixed=("first", "last"))},
        supports={"A": CLAMP, "B": CLAMP},
        cases={"P": (along("s", 2.0),)},
    )
    cut = replace(truss, condition={"c1": Severed(member=MEMBER, at=400.0, seen="")})
    proof = proof_of(cut)
    assert list(proof["runs"]["P"]["forces"]) == ["s:A-c1.1", "s:c1.2-B"]
    claims = check(proof, write_truss(cut).encode())["P"]
    assert claims.largest == pytest.approx(600.0, rel=0.5)
    # down at the tip by q L^4 / 8 EI and turned by q L^3 / 6 EI, from any table of beams
    assert proof["runs"]["P"]["movements"]["c1.1"][1] == pytest.approx(-2 * 400**4 / 8 / 1e10)
    assert proof["runs"]["P"]["movements"]["c1.2"][1] == pytest.approx(-2 * 600**4 / 8 / 1e10)


def square(**entry: Condition) -> Truss:
    """A square with both diagonals, pulled to the right at a corner; what was found of it."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0), "D": (0.0, 1000.0)},
        members={
            **{name: stick(*name.upper()) for name in ("ab", "bc", "cd", "da", "ac")},
            "s": stick("B", "D"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("C", fx=1000.0),)},
    )
    return replace(truss, condition=entry)


SQUARE = square(
    c1=LostSection(member=MEMBER, what=Left(area=500.0, inertia=4e5, shift=3.0), start=300.0, end=900.0, seen=""),
    c2=Bow(member=MemberId("ac"), by=8.0, seen=""),
)


def relabelled(proof: dict[str, Any], document: dict[str, Any]) -> tuple[dict[str, Any], bytes]:
    other = json.dumps(document).encode()
    return proof | {"document": "sha256:" + sha256(other).hexdigest()}, other


@pytest.mark.parametrize(
    ("says", "change"),
    [
        ("area", lambda found: found["c1"]["left"].update(area=550.0)),
        ("shift", lambda found: found["c1"]["left"].update(shift=6.0)),
        ("place", lambda found: found["c1"].update(to=1000.0)),
        ("bow", lambda found: found["c2"].update(by=9.0)),
    ],
)
@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_a_survey_that_says_something_else_widens_the_bounds(
    idealisation: Idealisation, says: str, change: Callable[[dict[str, Any]], None]
) -> None:
    proof, document = proof_of(SQUARE, idealisation), json.loads(write_truss(SQUARE))
    before = check(*relabelled(proof, document))["P"]
    change(document["condition"])
    after = check(*relabelled(proof, document))["P"]
    assert max(width for _, width in before.forces.values()) < 1e-9 * before.largest
    assert 1e-4 < max(width for _, width in after.forces.values()) / after.largest < 1, says


@pytest.mark.parametrize(
    ("entry", "ac", "bd"),
    [
        ("c1", LONG / 1e7, (LONG - 600) / 1e7 + 600 / 5e6 + 3**2 * 600 / 4e9),
        ("c2", LONG / 1e7 * (1 - 16 / 3 * (8 / LONG) ** 2) + 8 / 15 * 8**2 * LONG / 1e10, LONG / 1e7),
    ],
)
def test_lost_section_and_bow_soften_a_diagonal_as_on_paper(entry: str, ac: float, bd: float) -> None:
    """One force X in BD is not told by equilibrium: with BD cut AC has 1000 root 2 and BC -1000.

    A pull of 1 in BD gives 1 in AC and -1 / root 2 in the sides, each 1000 / E A soft. AC or BD is softer: over
    600 mm by half the area and an axis 3 mm aside, by l / E A and e^2 l / E I; or as a parabola of 8 mm by
    8/15 f^2 L / E I, less its slopes squared by its L / E A (from memory; an integral of a line).
    """
    x = -(1000 * 2**0.5 * ac + 1000 / 2**0.5 * 1000 / 1e7) / (ac + bd + 4 / 2 * 1000 / 1e7)
    middle, width = proved(square(**{entry: SQUARE.condition[entry]}), "pinned")["P"].forces["s:B-D"]
    assert middle == pytest.approx(x, rel=1e-7)
    assert width < 1e-6


def test_a_proof_of_another_state_is_refused() -> None:
    """As built the tie is whole; a proof of the one does not balance or belong to the other."""
    cut = square(c1=Severed(member=MEMBER, at=700.0, seen=""))
    document = write_truss(cut).encode()
    for state, other in (("found", "built"), ("built", "found")):
        proof = proof_of(cut, "pinned", state)  # type: ignore[arg-type]  # one of the two
        assert check(proof, document)["P"].forces
        with pytest.raises((ValueError, LookupError)):
            check(proof | {"state": other}, document)
    with pytest.raises(ValueError, match="does not say whether it is of the truss as found or as built"):
        check(proof_of(cut, "pinned") | {"state": "seen"}, document)


@pytest.mark.parametrize(
    ("says", "change"),
    [
        ("a hair away", lambda found: found["c1"].update(at=500.0 + 1e-9)),
        ("and a hinge", lambda found: found.update(c2={"kind": "released", "member": "s", "at": "M", "seen": ""})),
    ],
)
def test_a_cut_elsewhere_is_refused(says: str, change: Callable[[dict[str, Any]], None]) -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0)},
        members={"s": stick("A", "M", "B"), "t": stick("A", "M")},
        supports={"A": PIN, "B": ROLLER, "M": ROLLER},
        cases={"P": (along("s", 2.0),)},
    )
    truss = replace(truss, condition={"c1": Severed(member=MEMBER, at=500.0, seen="")})
    proof, document = proof_of(truss), json.loads(write_truss(truss))
    assert check(*relabelled(proof, document))
    change(document["condition"])
    proof, other = relabelled(proof, document)
    with pytest.raises((ValueError, LookupError), match=r"do not balance|does not run through the sticks"):
        pytest.fail(f"{says}: {check(proof, other)}")


def test_lost_depth_width_and_plies_are_read_from_a_rectangle() -> None:
    """Of 2 plies of 50 x 200, without 20 of depth above, 5 of width and a ply, 45 x 180 is left, 10 lower."""
    truss = square(c1=LostSection(member=MEMBER, what=Lost(plus_y=20.0, width=5.0, plies=1), seen=""))
    rectangle = Section(width=50.0, depth=200.0, plies=2, arranged="beside", joined="nailed")
    truss = replace(truss, sections=dict.fromkeys(truss.sections, rectangle))
    left = square(
        c1=LostSection(member=MEMBER, what=Left(area=45.0 * 180, inertia=45.0 * 180**3 / 12, shift=-10.0), seen="")
    )
    left = replace(left, sections=truss.sections)
    one, other = (proved(of, "pinned")["P"].forces for of in (truss, left))
    for name, (force, width) in one.items():
        assert abs(force - other[name][0]) <= width + other[name][1] + 1e-12 * abs(force)
    assert one["s:B-D"][0] != proved(replace(truss, condition={}), "pinned")["P"].forces["s:B-D"][0]


def test_a_joint_that_nothing_meets_any_more() -> None:
    """Loaded, its bearing takes the load; unloaded, it is gone."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (500.0, 500.0), "E": (2000.0, 0.0)},
        members={name: stick(*name.upper()) for name in ("ab", "ac", "bc", "be")},
        supports={"A": PIN, "B": ROLLER, "E": PIN},
        cases={"P": (at_joint("E", fx=10.0), at_joint("C", fy=-100.0)), "Q": (at_joint("C", fy=-100.0),)},
    )
    gone = replace(truss, condition={"c1": Missing(member=MemberId("be"), seen="")})
    proof = proof_of(gone, "pinned")
    assert "E" in proof["runs"]["P"]["movements"]
    assert check(proof, write_truss(gone).encode())["P"].forces["ac:A-C"][0] == pytest.approx(-(0.5**0.5) * 100)
    cases = {name: case for name, case in gone.loads.cases.items() if name == "Q"}
    unloaded = replace(gone, loads=replace(gone.loads, cases=cases))
    proof = proof_of(unloaded, "pinned")
    assert JointId("E") not in proof["runs"]["Q"]["movements"]
    assert check(proof, write_truss(unloaded).encode())


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_as_one_file_with_all_that_few_documents_need(idealisation: Idealisation, tmp_path: Path) -> None:
    """What the package loads when a document needs it stands in the one file: it says the same, word for word."""
    truss = surveyed(2, ("acts", "play", "slip", "turning", "offsets"), idealisation)
    name = next(name for name, member in truss.members.items() if member.role == "bottom-chord")
    lost = Left(area=1e5, inertia=1e9, shift=0.5)
    truss = replace(truss, condition={"c1": LostSection(member=name, what=lost, start=1.0, end=9.0, seen="")})
    (tmp_path / "checker.py").write_text(checker(), encoding="utf-8")
    there = in_state(truss, "found", idealisation=idealisation).truss
    document = write_truss(truss).encode()
    paths = written(tmp_path, prove(there, document, idealisation=idealisation), document)
    alone, module = (
        subprocess.run([sys.executable, *how, *paths], capture_output=True, text=True, check=False, cwd=where)
        for how, where in (
            (["-I", "-S", str(tmp_path / "checker.py")], tmp_path),
            (["-m", "trussio.recheck.proof"], None),
        )
    )
    assert (alone.returncode, alone.stdout, alone.stderr) == (module.returncode, module.stdout, module.stderr)
    assert "proved to" in alone.stdout

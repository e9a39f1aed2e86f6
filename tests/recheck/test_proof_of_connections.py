"""Proofs of ends beside joints, connections that give, stations: the truth to sixty figures, and tampering."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import pytest

from tests.recheck.giving import surveyed
from tests.recheck.truth import truth
from tests.strategies import random_truss, seeded
from tests.trusses import PIN, PURLIN_POINT, ROLLER, along, at_joint, build, stick
from trussio.document.encode import write_truss
from trussio.errors import CannotAnalyseError
from trussio.model.loading import Load, LoadCase, Loads, RunId
from trussio.model.truss import Support
from trussio.recheck.energy import second_forces
from trussio.recheck.holding import stations_of
from trussio.recheck.proof import Proved, check
from trussio.recheck.prove import prove
from trussio.recheck.statement import structure_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from trussio.model.truss import Idealisation, Truss

P = RunId("P")


def proved(truss: Truss, idealisation: Idealisation = "continuous") -> Mapping[str, Proved]:
    document = write_truss(truss).encode()
    return check(json.loads(prove(truss, document, idealisation=idealisation)), document)


def plain(truss: Truss) -> Truss:
    """The same on bearings along axes and without shear, with loads at joints and along sticks alone."""
    rng = seeded(len(truss.joints))
    supports = {
        name: replace(support, holds=tuple(hold if isinstance(hold, str) else "y" for hold in support.holds))
        for name, support in truss.supports.items()
    }
    loads: list[Load] = [at_joint(name, fx=rng.uniform(-9, 9), fy=rng.uniform(-99, 9)) for name in truss.joints]
    loads += [along(name, rng.uniform(0.01, 0.1)) for name in truss.members]
    materials = {name: replace(material, G=None) for name, material in truss.materials.items()}
    return replace(
        truss,
        units="si",
        materials=materials,
        supports=supports,
        loads=Loads(cases={P: LoadCase(loads=tuple(loads))}),
    )


CASES: list[tuple[Idealisation, tuple[str, ...]]] = [
    ("continuous", ("offsets",)),
    ("continuous", ("slip", "turning")),
    ("continuous", ("offsets", "slip", "turning")),
    ("pinned", ()),
    ("pinned", ("slip",)),
]


def straight(seed: int, what: tuple[str, ...], idealisation: Idealisation) -> Truss:
    truss = surveyed(seed, what, idealisation, panels=4)
    return plain(replace(truss, members={name: replace(m, curve=None) for name, m in truss.members.items()}))


@pytest.mark.parametrize(("idealisation", "what"), CASES)
@pytest.mark.parametrize("seed", range(4))
def test_the_truth_lies_within_what_is_proved(
    seed: int, idealisation: Idealisation, what: tuple[str, ...]
) -> None:
    truss = straight(seed, what, idealisation)
    stations = {joint: (one, other) for joint, (one, other, _) in stations_of(truss).items()}
    bends = idealisation == "continuous"
    known = truth(truss, P, bends=bends, stations={} if bends else stations).axial
    assert bends or stations
    found = proved(truss, idealisation)["P"]
    assert {*known} == {*found.forces}
    for name, force in known.items():
        middle, width = found.forces[name]
        assert abs(force - Decimal(middle)) <= Decimal(width), name
        assert width <= 2e-9 * found.largest


@pytest.mark.parametrize(("idealisation", "what"), CASES)
@pytest.mark.parametrize("seed", range(4, 8))
def test_generated_trusses_with_arcs_and_every_load_are_proved(
    seed: int, idealisation: Idealisation, what: tuple[str, ...]
) -> None:
    truss = surveyed(seed, what, idealisation)
    found = proved(truss, idealisation)
    for run, forces in second_forces(truss, idealisation=idealisation).items():
        for name, force in forces.axial.items():
            middle, width = found[run].forces[name]
            assert width <= 1e-9 * forces.size
            assert abs(force - middle) <= width + 1e-10 * forces.size


def test_generated_pinned_trusses_have_stations() -> None:
    assert sum(bool(stations_of(random_truss(seeded(seed), idealisation="pinned"))) for seed in range(4, 8)) >= 3


SURVEYED = straight(2, ("offsets", "slip", "turning"), "continuous")
DOCUMENT = write_truss(SURVEYED).encode()
PROOF: dict[str, Any] = json.loads(prove(SURVEYED, DOCUMENT, idealisation="continuous"))


def widest(change: Callable[[dict[str, Any]], None]) -> float:
    """The widest bound, as a part of the largest force, where the document says something else than was proved."""
    document = json.loads(DOCUMENT)
    change(document)
    other = json.dumps(document).encode()
    found = check(PROOF | {"document": "sha256:" + sha256(other).hexdigest()}, other)["P"]
    return max(width for _, width in found.forces.values()) / found.largest


@pytest.mark.parametrize("what", ["slip", "turning"])
def test_a_connection_a_tenth_stiffer_than_was_proved_widens_the_bounds(what: str) -> None:
    def stiffer(document: dict[str, Any]) -> None:
        for member in document["members"].values():
            member[what] = {end: by * 1.1 for end, by in member.get(what, {}).items()}

    assert widest(lambda _: None) < 1e-9
    assert 1e-3 < widest(stiffer) < 1.0


def test_an_axis_that_ends_a_hair_elsewhere_is_refused() -> None:
    def shifted(document: dict[str, Any]) -> None:
        member = next(member for member in document["members"].values() if member.get("offsets", {}).get("first"))
        member["offsets"]["first"][1] += 1e-9

    with pytest.raises(ValueError, match="In P the forces do not balance"):
        widest(shifted)


def test_a_station_that_moves_off_its_line_changes_nothing_and_one_elsewhere_is_refused() -> None:
    truss = PURLIN_POINT.truss
    document = write_truss(truss).encode()
    proof = json.loads(prove(truss, document, idealisation="pinned"))
    (station,) = stations_of(truss)
    before = check(proof, document)
    for name, force in PURLIN_POINT.axial.items():
        middle, width = before["P"].forces[name]
        assert abs(middle - force) <= width + 1e-12 * abs(force)
    truth = proof["runs"]["P"]["movements"][station]
    line = next(m.through for m in truss.members.values() if station in m.through[1:-1])
    along_x, along_y = (
        truss.joints[line[-1]].x - truss.joints[line[0]].x,
        truss.joints[line[-1]].y - truss.joints[line[0]].y,
    )
    proof["runs"]["P"]["movements"][station] = [truth[0] - along_y, truth[1] + along_x]
    after = check(proof, document)["P"]
    assert max(width for _, width in after.forces.values()) < 1e-9 * after.largest
    other = json.loads(document)
    other["joints"][station]["x"] *= 1 + 1e-9
    other["joints"][station]["y"] *= 1 + 1e-9
    moved = json.dumps(other).encode()
    with pytest.raises(ValueError, match="In P the forces do not balance"):
        check(proof | {"document": "sha256:" + sha256(moved).hexdigest()}, moved)


def test_an_end_moment_or_a_spring_force_changed_by_a_billionth_is_refused() -> None:
    joint = next(name for name in SURVEYED.joints if name not in SURVEYED.supports)
    truss = replace(SURVEYED, supports={**SURVEYED.supports, joint: Support(springs={"y": 100.0})})
    document = write_truss(truss).encode()
    text = prove(truss, document, idealisation="continuous")
    assert check(json.loads(text), document)
    proof = json.loads(text)
    forces = next(of for of in proof["runs"]["P"]["forces"].values() if len(of) == 3 and of[2] != "0")
    forces[2] = str(Fraction(forces[2]) * (1 + Fraction(1, 10**9)))
    with pytest.raises(ValueError, match="In P the forces do not balance"):
        check(proof, document)
    proof = json.loads(text)
    springs = proof["runs"]["P"]["springs"][joint]
    springs["y"] = str(Fraction(springs["y"]) * (1 + Fraction(1, 10**9)))
    with pytest.raises(ValueError, match=f"In P the forces do not balance: {joint} y"):
        check(proof, document)


def test_an_axis_beside_a_joint_that_does_not_turn_is_refused() -> None:
    beside = replace(stick("A", "B"), offsets={"last": (0.0, 50.0)})
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0)},
        members={"s": beside},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": ()},
    )
    document = write_truss(truss).encode()
    with pytest.raises(CannotAnalyseError, match="s ends beside B, where nothing shares the joint's rotation"):
        prove(truss, document, idealisation="continuous")
    assert structure_of(json.loads(document), continuous=False).segments

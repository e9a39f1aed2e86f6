"""Proofs of members that carry one way and of play: the truth lies within, or the checker cannot tell."""

from __future__ import annotations

import json
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
from tests.trusses import PIN, along, at_joint, build, stick
from trussio.document.encode import write_truss
from trussio.model.loading import LoadCase, RunId, Target, Warmer
from trussio.model.truss import Curve, JointId, MemberId, Support
from trussio.recheck.energy import least_energy
from trussio.recheck.holding import stations_of
from trussio.recheck.proof import Proved, check, main
from trussio.recheck.prove import prove
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from trussio.model.truss import Idealisation, Truss

LAST = MemberId("b")


def proof_of(truss: Truss, idealisation: Idealisation = "continuous") -> dict[str, Any]:
    proof: dict[str, Any] = json.loads(prove(truss, write_truss(truss).encode(), idealisation=idealisation))
    return proof


def proved(truss: Truss, idealisation: Idealisation = "continuous") -> dict[str, Proved]:
    return check(proof_of(truss, idealisation), write_truss(truss).encode())


@pytest.mark.parametrize("what", [("acts",), ("play",), ("acts", "play", "slip", "turning", "offsets")])
@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_generated_trusses_are_proved_or_not_told(idealisation: Idealisation, what: tuple[str, ...]) -> None:
    told: Counter[str] = Counter()
    for seed in range(6):
        truss = surveyed(seed, what, idealisation)
        found = least_energy(read(truss, idealisation=idealisation))
        for run, of in proved(truss, idealisation).items():
            told[of.why.split(":")[0]] += 1
            for name, force in found[RunId(run)].axial.items() if of.forces else ():
                middle, width = of.forces[name]
                assert width <= 1e-9 * found[RunId(run)].size
                assert abs(force - middle) <= width + 1e-10 * found[RunId(run)].size
    assert told[""] >= 15
    assert {*told} <= {"", "cannot tell", "not proved, since the proof has no such run"}


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_the_truth_with_what_is_slack_lies_within(idealisation: Idealisation) -> None:
    """To sixty figures with what is slack left out; and there too each sign is what the proof says."""
    slackened = 0
    for seed in range(10):
        truss = straight(seed, ("acts", "slip"), idealisation)
        if not any(member.acts for member in truss.members.values()):
            continue
        proof = proof_of(truss, idealisation)
        claims = check(proof, write_truss(truss).encode())["P"]
        if not claims.forces:
            continue
        slack = [name for name, side in proof["runs"]["P"]["acting"].items() if side == "loose"]
        slackened += len(slack)
        bends = idealisation == "continuous"
        lines = {} if bends else {joint: (one, other) for joint, (one, other, _) in stations_of(truss).items()}
        known = truth(truss, P, bends=bends, stations=lines, slack=slack)
        for name, force in known.axial.items():
            middle, width = claims.forces[name]
            assert abs(force - Decimal(middle)) <= Decimal(width), (seed, name)
        for segment in truss.segments:
            acts = truss.members[segment.member].acts
            if segment.id in slack:
                assert (known.longer[segment.id] < 0) == (acts == "tension")
            elif acts:
                assert (known.axial[segment.id] > 0) == (acts == "tension")
    assert slackened >= 3


def rods(fx: float, fy: float = 0.0) -> Truss:
    """A square with two rods across, pulled at a corner: the one that would be pushed is slack."""
    members = {name: stick(*name.upper()) for name in ("bc", "cd", "da")}
    members |= {name: replace(stick(*name.upper()), acts="tension") for name in ("ac", "bd")}
    return build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0), "D": (0.0, 1000.0)},
        members=members,
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("D", fx=fx, fy=fy),)},
    )


def test_of_two_rods_one_is_slack() -> None:
    for push, pulls, slack in ((1000.0, "ac:A-C", "bd:B-D"), (-1000.0, "bd:B-D", "ac:A-C")):
        proof = proof_of(rods(push), "pinned")
        assert proof["runs"]["P"]["acting"] == {pulls: "pulled", slack: "loose"}
        forces = check(proof, write_truss(rods(push)).encode())["P"].forces
        assert forces[slack] == (0.0, 0.0)
        middle, width = forces[pulls]
        assert abs(middle - 1000 * 2**0.5) <= width + 1e-9
        assert width < 1e-6


@pytest.mark.parametrize(
    ("says", "change", "message"),
    [
        (
            "the other way about",
            lambda run: run["acting"].update({"ac:A-C": "loose", "bd:B-D": "pulled"}),
            "loose",
        ),
        ("neither", lambda run: run["acting"].update({"ac:A-C": "loose"}), "loose"),
        ("a push in a rod", lambda run: run["acting"].update({"bd:B-D": "pushed"}), "bd:B-D cannot be pushed"),
        ("another word", lambda run: run["acting"].update({"bd:B-D": "slack"}), "cannot be slack"),
        ("one that is not told", lambda run: run["acting"].pop("bd:B-D"), "does not say of each member"),
        ("nothing at all", lambda run: run.pop("acting"), "does not say of each member"),
        (
            "a path through what is loose",
            lambda run: run["paths"]["D x"]["densities"].__setitem__(4, 1e-9),
            "The path of D x runs through a member that is loose",
        ),
        ("no path where something is loose", lambda run: run["paths"].pop("D y"), "no path for D y"),
    ],
)
def test_a_set_that_does_not_act_is_never_proved(
    says: str, change: Callable[[dict[str, Any]], object], message: str
) -> None:
    truss = rods(1000.0)
    proof = proof_of(truss, "pinned")
    assert list(proof["runs"]["P"]["forces"])[4] == "bd:B-D"
    change(proof["runs"]["P"])
    document = write_truss(truss).encode()
    with pytest.raises(ValueError, match=message):
        pytest.fail(f"{says}: {check(proof, document)}")


def test_a_rod_that_is_slack_is_not_pulled() -> None:
    """The forces of the truss without it, with which those of the truss with it need not agree."""
    truss = rods(1000.0)
    proof = proof_of(truss, "pinned")
    proof["runs"]["P"]["acting"]["bd:B-D"] = "pulled"
    claims = check(proof, write_truss(truss).encode())["P"]
    assert claims.forces == {}
    assert claims.why.startswith("cannot tell: ac:A-C is so near to carrying the other way")


def test_forces_of_the_wrong_set_balance_and_are_not_proved() -> None:
    """The rod that is pushed is said to act: the forces of that truss balance, and its sign gives it away."""
    truss = rods(1000.0)
    both = replace(truss, members={name: replace(member, acts=None) for name, member in truss.members.items()})
    (of,) = proof_of(both, "pinned")["runs"].values()
    proof = proof_of(truss, "pinned")
    paths = proof_of(both, "pinned")["paths"]
    proof["runs"]["P"] = of | {"acting": {"ac:A-C": "pulled", "bd:B-D": "pulled"}, "paths": paths}
    claims = check(proof, write_truss(truss).encode())["P"]
    assert claims.forces == {}
    assert claims.why.startswith("cannot tell: bd:B-D is so near")


def test_a_rod_that_should_pull_is_not_slack() -> None:
    """Both rods out, the square stands by a spring: what is said to be slack has lengthened."""
    truss = rods(1000.0)
    sprung = {**truss.supports, JointId("D"): Support(springs={"x": 1000.0})}
    truss = replace(truss, supports=sprung)
    without = replace(
        truss, members={name: member for name, member in truss.members.items() if name not in {"ac", "bd"}}
    )
    proof, other = proof_of(truss, "pinned"), proof_of(without, "pinned")
    of = other["runs"]["P"]
    of["forces"] |= {"ac:A-C": ["0"], "bd:B-D": ["0"]}
    of["acting"] = {"ac:A-C": "loose", "bd:B-D": "loose"}
    of["paths"] = {
        name: path | {"densities": [*path["densities"], 0.0, 0.0]} for name, path in other["paths"].items()
    }
    assert check(proof, write_truss(truss).encode())["P"].forces
    proof["runs"]["P"] = of
    claims = check(proof, write_truss(truss).encode())["P"]
    assert claims.forces == {}
    assert claims.why.startswith("cannot tell: ac:A-C is so near")


def warm(play: float, by: float = 30.0) -> Truss:
    """A stick between two bearings that would grow by 0.3 mm, with play at its last end."""
    return build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0)},
        members={"b": replace(stick("A", "B"), play={"last": play})},
        supports={"A": PIN, "B": PIN},
        cases={"P": (Warmer(on=Target(member=LAST), by=by),)},
    )


@pytest.mark.parametrize(
    ("says", "truss", "force", "why"),
    [
        ("0.2 mm more than its play, times E A / L", warm(0.1), -2000.0, ""),
        ("and if it cools", warm(0.1, -30.0), 2000.0, ""),
        ("within its play", warm(0.5), 0.0, ""),
        ("just within it", warm(0.3 + 1e-9), 0.0, ""),
        ("on the limit", warm(0.3), None, "cannot tell: b:A-B"),
    ],
)
def test_play_is_used_up_before_anything_pushes(says: str, truss: Truss, force: float | None, why: str) -> None:
    of = proved(truss)["P"]
    assert of.why.startswith(why), says
    if force is not None:
        middle, width = of.forces["b:A-B"]
        assert abs(middle - force) <= width + 1e-9, says
        assert width < 1e-6


def test_a_loose_end_under_its_own_load_carries_what_the_lever_brings_it() -> None:
    """A leaning stick, loose at its last end, hangs from its first: there all of the load along it acts."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (600.0, 800.0)},
        members={"b": replace(stick("A", "B"), play={"last": 50.0})},
        supports={"A": PIN, "B": PIN},
        cases={"P": (along("b", 2.0),)},
    )
    of = proved(truss, "pinned")["P"]
    # 2000 N straight down, 0.8 of it along the stick, half at each end by the lever; none at the last: -800 mean
    assert of.forces["b:A-B"][0] == pytest.approx(-800.0)
    assert 0 < of.forces["b:A-B"][1] < 1e-9
    both = replace(truss.members[LAST], play={"first": 50.0, "last": 50.0})
    # with play at both it hangs from the one and stands on the other
    middle, width = proved(replace(truss, members={LAST: both}), "pinned")["P"].forces["b:A-B"]
    assert abs(middle) <= width < 1e-6


def test_how_far_play_is_used_on_a_bent_axis_is_not_told() -> None:
    """An arc that warms within the play at its end, which runs along the axis there and not along the chord."""
    arc = replace(stick("A", "B", curve=Curve(radius=800.0, bows="up")), play={"last": 5.0})
    of = proved(replace(warm(5.0), members={LAST: arc}))["P"]
    assert of.forces == {}
    assert of.why.startswith("cannot tell: how far the play of b:A-B last is used is not bounded, since its axis")


def test_what_is_not_told_is_said_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    truss = warm(0.3)
    cases = {P: truss.loads.cases[P], RunId("Q"): LoadCase(loads=(Warmer(on=Target(member=LAST), by=300.0),))}
    truss = replace(truss, loads=replace(truss.loads, cases=cases))
    document = write_truss(truss).encode()
    proof = prove(truss, document, idealisation="continuous")
    assert main(written(tmp_path, proof, document)) == 1
    out = capsys.readouterr().out
    assert "P: cannot tell: b:A-B" in out
    assert "is so near to carrying the other way, or to carrying at all, that no sign is proved.\n" in out
    assert "Q: axial forces (continuous, as found) proved to " in out


def test_a_stiffer_rod_than_was_proved_widens_the_bounds() -> None:
    truss = replace(rods(1000.0), members={**rods(1000.0).members, MemberId("ab"): stick("A", "B")})
    crossed = {**truss.members, MemberId("bd"): replace(truss.members[MemberId("bd")], acts=None)}
    truss = replace(truss, members=crossed)
    proof, document = proof_of(truss, "pinned"), json.loads(write_truss(truss))
    document["materials"]["m"]["E"] *= 1.1
    other = json.dumps(document).encode()
    of = check(proof | {"document": "sha256:" + sha256(other).hexdigest()}, other)["P"]
    assert 0.01 < max(width for _, width in of.forces.values()) / of.largest < 0.5

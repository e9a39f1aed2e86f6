"""Proofs: what they guarantee holds against 60-digit arithmetic, tampering is refused, bad files end quickly."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
import time
from dataclasses import replace
from fractions import Fraction
from hashlib import sha256
from math import isqrt
from typing import TYPE_CHECKING, Any

import pytest

from tests.strategies import random_truss, seeded
from tests.trusses import (
    INCLINED_BEARING,
    PIN,
    ROLLER,
    SPRUNG_PROP,
    TWO_SPANS,
    along,
    at_joint,
    build,
    stick,
)
from trussio.document.encode import write_truss
from trussio.errors import CannotAnalyseError
from trussio.model.loading import Target, Warmer
from trussio.model.truss import MaterialId, MemberId, SectionId, Support
from trussio.recheck.alone import checker
from trussio.recheck.balancing import ratio
from trussio.recheck.elimination import eliminate
from trussio.recheck.energy import second_forces
from trussio.recheck.proof import check, main
from trussio.recheck.prove import prove
from trussio.recheck.statement import structure_of
from trussio.recheck.tally import loads_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from trussio.model.truss import Idealisation, Truss

Proof = dict[str, Any]


def document_of(truss: Truss) -> bytes:
    return write_truss(truss).encode()


def proof_of(truss: Truss, idealisation: Idealisation = "continuous") -> Proof:
    proof: Proof = json.loads(prove(truss, document_of(truss), idealisation=idealisation))
    return proof


def frame_of_forty() -> Truss:
    return random_truss(
        seeded(3), idealisation="continuous", panels=20, curved=False, stations=False, redundant=False
    )


FORTY = frame_of_forty()
FORTY_DOCUMENT = document_of(FORTY)
FORTY_PROOF = prove(FORTY, FORTY_DOCUMENT, idealisation="continuous")


def by_name(truss: Truss) -> dict[str, dict[str, float]]:
    """Forces of least energy by plain names."""
    found = second_forces(truss, idealisation="continuous")
    return {str(run): {str(name): force for name, force in of.axial.items()} for run, of in found.items()}


def test_forty_joints_are_proved_to_a_billionth() -> None:
    assert len(FORTY.joints) == 40
    proved = check(json.loads(FORTY_PROOF), FORTY_DOCUMENT)
    assert list(proved) == list(FORTY.loads.runs)
    for run, forces in by_name(FORTY).items():
        largest = max(abs(force) for force in forces.values())
        for name, force in forces.items():
            proved_force, width = proved[run].forces[name]
            assert width <= 1e-9 * largest
            assert abs(force - proved_force) <= width + 1e-10 * largest


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
@pytest.mark.parametrize("seed", range(25))
def test_generated_trusses_are_proved(seed: int, idealisation: Idealisation) -> None:
    """Arcs, bolted crossings, springs, inclined bearings, stations, every kind of load."""
    truss = random_truss(seeded(seed), idealisation=idealisation)
    proved = check(proof_of(truss, idealisation), document_of(truss))
    for run, forces in second_forces(truss, idealisation=idealisation).items():
        for name, force in forces.axial.items():
            proved_force, width = proved[run].forces[name]
            assert width <= 1e-9 * forces.size
            assert abs(force - proved_force) <= width + 1e-10 * forces.size


def true_forces(truss: Truss) -> dict[str, Fraction]:
    """Axial forces of straight sticks under loads at joints, with lengths to 60 figures and no other rounding.

    Least energy under the equations of equilibrium by the multipliers of Lagrange, solved in fractions.
    """
    about = structure_of(json.loads(document_of(truss)), continuous=True)
    pushed = {
        row: Fraction(sum(terms))
        for row, terms in loads_of(about.truss, about.segments.values(), "P").push.items()
    }
    unknowns: list[tuple[str, int]] = []
    rows: list[dict[int, Fraction]] = []
    columns: list[dict[tuple[str, str], Fraction]] = []
    length: dict[str, Fraction] = {}
    for s in about.segments.values():
        x, y = (Fraction(part, about.scale) for part in s.whole[:2])
        square = x * x + y * y
        length[s.id] = Fraction(isqrt(int(square * 10**120)), 10**60)
        ends = [(joint, sign) for joint, sign in zip(s.ends, (1, -1), strict=True)]
        unknowns.append((s.id, 0))
        columns.append(
            {(j, a): sign * part / length[s.id] for j, sign in ends for a, part in (("x", x), ("y", y))}
        )
        for end, turn in enumerate(s.turns, start=1):
            if turn is not None:
                side = 1 if end == 1 else -1
                column = {(j, "x"): -side * sign * y / square for j, sign in ends}
                column |= {(j, "y"): side * sign * x / square for j, sign in ends}
                unknowns.append((s.id, end))
                columns.append({**column, (turn, "turn"): Fraction(side)})
    number = {unknown: index for index, unknown in enumerate(unknowns)}
    stretch, bend = (Fraction(1) / Fraction(part) for part in (STRETCH, BEND))
    for (name, part), index in number.items():
        row = {index: length[name] * (stretch if part == 0 else bend / 3)}
        if part and (name, 3 - part) in number:
            row[number[name, 3 - part]] = length[name] * bend / 6
        for movement, way in enumerate(about.free.values(), start=len(unknowns)):
            entry = sum((c * columns[index][r] for r, c in way.items() if r in columns[index]), Fraction(0))
            if entry:
                row[movement] = entry
        rows.append(row)
    right = [Fraction(0)] * len(rows)
    for way in about.free.values():
        entries = [sum((c * column[r] for r, c in way.items() if r in column), Fraction(0)) for column in columns]
        rows.append({index: entry for index, entry in enumerate(entries) if entry})
        right.append(-sum((c * pushed.get(r, Fraction(0)) for r, c in way.items()), Fraction(0)))
    answers = eliminate(rows, right)
    return {name: answers[index] for (name, part), index in number.items() if part == 0}


STRETCH, BEND = 1e7, 1e10
"""E A and E I of the common section of `build`."""


@pytest.mark.parametrize("seed", range(6))
def test_the_truth_lies_within_what_is_proved(seed: int) -> None:
    """Generated trusses of the common section, loaded at joints; the truth is known to 60 figures."""
    drawn = random_truss(seeded(seed), panels=4, curved=False)
    supports = {
        str(name): Support(holds=(*s.holds, *(h for h in s.springs if h not in s.holds)))
        for name, s in drawn.supports.items()
    }
    rng = seeded(seed)
    truss = build(
        joints={name: (joint.x, joint.y) for name, joint in drawn.joints.items()},
        members={
            name: replace(member, section=SectionId("s"), material=MaterialId("m"))
            for name, member in drawn.members.items()
        },
        supports=supports,
        cases={"P": tuple(at_joint(name, fx=rng.uniform(-9, 9), fy=rng.uniform(-99, 9)) for name in drawn.joints)},
    )
    truth = true_forces(truss)
    proved = check(proof_of(truss), document_of(truss))["P"].forces
    for name, force in truth.items():
        middle, width = proved[name]
        assert abs(force - Fraction(middle)) <= Fraction(width)
        assert width < 1e-9 * max(abs(float(value)) for value in truth.values())


def test_poor_movements_weaken_the_claim_and_never_make_it_false() -> None:
    """Movements that are off by a part in a hundred: the truth still lies within, and the widths are honest."""
    truth = check(json.loads(FORTY_PROOF), FORTY_DOCUMENT)["D"].forces
    proof = json.loads(FORTY_PROOF)
    rng = seeded(1)
    for pair in proof["runs"]["D"]["movements"].values():
        pair[:] = [part * rng.uniform(0.99, 1.01) for part in pair]
    proved = check(proof, FORTY_DOCUMENT)["D"].forces
    for name, (force, width) in proved.items():
        assert abs(force - truth[name][0]) <= width
    assert max(width for _, width in proved.values()) > 1e4 * max(width for _, width in truth.values())


def test_a_stiffness_that_is_off_widens_the_bound_accordingly() -> None:
    """A proof for a truss ten per cent softer, re-labelled: its forces balance, its movements are off."""
    document = json.loads(FORTY_DOCUMENT)
    for material in document["materials"].values():
        material["E"] *= 1.1
    other = json.dumps(document).encode()
    proof = json.loads(FORTY_PROOF) | {"document": "sha256:" + sha256(other).hexdigest()}
    forces = check(proof, other)["D"].forces
    largest = max(abs(force) for force, _ in forces.values())
    assert 0.05 < max(width for _, width in forces.values()) / largest < 1.0
    truth = check(json.loads(FORTY_PROOF), FORTY_DOCUMENT)["D"].forces
    assert all(abs(force - truth[name][0]) <= width for name, (force, width) in forces.items())


def tampered(change: Callable[[Proof], object], document: bytes = FORTY_DOCUMENT) -> str:
    """What the checker says of a proof that was tampered with."""
    proof = json.loads(FORTY_PROOF)
    change(proof)
    with pytest.raises((ValueError, LookupError, TypeError, ArithmeticError, AttributeError)) as caught:
        check(proof, document)
    return str(caught.value)


def nudge(proof: Proof, run: str, segment: str, part: int, by: Fraction) -> None:
    forces = proof["runs"][run]["forces"][segment]
    forces[part] = str(Fraction(forces[part]) * (1 + by))


BENT = next(
    name
    for name, forces in json.loads(FORTY_PROOF)["runs"]["D"]["forces"].items()
    if len(forces) == 3 and forces[2] != "0"
)


def test_an_end_moment_changed_by_a_billionth_is_refused() -> None:
    says = tampered(lambda proof: nudge(proof, "D", BENT, 2, Fraction(1, 10**9)))
    assert says.startswith("In D the forces do not balance: ")


@pytest.mark.parametrize(
    ("says", "change", "message"),
    [
        (
            "one force by the last of thirty figures",
            lambda p: nudge(p, "D", BENT, 0, Fraction(1, 10**30)),
            "do not balance",
        ),
        ("a force left out", lambda p: p["runs"]["D"]["forces"].pop(BENT), "do not balance"),
        (
            "a member that is not there",
            lambda p: p["runs"]["D"]["forces"].update({"x:B0-B9": ["1"]}),
            "a force of x:B0-B9, which is not there",
        ),
        (
            "a moment at a hinge",
            lambda p: p["runs"]["D"]["forces"]["p1:B1-T1"].extend(["1", "0"]),
            "moment at a hinge",
        ),
        ("a run of another name", lambda p: p["runs"].update(Q=p["runs"]["D"]), "Q"),
        ("another idealisation", lambda p: p.update(idealisation="pinned"), "The path of"),
        (
            "a float for a fraction",
            lambda p: p["runs"]["D"]["forces"][BENT].__setitem__(0, 1.5),
            "1.5 is not a fraction",
        ),
        ("an exponent", lambda p: p["runs"]["D"]["forces"][BENT].__setitem__(0, "1e9"), "1e9 is not a fraction"),
        (
            "no denominator",
            lambda p: p["runs"]["D"]["forces"][BENT].__setitem__(0, "1/0"),
            "1/0 divides by nought",
        ),
        ("text for a movement", lambda p: p["runs"]["D"]["movements"]["B1"].__setitem__(0, "NaN"), "sequence"),
        (
            "a movement beyond all numbers",
            lambda p: p["runs"]["D"]["movements"]["B1"].__setitem__(0, 1e308),
            "no numbers",
        ),
        ("a path left out", lambda p: p["paths"].pop("T3 y"), "no path for T3 y, where"),
        (
            "a path that carries nothing",
            lambda p: p["paths"]["T3 y"].update(densities=[0.0] * 77),
            "does not carry",
        ),
        (
            "a path that is too short",
            lambda p: p["paths"]["T3 y"]["densities"].pop(),
            "The path of T3 y does not run through",
        ),
        (
            "a spring that is not there",
            lambda p: p["runs"]["D"]["springs"].update(T3={"y": "1"}),
            "the springs are not",
        ),
        ("no word of its state", lambda p: p.pop("state"), "as found or as built"),
        ("another format", lambda p: p.update(format="trussio/truss"), "This is no proof"),
        ("another document's digest", lambda p: p.update(document="sha256:0"), "belongs to another document"),
    ],
)
def test_a_proof_that_was_tampered_with_is_refused(
    says: str, change: Callable[[Proof], object], message: str
) -> None:
    assert message in tampered(change), says


def test_a_changed_document_is_refused() -> None:
    assert "belongs to another document" in tampered(
        lambda _: None, FORTY_DOCUMENT.replace(b"20 panels", b"21 panels")
    )


def test_known_trusses_with_slanted_and_sprung_bearings() -> None:
    for known in (INCLINED_BEARING, SPRUNG_PROP, TWO_SPANS):
        proved = check(proof_of(known.truss), document_of(known.truss))["P"].forces
        for name, force in known.axial.items():
            middle, width = proved[name]
            assert abs(middle - force) <= width + 1e-12 * abs(force), known.says


def written(folder: Path, proof: bytes | str, document: bytes = FORTY_DOCUMENT) -> list[str]:
    (folder / "proof.json").write_bytes(proof.encode() if isinstance(proof, str) else proof)
    (folder / "truss.json").write_bytes(document)
    return [str(folder / "proof.json"), str(folder / "truss.json")]


def test_from_the_command_line_alone(tmp_path: Path) -> None:
    """The checker's process loads neither numpy nor any other library but the standard one."""
    script = (
        "import runpy, sys\n"
        "sys.argv = ['proof', *sys.argv[1:]]\n"
        "try:\n    runpy.run_module('trussio.recheck.proof', run_name='__main__')\n"
        "finally:\n    sys.stderr.write(' '.join(sorted({name.split('.')[0] for name in sys.modules})))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, *written(tmp_path, FORTY_PROOF)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert [line.split(":")[0] for line in done.stdout.splitlines()] == list(FORTY.loads.runs)
    assert "axial forces (continuous, as found) proved to" in done.stdout
    loaded = set(done.stderr.split())
    assert "trussio" in loaded
    assert not loaded & {"numpy", "scipy", "networkx", "ezdxf", "lxml", "jsonschema"}


def test_as_one_file_on_a_machine_without_trussio(tmp_path: Path) -> None:
    """The file alone, in another folder and with nothing but the standard library, says what the module says."""
    one = tmp_path / "checker.py"
    one.write_text(checker(), encoding="utf-8")
    paths = written(tmp_path, FORTY_PROOF)
    alone, module = (
        subprocess.run([sys.executable, *how, *paths], capture_output=True, text=True, check=False, cwd=where)
        for how, where in ((["-I", "-S", str(one)], tmp_path), (["-m", "trussio.recheck.proof"], None))
    )
    assert alone.returncode == module.returncode == 0, alone.stderr
    assert alone.stdout == module.stdout
    proof = json.loads(FORTY_PROOF)
    proof["runs"]["D"]["forces"]["bottom0:B0-B1"][0] += "1"
    changed = written(tmp_path, json.dumps(proof))
    assert (
        subprocess.run([sys.executable, "-I", str(one), *changed], capture_output=True, check=False).returncode
        == 3
    )


def test_no_name_of_the_one_file_hides_another() -> None:
    names = [
        name
        for node in ast.parse(checker()).body
        for name in (
            [node.name]
            if isinstance(node, (ast.FunctionDef, ast.ClassDef))
            else [node.target.id]
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name)
            else []
        )
    ]
    assert len(names) == len(set(names)) > 40


@pytest.mark.parametrize(
    ("says", "found"),
    [
        ("How p1 slips by its fasteners is not read; state its slip", {"fastener_slip": ("last",)}),
    ],
)
def test_what_the_checker_does_not_read_is_refused(says: str, found: dict[str, object]) -> None:
    altered = replace(FORTY.members[MemberId("p1")], **found)  # type: ignore[arg-type]  # a field of the case
    truss = replace(FORTY, members={**FORTY.members, MemberId("p1"): altered})
    with pytest.raises(CannotAnalyseError, match=says):
        prove(truss, document_of(truss), idealisation="continuous")
    proof = json.loads(FORTY_PROOF)
    document = document_of(truss)
    proof["document"] = "sha256:" + sha256(document).hexdigest()
    with pytest.raises(ValueError, match=says):
        check(proof, document)


def test_a_wide_bound_is_no_success(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    proof = json.loads(FORTY_PROOF)
    proof["runs"]["D"]["movements"] = {}
    assert main(written(tmp_path, json.dumps(proof))) == 1
    assert "proved to" in capsys.readouterr().out


def test_a_run_that_is_not_in_the_proof_is_no_success(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    proof = json.loads(FORTY_PROOF)
    del proof["runs"]["D"]
    assert main(written(tmp_path, json.dumps(proof))) == 1
    assert "D: not proved, since the proof has no such run.\n" in capsys.readouterr().out
    proof["runs"] = {}
    assert main(written(tmp_path, json.dumps(proof))) == 1
    assert capsys.readouterr().out.count("not proved") == len(FORTY.loads.runs)


def test_the_idealisation_is_named_and_no_other_word_will_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(written(tmp_path, FORTY_PROOF)) == 0
    assert "D: axial forces (continuous, as found) proved to " in capsys.readouterr().out
    proof = json.loads(FORTY_PROOF) | {"idealisation": "hinged"}
    assert main(written(tmp_path, json.dumps(proof))) == 3
    assert "names no idealisation" in capsys.readouterr().err


def test_runs_that_only_bend_or_only_move_are_proved(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No axial force is large there; loads, moments and what warmth would cause tell how close is close."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (4000.0, 0.0)},
        members={"b": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (along("b", 2.0),), "warm": (Warmer(on=Target(member=MemberId("b")), by=30.0),), "none": ()},
    )
    proof = prove(truss, document_of(truss), idealisation="continuous")
    assert main(written(tmp_path, proof, document_of(truss))) == 0
    assert capsys.readouterr().out.count("axial forces (continuous, as found) proved to") == 3


@pytest.mark.parametrize(
    ("says", "proof"),
    [
        ("nothing", b""),
        ("no JSON", b"\x89PNG\r\n"),
        ("a list", b"[]"),
        ("nested beyond reason", b"[" * 100_000),
        ("a number of millions of digits", b'{"format": ' + b"9" * 3_000_000 + b"}"),
        ("a fraction of millions of digits", FORTY_PROOF.replace('"0"', '"' + "7" * 3_000_000 + '"', 1).encode()),
        ("not a number", FORTY_PROOF.replace("[0.0", "[NaN", 1).encode()),
        ("no fields", b"{}"),
        ("bytes that are no text", b"\xff\xfe\xfd"),
    ],
)
def test_bad_proofs_end_quickly_and_say_why(
    says: str, proof: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    began = time.monotonic()
    assert main(written(tmp_path, proof)) == 3, says
    assert time.monotonic() - began < 5
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("Refused, nothing is proved. ")
    assert len(told.err) < 500
    assert "sys." not in told.err


def test_a_file_that_is_too_large_or_absent(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    paths = written(tmp_path, b" " * (2**25 + 1))
    assert main(paths) == 3
    assert "is larger than 33554432 bytes" in capsys.readouterr().err
    assert main([str(tmp_path / "absent"), paths[1]]) == 3
    assert main([]) == 3


@pytest.mark.parametrize("text", ["1", "-1/3", "12345678901234567890/7"])
def test_fractions_are_read(text: str) -> None:
    assert Fraction(*ratio(text)) == Fraction(text)


@pytest.mark.parametrize("text", ["", "-", "1.5", "1e9", " 1", "1/2/3", "1/0", "--1", "0x1", None, 1, "9" * 4001])
def test_what_is_no_fraction(text: object) -> None:
    with pytest.raises(ValueError, match=r"fraction|invalid literal|nought"):
        ratio(text)

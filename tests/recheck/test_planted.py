"""Planted errors on 200 generated trusses: all found, each named as its kind, none on clean tables."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.recheck.tables import Forces, as_table, checked, own_forces
from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.model.loading import RunId
from trussio.recheck.naming import mirror_images

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from trussio.model.truss import Idealisation, SegmentId, Truss

Run = dict["SegmentId", float]
SEEDS = range(200)
RUN = RunId("D+S")


def of_note(forces: Run, rng: Random) -> SegmentId:
    """A member whose force is not lost beside the largest."""
    largest = max(abs(force) for force in forces.values())
    return rng.choice([name for name, force in forces.items() if abs(force) > 0.02 * largest])


def off_by_one_per_cent(forces: Run, rng: Random) -> Run:
    name = of_note(forces, rng)
    return {**forces, name: forces[name] * rng.choice([0.99, 1.01])}


def one_sign(forces: Run, rng: Random) -> Run:
    name = of_note(forces, rng)
    return {**forces, name: -forces[name]}


def swapped(forces: Run, rng: Random) -> Run:
    largest = max(abs(force) for force in forces.values())
    pairs = [(a, b) for a in forces for b in forces if abs(forces[a] - forces[b]) > 0.02 * largest]
    one, other = rng.choice(pairs)
    return {**forces, one: forces[other], other: forces[one]}


def missing(forces: Run, rng: Random) -> Run:
    gone = rng.choice(sorted(forces))
    return {name: force for name, force in forces.items() if name != gone}


def all_signs(forces: Run, _: Random) -> Run:
    return {name: -force for name, force in forces.items()}


def units(forces: Run, rng: Random) -> Run:
    factor = rng.choice([1000, 1 / 1000, 4.4482216152605, 1 / 4.4482216152605, 12, 1 / 12])
    return {name: force * factor for name, force in forces.items()}


def shifted(forces: Run, rng: Random) -> Run:
    by = rng.choice([1, -1, 2])
    names = list(forces)
    return {name: forces[names[(row - by) % len(names)]] for row, name in enumerate(names)}


PLANTED: dict[str, Callable[[Run, Random], Run]] = {
    "one-force": off_by_one_per_cent,
    "one-sign": one_sign,
    "swapped": swapped,
    "missing": missing,
    "signs-flipped": all_signs,
    "units": units,
    "shifted": shifted,
}


def generated(seed: int) -> tuple[Truss, Idealisation, Forces]:
    idealisation: Idealisation = "pinned" if seed % 2 else "continuous"
    truss = random_truss(seeded(seed), idealisation=idealisation)
    return truss, idealisation, own_forces(truss, idealisation)


@pytest.mark.parametrize("seed", SEEDS)
def test_planted_errors_are_named_and_clean_tables_pass(seed: int) -> None:
    truss, idealisation, forces = generated(seed)
    clean = checked(truss, as_table(forces, figures=3), idealisation)
    assert clean.verdict == "agrees", clean.says
    assert all(check.verdict == "agrees" and not check.slips for check in clean.runs.values())
    for kind, plant in PLANTED.items():
        figures = None if kind == "one-force" or seed % 4 < 2 else 3
        record = checked(truss, as_table({RUN: plant(forces[RUN], seeded(seed))}, figures=figures), idealisation)
        assert (record.verdict, record.runs[RUN].slips) == ("disagrees", (kind,)), record.runs[RUN].says


@pytest.mark.parametrize("seed", range(40))
def test_a_force_typed_one_per_cent_off_in_three_figures_is_found(seed: int) -> None:
    """The table is rounded to three figures, and then one figure is typed wrong by one per cent and more."""
    truss, idealisation, forces = generated(seed)
    table = as_table({RUN: forces[RUN]}, figures=3)
    name = of_note(forces[RUN], seeded(seed))
    wrong = {**table.runs[RUN], name: table.runs[RUN][name] * 1.0101}
    record = checked(truss, replace(table, runs={RUN: wrong}), idealisation)
    assert record.runs[RUN].slips == ("one-force",)
    assert name in record.runs[RUN].says


def symmetrical(seed: int) -> Truss:
    """A truss of eight panels alike on both sides, its loads not."""
    rng = seeded(seed)
    xs = [0.0, *sorted(rng.uniform(200.0, 3800.0) for _ in range(3)), 4000.0]
    xs += [8000.0 - x for x in reversed(xs[:-1])]
    heights = [rng.uniform(500.0, 2500.0) for _ in range(4)]
    heights = [0.0, *heights, *reversed(heights[:-1]), 0.0]
    joints = {f"B{i}": (x, 0.0) for i, x in enumerate(xs)} | {f"T{i}": (xs[i], heights[i]) for i in range(1, 8)}
    members = {
        "bottom": stick(*(f"B{i}" for i in range(9))),
        "top": stick("B0", *(f"T{i}" for i in range(1, 8)), "B8"),
    }
    members |= {f"p{i}": stick(f"B{i}", f"T{i}") for i in range(1, 8)}
    members |= {
        f"d{i}": stick(*((f"T{i}", f"B{i + 1}") if i < 4 else (f"B{i}", f"T{i + 1}"))) for i in range(1, 7)
    }
    loads = tuple(at_joint(f"B{i}", fy=-rng.uniform(1e3, 1e4)) for i in range(1, 8))
    return build(joints=joints, members=members, supports={"B0": PIN, "B8": ROLLER}, cases={"D+S": loads})


@pytest.mark.parametrize("figures", [None, 3])
@pytest.mark.parametrize("seed", range(20))
def test_a_mirrored_table_is_named(seed: int, figures: int | None) -> None:
    truss = symmetrical(seed)
    forces = own_forces(truss, "pinned")
    image = mirror_images(truss)
    assert len(image) == len(truss.segments)
    mirrored = {RUN: {name: forces[RUN][image[name]] for name in forces[RUN]}}
    record = checked(truss, as_table(mirrored, figures=figures), "pinned")
    assert (record.verdict, record.runs[RUN].slips) == ("disagrees", ("mirrored",))
    assert "mirrored left to right" in record.runs[RUN].says

"""Laws of count and rank, and agreement of the stop rules with the analysis, on generated trusses."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.audit.sound import sound
from tests.strategies import random_truss, seeded
from trussio.analysis.run import analyse
from trussio.audit.rank import statics
from trussio.audit.stops import stops
from trussio.errors import CannotAnalyseError
from trussio.model.loading import LoadCase, Loads, RunId, SelfWeight
from trussio.model.truss import Joint, JointId, MemberId

if TYPE_CHECKING:
    from random import Random

    from trussio.model.finding import Statics
    from trussio.model.truss import Idealisation, Support, Truss

IDEALISATIONS: tuple[Idealisation, ...] = ("pinned", "continuous")
SEEDS = range(12)
WEIGHT = Loads(cases={RunId("D"): LoadCase(loads=(SelfWeight(of="all"),))})


def without_some(rng: Random, truss: Truss, gone: int) -> Truss:
    """A truss that has lost members, joints that only they met, and perhaps a bearing."""
    left = rng.sample(list(truss.members), max(1, len(truss.members) - gone))
    members = {name: member for name, member in truss.members.items() if name in left}
    met = {joint for member in members.values() for joint in member.through}
    supports = {name: support for name, support in truss.supports.items() if name in met}
    if rng.random() < 0.2 and len(supports) > 1:
        supports.pop(rng.choice(list(supports)))
    joints = {name: joint for name, joint in truss.joints.items() if name in met}
    return replace(truss, members=members, joints=joints, supports=supports, loads=WEIGHT)


def numbers(of: Statics) -> tuple[int, ...]:
    return (of.joints, of.segments, of.holds, of.count, of.rank, of.mechanisms, of.self_stress)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("idealisation", IDEALISATIONS)
def test_mechanisms_less_self_stress_is_the_count_turned_round(seed: int, idealisation: Idealisation) -> None:
    rng = seeded(seed)
    found = statics(without_some(rng, random_truss(rng), rng.randint(0, 3)), idealisation)
    assert found.mechanisms - found.self_stress == -found.count
    assert bool(found.moving) == (found.mechanisms > 0)


@pytest.mark.parametrize("seed", SEEDS)
def test_taking_a_member_away_never_raises_the_rank(seed: int) -> None:
    truss = sound(seeded(seed)).truss
    whole = statics(truss, "continuous")
    for name in truss.members:
        rest = replace(truss, members={other: member for other, member in truss.members.items() if other != name})
        assert statics(rest, "continuous").rank <= whole.rank


def turned(support: Support, angle: float) -> Support:
    unit = {"x": (1.0, 0.0), "y": (0.0, 1.0)}
    holds = [hold if hold == "turn" else (unit[hold] if isinstance(hold, str) else hold) for hold in support.holds]
    c, s = cos(angle), sin(angle)
    return replace(
        support,
        holds=tuple(
            hold if isinstance(hold, str) else (c * hold[0] - s * hold[1], s * hold[0] + c * hold[1])
            for hold in holds
        ),
    )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("idealisation", IDEALISATIONS)
def test_turning_enlarging_and_moving_a_truss_changes_no_number(seed: int, idealisation: Idealisation) -> None:
    """Without springs, whose directions are the document's axes."""
    rng = seeded(seed)
    truss = without_some(rng, sound(rng).truss, rng.randint(0, 2))
    angle, scale, aside = rng.uniform(-1, 1), rng.uniform(0.01, 30), rng.uniform(-1e5, 1e5)
    straight = {name: replace(member, curve=None) for name, member in truss.members.items()}
    truss = replace(truss, members=straight)
    c, s = scale * cos(angle), scale * sin(angle)
    other = replace(
        truss,
        joints={
            name: Joint(x=c * joint.x - s * joint.y + aside, y=s * joint.x + c * joint.y - aside)
            for name, joint in truss.joints.items()
        },
        supports={name: turned(support, angle) for name, support in truss.supports.items()},
    )
    one, two = statics(truss, idealisation), statics(other, idealisation)
    assert numbers(one) == numbers(two)
    assert one.moving == two.moving


@pytest.mark.parametrize("seed", SEEDS)
def test_new_names_and_another_order_change_no_number(seed: int) -> None:
    rng = seeded(seed)
    truss = without_some(rng, random_truss(rng), rng.randint(0, 2))
    order = list(truss.joints)[::-1]
    new = {name: JointId(f"n{k}") for k, name in enumerate(order)}
    other = replace(
        truss,
        joints={new[name]: truss.joints[name] for name in order},
        members={
            MemberId(f"m{k}"): replace(member, through=tuple(new[joint] for joint in member.through))
            for k, member in enumerate(truss.members.values())
        },
        supports={new[name]: support for name, support in truss.supports.items()},
    )
    for idealisation in IDEALISATIONS:
        one, two = statics(truss, idealisation), statics(other, idealisation)
        assert numbers(one) == numbers(two)
        assert {new[name] for name in one.moving} == set(two.moving)


@pytest.mark.parametrize("seed", range(30))
def test_the_analysis_refuses_exactly_the_mechanisms_that_the_stop_rules_find(seed: int) -> None:
    """Two ways: rank of the compatibility matrix here, the stiffness matrix there."""
    rng = seeded(seed)
    truss = without_some(rng, random_truss(rng) if seed % 2 else sound(rng).truss, rng.randint(0, 2))
    for idealisation in IDEALISATIONS:
        found = {finding.code for finding in stops(truss, idealisation=idealisation)}
        assert found <= {"mechanism", "no-support"}
        if found:
            with pytest.raises(CannotAnalyseError, match=r"mechanism|no-support"):
                analyse(truss, idealisation=idealisation)
        else:
            forces = analyse(truss, idealisation=idealisation)
            assert all(np.isfinite(s.axial) for run in forces.values() for s in run.segments.values())

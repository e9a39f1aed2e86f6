"""The chain as a whole: what it asks beside the audit once forces are known."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.audit.forms import pitched
from tests.trusses import INCLINED_BEARING, RAFTER_PAIR, SOUND, Known
from trussio.assess import assess
from trussio.audit.load_path import sums, with_sums
from trussio.model.change import Assumption
from trussio.model.truss import JointId


@pytest.mark.parametrize("name", list(SOUND))
def test_reactions_of_sound_trusses_add_up_to_their_loads(name: str) -> None:
    known = SOUND[name]
    made = assess(known.truss, name=name, digest="sha256:0", idealisation=known.idealisation)
    assert made.findings is not None
    assert "sums-disagree" not in [finding.code for finding in made.findings.findings]
    assert made.applied


@pytest.mark.parametrize(("known", "axis"), [(RAFTER_PAIR, "up"), (INCLINED_BEARING, "to the right")])
def test_a_reaction_that_is_off_by_one_per_cent_is_asked_about(known: Known, axis: str) -> None:
    made = assess(known.truss, name="x", digest="sha256:0", idealisation=known.idealisation)
    assert made.results is not None
    assert made.findings is not None
    forces = made.results.runs[known.run]
    off = forces.reactions[JointId("B0")]._replace(**({"y": 3030.0} if axis == "up" else {"x": -2272.5}))
    spoilt = {known.run: replace(forces, reactions={**forces.reactions, JointId("B0"): off})}
    (finding,) = sums(known.truss, made.applied, spoilt)
    assert (finding.code, finding.where, axis in finding.says) == ("sums-disagree", ("/loads/cases/P",), True)
    assert with_sums(known.truss, made.findings, made.applied, spoilt).findings[0] == finding


def test_the_words_of_a_lost_load() -> None:
    made = assess(RAFTER_PAIR.truss, name="x", digest="sha256:0")
    assert made.results is not None
    bare = {run: replace(forces, reactions={}) for run, forces in made.results.runs.items()}
    (finding,) = sums(RAFTER_PAIR.truss, made.applied, bare)
    assert finding.says == (
        "In P the loads add up to -6,000 up and the reactions to 0: -6,000 is lost on the way."
    )


def test_what_nobody_confirmed_is_ranked_in_the_chain() -> None:
    guess = Assumption(what="B6 rolls.", rests_on="nothing", touches=("/supports/B6",))
    for assumptions in ({}, {"a1": guess}):
        truss = replace(pitched(), assumptions=assumptions)
        made = assess(truss, name="x", digest="sha256:0")
        assert made.findings is not None
        codes = [finding.code for finding in made.findings.findings]
        assert ("hangs-on" in codes) == bool(assumptions)

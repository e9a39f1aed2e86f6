"""How near a truss is to a mechanism, in inches and millimetres that one joint need move."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.audit.forms import pitched
from tests.published.statics import ENTRIES, UNSTABLE, Published
from tests.trusses import PIN, build, stick
from trussio.audit.nearness import near_mechanisms
from trussio.audit.rank import decompose
from trussio.audit.subject import subject_of
from trussio.model.finding import Finding
from trussio.model.truss import Idealisation, Joint, JointId, Truss

KNOWN = {entry.id: entry.truss for entry in UNSTABLE}
HEXAGON = KNOWN["US02"]


def near(truss: Truss) -> list[Finding]:
    return [f for f in near_mechanisms(subject_of(truss, "continuous")) if f.level == "query"]


def test_the_published_near_critical_hexagon_is_told_by_a_fraction_of_its_millimetre() -> None:
    """Raising c by 1 mm made it stand; some joint need move by no more than that to undo it."""
    (finding,) = near(HEXAGON)
    distance = finding.evidence["distance"]
    assert isinstance(distance, float)
    assert 0 < distance <= 0.001
    assert finding.evidence["singular_ratio"] == pytest.approx(2.240892065e-05, rel=1e-3)  # as recomputed there


@pytest.mark.parametrize("rise", [1e-4, 1e-3, 1e-2])
def test_the_distance_grows_with_the_distance_from_the_critical_form(rise: float) -> None:
    c = HEXAGON.joints[JointId("c")]
    truss = replace(HEXAGON, joints={**HEXAGON.joints, JointId("c"): replace(c, y=8.0 + rise)})
    (finding,) = near(truss)
    assert finding.evidence["distance"] == pytest.approx(0.5527 * rise, rel=0.02)


def test_moving_the_joint_as_told_makes_it_a_mechanism_a_thousand_times_nearer() -> None:
    (finding,) = near(HEXAGON)
    name, move = finding.evidence["joint"], finding.evidence["move"]
    assert isinstance(name, str)
    assert isinstance(move, list)
    x, y = (float(str(each)) for each in move)
    old = HEXAGON.joints[JointId(name)]
    truss = replace(HEXAGON, joints={**HEXAGON.joints, JointId(name): Joint(x=old.x + x, y=old.y + y)})
    values = [decompose(subject_of(t, "continuous").view.compat.matrix).values[-1] for t in (HEXAGON, truss)]
    assert values[1] < values[0] / 1000


def shallow(rise: float) -> Truss:
    """Two rafters of 2 m between two walls, their ridge risen by so much."""
    return build(
        joints={"a": (0.0, 0.0), "b": (2000.0, rise), "c": (4000.0, 0.0)},
        members={"left": stick("a", "b"), "right": stick("b", "c")},
        supports={"a": PIN, "c": PIN},
        cases={},
    )


@pytest.mark.parametrize(("rise", "findings"), [(45.0, 1), (99.0, 1), (102.0, 0), (600.0, 0)])
def test_a_shallow_toggle_is_told_up_to_a_twentieth_of_its_rafters(rise: float, findings: int) -> None:
    found = near(shallow(rise))
    words = f"Nearly a mechanism: moving b by {rise:.0f} mm (up and down) would make it unstable."
    assert [finding.says for finding in found] == [words] * findings
    assert all(finding.where == ("/joints/b",) for finding in found)


SOUND = [entry for entry in ENTRIES if entry.category == "determinate_truss"]
SOUND += [entry for entry in UNSTABLE if entry.id in {"US03", "US12", "US13", "US15", "US19"}]


@pytest.mark.parametrize("asked", ["continuous", "pinned"])
def test_a_shallow_toggle_is_a_query_in_either_idealisation_and_told_once(asked: Idealisation) -> None:
    """In `pinned` the ridge would be a station if it lay on the line; it does not, and 1 kN presses with 125."""
    (finding,) = near_mechanisms(subject_of(shallow(8.0), asked))
    assert finding.level == "query"
    assert finding.says == "Nearly a mechanism: moving b by 8 mm (up and down) would make it unstable."


@pytest.mark.parametrize("entry", SOUND, ids=lambda entry: entry.id)
def test_sound_published_trusses_are_not_near(entry: Published) -> None:
    assert near(entry.truss) == []


def test_a_mechanism_is_not_told_as_a_near_one() -> None:
    assert near(KNOWN["US01"]) == []


def test_a_sound_truss_is_not_near() -> None:
    assert near(pitched()) == []

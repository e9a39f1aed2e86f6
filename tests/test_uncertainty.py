"""Bands against what error propagation gives on paper; whose sign is not certain; and what is refused."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest

from tests.analysis.staged import stressed, tendon
from tests.trusses import PIN, RAFTER_PAIR, ROLLER, at_joint, build, stick
from trussio.calculation import calculate
from trussio.cli.bands_text import bands_text
from trussio.document.bands import read_bands, write_bands
from trussio.document.encode import digest_of_truss
from trussio.errors import CannotAnalyseError, UsageError
from trussio.model.bands import Bands
from trussio.model.loading import RunId
from trussio.model.material import Material
from trussio.model.truss import Idealisation, JointId, MaterialId, MemberId, SegmentId, Truss
from trussio.uncertainty import bands, long_wait, varied_forces, varied_joints

P = RunId("P")
TIE = SegmentId("tie:B0-B2")
MODEL = "sha256:" + "0" * 64


def varied(truss: Truss, tolerance: float, *, stiffness: float = 0.0, samples: int = 1000) -> Bands:
    return bands(
        truss, digest=MODEL, tolerance=tolerance, stiffness=stiffness, samples=samples, idealisation="continuous"
    )


def test_the_band_of_a_tie_is_what_error_propagation_gives() -> None:
    """The tie of two rafters takes P a b / (L h).

    Its logarithm varies by the half span, 1 / 2a for either heel sideways, and by the rise, 1 / h for the apex and
    half of it for either heel; a uniform error within t has the standard deviation t / sqrt 3, and five of them
    together lie within 1.96 of theirs 95 times in 100.
    """
    t, a, h = 20.0, 4000.0, 3000.0
    deviation = t / sqrt(3) * sqrt(2 * (1 / (2 * a)) ** 2 + (1 + 1 / 4 + 1 / 4) / h**2)
    band = varied(RAFTER_PAIR.truss, t, samples=10_000).runs[P][TIE].axial
    assert band.likely == pytest.approx(4000.0, rel=1e-3)
    assert band.high - band.low == pytest.approx(2 * 1.96 * deviation * 4000.0, rel=0.03)


def test_stiffness_alone_moves_nothing_where_balance_decides() -> None:
    band = varied(RAFTER_PAIR.truss, 0.0, stiffness=0.3).runs[P][TIE].axial
    assert band == pytest.approx((4000.0, 4000.0, 4000.0))


def parallel(other: float) -> Truss:
    """Two bars side by side between the same two joints, the second `other` times as stiff."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0)},
        members={"one": stick("A", "B"), "two": replace(stick("A", "B"), material=MaterialId("o"))},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("B", fx=3000.0),)},
    )
    return replace(truss, materials={**truss.materials, MaterialId("o"): Material(kind="sawn", E=1e4 * other)})


def test_two_bars_share_by_stiffness_that_is_not_known() -> None:
    """One bar takes P k1 / (k1 + k2) of two alike; k within 20 % leaves it between 0.4 and 0.6 of P."""
    names = [SegmentId("one:A-B"), SegmentId("two:A-B")]
    found = varied(parallel(1.0), 0.0, stiffness=0.2, samples=4000).runs[P]
    for name in names:
        band = found[name].axial
        assert band.likely == pytest.approx(1500.0, rel=0.01)
        assert 1200.0 < band.low < 1275.0
        assert 1725.0 < band.high < 1800.0


FLAT = build(
    joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0), "T": (1000.0, 1000.0)},
    members={
        "am": stick("A", "M", role="bottom-chord"),
        "mb": stick("M", "B", role="bottom-chord"),
        "left": stick("A", "T"),
        "right": stick("T", "B"),
        "post": stick("M", "T", role="web"),
    },
    supports={"A": PIN, "B": ROLLER},
    cases={"P": (at_joint("T", fy=-1000.0),)},
)


def test_a_post_that_nothing_loads_may_be_tie_or_strut_and_is_named() -> None:
    """The bottom chord is straight only as drawn: a kink up makes a tie of the post, a kink down a strut."""
    found = varied(FLAT, 10.0)
    post = found.runs[P][SegmentId("post:M-T")]
    assert found.uncertain == {"post:M-T": [P]}
    assert post.tension + post.compression == pytest.approx(1.0)
    assert post.tension == pytest.approx(0.5, abs=0.05)
    assert post.axial.low < 0.0 < post.axial.high
    assert all(one.certain for name, one in found.runs[P].items() if name != "post:M-T")


def test_a_force_that_is_nothing_but_rounding_has_no_sign() -> None:
    """A load on a bearing strains nothing; what is left is rounding, and no member is named for it."""
    cases = {P: replace(FLAT.loads.cases[P], loads=(at_joint("B", fy=-500.0),))}
    found = varied(replace(FLAT, loads=replace(FLAT.loads, cases=cases)), 10.0)
    assert found.uncertain == {}


def test_a_run_that_not_every_shape_balances_has_no_bands_and_says_so() -> None:
    """A post that carries tension alone is needed as a strut where the bottom chord kinks down."""
    rod = replace(FLAT.members[MemberId("post")], acts="tension")
    idle = replace(FLAT.loads.cases[P], kind="snow")
    cases = {P: idle, RunId("Q"): replace(idle, loads=(at_joint("M", fy=-100.0),))}
    loads = replace(FLAT.loads, cases=cases)
    bent = {**FLAT.joints, JointId("M"): replace(FLAT.joints[JointId("M")], y=3.0)}
    truss = replace(FLAT, joints=bent, members={**FLAT.members, MemberId("post"): rod}, loads=loads)
    found = varied(truss, 10.0, samples=60)
    assert list(found.runs) == ["Q"]
    assert found.not_evaluated == {
        P: "P has no bands: within the tolerance there are shapes in which nothing balances it."
    }


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_each_variation_can_be_had_by_itself(idealisation: Idealisation) -> None:
    results = calculate(FLAT, digest=MODEL, idealisation=idealisation)
    every = list(varied_forces(FLAT, results, tolerance=10.0, samples=40))
    found = bands(FLAT, digest=MODEL, tolerance=10.0, samples=40, idealisation=idealisation)
    assert len(every) == 40
    for name, one in found.runs[P].items():
        axial = sorted(forces[P].segments[name].axial for forces in every)
        assert one.axial == (axial[1], axial[19], axial[38])
        size = sorted(abs(forces[P].segments[name].moment_peak) for forces in every)
        assert one.moment_size == (size[1], size[19], size[38])


def test_the_joints_of_each_variation_are_those_of_its_forces() -> None:
    """A truss surveyed at the joints of a variation has its forces, in whatever parts they were drawn."""
    results = calculate(FLAT, digest=MODEL, idealisation="pinned")
    joints = list(varied_joints(FLAT, results, tolerance=10.0, samples=70))
    forces = list(varied_forces(FLAT, results, tolerance=10.0, samples=70))
    assert len(joints) == len(forces) == 70
    assert joints[0] != joints[1]
    for number in (0, 1, 63, 64, 69):
        there = calculate(replace(FLAT, joints=joints[number]), digest=MODEL, idealisation="pinned")
        for name, one in there.runs[P].segments.items():
            assert forces[number][P].segments[name].axial == pytest.approx(one.axial, rel=1e-9)


def test_the_bands_of_bearings_are_those_of_their_variations() -> None:
    """A bearing beyond the load is held down or not by where the load stands: named with its share."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0), "C": (2004.0, 0.0)},
        members={"beam": stick("A", "B", "C")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("C", fy=-1000.0),)},
    )
    truss = replace(truss, members={MemberId("beam"): stick("A", "B", "C")})
    found = bands(truss, digest=MODEL, tolerance=1.0, samples=400)
    results = calculate(truss, digest=MODEL)
    heel = found.reactions[P][JointId("A")]
    assert results.runs[P].reactions[JointId("A")].y == pytest.approx(-2.0)
    assert heel.y.likely == pytest.approx(-2.0, rel=0.1)
    assert heel.y.low < -2.5
    assert heel.down == 1.0
    assert found.reactions[P][JointId("B")].down == 0.0
    assert found.reactions[P][JointId("B")].y.high > 1002.0
    text = bands_text(truss, found)
    assert "reaction at A: low, likely, high " in text
    assert text.count("; it must hold down in 100.0 %") == 1


def test_a_long_wait_is_told_before() -> None:
    """3 ms for a variation and 6 microseconds for each segment in each run: 20 s of that are told of, no less."""
    rod = tendon("A", "B", acts="force", sure=True)
    truss = stressed(FLAT, {"t": rod}, 10.0)
    runs = len(calculate(truss, digest=MODEL).runs)
    enough = int(20.0 / (3e-3 + 6e-6 * runs * len(truss.segments)))
    assert long_wait(FLAT, samples=1_000_000, idealisation="continuous", state="found") is None
    assert long_wait(truss, samples=enough, idealisation="continuous", state="found") is None
    assert long_wait(truss, samples=enough + 1, idealisation="continuous", state="found") == (
        f"{enough + 1:,} variations are analysed one by one, since stages and tendons are followed in each: "
        "expect 0.3 minutes or more; --samples 1000 tells the same less finely."
    )


def test_the_same_truss_gives_the_same_bytes_and_reads_back() -> None:
    found = varied(FLAT, 10.0, stiffness=0.1, samples=200)
    text = write_bands(found)
    assert write_bands(varied(FLAT, 10.0, stiffness=0.1, samples=200)) == text
    assert read_bands(text.encode(), name="bands.json") == found
    assert '"sign_not_certain": ["post:M-T"]' in text


@pytest.mark.parametrize(
    ("tolerance", "stiffness", "samples", "says"),
    [
        (250.0, 0.0, 10, None),
        (
            250.1,
            0.0,
            10,
            "bad-tolerance at am:A-M: a survey tolerance of 250.1 mm leaves nothing of am:A-M, 1000 mm long",
        ),
        (-0.1, 0.0, 10, "bad-tolerance at am:A-M"),
        (1.0, 0.9, 10, None),
        (1.0, 0.91, 10, "bad-spread: a stiffness spread of 91% was asked for"),
        (1.0, -0.01, 10, "bad-spread"),
        (1.0, 0.0, 1, None),
        (1.0, 0.0, 0, "bad-samples: 0 variations were asked for"),
        (1.0, 0.0, 1_000_001, "bad-samples"),
    ],
)
def test_what_makes_no_sense_is_refused_at_the_limit(
    tolerance: float, stiffness: float, samples: int, says: str | None
) -> None:
    if says is None:
        varied(FLAT, tolerance, stiffness=stiffness, samples=samples)
    else:
        with pytest.raises(UsageError, match=says):
            varied(FLAT, tolerance, stiffness=stiffness, samples=samples)


def test_a_stop_stops_the_bands_too() -> None:
    bare = replace(
        FLAT, members={**FLAT.members, MemberId("post"): replace(FLAT.members[MemberId("post")], section=None)}
    )
    with pytest.raises(CannotAnalyseError, match="no-section"):
        varied(bare, 1.0)


def test_a_document_keeps_its_digest() -> None:
    digest = digest_of_truss(FLAT)
    assert bands(FLAT, digest=digest, tolerance=1.0, samples=5).model == digest

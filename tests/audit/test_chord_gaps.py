"""A chord in two pieces that face each other has a gap; one that ends at posts, rafters or bearings has none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.audit.forms import pitched, supported
from tests.audit.older_forms import cantilever, lean_to
from tests.audit.plan import Plan
from tests.strategies import seeded
from tests.trusses import PIN, stick
from trussio.audit.chord_gaps import chord_gaps
from trussio.audit.rules import audit
from trussio.audit.subject import subject_of
from trussio.model.truss import MemberId, Truss


def told(truss: Truss) -> list[object]:
    return [finding.evidence["absent"] for finding in chord_gaps(subject_of(truss, "continuous"))]


def bottoms(*pieces: tuple[str, ...]) -> Truss:
    """The bottom chord in pieces, on two bearings held both ways so that it stands."""
    truss = supported(pitched(), B0=PIN, B6=PIN)
    members = {name: member for name, member in truss.members.items() if name != "bottom"}
    made = {MemberId(f"b{k}"): stick(*piece, role="bottom-chord") for k, piece in enumerate(pieces)}
    return replace(truss, members={**members, **made})


@pytest.mark.parametrize(
    ("says", "truss", "expected"),
    [
        ("whole", pitched(), []),
        ("spliced at a joint", bottoms(("B0", "B1", "B2"), ("B2", "B3", "B4", "B5", "B6")), []),
        ("one segment gone", bottoms(("B0", "B1", "B2"), ("B3", "B4", "B5", "B6")), [["B2", "B3"]]),
        (
            "two segments gone",
            bottoms(("B0", "B1"), ("B2", "B3", "B4"), ("B5", "B6")),
            [["B1", "B2"], ["B4", "B5"]],
        ),
        ("the last one gone: it ends once", bottoms(("B0", "B1", "B2", "B3", "B4", "B5")), []),
        ("chords that end at posts", lean_to(seeded(1), Plan(units="si")).truss, []),
        ("chords that hang out", cantilever(seeded(1), Plan(units="si")).truss, []),
    ],
)
def test_gaps(says: str, truss: Truss, expected: list[object]) -> None:
    assert told(truss) == expected, says


def test_what_the_gap_has_said_is_not_said_again() -> None:
    found = audit(bottoms(("B0", "B1", "B2"), ("B3", "B4", "B5", "B6")), digest="sha256:0").findings
    (gap,) = [finding for finding in found if finding.code == "chord-gap"]
    assert "runs on past" not in gap.says
    assert "overhang" not in {finding.code for finding in found}

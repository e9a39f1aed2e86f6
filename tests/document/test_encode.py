"""Reading and writing lose nothing, and the digest is that of the file, whoever wrote it."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.document.documents import truss_documents
from tests.document.small import SMALL, changed, taken, without
from tests.strategies import random_truss, seeded
from tests.trusses import SOUND
from trussio.document.canonical import canonical_text, digest_of
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss, write_truss
from trussio.errors import CannotWriteError
from trussio.model.loading import JointLoad, LoadCase, Loads, RunId
from trussio.model.truss import Joint, JointId, MemberId, Truss

if TYPE_CHECKING:
    from tests.document.json_values import Object
    from trussio.model.truss import Json


@settings(max_examples=80, deadline=None)
@given(truss_documents())
def test_read_write_read_loses_nothing(document: Object) -> None:
    truss = read_truss(json.dumps(document).encode(), name="first")
    text = write_truss(truss)
    again = read_truss(text.encode(), name="second")
    assert again == truss
    assert write_truss(again) == text
    assert json.loads(canonical_text(json.loads(text))) == json.loads(canonical_text(document))


@settings(max_examples=60, deadline=None)
@given(document=truss_documents(), indent=st.sampled_from([None, 0, 4]), plain=st.booleans())
def test_the_digest_is_that_of_the_file(*, document: Object, indent: int | None, plain: bool) -> None:
    data = json.dumps(document, indent=indent, ensure_ascii=plain, sort_keys=plain).encode()
    truss = read_truss(data, name="file")
    assert digest_of_truss(truss) == digest_of(json.loads(data))
    assert digest_of_truss(truss) == digest_of(json.loads(write_truss(truss)))


@pytest.mark.parametrize("seed", range(40))
def test_a_truss_made_in_python_comes_back_as_it_was(seed: int) -> None:
    truss = random_truss(seeded(seed))
    again = read_truss(write_truss(truss).encode(), name="truss.json")
    assert again == truss
    assert digest_of_truss(again) == digest_of_truss(truss)


@pytest.mark.parametrize("name", SOUND)
def test_known_trusses_come_back_as_they_were(name: str) -> None:
    truss = SOUND[name].truss
    assert read_truss(write_truss(truss).encode(), name="truss.json") == truss


@pytest.mark.parametrize(
    ("pointer", "value"),
    [
        ("/assumptions", {}),
        ("/members/top/fixed", []),
        ("/sections/bc/plies", 1),
        ("/sections/bc/gap", 0.0),
        ("/sections/bc/arranged", "beside"),
        ("/sections/bc/joined", "none"),
        ("/supports/B0/springs", {}),
        ("/loads/cases/D/loads/0/fx", 0),
        ("/loads/cases/D/loads/0/moment", -0.0),
        ("/loads/cases/W", {"loads": []}),
        ("/loads/cases/W", {}),
        ("/loads/cases/D/loads/1", {"member": "top", "at": 4, "fx": 0, "fy": 0}),
        ("/loads/cases/D/loads/1", {"member": "top", "down": [60, 60]}),
        ("/loads/cases/D/loads/1", {"member": "top", "down": 60}),
        ("/loads/cases/D/loads/1", {"member": "top", "down": 60, "per": "slope"}),
        ("/materials/df1/reference", {}),
        ("/notes", {}),
        ("/members/w~01", {"through": ["B0", "B1"], "fixed": []}),
    ],
)
def test_a_default_that_is_written_out_stays_written_out(pointer: str, value: Json) -> None:
    document = changed(SMALL, pointer, value)
    truss = taken(document)
    assert digest_of_truss(truss) == digest_of(document)
    assert digest_of_truss(truss) != digest_of_truss(taken(SMALL))


@pytest.mark.parametrize("absent", ["supports", "loads"])
def test_an_empty_container_stays_empty_and_an_absent_one_absent(absent: str) -> None:
    lacking = without(SMALL, "/loads")
    lacking.pop(absent, None)
    for document in (lacking, {**lacking, absent: {}}):
        assert digest_of_truss(taken(document)) == digest_of(document)


def test_what_is_written_out_and_gone_is_without_effect() -> None:
    truss = taken(changed(SMALL, "/members/top/fixed", []))
    members = {name: member for name, member in truss.members.items() if name != MemberId("top")}
    assert digest_of_truss(replace(truss, members=members)) == digest_of(without(SMALL, "/members/top"))


def test_a_changed_value_takes_the_place_of_a_default() -> None:
    truss = taken(changed(SMALL, "/members/top/fixed", []))
    top = replace(truss.members[MemberId("top")], fixed=("last",))
    changed_truss = replace(truss, members={**truss.members, MemberId("top"): top})
    assert digest_of_truss(changed_truss) == digest_of(changed(SMALL, "/members/top/fixed", ["last"]))


def test_notes_and_labels_enter_the_digest_and_layout_does_not() -> None:
    assert digest_of_truss(taken(SMALL)) != digest_of_truss(taken(changed(SMALL, "/notes", {"by": "hand"})))
    assert digest_of_truss(taken(SMALL)) == digest_of_truss(taken(dict(reversed(SMALL.items()))))


def test_a_number_that_is_none_is_never_written() -> None:
    truss = taken(SMALL)
    broken = replace(truss, joints={**truss.joints, JointId("T1"): Joint(x=float("nan"), y=0.0)})
    for write in (write_truss, digest_of_truss):
        with pytest.raises(CannotWriteError, match="not-finite"):
            write(broken)


def test_a_joint_load_without_a_force_is_written_and_read() -> None:
    idle = Loads(cases={RunId("D"): LoadCase(loads=(JointLoad(joint=JointId("T1")),))})
    truss: Truss = replace(taken(SMALL), loads=idle)
    assert read_truss(write_truss(truss).encode(), name="truss.json") == truss

"""Tendons and stages that cannot be: a clear error that names stage and joint, before any number is printed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import trussio

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.document.json_values import Object

SAMPLE = Path(__file__).parents[2] / "samples" / "hall" / "hall-truss-2-repaired.json"
FOUND = {"id": "found", "actions": [{"load": ["D"]}]}


def stage(name: str, *actions: object) -> dict[str, object]:
    return {"id": name, "actions": [*actions]}


def staged(*stages: object) -> Callable[[Object], None]:
    """What makes a document do these stages after it is loaded with D."""

    def change(document: Object) -> None:
        document["stages"] = json.loads(json.dumps([FOUND, *stages]))

    return change


def put(pointer: str, value: object) -> Callable[[Object], None]:
    """What puts a value at a place of a document, or takes out what is there where it is None."""

    def change(document: Object) -> None:
        *way, last = pointer.split("/")[1:]
        at: object = document
        for step in way:
            assert isinstance(at, dict | list)
            at = at[int(step)] if isinstance(at, list) else at[step]
        key: int | str = int(last) if isinstance(at, list) else last
        if value is None:
            del at[key]  # type: ignore[attr-defined]  # an object
        else:
            at[key] = value  # type: ignore[index]  # an object or a list

    return change


UP = {"jack": ["B4"], "by": -0.5}
CASES: dict[str, tuple[Callable[[Object], None], int, tuple[str, ...]]] = {
    "a tendon through no joint": (
        put("/tendons/t1/path/0/joint", "Z9"),
        3,
        ("/tendons/t1/path/0/joint", 'no joint is called "Z9".'),
    ),
    "a tendon on a stick that is elsewhere": (
        put("/tendons/t1/path/0/joint", "B1"),
        3,
        ('"top" does not run through "B1".',),
    ),
    "a tendon without force": (
        put("/loads/cases/PT/loads/0/force", None),
        3,
        ("/loads/cases/PT/loads/0", 'this gives neither "force" nor "stress".'),
    ),
    "a tendon that a combination leaves out": (
        put("/loads/combinations/D+S/PT", None),
        4,
        ("/loads/combinations/D+S", "The tendon t1 is stressed in PT, which D+S does not hold."),
    ),
    "a stage that removes what is not there": (
        staged(stage("out", {"remove": ["w6"]}), stage("again", {"remove": ["w6"]})),
        3,
        ("/stages/2/actions/0/remove/0", 'stage "again" takes out w6, which is not there.'),
    ),
    "a mechanism that a stage leaves for good": (
        staged(stage("wait"), stage("cut", {"remove": ["top"]}), stage("idle")),
        4,
        ("/stages/2, /joints/", "From stage cut on: "),
    ),
    "a stage that removes a stranger": (
        staged(stage("out", {"remove": ["w66"]})),
        3,
        ("/stages/1/actions/0/remove/0", 'no member is called "w66". Did you mean "w6"?'),
    ),
    "shoring that lifts off": (
        staged(stage("shored", {"shore": ["B4"]}, UP)),
        4,
        ("/stages/1", 'in stage "shored" the shore at B4 lifts off: it would have to pull with'),
    ),
    "a mechanism at stage 3": (
        staged(stage("two"), stage("three", {"remove": ["top"]}), stage("four", {"add": ["top"]})),
        4,
        ("/stages/2", "/joints/T1", 'in stage "three": T1 and T7 can move'),
    ),
    "a jack where no shore stands": (
        staged(stage("lifted", {"jack": ["B4"], "by": 0.5})),
        3,
        ("/stages/1/actions/0/jack/0", 'stage "lifted" jacks a shore at B4, where none stands.'),
    ),
    "a shore under no joint": (
        staged(stage("shored", {"shore": ["B44"]})),
        3,
        ("/stages/1/actions/0/shore/0", 'no joint is called "B44".'),
    ),
    "two stages of one name": (staged(FOUND), 3, ("/stages/1/id", 'two stages are called "found".')),
    "a case that nobody knows": (staged(stage("on", {"load": ["Q"]})), 3, ('no case is called "Q".',)),
    "a sister of a stick that is elsewhere": (
        put("/members/sister/through", ["T2", "T3"]),
        3,
        ("/stages/3/actions/0/beside", "puts sister beside bottom, which does not run through T2, T3."),
    ),
    "negative snow": (
        put("/loads/cases/S/loads/0/down", -320),
        4,
        ("/loads/cases/S/loads/0", "The case S is snow and pushes the roof up; snow is never negative."),
    ),
    "slip by fasteners that nobody stated": (
        put("/members/w3/fastener_slip", ["last"]),
        4,
        ("/members/w3/fastener_slip", "w3 is to slip by its fasteners at T2"),
    ),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("verb", ["analyse", "check"])
def test_it_is_refused_by_place_and_name_before_any_number(verb: str, name: str, tmp_path: Path) -> None:
    change, code, told = CASES[name]
    document: Object = json.loads(SAMPLE.read_text(encoding="utf-8"))
    change(document)
    path = tmp_path / "repaired.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    ran = trussio(verb, path)
    assert (ran.code, ran.out) == (code, ""), ran.err
    for part in told:
        assert part in ran.err


def test_the_sample_itself_is_not_refused() -> None:
    assert trussio("analyse", SAMPLE).code == 0

"""Stages: structures on the way that do not stand, and ties between sticks that nobody knows."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.audit.compatibility import compatibility
from trussio.audit.instability import instability
from trussio.audit.rank import decompose, is_mechanism
from trussio.audit.wording import listed, pointer
from trussio.model.finding import Finding
from trussio.model.history import after, beginning, ending, structure
from trussio.model.idealised import idealise
from trussio.model.staging import Add

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.model.truss import Idealisation, Truss

ALIKE: Final = frozenset({"duplicate", "twin-differs"})
"""What is found of two sticks on one line."""


def with_stages(found: list[Finding], truss: Truss, idealisation: Idealisation) -> list[Finding]:
    """What was found in the final structure, and what there is to say of the stages of a truss.

    A stick that a stage puts beside another is not drawn twice.
    """
    pairs = [
        {pointer("members", name), pointer("members", how.beside)}
        for name, how in ending(truss).beside.items()
        if how.beside is not None
    ]
    parts = {
        pointer("members", part): pointer("members", member.part_of)
        for part, member in truss.members.items()
        if member.part_of is not None
    }
    kept = [one for one in found if one.code not in ALIKE or _places(one, parts) not in pairs]
    return [*since_stage(kept, truss, idealisation), *_standing(truss, idealisation), *_ties(truss)]


def since_stage(found: Sequence[Finding], truss: Truss, idealisation: Idealisation) -> list[Finding]:
    """What was found in the final structure, with the stage from which on it moves where it does."""
    number: int | None = None
    codes: set[str] = set()
    for index, there in enumerate(_after_each(truss)):
        compat = compatibility(there, idealise(there, idealisation))
        if not is_mechanism(compat.matrix):
            number = None
            continue
        number = index if number is None else number
        codes = {
            one.code for one in instability(there, compat, decompose(compat.matrix), idealisation=idealisation)
        }
    if number is None:
        return [*found]
    stage = truss.stages[number].id
    return [
        replace(one, where=(pointer("stages", number), *one.where), says=f"From stage {stage} on: {one.says}")
        if one.level == "stop" and one.code in codes
        else one
        for one in found
    ]


def _after_each(truss: Truss) -> Iterator[Truss]:
    """What is there after each stage."""
    moment = beginning(truss)
    for stage in truss.stages:
        for action in stage.actions:
            moment = after(moment, action)
        yield structure(truss, moment)


def _places(finding: Finding, parts: Mapping[str, str]) -> set[str]:
    """The places of a finding, those of a part of a stick as of the whole."""
    return {parts.get(place, place) for place in finding.where}


def _standing(truss: Truss, idealisation: Idealisation) -> Iterator[Finding]:
    """Every stage after which something can move; the final structure is audited by itself."""
    for number, (stage, there) in enumerate(zip(truss.stages, _after_each(truss), strict=True)):
        if number == len(truss.stages) - 1:
            return
        idealised = idealise(there, idealisation)
        compat = compatibility(there, idealised)
        if not is_mechanism(compat.matrix):
            continue
        for found in instability(there, compat, decompose(compat.matrix), idealisation=idealisation):
            yield Finding(
                code="stage-mechanism",
                level="stop",
                where=(pointer("stages", number), *found.where),
                says=f"After stage {stage.id}: {found.says}",
                do=found.do,
                evidence=found.evidence,
            )


def _ties(truss: Truss) -> Iterator[Finding]:
    for number, stage in enumerate(truss.stages):
        for index, action in enumerate(stage.actions):
            if not isinstance(action, Add) or action.beside is None:
                continue
            if not (action.glued or action.slip or action.along):
                yield Finding(
                    code="sister-without-slip",
                    level="query",
                    where=(pointer("stages", number, "actions", index),),
                    says=f"Stage {stage.id} puts {listed(action.members)} beside {action.beside}, and the "
                    "stiffness of the fasteners is not stated: held without slip it takes more than it will.",
                    do="Give the slip of the fasteners at each joint, or along the stick.",
                )

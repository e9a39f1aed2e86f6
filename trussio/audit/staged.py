"""Stages: structures on the way that do not stand, and ties between sticks that nobody knows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.compatibility import compatibility
from trussio.audit.instability import instability
from trussio.audit.rank import decompose, is_mechanism
from trussio.audit.wording import listed, pointer
from trussio.model.finding import Finding
from trussio.model.history import after, beginning, structure
from trussio.model.idealised import idealise
from trussio.model.staging import Add

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.truss import Idealisation, Truss


def staged(truss: Truss, idealisation: Idealisation) -> Iterator[Finding]:
    """What the audit has to say of the stages of a truss."""
    yield from _standing(truss, idealisation)
    yield from _ties(truss)


def _standing(truss: Truss, idealisation: Idealisation) -> Iterator[Finding]:
    """Every stage after which something can move; the final structure is audited by itself."""
    moment = beginning(truss)
    for number, stage in enumerate(truss.stages):
        for action in stage.actions:
            moment = after(moment, action)
        if number == len(truss.stages) - 1:
            return
        there = structure(truss, moment)
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

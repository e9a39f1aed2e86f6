"""Where a truss stands: the lowest outer joints, as an assumption, unless the basis says otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.model.change import Assumption, Question
from trussio.model.truss import Support

if TYPE_CHECKING:
    from trussio.drawing.recognise.roles import Recognised
    from trussio.model.basis import Basis
    from trussio.model.truss import JointId


def supports_of(
    truss: Recognised, basis: Basis | None
) -> tuple[dict[JointId, Support], list[Assumption], list[Question]]:
    """Supports of the basis where it names any, else one heel held and the other rolling."""
    if basis is None or not basis.supports:
        names = truss.names
        left, right = names[truss.outline.left], names[truss.outline.right]
        supports = {left: Support(holds=("x", "y")), right: Support(holds=("y",))}
        assumption = Assumption(
            what=f"The truss stands at its lowest outer joints; {left} is held, {right} may roll.",
            rests_on="the reader's default; holding both would under-state the bottom chord",
            touches=(f"/supports/{left}", f"/supports/{right}"),
        )
        return supports, [assumption], []
    supports = {joint: support for joint, support in basis.supports.items() if joint in truss.joints}
    strange = [joint for joint in basis.supports if joint not in truss.joints]
    assumption = Assumption(
        what=f"The truss stands at {', '.join(supports) or 'no joint'}, as stated.",
        rests_on=basis.name,
        touches=tuple(f"/supports/{joint}" for joint in supports),
    )
    return supports, [assumption], [_no_such_joint(basis, joint) for joint in strange]


def _no_such_joint(basis: Basis, joint: JointId) -> Question:
    return Question(
        code="support-without-joint",
        asks=f"{basis.name} supports joint {joint}, which the truss as read does not have. Which joint is meant?",
        taken="left out",
        settle=f"Correct /supports/{joint} in {basis.name}.",
    )

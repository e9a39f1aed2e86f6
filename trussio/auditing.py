"""The audit of a truss in the state asked for; as found, what differs from the truss as built is said besides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.difference import with_difference
from trussio.audit.rules import audit
from trussio.late import loaded
from trussio.state import as_ended

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from trussio.model.finding import Finding, Findings
    from trussio.model.truss import Idealisation, Truss
    from trussio.state import InState


def audit_in_state(
    truss: Truss,
    made: InState,
    *,
    idealisation: Idealisation,
    digest: str,
    besides: Sequence[Finding] = (),
) -> Findings:
    """Everything found in a truss as it was made from its document, whose digest is given.

    Places are those of the truss in that state. `besides` is what the forces of that truss tell.
    """
    if made.truss.sags:
        sag_findings: Callable[[Truss, Idealisation], list[Finding]] = loaded("trussio.sagging:sag_findings")
        besides = (*besides, *sag_findings(made.truss, idealisation))
    findings = audit(
        as_ended(made.truss),
        idealisation=idealisation,
        digest=digest,
        worked_on=made.truss if made.truss.stages else None,
        document=truss,
        besides=besides,
    )
    if not made.findings:
        return findings
    built = audit(as_ended(truss), idealisation=idealisation, digest=digest, document=truss, besides=besides)
    return with_difference(findings, built)

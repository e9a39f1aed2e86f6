"""Cases and combinations from the site and the surfaces of a truss, written into its document.

    site, surfaces -> chords -> dead, live, roof cases -> loads on sticks -> combinations -> document

Each case and combination carries its clause, the numbers that entered, its diagram and a digest, so that what a
person edits afterwards shows. What a person entered by hand (wind, a tendon) stays and is combined by its kind.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from trussio.loads.combinations import Groups, asd_combinations, eurocode_combinations, named
from trussio.loads.faults import refused
from trussio.loads.keeping import (
    cases_by_hand,
    combinations_by_hand,
    hidden_by_hand,
    refuse_edits,
    refuse_orphans,
    refuse_taken,
    told_with_kept,
    with_kept,
)
from trussio.loads.left_out import left_out
from trussio.loads.made import made_cases
from trussio.model.change import Assumption
from trussio.model.generated import edited, factors_digest, inputs_digest
from trussio.model.loading import RunId
from trussio.model.site import Generated, LoadBasis

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.loads.combinations import Combination
    from trussio.loads.made import Made
    from trussio.model.loading import LoadCase
    from trussio.model.site import Site, Spread
    from trussio.model.truss import Truss

Edits = Literal["refuse", "keep", "discard"]
OURS = "loads-"
"""How the ids of assumptions begin that are made here."""


def generate(truss: Truss, *, spread: Spread = "as-stated", edits: Edits = "refuse") -> Truss:
    """The truss with cases and combinations generated from its site and surfaces.

    `spread` says how area loads reach the sticks. `edits` says what becomes of generated cases and combinations
    that somebody has edited or taken out since: refused, kept as they are, or written anew.

    Raises CannotAnalyseError where site, surfaces or chords lack what a rule needs, and UsageError where something
    that a person wrote stands in the way (`edited-loads`, `name-taken`, `combination-without-case`).
    """
    site = _site(truss)
    changed = edited(truss.loads)
    if edits == "refuse":
        refuse_edits(changed)
    kept = set(changed) if edits == "keep" else set()
    made, covered = made_cases(truss, site, spread)
    refuse_taken(made, truss.loads)
    now, before = truss.loads, truss.loads.basis
    cases = with_kept({run: one.case for run, one in made.items()}, now.cases, kept) | cases_by_hand(now)
    combined, by_hand = _combinations(site, _groups(cases, made)), combinations_by_hand(now)
    hidden = tuple(hidden_by_hand({run: one.factors for run, one in combined.items()}, by_hand))
    combined = {run: one for run, one in combined.items() if run not in by_hand}
    factors = with_kept({run: one.factors for run, one in combined.items()}, now.combinations, kept) | by_hand
    refuse_orphans(factors, cases)
    basis = LoadBasis(
        edition=site.edition,
        spread=spread,
        inputs=inputs_digest(truss),
        cases=told_with_kept({r: one.told for r, one in made.items()}, before.cases if before else {}, kept),
        combinations=told_with_kept(
            {run: _told(one) for run, one in combined.items()}, before.combinations if before else {}, kept
        ),
        not_evaluated=left_out(site, cases, (*covered.left_out, *hidden)),
    )
    loads = replace(now, cases=cases, combinations=factors, basis=basis)
    return replace(truss, loads=loads, assumptions=_assumptions(truss, covered.assumed))


def _site(truss: Truss) -> Site:
    if truss.site is None:
        raise refused(
            "no-site",
            "/site",
            "the document has no site, so that nothing says what loads the roof.",
            'Add "site" with at least "edition" and "spacing", and "surfaces".',
        )
    if not truss.surfaces:
        raise refused(
            "no-surfaces",
            "/surfaces",
            "the document has no surfaces, so that no load has anything to lie on.",
            'Add "surfaces": what lies on the top chord, and on the bottom chord where there is a ceiling.',
        )
    return truss.site


def _groups(cases: Mapping[RunId, LoadCase], made: Mapping[RunId, Made]) -> Groups:
    """Cases by kind, whoever wrote them."""

    def of(kind: str, *, accidental: bool = False, panel: bool = False) -> tuple[RunId, ...]:
        return tuple(
            run
            for run, case in cases.items()
            if case.kind == kind
            and (run in made and made[run].accidental) == accidental
            and (run in made and made[run].panel) == panel
        )

    return Groups(
        dead=of("dead"),
        live=of("live"),
        panel=of("live", panel=True),
        snow=of("snow"),
        roof_live=of("roof-live"),
        wind=of("wind"),
        accidental=of("snow", accidental=True),
        held=of("post-tension"),
    )


def _combinations(site: Site, groups: Groups) -> dict[RunId, Combination]:
    """The combinations of the edition."""
    if site.edition == "en1991":
        found = eurocode_combinations(groups, psi0_snow=site.psi0_snow, psi0_live=site.psi0_live)
    else:
        found = asd_combinations(groups, site.edition)
    return {RunId(name): one for name, one in named(found).items()}


def _told(combination: Combination) -> Generated:
    return Generated(
        pattern="combination",
        says=combination.says,
        clause=combination.rule.clause,
        mark=combination.rule.mark,
        digest=factors_digest(combination.factors),
    )


def _assumptions(truss: Truss, assumed: tuple[tuple[str, str], ...]) -> dict[str, Assumption]:
    """The assumptions of the document with those made here; what a person confirmed stays as it is."""
    standing = {
        name: assumption
        for name, assumption in truss.assumptions.items()
        if not name.startswith(OURS) or assumption.confirmed
    }
    made = {
        f"{OURS}{where.rpartition('/')[2]}": Assumption(
            what=what, rests_on="nothing stated; the usual value of the load rules", touches=("/site", "/loads")
        )
        for where, what in assumed
    }
    return standing | {name: one for name, one in made.items() if name not in standing}

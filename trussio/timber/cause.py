"""Why an element stands where it does: a chain of plain sentences with numbers, all from the model.

The rules stand in one table, in the order in which their sentences are told. A rule looks at computed quantities
alone and is silent where they do not raise it, so that a change of the document changes what is said.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.model.standing import Cause
from trussio.timber.cause_chords import cut_ply, next_to_splice, pushing_web
from trussio.timber.cause_grades import old_grade
from trussio.timber.cause_loads import (
    load_case,
    over_by_dead_load,
    sign_changed,
    uneven_load,
)
from trussio.timber.cause_strength import (
    axial_or_bending,
    no_bound,
    section_lost,
    slenderness_decides,
    strength_decides,
    too_slender,
    wood_first,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.timber.cause_facts import Facts

RULES: Final[tuple[tuple[str, Callable[[Facts], str]], ...]] = (
    ("over-by-dead-load", over_by_dead_load),
    ("load-case", load_case),
    ("sign-changed", sign_changed),
    ("uneven-load", uneven_load),
    ("axial-or-bending", axial_or_bending),
    ("pushing-web", pushing_web),
    ("splice", next_to_splice),
    ("cut-ply", cut_ply),
    ("wood-first", wood_first),
    ("buckles", no_bound),
    ("slenderness", slenderness_decides),
    ("strength", strength_decides),
    ("too-slender", too_slender),
    ("section-lost", section_lost),
    ("old-stamp", old_grade),
)


def causes(facts: Facts) -> tuple[Cause, ...]:
    """The sentences of every rule that the facts raise, in the order of the table."""
    return tuple(Cause(rule, says) for rule, raised in RULES if (says := raised(facts)))

"""What no generated case or combination covers, in words for the page and the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.loads.sources import MEMORY

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import LoadCase, RunId
    from trussio.model.site import Seen, Site

BY_HAND: Final = "enter them by hand, in combinations of their own"
PANEL: Final = (
    "A single weight hung from a panel point of the bottom chord, as codes ask over garages, storage and "
    f"workshops (2000 lb in ASCE 7 table 4.3-1, {MEMORY}): panel_load is not stated."
)


def left_out(site: Site, cases: Mapping[RunId, LoadCase], by_rule: tuple[str, ...]) -> tuple[str, ...]:
    """Everything that a reader might take for covered and that is not; `by_rule` comes from the rules."""
    kinds = {case.kind for case in cases.values()}
    lines = list(by_rule)
    if "wind" not in kinds:
        lines.append("Wind, its uplift included: enter it by hand as a case of kind wind, then load again.")
    loose = [run for run, case in cases.items() if case.kind in {None, "imposed", "other"}]
    if loose:
        lines.append(f"Cases {', '.join(loose)} stand in no generated combination: {BY_HAND}.")
    lines += _frame("Knee braces", site.knee_braces)
    lines += _frame("Columns fastened to the truss", site.columns)
    if site.panel_load is None and site.edition != "en1991":
        lines.append(PANEL)
    if site.edition != "en1991":
        lines.append("Strength combinations (factored loads): allowable-stress combinations only.")
    lines.append("Earthquake.")
    return tuple(lines)


def _frame(what: str, seen: Seen | None) -> list[str]:
    """What braces or clamps the truss at its ends and may turn forces round."""
    if seen in {"none", "in-model"}:
        return []
    said = "the survey did not see whether there are any" if seen == "not-seen" else "not stated"
    return [f"{what}: {said}; they would change the forces near the heels."]

"""The site and the surfaces of a basis, fitted to the joints and members that a drawing turned out to have."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from trussio.model.change import Assumption, Question

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.model.basis import Basis
    from trussio.model.site import Hung, Site, Surface
    from trussio.model.truss import Joint, JointId, Member, MemberId


class FittedSite(NamedTuple):
    """What the document takes over, what that rests on, and what was left out with a question."""

    site: Site | None = None
    surfaces: Mapping[str, Surface] = MappingProxyType({})
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = ()


def fitted_site(
    basis: Basis | None, joints: Mapping[JointId, Joint], members: Mapping[MemberId, Member]
) -> FittedSite:
    """Site and surfaces of the basis without what lies or hangs on something that the truss lacks."""
    if basis is None or (basis.site is None and not basis.surfaces):
        return FittedSite()
    strange: dict[str, str] = {}
    for name, surface in basis.surfaces.items():
        strange |= dict(_strange_in_surface(name, surface, joints, members))
    surfaces = {
        name: replace(surface, purlins=_known(surface, joints))
        for name, surface in basis.surfaces.items()
        if f"/surfaces/{name}/member" not in strange
    }
    site = basis.site
    if site is not None and site.hung is not None:
        lost = {name: what for name, hung in site.hung.items() if (what := _strange_hung(hung, joints, members))}
        strange |= {f"/site/hung/{name}": what for name, what in lost.items()}
        site = replace(site, hung={name: hung for name, hung in site.hung.items() if name not in lost})
    return FittedSite(
        site=site,
        surfaces=surfaces,
        assumptions=(
            Assumption(what="Site and surfaces as stated.", rests_on=basis.name, touches=("/site", "/surfaces")),
        ),
        questions=tuple(_question(basis.name, where, what) for where, what in strange.items()),
    )


def _strange_in_surface(
    name: str, surface: Surface, joints: Mapping[JointId, Joint], members: Mapping[MemberId, Member]
) -> Iterator[tuple[str, str]]:
    """Pointer and name of what a surface asks for and is not there."""
    if surface.member is not None and surface.member not in members:
        yield f"/surfaces/{name}/member", surface.member
    for index, place in enumerate(surface.purlins or ()):
        if isinstance(place, str) and place not in joints:
            yield f"/surfaces/{name}/purlins/{index}", place


def _known(surface: Surface, joints: Mapping[JointId, Joint]) -> tuple[JointId | float, ...] | None:
    if surface.purlins is None:
        return None
    return tuple(place for place in surface.purlins if not isinstance(place, str) or place in joints)


def _strange_hung(hung: Hung, joints: Mapping[JointId, Joint], members: Mapping[MemberId, Member]) -> str:
    """The first thing that a hung weight asks for and that is not there, or an empty text."""
    if hung.joint is not None:
        return "" if hung.joint in joints else hung.joint
    if hung.member is None:
        return ""
    if hung.member not in members:
        return hung.member
    through = members[hung.member].through
    return hung.at if isinstance(hung.at, str) and hung.at not in through else ""


def _question(basis: str, where: str, what: str) -> Question:
    return Question(
        code="load-without-place",
        asks=f"{where} of the basis asks for {what}, which the truss lacks. Where is it meant?",
        taken="left out",
        settle=f"Correct {where} in {basis}.",
    )

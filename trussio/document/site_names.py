"""The joints and members that site and surfaces name, each with its place in the document."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.positions import escaped
from trussio.model.loading import PointLoad, Target

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.model.site import Site, Surface


def names_of_site(site: Site | None, surfaces: Mapping[str, Surface]) -> Iterator[tuple[str, str, str]]:
    """Pointer, `joint` or `member`, and the name there."""
    for name, surface in surfaces.items():
        where = f"/surfaces/{escaped(name)}"
        if surface.member is not None:
            yield f"{where}/member", "member", surface.member
        for index, place in enumerate(surface.purlins or ()):
            if isinstance(place, str):
                yield f"{where}/purlins/{index}", "joint", place
    for name, hung in ((site.hung if site else None) or {}).items():
        where = f"/site/hung/{escaped(name)}"
        if hung.joint is not None:
            yield f"{where}/joint", "joint", hung.joint
        if hung.member is not None:
            yield f"{where}/member", "member", hung.member


def hung_points(site: Site | None) -> Iterator[tuple[str, PointLoad]]:
    """Pointer and place of what hangs on a stick."""
    for name, hung in ((site.hung if site else None) or {}).items():
        if hung.member is not None and hung.at is not None:
            yield f"/site/hung/{escaped(name)}", PointLoad(on=Target(member=hung.member), at=hung.at)

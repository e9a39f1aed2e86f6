"""What has to be said of a drawing besides its linework: damaged entities, missing blocks, odd layers, texts."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from trussio.drawing.content import DEGENERATE
from trussio.drawing.entities import CUSTOM
from trussio.drawing.flattening import OVAL
from trussio.drawing.text import decoded, has_lost_bytes
from trussio.model.change import Change, Question

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from trussio.drawing.flattening import Bent
    from trussio.drawing.opened_space import OpenedSpace

MOST_TOLD: Final = 20
MOST_CURVES: Final = 50


def changes_of(space: OpenedSpace, bent: Sequence[Bent], lost_bytes: Sequence[str]) -> tuple[Change, ...]:
    """What was done in reading a space, and what is worth knowing of it."""
    return (
        *_blocks(space),
        *_tables(space),
        *_layers(space),
        *_curves(space, bent),
        *_texts(space, lost_bytes),
        *_counts(space),
    )


def questions_of(space: OpenedSpace, bent: Sequence[Bent]) -> tuple[Question, ...]:
    """What must be asked about a space."""
    return (*_damaged(space), *_ovals(bent))


def _damaged(space: OpenedSpace) -> Iterator[Question]:
    if not space.damaged:
        return
    told = "; ".join(
        f"{fault.kind} {fault.handle} on layer {decoded(fault.layer)!r}: {fault.reason}"
        for fault in space.damaged[:MOST_TOLD]
    )
    more = len(space.damaged) - MOST_TOLD
    yield Question(
        code="damaged-entities",
        asks=f"Entities that cannot be read: {told}{f'; and {more} more' if more > 0 else ''}. What do they draw?",
        taken="left out",
        settle="Mend or delete them in the drawing, or answer left out in the answers file.",
        handles=_few(fault.handle for fault in space.damaged),
    )


def _ovals(bent: Sequence[Bent]) -> Iterator[Question]:
    """Ask about open elliptical arcs whose axes differ by more than two in a hundred."""
    odd = [curve for curve in bent if curve.oval is not None and curve.oval < 1 - OVAL]
    if not odd:
        return
    worst = min(curve.oval or 0.0 for curve in odd)
    yield Question(
        code="elliptical-arcs",
        asks=f"{len(odd)} arcs are parts of ellipses (shorter axis {worst:.2f} of the longer). Is the timber bent "
        "so, or was a circle scaled unequally?",
        taken="read as drawn",
        settle="Draw them as arcs of circles, or answer read as drawn in the answers file.",
        where=(float(odd[0].points[0, 0]), float(odd[0].points[0, 1])),
        handles=_few(curve.handle for curve in odd),
    )


def _blocks(space: OpenedSpace) -> Iterator[Change]:
    for fault in space.missing[:MOST_TOLD]:
        says = f"INSERT {fault.handle}: {fault.reason}; what it drew is not read."
        yield Change(kind="missing-block", says=says, handles=(fault.handle,))
    for block in space.copies:
        for reference in block.content.references:
            across, up = (abs(side) for side in reference.scale)
            if abs(across - up) > 1e-9 * max(across, up):
                yield Change(
                    kind="unequal-scale",
                    says=f"Block {decoded(reference.block)!r} is scaled {across:g} across and {up:g} up.",
                    handles=(reference.origin.handle,),
                )
            if reference.count > 1:
                yield Change(
                    kind="block-array",
                    says=f"Block {decoded(reference.block)!r} is repeated {reference.count} times in an array; "
                    "every copy is read.",
                    handles=(reference.origin.handle,),
                )


def _tables(space: OpenedSpace) -> Iterator[Change]:
    tables = [table for block in space.copies for table in block.content.tables]
    if tables:
        cells = sum(texts for _, texts in tables)
        yield Change(
            kind="tables",
            says=f"{len(tables)} tables: {cells} texts in their cells were read, their lines were not.",
            handles=_few(handle for handle, _ in tables),
        )
    pictured = space.aside["table", "INSERT"]
    if pictured:
        yield Change(kind="tables", says=f"{pictured} tables stand in the drawing as pictures and were not read.")


def _layers(space: OpenedSpace) -> Iterator[Change]:
    if space.states.missing:
        listed = ", ".join(repr(decoded(name)) for name in space.states.missing[:MOST_TOLD])
        yield Change(
            kind="layer-undefined", says=f"Layers in use that the table lacks, read as visible: {listed}."
        )
    if space.states.unplotted:
        listed = ", ".join(repr(decoded(name)) for name in space.states.unplotted[:MOST_TOLD])
        yield Change(kind="layer-unplotted", says=f"Layers in use that no plot shows, read as visible: {listed}.")
    odd = [decoded(name) for name in space.raw_layers if has_lost_bytes(name)]
    if odd:
        listed = ", ".join(repr(name) for name in odd[:MOST_TOLD])
        yield Change(kind="undecodable-text", says=f"Layer names with bytes outside the code page: {listed}.")


def _curves(space: OpenedSpace, bent: Sequence[Bent]) -> Iterator[Change]:
    for curve in bent[:MOST_CURVES]:
        where = (float(curve.points[0, 0]), float(curve.points[0, 1]))
        kind = space.spelling.kinds[curve.kind]
        yield Change(
            kind="curve-read",
            says=f"{kind} {curve.handle} {_shape(curve)}.",
            where=where,
            distance=curve.arc.residual if curve.arc is not None else None,
            handles=(curve.handle,),
        )
    if len(bent) > MOST_CURVES:
        says = f"{len(bent) - MOST_CURVES} more splines and ellipses were read in the same way."
        yield Change(kind="curve-read", says=says)


def _shape(curve: Bent) -> str:
    if curve.arc is not None:
        shape = "a circle" if curve.is_circle else "an arc"
        return f"is {shape} of radius {curve.arc.radius:g} within {curve.arc.residual:.3g} drawing units"
    if len(curve.points) == 2:
        return "is a straight line"
    return f"follows no circle; read as {len(curve.points) - 1} straight facets"


def _texts(space: OpenedSpace, lost_bytes: Sequence[str]) -> Iterator[Change]:
    if lost_bytes:
        says = f"{len(lost_bytes)} texts hold bytes outside the code page, shown as <byte 0x..>."
        yield Change(kind="undecodable-text", says=says, handles=_few(lost_bytes))
    times = Counter(space.copies[0].content.handles)
    if len(times) < len(space.copies[0].content.handles):
        yield from _repeated(space)


def _repeated(space: OpenedSpace) -> Iterator[Change]:
    content = space.copies[0].content
    drawn: dict[str, set[int]] = {}
    for handle, entity in zip(content.handles, content.entity, strict=True):
        drawn.setdefault(handle, set()).add(entity)
    shared = [handle for handle, entities in drawn.items() if len(entities) > 1]
    if shared:
        says = f"{len(shared)} handles belong to several entities each; a handle given below may mean any of them."
        yield Change(kind="handles-repeated", says=says, handles=_few(shared))


def _counts(space: OpenedSpace) -> Iterator[Change]:
    extended = sum(block.count * block.content.extended for block in space.copies)
    if extended:
        says = f"{extended} entities carry extended data of some program; it was not used."
        yield Change(kind="extended-data", says=says)
    degenerate = {kind: count for (reason, kind), count in space.aside.items() if reason == DEGENERATE}
    if degenerate:
        says = f"Entities without length or radius were set aside: {_listed(degenerate)}."
        yield Change(kind="no-extent", says=says)
    custom = {kind: count for (reason, kind), count in space.aside.items() if reason == CUSTOM}
    if custom:
        says = f"Objects of other programs were set aside, what they draw is not known: {_listed(custom)}."
        yield Change(kind="custom-objects", says=says)


def _listed(counts: dict[str, int]) -> str:
    return ", ".join(f"{count} {kind}" for kind, count in sorted(counts.items()))


def _few(handles: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(handles))[:MOST_TOLD]

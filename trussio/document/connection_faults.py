"""What a schema cannot say of connections, bracing, butts and plies: that their sticks and places are there.

Each check enters its faults in the ledger and goes on. Distances that are only too small for a standard are no
faults: a check says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.coherence import refer
from trussio.document.positions import escaped

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.document.ledger import Ledger
    from trussio.document.sticks import Sticks
    from trussio.model.connection import Brace, Butt, Connection, Fasteners, Piece
    from trussio.model.material import Section
    from trussio.model.truss import MemberId, Truss

HAIR = 1e-9
OF_PLATES = ("thickness", "depth", "material", "Fy", "Fu")
AT_JOINTS = ("into", "seat", "notch", "wall")


def check_connections(truss: Truss, sticks: Sticks, ledger: Ledger) -> None:
    """That all connections, and all that is known along the sticks, can belong to this truss."""
    for key, connection in truss.connections.items():
        where = f"/connections/{escaped(key)}"
        known = connection.joint is not None and refer(
            ledger, f"{where}/joint", connection.joint, truss.joints, "joint"
        )
        _check_pieces(truss, connection, where, ledger, meets=known)
        _check_rest(truss, connection, where, ledger)
    for name, member in truss.members.items():
        where = f"/members/{escaped(name)}"
        for index, brace in enumerate(member.braced or ()):
            _check_brace(name, brace, sticks, f"{where}/braced/{index}", ledger)
        cuts = () if member.laminations is None else member.laminations.cuts or ()
        for place, butts in (("butts", member.butts or ()), ("laminations/cuts", cuts)):
            for index, butt in enumerate(butts):
                _check_butt(truss, name, butt, f"{where}/{place}/{index}", ledger)
            _check_places(name, butts, sticks, f"{where}/{place}", ledger)
        for key, what, do in _ply_faults(truss, name):
            ledger.add(f"{where}/{key}", what, do)
        if member.spaced is not None and member.spaced.fasteners is not None:
            _check_fasteners(member.spaced.fasteners, f"{where}/spaced/fasteners", ledger)


def _ply_faults(truss: Truss, name: MemberId) -> Iterator[tuple[str, str, str]]:
    """Place within the member, what and what to do where what joins its plies cannot be."""
    member, section = truss.members[name], _section(truss, name)
    said = [key for key in ("stitched", "spaced") if getattr(member, key) is not None]
    if len(said) > 1:
        yield "spaced", "its plies touch and stand apart at once.", "Keep stitched or spaced, not both."
    if section is not None and section.plies == 1:
        for key in said:
            yield key, f'"{name}" has one ply.', "Count the plies of its section, or take this out."
    elif section is not None and section.joined == "glued":
        for key in said:
            yield key, "its plies are glued.", "Take this out, or say in its section that they are not."
    stitched = member.stitched
    if stitched is None:
        return
    for key, kind in (("length", "nail"), ("opposite", "nail"), ("washers", "bolt"), ("tight", "bolt")):
        if getattr(stitched, key) is not None and stitched.kind != kind:
            yield f"stitched/{key}", f"this belongs to a {kind}.", "Take it out, or change the kind."
    depth = None if section is None else section.depth
    if depth is not None and stitched.edge is not None and stitched.edge > depth / 2 * (1 + HAIR):
        what = f"the nearer edge lies {stitched.edge:g} away in a depth of {depth:g}."
        yield "stitched/edge", what, "Measure across the ply from the fastener to its nearer edge."


def _check_pieces(truss: Truss, connection: Connection, where: str, ledger: Ledger, *, meets: bool) -> None:
    """`meets` says that the joint is known, so that sticks can be held to it."""
    seen: dict[MemberId, list[int | None]] = {}
    for index, piece in enumerate(connection.pieces):
        place = f"{where}/pieces/{index}"
        for key, name in (("member", piece.member), ("meets", piece.meets)):
            known = name is not None and refer(ledger, f"{place}/{key}", name, truss.members, "member")
            if known and meets:
                _check_meeting(truss, connection, piece, f"{place}/{key}", ledger)
        if piece.material is not None:
            refer(ledger, f"{place}/material", piece.material, truss.materials, "material")
        if piece.member is not None and piece.member in truss.members:
            seen.setdefault(piece.member, []).append(piece.ply)
        for key, what, do in _piece_faults(truss, piece):
            ledger.add(f"{place}{key}", what, do)
    for name, plies in seen.items():
        section = _section(truss, name)
        numbered = [number for number in plies if number is not None]
        most = 1 if section is None else section.plies
        if len(plies) > most or len(set(numbered)) < len(numbered):
            what = f'"{name}" has {most} {"ply" if most == 1 else "plies"} and is named {len(plies)} times here.'
            ledger.add(
                f"{where}/pieces", what, "Name each ply once, in the order in which the fasteners meet them."
            )


def _check_meeting(truss: Truss, connection: Connection, piece: Piece, where: str, ledger: Ledger) -> None:
    """That a stick comes to the joint, and ends there where it butts on another."""
    name, joint = piece.meets if where.endswith("/meets") else piece.member, connection.joint
    if name is None:
        return
    through = truss.members[name].through
    if joint not in through:
        what = f'"{name}" does not come to joint "{joint}".'
        ledger.add(where, what, "Name a stick that meets the others there, or the right joint.")
    elif piece.meets is not None and joint in through[1:-1]:
        what = f'"{name}" runs through joint "{joint}", so no butt of it is there.'
        ledger.add(where, what, "Name two sticks that end there, or take meets out.")


def _section(truss: Truss, name: MemberId | None) -> Section | None:
    """The section of a stick, None where it or the stick is not there, which is a fault already."""
    member = None if name is None else truss.members.get(name)
    return None if member is None or member.section is None else truss.sections.get(member.section)


def _piece_faults(truss: Truss, piece: Piece) -> Iterator[tuple[str, str, str]]:
    """Place within the piece, what and what to do."""
    depth = piece.depth
    if piece.member is not None:
        section = _section(truss, piece.member)
        depth = None if section is None else section.depth
        if (
            section is not None
            and section.joined == "glued"
            and section.arranged == "stacked"
            and depth is not None
        ):
            depth *= section.plies
        if section is not None and piece.ply is not None and piece.ply > section.plies:
            yield "/ply", f"the stick has {section.plies} plies.", "Count its plies from 1."
        for key in OF_PLATES:
            if getattr(piece, key) is not None:
                yield f"/{key}", "this belongs to a plate; a ply takes its own from its stick.", "Take it out."
    elif piece.ply is not None or piece.meets is not None:
        yield "", "a plate has no plies and meets no stick.", "Take ply and meets out."
    if depth is None:
        return
    if piece.edge is not None and piece.edge > depth / 2 * (1 + HAIR):
        what = f"the nearer edge lies {piece.edge:g} away in a depth of {depth:g}."
        yield "/edge", what, "Measure across the piece from the fastener to its nearer edge."
    both = (piece.upper_edge or 0.0) + (piece.lower_edge or 0.0)
    if both > depth * (1 + HAIR):
        key = "upper_edge" if piece.upper_edge is not None else "lower_edge"
        what = f"the distances to the edges take {both:g}, the piece is {depth:g} deep."
        yield f"/{key}", what, "Measure across the piece from the fastener to its edge."


def _check_rest(truss: Truss, connection: Connection, where: str, ledger: Ledger) -> None:
    """Fasteners, seats and what takes up the force."""
    sticks = [piece.member for piece in connection.pieces if piece.member is not None]
    if connection.into is not None and connection.into not in sticks:
        what = f'"{connection.into}" is none of the pieces.'
        ledger.add(
            f"{where}/into", what, ledger.meant(connection.into, sticks) or "Name a stick among the pieces."
        )
    if connection.fasteners is not None:
        _check_fasteners(connection.fasteners, f"{where}/fasteners", ledger)
    if connection.notch is not None:
        depths = [
            section.depth for name in sticks if name in truss.members and (section := truss.section_of(name))
        ]
        known = [depth for depth in depths if depth is not None]
        if known and connection.notch.depth >= max(known):
            what = f"a notch of {connection.notch.depth:g} goes through every piece."
            ledger.add(f"{where}/notch/depth", what, "Measure the depth square to the tie.")
    wall = connection.wall
    if wall is None:
        return
    if wall.lost is not None and wall.lost > wall.length:
        what = f"{wall.lost:g} is lost of a seat {wall.length:g} long."
        ledger.add(f"{where}/wall/lost", what, "Enter the lost part of the length.")
    if connection.joint in truss.joints and connection.joint not in truss.supports:
        what = f'no support holds joint "{connection.joint}".'
        ledger.add(f"{where}/wall", what, "Add it to /supports, or name the joint that sits on the wall.")


def _check_fasteners(group: Fasteners, where: str, ledger: Ledger) -> None:
    if group.rows is not None and group.rows > group.count:
        ledger.add(f"{where}/rows", f"{group.count} fasteners make no {group.rows} rows.", "Count them again.")
    drilled = group.kind not in ("nail", "lag screw", "wood screw")  # a pilot hole is smaller
    if drilled and group.hole is not None and group.hole < group.diameter:
        what = f"a hole of {group.hole:g} does not take a diameter of {group.diameter:g}."
        ledger.add(f"{where}/hole", what, "Measure the hole in the wood.")
    if group.connector is None and group.kind in ("split ring", "shear plate"):
        ledger.add(
            where, f"a {group.kind} has a diameter of its own.", 'Add "connector"; diameter is its bolt\'s.'
        )
    elif group.connector is not None and group.kind not in ("split ring", "shear plate"):
        ledger.add(
            f"{where}/connector", f"a {group.kind} is no ring or plate.", "Take it out, or change the kind."
        )


def _check_brace(name: MemberId, brace: Brace, sticks: Sticks, where: str, ledger: Ledger) -> None:
    if brace.at is not None:
        sticks.distance(name, brace.at, f"{where}/at", ledger)
        return
    start = sticks.distance(name, brace.start, f"{where}/from", ledger)
    end = sticks.distance(name, brace.end, f"{where}/to", ledger)
    if start is not None and end is not None and end <= start:
        place = "from" if brace.start is not None else "to"
        what = f'the stretch does not run forward along "{name}".'
        ledger.add(f"{where}/{place}", what, "Swap the two; leave both out for the whole stick.")


def _check_places(name: MemberId, butts: Sequence[Butt], sticks: Sticks, where: str, ledger: Ledger) -> None:
    """That every butt lies on its stick, and none is written twice."""
    seen: set[tuple[int, float]] = set()
    for index, butt in enumerate(butts):
        at = sticks.distance(name, butt.at, f"{where}/{index}/at", ledger)
        if at is None:
            continue
        if (butt.ply, at) in seen:
            ledger.add(f"{where}/{index}", f"ply {butt.ply} is cut there twice.", "Write each butt once.")
        seen.add((butt.ply, at))


def _check_butt(truss: Truss, name: MemberId, butt: Butt, where: str, ledger: Ledger) -> None:
    section = _section(truss, name)
    if section is not None and butt.ply > section.plies:
        ledger.add(f"{where}/ply", f'"{name}" has {section.plies} plies.', "Count its plies from 1.")
    if butt.across is not None:
        _check_across(truss, name, butt, f"{where}/across", ledger)


def _check_across(truss: Truss, name: MemberId, butt: Butt, where: str, ledger: Ledger) -> None:
    """That what bridges a butt holds the cut ply to others of its stick, or to plates."""
    across = butt.across
    if across is None:
        return
    for key in AT_JOINTS:
        if getattr(across, key) is not None:
            ledger.add(f"{where}/{key}", "this belongs to a connection at a joint.", "Take it out here.")
    for index, piece in enumerate(across.pieces):
        if piece.member in truss.members and piece.member != name:
            what = f'"{piece.member}" is another stick than "{name}", whose ply is cut.'
            ledger.add(f"{where}/pieces/{index}/member", what, "Name plies of the stick itself, or plates.")
        elif piece.member == name and piece.ply is None:
            ledger.add(f"{where}/pieces/{index}", "this does not say which ply it is.", 'Add "ply".')
    plies = [piece.ply for piece in across.pieces]
    if butt.ply not in plies:
        ledger.add(f"{where}/pieces", f"the cut ply {butt.ply} is not among them.", "Name it with the others.")
    elif len(plies) == 1:
        ledger.add(
            f"{where}/pieces", "nothing takes up the cut ply's force.", "Name the neighbouring ply or plate."
        )
    _check_pieces(truss, across, where, ledger, meets=False)
    _check_rest(truss, across, where, ledger)

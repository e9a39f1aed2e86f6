"""One king-post truss drawn with one fault of a kind that the generator of faulty drawings does not draw.

Each case has the number of its pathology, the handling that suits it, and the code by which the reader names it.
All of it reads as the six joints and nine segments of the truss, unless it is refused or a case says otherwise.
"""

from __future__ import annotations

import gzip
from dataclasses import dataclass
from math import asin, degrees, hypot
from random import Random
from typing import TYPE_CHECKING, Final

from tests.drawing.drafting import bare, drawing, line, saved, saved_binary
from tests.faulty.double import double_lines
from tests.faulty.files import written
from tests.faulty.plans import plan

if TYPE_CHECKING:
    from collections.abc import Callable

    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout

    from tests.drawing.drafting import Tag
    from tests.faulty.plans import Kind
    from tests.faulty.truth import Handling

Pair = tuple[tuple[float, float], tuple[float, float]]

KING_POST: Final[tuple[Pair, ...]] = (
    ((0, 0), (360, 0)),
    ((0, 0), (180, 90)),
    ((180, 90), (360, 0)),
    ((180, 0), (180, 90)),
    ((180, 0), (90, 45)),
    ((180, 0), (270, 45)),
)
INCHES: Final[tuple[Tag, ...]] = ((9, "$INSUNITS"), (70, 1))
SMALL_JOINTS: Final = (6, 9)
"""Joints and segments of the king-post truss."""


@dataclass(frozen=True, kw_only=True)
class SmallFault:
    """A drawing with one fault: what it is called, how it is handled and named, and what is read of it."""

    item: int
    name: str
    handling: Handling
    code: str
    data: Callable[[], bytes]
    read: tuple[int, int] = SMALL_JOINTS


SMALL_FAULTS: Final[list[SmallFault]] = []


def case(
    item: int, handling: Handling, code: str = "", read: tuple[int, int] = SMALL_JOINTS
) -> Callable[[Callable[[], bytes | Drawing]], Callable[[], bytes | Drawing]]:
    """Enter a case in the table, under the name of the function that draws it."""

    def enter(draw: Callable[[], bytes | Drawing]) -> Callable[[], bytes | Drawing]:
        def data() -> bytes:
            made = draw()
            return made if isinstance(made, bytes) else saved(made)

        name = draw.__name__.replace("_", " ")
        SMALL_FAULTS.append(SmallFault(item=item, name=name, handling=handling, code=code, data=data, read=read))
        return draw

    return enter


def put(space: BaseLayout, *, z: float = 0.0, scale: float = 1.0, without: int | None = None) -> None:
    """Draw the truss into a space."""
    for number, pair in enumerate(KING_POST):
        if number != without:
            space.add_line(*((x * scale, y * scale, z) for x, y in pair))


def truss(units: int = 1, version: str = "R2010", *, z: float = 0.0, without: int | None = None) -> Drawing:
    """A drawing of the truss alone."""
    made = drawing(version, units)
    put(made.modelspace(), z=z, without=without)
    return made


def in_text(*more: Tag, header: tuple[Tag, ...] = INCHES) -> bytes:
    """The truss as bare tags of an old drawing."""
    tags = [tag for number, pair in enumerate(KING_POST) for tag in line(*pair, handle=f"{number + 16:X}")]
    return bare([*tags, *more], header=header)


def dimensioned(says: str, end: float = 360.0) -> Drawing:
    """The truss with one dimension over its span."""
    made = truss()
    made.modelspace().add_linear_dim(base=(0, -40), p1=(0, 0), p2=(end, 0), text=says).render()
    return made


@case(4, "silent")
def webs_end_on_a_chord_drawn_in_one_piece() -> Drawing:
    return truss()


@case(16, "silent", read=(12, 19))
def short_webs_near_the_heel() -> Drawing:
    """Webs of 6 in near the heel, in a truss of 30 ft: no joint of theirs may swallow another."""
    made = truss()
    for x in (12.0, 348.0):
        toward = 24.0 if x < 180 else 336.0
        made.modelspace().add_line((x, 0), (x, 6))
        made.modelspace().add_line((x, 6), (toward, 0))
    return made


BOWED: Final = (8, 13)


def bow(draw_chord: Callable[[BaseLayout, float], object]) -> Drawing:
    """A bowstring of 30 ft, 60 in high: its top chord by `draw_chord`, which gets its radius."""
    made = drawing()
    space = made.modelspace()
    radius = (180.0**2 + 60.0**2) / 120.0
    space.add_line((0, 0), (360, 0))
    for x in (90.0, 180.0, 270.0):
        space.add_line((x, 0), (x, bow_height(radius, x)))
    for x in (90.0, 270.0):
        space.add_line((x, 0), (180, 60))
    draw_chord(space, radius)
    return made


def bow_height(radius: float, x: float) -> float:
    return float((radius**2 - (x - 180.0) ** 2) ** 0.5 + 60.0 - radius)


@case(19, "silent", read=BOWED)
def top_chord_as_one_arc() -> Drawing:
    return bow(lambda space, radius: space.add_arc((180, 60 - radius), radius, *spread(radius)))


@case(26, "silent", read=BOWED)
def top_chord_as_an_arc_seen_from_behind() -> Drawing:
    return bow(
        lambda space, radius: space.add_arc(
            (-180, 60 - radius), radius, *spread(radius), dxfattribs={"extrusion": (0, 0, -1)}
        )
    )


def spread(radius: float) -> tuple[float, float]:
    half = degrees(asin(180.0 / radius))
    return 90.0 - half, 90.0 + half


@case(22, "ask", "bends-passed-over", read=(16, 29))
def a_bow_that_is_a_parabola_by_its_vertices() -> Drawing:
    return parabolic(lambda space, spots: space.add_lwpolyline(spots))


@case(22, "ask", "bends-passed-over", read=(16, 29))
def a_bow_that_is_a_parabola_by_its_control_points() -> Drawing:
    return parabolic(lambda space, _: space.add_open_spline([(0, 0), (360, 192), (720, 0)], degree=2))


def parabolic(draw_chord: Callable[[BaseLayout, list[tuple[float, float]]], object]) -> Drawing:
    """A bowstring of 60 ft, 8 ft high, its bow a parabola, with webs to it at every eighth of its span."""
    made = drawing()
    space = made.modelspace()
    space.add_line((0, 0), (720, 0))
    spots = [(30.0 * number, 96 * number * (24 - number) / 144) for number in range(25)]
    for number in range(3, 24, 3):
        x, _ = foot = (spots[number][0], 0.0)
        space.add_line(foot, spots[number])
        if number != 12:
            space.add_line(foot, spots[number + (3 if x < 360 else -3)])
    draw_chord(space, spots)
    return made


@case(24, "silent")
def a_spline_fit_with_its_frame() -> bytes:
    """A rafter as an old polyline that was smoothed: the frame vertices (16) run elsewhere."""
    tags: list[Tag] = [(0, "POLYLINE"), (5, "40"), (8, "0"), (66, 1), (70, 4)]
    for x, y, flags in ((180, 90, 16), (200, 140, 16), (360, 0, 16), (180, 90, 8), (360, 0, 8)):
        tags += [(0, "VERTEX"), (8, "0"), (10, x), (20, y), (70, flags)]
    tags.append((0, "SEQEND"))
    rest = [tag for row, pair in enumerate(KING_POST) if row != 2 for tag in line(*pair, handle=f"{row + 16:X}")]
    return bare([*rest, *tags], header=INCHES)


@case(27, "report", "no-extent")
def an_arc_of_no_radius() -> Drawing:
    made = truss()
    made.modelspace().add_arc((180, 45), 0, 0, 90)
    return made


@case(7, "ask", "status")
def drawn_twice_as_existing_and_as_proposed() -> Drawing:
    made = drawing()
    for layer in ("EXISTING", "PROPOSED"):
        made.layers.add(layer)
        for pair in KING_POST:
            made.modelspace().add_line(*pair, dxfattribs={"layer": layer})
    return made


@case(28, "report", "edges-paired")
def members_by_their_edges() -> bytes:
    return by_edges("king-post")


@case(35, "silent", read=(24, 45))
def chords_as_two_arcs_of_one_centre() -> bytes:
    return by_edges("bowstring")


def by_edges(kind: Kind) -> bytes:
    rng = Random(f"edges of {kind}")  # noqa: S311  # not for secrets
    return written(double_lines(plan(rng, kind), rng))


@case(34, "ask", "mixed-style", read=(10, 14))
def edges_that_run_apart() -> Drawing:
    """The truss by its edges, 6 in deep; the foot of its post is 10 in wide and its head 14, then 4."""
    made = drawing()
    for number, ((x1, y1), (x2, y2)) in enumerate(KING_POST):
        size = hypot(x2 - x1, y2 - y1)
        across, up = 3 * (y1 - y2) / size, 3 * (x2 - x1) / size
        for side in (1, -1):
            spread = 4 / 3 * side if number == 3 else 0.0
            ends = (x1 + side * across - spread, y1 + side * up), (x2 + side * across + spread, y2 + side * up)
            made.modelspace().add_line(*ends)
    return made


@case(3, "report", "end-joined")
def a_web_past_a_chord_that_leaves_it_at_a_slight_angle() -> Drawing:
    """Of ties that rise to the middle; the strut runs on past them by 0.2 in, close beside the left one."""
    made = drawing()
    for pair in (
        ((0, 0), (234, 49.19)), ((234, 49.19), (468, 0)), ((0, 0), (234, 180.53)), ((234, 180.53), (468, 0)),
        ((234, 49.19), (117, 90.265)), ((234, 49.19), (234, 180.53)), ((233.82, 49.127), (351, 90.265)),
    ):  # fmt: skip
        made.modelspace().add_line(*pair)
    return made


@case(42, "silent")
def a_bolt_beside_the_heel() -> Drawing:
    """Between the chords, close to both and not where they meet."""
    made = truss()
    made.modelspace().add_circle((2, 0.6), 0.5)
    return made


@case(45, "ask", "support-symbol")
def supports_as_filled_triangles() -> Drawing:
    made = truss()
    for x in (0, 360):
        made.modelspace().add_solid([(x - 6, -10), (x + 6, -10), (x, 0)])
    return made


@case(51, "silent")
def solids_and_a_mask() -> Drawing:
    made = truss()
    made.modelspace().add_3dface([(0, 200), (100, 200), (100, 240), (0, 240)])
    made.modelspace().add_wipeout([(200, 200), (300, 240)])
    made.modelspace().add_point((320, 220))
    return made


@case(54, "ask", "unit-implausible")
def inches_under_a_header_of_metres() -> Drawing:
    return truss(units=6)


@case(55, "ask", "unit-implausible")
def feet_under_a_header_of_inches() -> Drawing:
    made = drawing()
    put(made.modelspace(), scale=1 / 12)
    return made


@case(56, "ask", "unit-contradicted")
def drawn_at_a_plot_scale() -> Drawing:
    made = drawing()
    put(made.modelspace(), scale=1 / 24)
    for end in (360, 180):
        over = {"dimlfac": 24.0}
        made.modelspace().add_linear_dim(base=(0, -2), p1=(0, 0), p2=(end / 24, 0), override=over).render()
    return made


@case(57, "ask", "paper-space-only")
def on_a_sheet_of_paper_alone() -> Drawing:
    made = drawing()
    put(made.layout("Layout1"))
    return made


@case(61, "silent")
def a_dimension_rounded_to_its_inch() -> Drawing:
    return dimensioned("30'-0\"", end=359.7)


@case(63, "silent")
def all_at_one_odd_height() -> Drawing:
    return truss(z=37.5)


@case(66, "report", "unequal-scale")
def a_block_of_unequal_scale() -> Drawing:
    made = drawing()
    put(made.blocks.new("HALF"))
    made.modelspace().add_blockref("HALF", (0, 0), dxfattribs={"xscale": 1.25, "yscale": 1.0})
    return made


@case(70, "report", "missing-block")
def a_block_that_the_file_lacks() -> bytes:
    return in_text((0, "INSERT"), (5, "50"), (8, "0"), (2, "BOLT"), (10, 0), (20, 0))


@case(71, "refuse", "external-reference")
def another_file_that_was_not_sent() -> Drawing:
    made = truss()
    made.add_xref_def("webs.dxf", "WEBS")
    made.modelspace().add_blockref("WEBS", (0, 0))
    return made


@case(72, "refuse", "cyclic-block")
def a_block_that_holds_itself() -> Drawing:
    made = truss()
    made.blocks.new("A").add_blockref("B", (0, 0))
    made.blocks.new("B").add_blockref("A", (0, 0))
    made.modelspace().add_blockref("A", (0, 0))
    return made


@case(73, "silent")
def a_size_as_an_attribute() -> Drawing:
    made = truss()
    made.blocks.new("TAG").add_attdef("SIZE", (0, 0))
    tag = made.modelspace().add_blockref("TAG", (60, -8))
    tag.add_attrib("SIZE", "6x8", (60, -8), dxfattribs={"height": 4})
    return made


@case(74, "silent")
def a_block_without_a_name() -> Drawing:
    made = drawing()
    put(made.blocks.new("*U12"))
    made.modelspace().add_blockref("*U12", (0, 0))
    return made


@case(75, "report", "custom-objects")
def an_object_of_another_program() -> bytes:
    return in_text((0, "AEC_WALL"), (5, "77"), (8, "0"))


@case(75, "refuse", "no-linework")
def objects_of_another_program_alone() -> bytes:
    return bare([(0, "AEC_WALL"), (5, "77"), (8, "0")], header=INCHES)


@case(76, "refuse", "not-a-drawing")
def an_archive_under_the_name_of_a_drawing() -> bytes:
    return gzip.compress(in_text())


@case(77, "refuse", "truncated-drawing")
def a_file_cut_short() -> bytes:
    whole = in_text()
    return whole[: len(whole) * 2 // 3]


@case(77, "report", "no-end-mark")
def a_file_without_its_last_mark() -> bytes:
    return in_text().removesuffix(b"0\nEOF\n")


@case(78, "refuse", "bad-number")
def a_coordinate_that_is_no_number() -> bytes:
    return in_text(*line((0, 0), ("nan", 5)))


@case(79, "ask", "far-away-lines")
def one_line_far_from_a_few() -> Drawing:
    made = truss()
    made.modelspace().add_line((1e8, 0), (1e8, 5))
    return made


@case(80, "refuse", "too-many-copies")
def an_array_of_a_thousand_million_copies() -> Drawing:
    made = truss()
    put(made.blocks.new("ONE"))
    much = {"row_count": 32767, "column_count": 32767, "row_spacing": 1.0, "column_spacing": 1.0}
    made.modelspace().add_blockref("ONE", (0, 0), dxfattribs=much)
    return made


@case(81, "refuse", "blocks-too-deep")
def blocks_forty_deep() -> Drawing:
    made = truss()
    for level in range(40):
        made.blocks.new(f"B{level}").add_blockref(f"B{level + 1}", (0, 0))
    put(made.blocks.new("B40"))
    made.modelspace().add_blockref("B0", (0, 0))
    return made


@case(83, "report", "drawing-mended")
def coordinates_in_an_old_order() -> bytes:
    more: tuple[Tag, ...] = ((0, "LINE"), (8, "0"), (10, 180.0), (11, 180.0), (20, 0.0), (21, 90.0))
    return in_text(*more)


@case(84, "report", "handles-repeated")
def handles_given_twice() -> bytes:
    return in_text(*line((0, 0), (360, 0), handle="10"))


@case(85, "silent")
def in_binary_form() -> bytes:
    return saved_binary(truss())


@case(86, "ask", "which-unit")
def an_old_version_without_a_unit() -> bytes:
    return in_text(header=())


@case(87, "report", "line-ends")
def lines_ended_by_returns() -> bytes:
    return in_text().replace(b"\n", b"\r")


@case(88, "report", "undecodable-text")
def bytes_outside_the_code_page() -> bytes:
    more: tuple[Tag, ...] = ((0, "TEXT"), (5, "60"), (8, "0"), (10, 0), (20, 200), (40, 6), (1, "@NOTE"))
    page: tuple[Tag, ...] = (*INCHES, (9, "$DWGCODEPAGE"), (3, "ANSI_1252"))
    return in_text(*more, header=page).replace(b"@NOTE", b"NO\x81TE")


@case(91, "report", "extended-data")
def data_of_another_program() -> Drawing:
    made = truss()
    made.appids.new("OTHER")
    for one in made.modelspace():
        one.set_xdata("OTHER", [(1000, "2x4")])
    return made


@case(92, "report", "plies-by-hyphen")
def plies_that_may_be_a_mark() -> Drawing:
    return labelled("3-2x10")


@case(92, "ask", "size-reads-two-ways")
def a_ply_that_may_be_half_an_inch() -> Drawing:
    return labelled("1/2x8")


@case(93, "silent")
def a_nominal_size() -> Drawing:
    """The label stays as written; no width or depth is made of it before a sizing is stated."""
    return labelled("2x8")


def labelled(says: str) -> Drawing:
    """The truss with a size under its bottom chord."""
    made = truss()
    made.modelspace().add_text(says, height=4).set_placement((60, -8))
    return made


@case(95, "silent")
def a_text_placed_by_its_alignment() -> Drawing:
    """The insertion point is stale and lies on a web; the alignment point lies on the bottom chord."""
    made = truss()
    text = made.modelspace().add_text("6x8", height=4)
    text.dxf.halign, text.dxf.align_point, text.dxf.insert = 1, (90, -8), (184, 40)
    return made


@case(99, "silent")
def feet_and_inches_in_words() -> Drawing:
    return dimensioned("30 ft 0 in")

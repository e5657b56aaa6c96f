"""The packet as values: what each section holds, against the reckoning it is made from."""

import re

from django.utils import translation

from builds.cutting import cut_sequence
from builds.making.reckoning import plan_of
from builds.packet.paper import Section, printed
from builds.sheets import sheet_plan
from habitats.drawing.svg import size_of
from habitats.measures import length
from tests.support.designs import make_design


def test_the_parts_add_up_to_what_the_steps_put_in(balcony_packet):
    def put_in(what):
        return sum(
            one.count for card in balcony_packet.cards for one in card.step.adds if one.what == what
        )

    for part in ("plain panel", "doorway panel", "connector", "cable tie"):
        assert put_in(part) == balcony_packet.parts.count_of(part)


def test_panels_on_the_list_are_all_there_are(balcony_packet):
    panels = next(group for group in balcony_packet.part_groups if group.heading == "Panels")

    # 2 × 4 ground: 12 walls; 2 × 1 upper level: 6 walls, of which 1 a doorway, and 2 floors;
    # a ramp of 3 panels; two guards beside it.
    assert sum(part.count for part in panels.parts) == 12 + 6 + 2 + 3 + 2


def test_each_step_needs_only_steps_with_smaller_numbers(balcony_packet):
    for card in balcony_packet.cards:
        assert all(need < card.number for need in card.needs)


def test_every_part_tool_and_question_has_a_box_to_tick(balcony_packet):
    page = printed(balcony_packet).html

    def boxes_in(section):
        return page.split(f'<section id="{section}"')[1].split("</section>")[0].count('class="box')

    parts = balcony_packet.parts
    cuts = sum(len(sheet.cuts) for sheet in balcony_packet.sheets)
    assert boxes_in("parts") == len(parts.parts) + len(parts.tools)
    assert boxes_in("steps") == len(balcony_packet.cards) + cuts
    assert boxes_in("inspection") == 2 * len(balcony_packet.inspection)


def test_the_working_time_is_that_of_all_steps(balcony_packet):
    steps = [card.step for card in balcony_packet.cards]

    assert balcony_packet.cover.minutes == sum(step.minutes for step in steps)
    assert balcony_packet.cover.pair_minutes == sum(s.minutes for s in steps if s.people == 2)


def test_the_size_over_all_counts_every_panel(balcony_packet):
    # 4 × 2 panels of 355 mm; two tiers, and guards no higher than the upper level's walls.
    assert balcony_packet.cover.size_mm == (4 * 355, 2 * 355, 2 * 355)


def test_every_blank_is_on_a_sheet_and_every_cut_is_listed(balcony, balcony_packet):
    plan = sheet_plan(plan_of(balcony).blanks.blanks).plan

    on_sheets = sorted(name for card in balcony_packet.sheets for name, _n in card.pieces)
    assert on_sheets == sorted(card.name for card in balcony_packet.blanks)
    for card, sheet in zip(balcony_packet.sheets, plan.sheets, strict=True):
        assert len(card.cuts) == len(cut_sequence(sheet))


def test_a_cut_is_told_as_it_is_drawn_on_a_sheet_that_lies_on_its_long_side(balcony_packet):
    # 2 × 4 panels of 355 mm and walls of 150 mm: the blank of the ground is 1 010 × 1 720 mm
    # (arithmetic), and the sheet 1 220 × 2 440 mm is drawn 2 440 wide. The first cut runs its
    # whole length, 1 010 mm below the top edge.
    first = balcony_packet.sheets[0].cuts[0]

    assert (first.is_down, first.from_edge_mm, first.length_mm) == (False, 1010, 2440)


def test_sections_that_were_not_asked_for_are_not_drawn(balcony, packet_for):
    packet = packet_for(balcony, sections=frozenset({Section.CARE}))

    assert (packet.sheets, packet.blanks, packet.ramps, packet.cards) == ((), (), (), ())


def test_there_is_no_ramp_page_where_there_is_no_ramp(packet_for):
    packet = packet_for(make_design(), sections=frozenset({Section.RAMPS, Section.CARE}))

    assert packet.sections == (Section.CARE,)


def test_a_piece_that_looks_different_turned_over_is_drawn_so_too(balcony_packet):
    """The upper tray has a doorway in one of its walls; the ground's is alike left and right."""
    turned = [card for card in balcony_packet.blanks if card.turned_picture]

    assert [card.blank.name for card in turned] == ["Level 1 tray"]
    for card in turned:
        assert "turned over: the outside is up" in card.turned_picture
        walls = set(card.blank.scores) - set(card.blank.flap_scores)
        mirrored = {card.blank.width_mm - x for one in walls for x in (one.x1, one.x2)}
        assert all(f">{length(x)}<" in card.turned_picture for x in mirrored)


def test_a_tray_alike_from_left_and_right_is_drawn_once(packet_for):
    (card,) = packet_for(make_design(["##"]), sections=frozenset({Section.BLANKS})).blanks

    assert card.turned_picture == ""


def test_figures_of_every_step_are_2_mm_high_on_paper(balcony_packet):
    """And words 1.5 mm. Common practice, no source. Figures are seven tenths of their letters."""
    for page in balcony_packet.work_pages:
        for card in (block.step for block in page.blocks if block.step and not page.alone):
            first = (70 if card.ramp else 89) if card.second_picture else 80
            assert figure_mm(card.picture, first, card.picture_mm) >= 1, card.step.id
            if card.second_picture:
                wide = 109 if card.ramp else 89
                assert figure_mm(card.second_picture, wide, card.picture_mm) >= 1, card.step.id


def figure_mm(picture, wide, high):
    """How high its figures are as part of what they have to be, its words if it has no figures."""
    width, height = size_of(picture)
    letters = map(float, re.findall(r'font-size="([\d.]+)"', picture))
    least = 2 if re.search(r">[^<]*\d[^<]*</text>", picture) else 1.5
    return 0.7 * min(letters, default=99) * min(wide / width, high / height) / least


def test_times_of_the_pieces_of_work_add_up(balcony_packet):
    chapters, cover = balcony_packet.chapters, balcony_packet.cover

    assert sum(one.minutes for one in chapters) == cover.minutes
    assert sum(one.pair_minutes for one in chapters) == cover.pair_minutes
    assert [card.number for one in chapters for card in one.cards] == list(
        range(1, len(balcony_packet.cards) + 1)
    )
    work = printed(balcony_packet).html.split('<table class="work-table">')[1].split("</table>")[0]
    told = [minutes_in(cell) for cell in re.findall(r"<td>([^<]*min)</td>", work)]
    assert told == [
        *(one for chapter in chapters for one in (chapter.minutes, chapter.pair_minutes) if one),
        cover.minutes,
        cover.pair_minutes,
    ]


def minutes_in(words):
    hours, minutes = re.fullmatch(r"(?:(\d+)\sh)?\s?(?:(\d+)\smin)?", words.strip()).groups()
    return 60 * int(hours or 0) + int(minutes or 0)


def test_plans_and_drawings_stand_with_the_steps_that_need_them(balcony_packet):
    blocks = [block for page in balcony_packet.work_pages for block in page.blocks]
    order = [
        "sheet" if one.sheet else "plan" if one.plan else one.step.step.facts[0] for one in blocks
    ]

    assert order[order.index("sheet") + 1] == "cut-blank"
    assert order.count("plan") == 2
    assert order[order.index("plan") + 2] == "wall"
    assert "cut-blank" not in order[order.index("plan") :]


def test_a_step_that_cuts_a_piece_says_on_which_sheet_it_lies(balcony_packet):
    cutting = [card for card in balcony_packet.cards if card.blank]

    assert [card.blank.number for card in cutting] == [one.number for one in balcony_packet.blanks]
    for card in cutting:
        (number,) = card.sheets
        pieces = balcony_packet.sheets[number - 1].pieces
        assert card.blank.name in [name for name, _count in pieces]


def test_a_plans_legend_has_the_signs_that_are_on_it(balcony_packet):
    ground, upper = ({one.words for one in plan.legend} for plan in balcony_packet.plans)

    assert {"wall", "ramp, down along the arrow", "floor under an upper level"} <= ground
    assert "doorway" in upper
    assert "doorway" not in ground
    assert "ramp, down along the arrow" not in upper


def test_the_cover_is_seen_from_where_the_last_step_is(balcony_packet):
    corner = re.compile("raised corner in the ([a-z-]+)")
    last = balcony_packet.cards[-1].picture

    assert corner.findall(balcony_packet.cover.picture) == corner.findall(last)


def test_papers_without_a_cover_have_its_picture_in_their_own_language(balcony, packet_for):
    """A kit's papers show it on their own first page."""
    with translation.override("de"):
        packet = packet_for(balcony, sections=frozenset({Section.CARE, Section.GLOSSARY}))

        assert "Gitterelemente" in packet.cover.picture

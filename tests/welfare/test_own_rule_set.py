"""An organisation's own rule set: stricter than its base, or refused with a sentence."""

from dataclasses import replace

import pytest

from habitats.measures import INCHES
from habitats.welfare.own import OwnFigures, TooLax, own_rule_set
from habitats.welfare.rule_set import Authority
from habitats.welfare.rule_sets import rule_set
from habitats.welfare.space import judged
from habitats.welfare.values import ClauseKind, Resident, Room, Species

# Made up for these tests: 0.8 m2 for two and 0.3 m2 for each further one.
FIGURES = OwnFigures(animals=2, floor_mm2=800_000, further_mm2=300_000)


def own(base="ch-tschv", figures=FIGURES, **changes):
    return own_rule_set(rule_set(base), figures, id="own", name="Our rule", **changes)


def faults(base, figures, **changes):
    with pytest.raises(TooLax) as refused:
        own(base, figures, **changes)
    return refused.value.faults


def test_its_floor_is_the_organisations():
    one = own()

    assert [one.required_mm2([Resident()] * n) for n in (1, 2, 3)] == [800_000, 800_000, 1_100_000]
    assert (one.standing, one.base, one.choosable) == (Authority.OWN, "ch-tschv", True)


def test_what_it_gives_no_figure_for_stays_as_the_base_has_it():
    base, one = rule_set("at-2thv"), own("at-2thv")

    assert one.height == base.height
    assert one.longest_side_mm == base.longest_side_mm
    assert one.least_animals == base.least_animals


def test_it_may_ask_for_a_height_that_the_base_does_not():
    one = own(figures=replace(FIGURES, height_mm=400))

    low = Room(ground_mm2=900_000, height_mm=399, tall_share=1.0)
    verdict = judged(one, Species.GUINEA_PIG, low, [Resident()] * 2)

    assert next(c for c in verdict.clauses if c.kind is ClauseKind.HEIGHT).passes is False


def tall_over(share, figures):
    """Whether a floor of just what is asked for is tall enough, if so much of it is 40 cm high."""
    room = Room(ground_mm2=800_000, height_mm=400, tall_share=share)
    return judged(own(figures=figures), Species.GUINEA_PIG, room, [Resident()] * 2).passes


def test_an_own_height_holds_over_all_the_floor_or_over_the_part_that_is_asked_for():
    all_of_it = replace(FIGURES, height_mm=400)
    half = replace(all_of_it, height_percent=50)

    assert [tall_over(share, all_of_it) for share in (0.5, 0.99, 1.0)] == [False, False, True]
    assert [tall_over(share, half) for share in (0.49, 0.5)] == [False, True]


def test_a_part_of_the_floor_below_that_of_the_base_is_refused():
    # 2. Tierhaltungsverordnung, Annex 1: 50 cm high, wherever they are.
    found = faults("at-2thv", OwnFigures(2, 600_000, 200_000, height_percent=60))

    assert found == {
        "height_percent": "60\xa0% is less than the 100\xa0% of Austrian keeping ordinance. "
        "Enter at least that, or nothing."
    }


def test_it_may_leave_upper_levels_out_that_the_base_credits():
    one = own(figures=replace(FIGURES, upper_counts=False))
    room = Room(ground_mm2=600_000, upper_mm2=300_000)

    assert judged(own(), Species.GUINEA_PIG, room, [Resident()] * 2).passes is True
    assert judged(one, Species.GUINEA_PIG, room, [Resident()] * 2).passes is False


def test_it_covers_numbers_that_its_base_has_no_figure_for():
    figures = OwnFigures(animals=2, floor_mm2=1_000_000, further_mm2=400_000)

    assert own("us-rescue-minimum", figures).floor.covers([Resident()] * 9)
    assert not rule_set("us-rescue-minimum").floor.covers([Resident()] * 9)


@pytest.mark.parametrize(
    ("base", "figures", "field", "said"),
    [
        ("ch-tschv", replace(FIGURES, floor_mm2=499_900), "floor_mm2", "For 1 animal "),
        ("ch-tschv", OwnFigures(2, 500_000, 199_900), "further_mm2", "For 3 animals"),
        ("ch-tschv", OwnFigures(6, 1_200_000, 300_000), "floor_mm2", "For 6 animals"),
        ("ch-tschv", OwnFigures(2, 1_000_000, 100_000), "further_mm2", "For 8 animals"),
        ("at-2thv", replace(FIGURES, height_mm=499), "height_mm", "499"),
        ("at-2thv", replace(FIGURES, longest_side_mm=999), "longest_side_mm", "1\xa0000\xa0mm"),
        ("at-2thv", replace(FIGURES, shortest_side_mm=599), "shortest_side_mm", "600\xa0mm"),
    ],
)
def test_one_that_is_laxer_than_its_base_is_refused_where_it_is(base, figures, field, said):
    # TSchV: 0.5 m2 for two, 0.2 for a further adult; 2. Tierhaltungsverordnung: 100 x 60 x 50 cm.
    found = faults(base, figures)

    assert list(found) == [field]
    assert said in found[field]


def test_an_area_that_is_laxer_only_for_the_eleventh_is_found():
    # TSch-SV: 1.4 m2 for ten, and with the eleventh 1.9.
    found = faults("at-tschsv", OwnFigures(10, 1_400_000, 400_000))

    assert "For 11 animals" in found["further_mm2"]


def test_the_sentence_is_in_the_readers_units():
    found = faults("at-2thv", replace(FIGURES, longest_side_mm=900), units=INCHES)

    assert "39\xa03/8\xa0in" in found["longest_side_mm"]


@pytest.mark.parametrize("base", ["eu-2010-63", "us-9cfr-3.28c", "uk-shop-juvenile"])
def test_nothing_is_built_on_what_cannot_be_chosen(base):
    with pytest.raises(ValueError, match="needs a base that can"):
        own(base, OwnFigures(2, 50_000_000, 50_000_000))


@pytest.mark.parametrize(
    "figures", [OwnFigures(0, 800_000, 300_000), OwnFigures(2, 800_000, -1), OwnFigures(2, 0, 0)]
)
def test_figures_that_make_no_sense_are_refused(figures):
    with pytest.raises(ValueError, match="at least one animal"):
        own(figures=figures)

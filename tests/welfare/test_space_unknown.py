"""What is not known, not checked or not enough is said, and never counts as passed."""

from dataclasses import replace

import pytest

from habitats.welfare.floor import _shared_out
from habitats.welfare.rule_set import Authority
from habitats.welfare.rule_sets import rule_set, rule_sets
from habitats.welfare.space import ASK_A_VET, LOCAL_LAW, judged
from habitats.welfare.values import ClauseKind, Clear, Resident, Room, Species

GROWN = Resident(weight_g=900, age_days=400)
AMPLE = Room(
    ground_mm2=100_000_000,
    height_mm=2000,
    tall_share=1.0,
    longest_side_mm=10_000,
    shortest_side_mm=10_000,
)


def verdict(id, room, *residents):
    return judged(rule_set(id), Species.GUINEA_PIG, room, residents)


def clause(verdict, kind):
    return next(one for one in verdict.clauses if one.kind is kind)


def test_a_height_that_is_not_known_cannot_be_told():
    found = verdict("at-2thv", replace(AMPLE, height_mm=None), GROWN, GROWN)

    assert clause(found, ClauseKind.HEIGHT).given is None
    assert clause(found, ClauseKind.HEIGHT).passes is None
    assert found.passes is None


def test_a_share_that_is_not_known_cannot_be_told():
    found = verdict("at-2thv", replace(AMPLE, tall_share=None), GROWN, GROWN)

    assert clause(found, ClauseKind.HEIGHT).passes is True
    assert clause(found, ClauseKind.TALL_FLOOR).passes is None
    assert found.passes is None


def test_what_is_short_fails_whatever_else_is_not_known():
    found = verdict("at-2thv", Room(ground_mm2=100), GROWN, GROWN)

    assert found.passes is False


def test_a_lower_part_counts_where_it_is_high_enough():
    # Three quarters are 710 mm high, and all of it 355: enough for 230 mm, too little for 500.
    room = replace(AMPLE, height_mm=710, tall_share=0.75, lower=(Clear(355, 1.0),))

    assert room.share_at(230) == 1.0
    assert room.share_at(500) == 0.75
    assert room.share_at(711) == 0.0


def test_more_animals_than_a_table_has_cannot_be_told():
    # North Kesteven, Schedule 2, ends at ten animals with 2 700 cm2.
    eleven = [GROWN] * 11

    found = verdict("uk-shop-juvenile", AMPLE, *eleven)

    assert found.required_mm2 == 270_000
    assert clause(found, ClauseKind.FLOOR).passes is None
    assert "no figure" in clause(found, ClauseKind.FLOOR).text
    assert found.passes is None


def test_more_animals_than_a_table_has_need_at_least_its_last_floor():
    found = verdict("uk-shop-juvenile", replace(AMPLE, ground_mm2=269_999), *[GROWN] * 11)

    assert found.passes is False


def test_figures_from_memory_are_shown_and_decide_nothing():
    found = verdict("us-9cfr-3.28c", AMPLE, GROWN)

    assert [one.passes for one in found.clauses] == [True] * 3
    assert not any(one.verified for one in found.clauses)
    assert found.passes is None
    assert any("from memory" in caution for caution in found.cautions)


def test_figures_from_memory_do_not_fail_an_enclosure_either():
    assert verdict("us-9cfr-3.28c", Room(ground_mm2=1), GROWN).passes is None


@pytest.mark.parametrize("one", rule_sets(), ids=lambda one: one.id)
def test_every_verdict_says_once_that_local_law_comes_first_and_to_ask_a_vet(one):
    cautions = judged(one, one.species, AMPLE, [GROWN]).cautions

    assert cautions.count(LOCAL_LAW) == 1
    assert cautions.count(ASK_A_VET) == 1
    assert len(set(cautions)) == len(cautions)


def test_a_laboratory_minimum_says_what_it_is():
    for one in rule_sets():
        cautions = judged(one, one.species, AMPLE, [GROWN]).cautions
        said = any("never enough for a home" in caution for caution in cautions)
        assert said == (one.standing is Authority.LABORATORY)


def test_each_animal_has_its_own_part_of_the_floor():
    # TSchV Annex 2 Table 1 (second-hand quotations): 0.5 m2 for two, 0.2 for a further adult and
    # 0.1 for a further young one, whatever the order they are given in.
    young = Resident(weight_g=500)

    found = verdict("ch-tschv", AMPLE, young, GROWN, GROWN, GROWN)

    assert found.shares_mm2 == (100_000, 250_000, 250_000, 200_000)


def test_where_a_standard_has_no_figure_for_so_many_they_share_what_is_asked_for_at_least():
    # UK companion rabbits: 6 m² for a pair (3 x 2 m in one block), and no figure for more.
    four = judged(rule_set("uk-companion-rabbit"), Species.RABBIT, AMPLE, [GROWN] * 4)

    assert four.shares_mm2 == (1_500_000,) * 4


def test_the_rest_of_a_smallest_enclosure_is_shared_alike():
    # Directive 2010/63/EU, Table 1.5: 900 each, and 2 500 at least.
    assert verdict("eu-2010-63", AMPLE, GROWN, GROWN).shares_mm2 == (125_000, 125_000)


def test_an_odd_millimetre_goes_to_the_first():
    assert _shared_out(11, 3) == [4, 4, 3]

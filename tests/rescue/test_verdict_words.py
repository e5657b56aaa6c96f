"""A verdict in one sentence, as a person would say it."""

import pytest

from habitats.rescue.pages.verdicts import verdict_result
from habitats.welfare.rule_sets import rule_set
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Room

LARGE = Room(
    ground_mm2=30_000_000,
    upper_mm2=0,
    height_mm=3_000,
    tall_share=1.0,
    longest_side_mm=6_000,
    shortest_side_mm=5_000,
    raised_mm2=0,
)


@pytest.mark.parametrize(
    ("standard", "animals", "sentence"),
    [
        # Good Practice Code and charity advice on rabbits: a figure for a pair, and for no more.
        ("uk-companion-rabbit", 4, "This standard has no figure for 4 rabbits"),
        ("uk-companion-rabbit", 2, "Enough"),
        # TSchV (SR 455.1), Annex 2 Table 1: guinea pigs never singly.
        ("ch-tschv", 1, "Not allowed: kept alone"),
        # Scotland 2021, Annex C: at most four rabbits of up to 4 kg in one enclosure.
        ("scot-breeder-2021", 5, "Not allowed: too many together"),
    ],
)
def test_what_a_standard_says_is_one_plain_sentence(standard, animals, sentence):
    rules = rule_set(standard)

    verdict = judged(rules, rules.species, LARGE, [Resident(weight_g=1_500)] * animals)

    assert verdict_result(rules, verdict).words == sentence


def test_a_standard_without_a_figure_for_a_litter_says_so():
    # 9 CFR 3.53(c) has figures for a female with litter, which are not known here.
    rules = rule_set("us-9cfr-3.53c")

    verdict = judged(rules, rules.species, LARGE, [Resident(weight_g=1_500, with_litter=True)])

    assert verdict_result(rules, verdict).words == "This standard has no figure for a litter"

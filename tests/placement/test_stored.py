"""Answers are stored as JSON and read again; a question has one mark for all who ask it."""

import json
from dataclasses import replace

import pytest

from habitats.placement.questions import MorePairs, NextBestOf, ToPlace, answer, mark_of
from habitats.placement.stored import answer_from, stored
from habitats.placement.values import (
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    Pin,
    PlacingCase,
    RuledOut,
)
from habitats.structure.design import Species
from tests.benchmarks.placing import rescue

PIG = Species.GUINEA_PIG
CASE = rescue(3, 12, 14)
NEWCOMERS = (GroupToPlace("pair-1", PIG, 2, 500_000),)


def read_again(given, case):
    return answer_from(json.loads(json.dumps(stored(given))), case)


@pytest.mark.parametrize("seed", range(6))
def test_a_proposal_is_read_again_as_it_was(seed):
    case = rescue(seed, 12, 14)
    given = answer(ToPlace(case))

    assert read_again(given, case) == given


@pytest.mark.parametrize(
    "question",
    [NextBestOf(ToPlace(CASE), CASE.groups[0].ref), MorePairs(CASE, NEWCOMERS)],
    ids=["next best", "more pairs"],
)
def test_other_answers_are_read_again_as_they_were(question):
    given = answer(question)

    assert given is not None
    assert read_again(given, CASE) == given


def tight(why="too low for them"):
    """One enclosure that is ruled out for the one group."""
    return PlacingCase(
        (GroupToPlace("g", PIG, 2, 500_000),),
        (EnclosureToFill("e", "h", PIG, 900_000),),
        (HomeToFill("h", knows=frozenset(Species)),),
        bars=(RuledOut("g", "e", why),),
    )


def test_why_a_place_is_ruled_out_is_told_in_the_language_of_the_reader():
    document = stored(answer(ToPlace(tight())))

    read = answer_from(document, tight("zu niedrig"))

    assert read.placing.misses["g"][0].words == "zu niedrig"
    assert "too low" not in json.dumps(document)


def test_wishes_that_cannot_hold_are_read_again_with_what_speaks_against_them():
    case = replace(tight(), pins=(Pin("g", "e"),))
    clash = answer(ToPlace(case))

    read = read_again(clash, case)

    assert (read.pins, read.misses) == (clash.pins, clash.misses)
    assert read.misses[0].words == "too low for them"


def test_that_there_is_no_other_place_is_an_answer_too():
    asked = NextBestOf(ToPlace(tight()), "g")

    assert read_again(answer(asked), tight()) is None


def test_the_mark_does_not_hang_on_language_or_order():
    turned = replace(CASE, groups=CASE.groups[::-1], homes=CASE.homes[::-1])

    assert mark_of(ToPlace(turned)) == mark_of(ToPlace(CASE))
    assert mark_of(ToPlace(tight("zu niedrig"))) == mark_of(ToPlace(tight()))


def test_another_question_has_another_mark():
    first, *others = CASE.groups
    grown = replace(CASE, groups=(replace(first, needs_mm2=first.needs_mm2 + 1), *others))
    questions = [
        ToPlace(CASE),
        ToPlace(grown),
        ToPlace(replace(CASE, order=CASE.order[::-1])),
        ToPlace(replace(CASE, pins=(Pin(first.ref, home="h1"),))),
        ToPlace(CASE, frozenset({"build-1"})),
        ToPlace(CASE, tries_again=False),
        NextBestOf(ToPlace(CASE), first.ref),
        NextBestOf(ToPlace(CASE), others[0].ref),
        MorePairs(CASE, NEWCOMERS),
    ]

    assert len({mark_of(one) for one in questions}) == len(questions)


def test_what_was_answered_before_is_no_part_of_the_question():
    best = answer(ToPlace(CASE)).placing
    asked = NextBestOf(ToPlace(CASE), CASE.groups[0].ref)

    assert mark_of(replace(asked, best=best)) == mark_of(asked)

"""Reading a case: what may be left out, and every fault named with its place."""

import copy

import pytest

from habitats.welfare.case import BadCase, case_from
from habitats.welfare.values import Resident, Room, Sex, Species

CASE = {
    "species": "guinea_pig",
    "ground_cm2": 9508,
    "upper_cm2": 2485,
    "height_mm": 710,
    "tall_share": 0.75,
    "longest_side_mm": 1386,
    "shortest_side_mm": 686,
    "raised_cm2": 0,
    "animals": [
        {"weight_g": 850, "age_days": 300, "sex": "F", "castrated": False, "with_litter": True},
        {"weight_g": 1050, "age_days": 700, "sex": "M", "castrated": True, "with_litter": False},
    ],
}


def faults_of(document):
    with pytest.raises(BadCase) as refused:
        case_from(document)
    return {fault.place: fault.message for fault in refused.value.faults}


def changed(path, value):
    document = copy.deepcopy(CASE)
    target = document
    for key in path[:-1]:
        target = target[key]
    target[path[-1]] = value
    return document


def test_a_whole_case_is_read():
    case = case_from(CASE)

    assert case.species is Species.GUINEA_PIG
    assert case.room == Room(950_800, 248_500, 710, 0.75, 1386, 686, 0)
    assert case.residents == (
        Resident(850, 300, Sex.FEMALE, castrated=False, with_litter=True),
        Resident(1050, 700, Sex.MALE, castrated=True, with_litter=False),
    )


def test_what_is_left_out_is_not_known():
    case = case_from({"species": "rabbit", "ground_cm2": 60_000, "animals": [{}]})

    assert case.room == Room(ground_mm2=6_000_000)
    assert case.residents == (Resident(),)


def test_null_is_not_known_either():
    document = {**CASE, "height_mm": None, "raised_cm2": None, "animals": [{"weight_g": None}]}

    case = case_from(document)

    assert (case.room.height_mm, case.room.raised_mm2) == (None, None)
    assert case.residents == (Resident(),)


def test_areas_may_have_parts_of_a_square_centimetre():
    assert case_from({**CASE, "ground_cm2": 9507.96}).room.ground_mm2 == 950_796


@pytest.mark.parametrize(
    ("path", "value", "place", "sentence"),
    [
        (("species",), "hamster", "species", '"hamster" given. Give "guinea_pig" or "rabbit".'),
        (("ground_cm2",), -1, "ground_cm2", "-1 given. Give a number from 1 to"),
        (("ground_cm2",), 0, "ground_cm2", "0 given"),
        (("ground_cm2",), None, "ground_cm2", "null given"),
        (("ground_cm2",), "big", "ground_cm2", '"big" given'),
        (("ground_cm2",), True, "ground_cm2", "true given"),
        (("upper_cm2",), -0.5, "upper_cm2", "-0.5 given. Give a number from 0"),
        (("raised_cm2",), [], "raised_cm2", "a list given"),
        (("height_mm",), 0, "height_mm", "Give a whole number from 1 to"),
        (("height_mm",), 710.5, "height_mm", "whole number"),
        (("tall_share",), 1.01, "tall_share", "Give a number from 0 to 1."),
        (("tall_share",), 75, "tall_share", "75 given"),
        (("longest_side_mm",), -5, "longest_side_mm", "-5 given"),
        (("shortest_side_mm",), 1387, "shortest_side_mm", "Give at most 1386."),
        (("animals",), [], "animals", "a list of 0 given. Give a list of 1 to 200 objects."),
        (("animals",), [{}] * 201, "animals", "a list of 201 given"),
        (("animals",), None, "animals", "null given"),
        (("animals", 0), 7, "animals[0]", "7 given"),
        (("animals", 0, "weight_g"), 0, "animals[0].weight_g", "0 given"),
        (("animals", 1, "weight_g"), 40_000, "animals[1].weight_g", "from 20 to 4000"),
        (("animals", 0, "weight_g"), 850.5, "animals[0].weight_g", "whole number"),
        (("animals", 0, "age_days"), -1, "animals[0].age_days", "from 0 to 7300"),
        (("animals", 0, "sex"), "f", "animals[0].sex", 'Give "F" or "M".'),
        (("animals", 0, "castrated"), "no", "animals[0].castrated", "true or false"),
        (("animals", 1, "with_litter"), True, "animals[1].with_litter", "true given for a male"),
        (("floor_cm2",), 5, "floor_cm2", "Unknown key; allowed here are species, ground_cm2"),
        (("animals", 0, "name"), "Ada", "animals[0].name", "Unknown key"),
    ],
)
def test_a_fault_is_named_with_its_place(path, value, place, sentence):
    faults = faults_of(changed(path, value))

    assert list(faults) == [place]
    assert sentence in faults[place]


@pytest.mark.parametrize("key", ["species", "ground_cm2", "animals"])
def test_what_is_needed_is_missed(key):
    document = {name: value for name, value in CASE.items() if name != key}

    assert "This key is missing." in faults_of(document)[key]


def test_a_rabbit_may_weigh_what_a_guinea_pig_may_not():
    document = {**CASE, "species": "rabbit", "animals": [{"weight_g": 6000}]}

    assert case_from(document).residents[0].weight_g == 6000


def test_all_faults_are_named_at_once():
    document = {**CASE, "species": "cat", "ground_cm2": -1, "animals": [{"sex": 1}]}

    assert list(faults_of(document)) == ["species", "ground_cm2", "animals[0].sex"]


@pytest.mark.parametrize("document", [[], "case", 7, None])
def test_what_is_no_object_is_no_case(document):
    assert "A case is one JSON object" in faults_of(document)[""]

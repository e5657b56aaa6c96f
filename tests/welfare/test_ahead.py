"""What comes due, and the day a group outgrows its enclosure, against asking every day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.structure.design import Species
from habitats.welfare.ahead import Due, DueKind, class_ages, due, outgrown_on, residents_on
from habitats.welfare.companion import (
    BirthSpan,
    Castration,
    Companion,
    DatedWeight,
    MaleContact,
    QuarantineSpan,
)
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.rule_sets import rule_set
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Room, Sex
from tests.support.companions import (
    TODAY,
    companions,
    days_ago,
    days_ahead,
    litters,
    make_boar,
    make_buck,
    make_pig,
    make_pup,
    make_rabbit,
)

CM2 = 100


def dues(*animals: Companion, kind: DueKind, **options: object) -> list[Due]:
    return [one for one in due(animals, TODAY, **options) if one.kind is kind]


def the(kind: DueKind, *animals: Companion, **options: object) -> Due:
    (found,) = dues(*animals, kind=kind, **options)
    return found


# --- Outgrowing ---


def eu_pigs_on(floor_cm2: int):
    """2010/63/EU, Annex III Table 1.5, with enough height."""
    room = Room(
        floor_cm2 * CM2, height_mm=300, tall_share=1.0, longest_side_mm=900, shortest_side_mm=400
    )
    rules = rule_set("eu-2010-63")
    return lambda residents: judged(rules, Species.GUINEA_PIG, room, residents).passes


def test_a_group_outgrows_its_floor_with_the_class_it_grows_into() -> None:
    # 2010/63/EU Table 1.5: 500 cm² up to 450 g, then 700 cm². Weighed 362 g at 28 d, each follows
    # the guide of Tapie et al. itself, which passes 450 g between the 38th day (447.8 g) and the
    # 39th (456.9 g). Four need 2 000 cm² before, 2 800 cm² after.
    four = [make_pup(28, 362, ref) for ref in "abcd"]

    assert outgrown_on(four, TODAY, eu_pigs_on(2500)) == days_ahead(11)


def test_a_group_in_enough_floor_never_outgrows_it() -> None:
    four = [make_pup(28, 362, ref) for ref in "abcd"]

    assert outgrown_on(four, TODAY, eu_pigs_on(3600)) is None


def test_an_enclosure_too_small_as_it_is_is_outgrown_today() -> None:
    assert outgrown_on(
        [make_pig(weighings=(DatedWeight(TODAY, 900),))], TODAY, eu_pigs_on(800)
    ) == (TODAY)


def test_what_cannot_be_told_is_not_outgrown() -> None:
    assert outgrown_on([make_pig()], TODAY, lambda residents: None) is None


def test_nobody_outgrows_anything_in_an_empty_group() -> None:
    assert outgrown_on([], TODAY, eu_pigs_on(100)) is None


def by_day(animals: list[Companion], passes: object, days: int) -> date | None:
    every_day = (TODAY + timedelta(days=ahead) for ahead in range(days + 1))
    return next((day for day in every_day if passes(residents_on(animals, day)) is False), None)


def room_like(animals: list[Companion], rules: RuleSet, percent: int) -> Room:
    """A room with so much of the floor that the animals need today."""
    needed = rules.required_mm2(residents_on(animals, TODAY))
    return Room(needed * percent // 100, height_mm=600, tall_share=1.0, raised_mm2=0)


@given(litters(Species.GUINEA_PIG), st.integers(99, 150))
def test_guinea_pigs_outgrow_on_the_day_that_asking_every_day_finds(
    animals: list[Companion], percent: int
) -> None:
    rules = rule_set("eu-2010-63")
    room = room_like(animals, rules, percent)

    def passes(residents: tuple[Resident, ...]) -> bool | None:
        return judged(rules, Species.GUINEA_PIG, room, residents).passes

    quick = outgrown_on(animals, TODAY, passes, class_ages=class_ages(rules), within_days=120)

    assert quick == by_day(animals, passes, 120)


@given(litters(Species.RABBIT), st.integers(130, 320))
def test_rabbits_outgrow_on_the_day_that_asking_every_day_finds(
    animals: list[Companion], percent: int
) -> None:
    # 2010/63/EU Tables 2.1 to 2.3: under ten weeks other floors and heights, and not all less.
    rules = rule_set("eu-2010-63-rabbit")
    room = room_like(animals, rules, percent)

    def passes(residents: tuple[Resident, ...]) -> bool | None:
        return judged(rules, Species.RABBIT, room, residents).passes

    quick = outgrown_on(animals, TODAY, passes, class_ages=class_ages(rules), within_days=120)

    assert quick == by_day(animals, passes, 120)


def test_a_year_ahead_takes_a_handful_of_questions() -> None:
    asked = []

    def passes(residents: tuple[Resident, ...]) -> bool:
        asked.append(residents)
        return sum(one.weight_g for one in residents) < 2000

    four = [make_pup(28, 362, ref) for ref in "abcd"]
    found = outgrown_on(four, TODAY, passes, class_ages=())

    assert found == by_day(four, passes, 365)
    assert len(asked) - (found - TODAY).days < 20


def test_only_rule_sets_with_classes_of_age_have_ages() -> None:
    # 2010/63/EU Table 2.3: to 7 weeks, 7 to 10 weeks.
    assert class_ages(rule_set("eu-2010-63-rabbit")) == {49, 50, 70, 71}
    assert class_ages(rule_set("eu-2010-63")) == frozenset()


# --- Residents ---


def test_residents_are_as_old_and_heavy_as_they_will_be() -> None:
    # The guide of Tapie et al. has 362 g at 28 d and 618 g at 56 d.
    (resident,) = residents_on([make_pup(28)], days_ahead(28))

    assert (resident.age_days, resident.weight_g, resident.sex) == (56, 618, Sex.MALE)


def test_a_castration_counts_from_its_day() -> None:
    boar = make_boar(castration=Castration(days_ago(1)))

    assert [residents_on([boar], day)[0].castrated for day in (days_ago(2), TODAY)] == [False, True]


def test_a_mother_has_her_litter_with_her_for_three_weeks() -> None:
    # Guinea pigs are weaned at 14 to 21 days; the later one is taken.
    group = [make_pig(), make_pup(20, 200)]

    assert [one.with_litter for one in residents_on(group, TODAY)] == [True, False]
    assert not residents_on(group, days_ahead(1))[0].with_litter
    assert residents_on([make_pig(gave_birth_on=days_ago(20))], TODAY)[0].with_litter


def test_an_age_estimated_on_both_sides_of_ten_weeks_is_not_known() -> None:
    def kit(days: int) -> Companion:
        return make_rabbit(born=BirthSpan.about(days_ago(days), 5))

    ages = [residents_on([kit(days)], TODAY)[0].age_days for days in (50, 72, 90)]

    assert ages == [55, None, 95]


# --- What comes due ---


def test_a_male_pup_is_parted_by_its_21st_day() -> None:
    found = the(DueKind.PART, make_pup(10, 120), make_pig(), make_pig("nut"))

    assert (found.day, found.animals) == (days_ahead(11), ("pip", "ida", "nut"))
    assert found.sentence.replace("\xa0", " ") == (
        "Separate Pip from Ida and Nut by 12 March 2026 at the latest."
    )


def test_a_heavy_pup_is_parted_earlier() -> None:
    # 240 g at 15 d and the guide's gain: 246 g at 16 d, 253 g at 17 d.
    assert the(DueKind.PART, make_pup(15, 240), make_pig()).day == days_ahead(2)


def test_a_pup_past_its_day_is_parted_now() -> None:
    assert "from Ida now" in the(DueKind.PART, make_pup(25, 300), make_pig()).sentence


def test_an_unsexed_pup_is_looked_at_before_it_may_breed() -> None:
    found = the(DueKind.PART, make_pup(10, 120, sex=None), make_pig())

    assert "First have the sex of Pip checked" in found.sentence


def test_two_unsexed_animals_are_spoken_of_as_two() -> None:
    animals = [make_pup(10, 120, sex=None), make_pig(sex=None)]

    parted = [one.sentence for one in dues(*animals, kind=DueKind.PART)]

    assert any("the sex of Pip and Ida checked, and record it" in one for one in parted)


def test_a_litter_of_unknown_sex_is_parted_in_one_sentence() -> None:
    young = [make_pup(10, 120, ref, sex=None) for ref in ("pip", "tip", "kip")]

    (found,) = dues(*young, make_pig(), kind=DueKind.PART)

    assert found.animals == ("pip", "tip", "kip")
    assert found.day == days_ahead(11)
    assert "Separate males from females by" in found.sentence


def test_males_among_males_are_not_parted() -> None:
    assert dues(make_pup(10, 120), make_boar(), kind=DueKind.PART) == []


def test_a_young_buck_is_parted_by_ten_weeks() -> None:
    buck = make_buck(born=BirthSpan.on(days_ago(60)))

    assert the(DueKind.PART, buck, make_rabbit()).day == days_ahead(10)


def test_a_quarantine_ends_after_14_days_and_then_after_the_21_advised() -> None:
    assert the(DueKind.QUARANTINE_ENDS, make_pig(quarantine=QuarantineSpan(TODAY))).day == (
        days_ahead(14)
    )
    assert the(DueKind.QUARANTINE_ENDS, make_pig(quarantine=QuarantineSpan(days_ago(15)))).day == (
        days_ahead(6)
    )
    over = make_pig(quarantine=QuarantineSpan(days_ago(21)))
    assert dues(over, kind=DueKind.QUARANTINE_ENDS) == []


def test_time_apart_for_rhd_ends_with_a_negative_sample() -> None:
    found = the(DueKind.QUARANTINE_ENDS, make_rabbit(rhd_exposed_on=days_ago(4)))

    assert found.day == days_ahead(10)
    assert "if a blood sample taken since is negative" in found.sentence


def test_the_wait_after_castration_ends_on_its_42nd_day() -> None:
    boar = make_boar(castration=Castration(days_ago(40)))

    assert the(DueKind.CASTRATION_WAIT_ENDS, boar).day == days_ahead(2)
    assert dues(make_boar(castration=Castration(days_ago(42))), kind=DueKind.PART) == []


def test_a_possible_litter_has_a_first_and_a_last_day() -> None:
    # Gestation 59 to 72 days: contact from 50 to 30 days ago.
    found = the(DueKind.LITTER_POSSIBLE, make_pig(contact=MaleContact(days_ago(50), days_ago(30))))

    assert (found.day, found.until) == (days_ahead(9), days_ahead(42))


def test_a_possible_litter_of_unknown_beginning_is_due_today() -> None:
    found = the(DueKind.LITTER_POSSIBLE, make_pig(contact=MaleContact(None, days_ago(30))))

    assert (found.day, found.until) == (TODAY, days_ahead(42))


def test_a_missing_weight_is_due_today_and_a_stale_one_is_overdue() -> None:
    assert the(DueKind.WEIGH, make_pig()).day == TODAY
    assert the(DueKind.WEIGH, make_pig(weighings=(DatedWeight(days_ago(40), 900),))).day == (
        days_ago(12)
    )


def test_a_fallen_weight_is_due_on_its_day() -> None:
    # Crowder and Hand 1990, animal 1: 504 g, a week later 436 g.
    thin = make_pig(weighings=(DatedWeight(days_ago(8), 504), DatedWeight(days_ago(1), 436)))

    assert the(DueKind.WEIGHT_FELL, thin).day == days_ago(1)


def test_outgrowing_is_due_with_a_word_on_how_sure_it_is() -> None:
    four = [make_pup(28, 362, ref) for ref in "abcd"]

    found = the(DueKind.OUTGROWN, *four, passes=eu_pigs_on(2500))

    assert found.day == days_ahead(11)
    assert "upper guide" in found.sentence


def test_outgrowing_names_those_whose_growth_is_not_reckoned() -> None:
    kit = make_rabbit(weighings=(DatedWeight(TODAY, 900),))

    found = the(DueKind.OUTGROWN, kit, passes=lambda residents: residents[0].age_days < 740)

    assert found.day == days_ahead(10)
    assert "The forecast has no growth for Flo" in found.sentence


@pytest.mark.parametrize(("within", "count"), [(10, 0), (11, 1)])
def test_only_what_is_near_is_told(within: int, count: int) -> None:
    found = dues(make_pup(10, 120), make_pig(), kind=DueKind.PART, within_days=within)

    assert len(found) == count


@given(st.tuples(companions("a"), companions("b")))
def test_what_is_due_is_sorted_by_day(animals: tuple[Companion, ...]) -> None:
    found = due(animals, TODAY)

    assert [one.day for one in found] == sorted(one.day for one in found)


def test_a_sex_that_is_not_known_is_to_be_checked() -> None:
    # At once; of pups from 14 days on, a week before males leave (common practice, no source).
    unknown = the(DueKind.SEX_CHECK, make_pig(sex=None))
    pup = the(DueKind.SEX_CHECK, make_pup(10, 120, sex=None))

    assert (unknown.day, unknown.undated) == (TODAY, True)
    assert (pup.day, pup.undated) == (days_ahead(4), False)
    assert dues(make_pig(), kind=DueKind.SEX_CHECK) == []

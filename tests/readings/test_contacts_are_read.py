"""What becomes known of a male later reaches those who lived with him, wherever they live now."""

import pytest

from habitats.animals.models.joining import join, part
from habitats.animals.models.stays import move_in
from habitats.readings.models.readings import Reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def parted(lives, make_animal, make_enclosure, make_group, make_home, coordinator, day):
    """`parted("M")`: Wren lived 37 days with Umber up to three days ago, now with Moss."""

    def make(sex="M", **facts):
        wren, moss = make_animal("Wren", grams=900), make_animal("Moss", grams=900)
        umber = make_animal("Umber", sex=sex, grams=900, **facts)
        make_group(wren, umber, enclosure=make_enclosure("Porch", make_home()), since=day(-40))
        enclosure = make_enclosure("Loft", make_home("Elm"))
        now = make_group(moss, enclosure=enclosure, since=day(-40))
        join(now, wren, day(-3), by=coordinator)
        return wren, umber, enclosure

    return make


def litters_due(enclosure, today):
    Reading.objects.fresh(today).get(enclosure=enclosure)
    return enclosure.due_rows.filter(kind="litter_possible").count()


def test_her_new_enclosure_says_that_she_may_have_a_litter(parted, today):
    _wren, _umber, enclosure = parted("M")

    assert litters_due(enclosure, today) == 1


@pytest.mark.parametrize(("before", "after", "due"), [("F", "M", 1), ("M", "F", 0), ("", "F", 0)])
def test_a_corrected_sex_is_seen_where_she_lives_now(parted, today, before, after, due):
    _wren, umber, enclosure = parted(before)
    assert litters_due(enclosure, today) == 1 - due

    umber.sex = after
    umber.save()

    assert litters_due(enclosure, today) == due


def test_a_castration_written_down_later_is_seen(parted, today, day):
    _wren, umber, enclosure = parted("M")
    assert litters_due(enclosure, today) == 1

    umber.is_castrated, umber.castrated_on = True, day(-200)
    umber.save()

    assert litters_due(enclosure, today) == 0


def test_a_weight_says_from_when_on_a_son_counted(
    make_animal, make_enclosure, make_group, make_home, coordinator, today, day
):
    """Taken out at 16 days: by age alone he was no contact, by 252 g at 15 days he was."""
    mother = make_animal("Wren", grams=900)
    enclosure = make_enclosure("Loft", make_home())
    son = make_animal("Nut", sex="M", born=day(-20), came_on=day(-20), mother=mother)
    group = make_group(mother, make_animal("Moss", grams=900), enclosure=enclosure, since=day(-60))
    group.admit(son, day(-20), by=coordinator)
    part(son, day(-4), by=coordinator)
    assert litters_due(enclosure, today) == 0

    son.weigh(252, day(-5), by=coordinator)

    assert litters_due(enclosure, today) == 2


def test_a_weight_of_a_grown_male_leaves_what_is_read_of_her(parted, coordinator, today, day):
    _wren, umber, enclosure = parted("M", born=day(-600))
    Reading.objects.fresh(today)

    umber.weigh(910, today, by=coordinator)

    kept = Reading.objects.filter(day=today)
    assert kept.filter(enclosure=enclosure).exists()
    assert not kept.filter(enclosure__label="Porch").exists()


def test_a_stay_with_him_written_down_later_is_seen(
    make_animal, make_enclosure, make_group, make_home, coordinator, today, day
):
    wren, moss = make_animal("Wren", grams=900), make_animal("Moss", grams=900)
    enclosure = make_enclosure("Loft", make_home())
    group = make_group(wren, moss, since=day(-40))
    move_in(group, enclosure, day(-40), by=coordinator)
    assert litters_due(enclosure, today) == 0

    umber = make_animal("Umber", sex="M", grams=900)
    group.admit(umber, day(-30), by=coordinator)
    part(umber, day(-2), by=coordinator)

    assert litters_due(enclosure, today) == 2

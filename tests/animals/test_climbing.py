"""An animal that must not climb: in the vet's words, from a day to another."""

import pytest
from django.db import IntegrityError, transaction

from habitats.animals.models.climbing import ClimbingBan

SAID = {"said_by": "Dr Quill", "words": "no ramps for six weeks"}


@pytest.fixture
def pip(lives):
    _group, (pip, _moss), _enclosure = lives("Pip", "Moss")
    return pip


@pytest.fixture
def banned(pip, coordinator, day):
    """``banned(-3, 4)``: since three days ago, until in four days."""

    def ban(since=0, until=None, **facts):
        facts = SAID | facts
        until = None if until is None else day(until)
        made = {"animal": pip, "since": day(since), "until": until, "made_by": coordinator}
        return ClimbingBan.objects.create(**made, **facts)

    return ban


def test_it_is_recorded_as_the_vet_said_it(coordinating, pip, day, text_of):
    answer = {**SAID, "since": day(-1).isoformat(), "until": day(41).isoformat()}

    page = text_of(coordinating.post(f"/animals/{pip.code}/climbing/", answer, follow=True))

    ban = ClimbingBan.objects.get()
    assert (ban.animal, ban.since, ban.until) == (pip, day(-1), day(41))
    assert "Dr Quill: “no ramps for six weeks”" in page


def test_it_is_lifted_by_another_record_and_the_first_stays(coordinating, pip, banned, day):
    banned(-9)
    lifted = {"since": day(-9).isoformat(), "until": day(0).isoformat(), "said_by": "Dr Quill"}

    coordinating.post(f"/animals/{pip.code}/climbing/", lifted)

    assert ClimbingBan.objects.count() == 2
    assert not ClimbingBan.objects.on(day(0)).exists()


@pytest.mark.parametrize(
    ("since", "until", "is_on"), [(0, None, True), (-5, 1, True), (-5, 0, False)]
)
def test_it_counts_until_the_day_on_which_it_may_climb_again(pip, banned, day, since, until, is_on):
    ban = banned(since, until)

    assert ban.is_on(day(0)) is is_on
    assert ClimbingBan.objects.on(day(0)).exists() is is_on


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"said_by": ""}, "This field is required"),
        ({"until": "2020-01-01"}, "This is before it began."),
        ({"until": "2099-01-01"}, "more than three years ahead"),
        ({"words": "x" * 301}, "Enter 300 characters at most"),
    ],
)
def test_a_wrong_record_is_refused_beside_its_field(
    coordinating, pip, day, text_of, wrong, sentence
):
    sent = {**SAID, "since": day(0).isoformat(), **wrong}

    answer = coordinating.post(f"/animals/{pip.code}/climbing/", sent)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not ClimbingBan.objects.exists()


def test_the_database_asks_who_said_so_and_for_days_in_order(banned):
    for wrong in ({"said_by": ""}, {"until": -1}):
        with pytest.raises(IntegrityError), transaction.atomic():
            banned(**wrong)


def test_bans_are_found_by_group(pip, banned, lives, day):
    other, _animals, _enclosure = lives("Nut")
    ban = banned()
    group = pip.memberships.get().group

    assert ClimbingBan.objects.all().in_groups(None, day(0)) == {group.pk: [ban]}
    assert ClimbingBan.objects.all().in_groups([other.pk], day(0)) == {}

"""Questions that are written once: each answer is that of the question written for its values."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from habitats.common.written import given, given_keys, write_all, written
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import DueRow

pytestmark = pytest.mark.django_db

BY_DAY = written(
    lambda: DueRow.objects.filter(day__lte=given("last", date)).select_related("home").by_day()
)


def test_every_day_is_answered_as_by_a_question_of_its_own(demo):
    today = timezone.localdate()
    for last in (today - timedelta(days=1), today, today + timedelta(days=7)):
        plain = DueRow.objects.filter(day__lte=last).by_day()
        assert BY_DAY(last=last) == list(plain), last
    assert BY_DAY(last=today + timedelta(days=7)), "Something is due in the demo."


def test_what_changed_since_is_in_the_answer(demo):
    named = written(lambda: Home.objects.filter(name=given("name", str)))
    assert named(name="Willow") == []
    home = Home.objects.order_by("pk")[0]
    Home.objects.filter(pk=home.pk).update(name="Willow")
    assert named(name="Willow") == [home]


def test_related_rows_ask_nothing_more(demo, django_assert_num_queries):
    BY_DAY(last=timezone.localdate())
    with django_assert_num_queries(1):
        assert {str(one.home) for one in BY_DAY(last=timezone.localdate())}


def test_any_number_of_keys_are_one_value(demo):
    some = written(lambda: Person.objects.filter(pk__in=given_keys("people")).order_by("pk"))
    keys = list(Person.objects.order_by("pk").values_list("pk", flat=True))
    for number in (0, 1, 3):
        assert [one.pk for one in some(people=keys[:number])] == keys[:number]


def test_a_row_is_compared_by_its_key(demo):
    ines = Person.objects.get(username="ines")
    own = written(lambda: Home.objects.filter(people=given("person", Person)).values_list("name"))
    assert own(person=ines) == list(Home.objects.filter(people=ines).values_list("name"))
    assert own(person=ines)


def test_every_question_of_the_project_can_be_written_before_it_is_asked():
    write_all()

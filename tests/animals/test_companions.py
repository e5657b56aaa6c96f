"""Animals as the rules see them are the same, whichever way they were loaded."""

from datetime import timedelta

import pytest
from django.utils import timezone

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of, load_with_facts, with_facts


@pytest.mark.django_db
@pytest.mark.parametrize("days_ago", [0, 60])
def test_questions_that_are_written_once_tell_the_same(demo, days_ago):
    day = timezone.localdate() - timedelta(days=days_ago)
    keys = list(Animal.objects.values_list("pk", flat=True))
    plainly = with_facts(Animal.objects.filter(pk__in=keys), day).order_by("name", "pk")

    found = companions_of(load_with_facts(keys, day))

    assert len(found) > 10
    assert days_ago or any(one.lived_with or one.refusals or one.gave_birth_on for one in found)
    assert found == companions_of(plainly)


@pytest.mark.django_db
def test_of_nobody_nothing_is_loaded(django_assert_num_queries):
    with django_assert_num_queries(1):
        assert load_with_facts([], timezone.localdate()) == []

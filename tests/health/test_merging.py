"""Two records of one animal with one treatment: each dose is due once after the merge."""

import pytest

from habitats.animals.models.merging import contrary, merge
from habitats.common.merging import DOUBLE, KEPT, CannotMerge
from habitats.health.models.treatments import Treatment

pytestmark = pytest.mark.usefixtures("at_nine")


@pytest.fixture
def doubles(pip, make_animal, treat):
    """Pip, and the same animal written down again, each with one drug."""
    again = make_animal("Pip")
    return pip, again, treat(pip), treat(again, drug="amber drops", amount="0.3 ml")


def facts_chosen(kept, double, treatment):
    return {
        one.key: treatment if one.key.startswith("treatment") else KEPT
        for one in contrary(kept, double)
    }


def test_a_treatment_in_both_records_is_asked_about(doubles):
    kept, double, _one, _other = doubles

    (asked,) = [one for one in contrary(kept, double) if "amber" in one.label.lower()]

    assert "each dose would be due twice" in asked.label
    assert "0.2 ml" in asked.kept
    assert "0.3 ml" in asked.double


def test_nothing_is_merged_without_that_choice(doubles, coordinator):
    kept, double, _one, _other = doubles
    chosen = facts_chosen(kept, double, KEPT)
    del chosen[next(key for key in chosen if key.startswith("treatment"))]

    with pytest.raises(CannotMerge, match="Choose one of the two"):
        merge(kept, double, chosen, by=coordinator)


@pytest.mark.parametrize(("choice", "number"), [(KEPT, 0), (DOUBLE, 1)])
def test_the_one_that_was_not_chosen_ends(doubles, coordinator, day, choice, number):
    kept, double, *treatments = doubles

    merge(kept, double, facts_chosen(kept, double, choice), by=coordinator)

    running = [one for one in Treatment.objects.running(day(0), day(6)) if not one.is_over]
    assert running == [treatments[number]]
    assert running[0].animal == kept
    assert "Written down twice" in Treatment.objects.exclude(pk=running[0].pk).get().stop.why


def test_treatments_with_two_drugs_both_go_on(pip, make_animal, treat, coordinator, day):
    again = make_animal("Pip")
    treat(pip)
    treat(again, drug="Birch syrup")

    merge(pip, again, facts_chosen(pip, again, KEPT), by=coordinator)

    assert Treatment.objects.running(day(0), day(6)).filter(stop=None).count() == 2


def test_of_several_with_one_drug_contrary_choices_never_end_all(doubles, treat, coordinator, day):
    kept, double, one, other = doubles
    more, another = treat(kept), treat(double)
    chosen = facts_chosen(kept, double, KEPT)
    chosen[f"treatment-{one.pk}-{another.pk}"] = DOUBLE
    chosen[f"treatment-{more.pk}-{other.pk}"] = DOUBLE

    merge(kept, double, chosen, by=coordinator)

    assert [*Treatment.objects.running(day(0), day(6)).filter(stop=None)] == [more]

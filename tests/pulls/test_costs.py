"""What builds cost on their pages, on those of kits and of batches."""

import pytest
from django.urls import reverse

from builds.batches.models.batches import Batch
from builds.pulls.models.costs import cost_of_batch, cost_of_build
from builds.pulls.models.pulling import take_as_listed
from habitats.designs.models.designs import Design
from tests.support.builds import DAY, make_build, planner
from tests.support.designs import make_design
from tests.support.pulls import begun, stock_up
from tests.support.store import make_pack


@pytest.fixture
def panel(db):
    """Ten panels in the store, at 2.00 each; of nothing else the price is known."""
    panel = stock_up(panel=10)["panel"]
    make_pack(panel, 12, "24.00")
    return panel


@pytest.fixture
def drawn(panel):
    return Design.objects.draw(make_design(), by=planner())


def panels_of(found, panel):
    return next(line for line in found.cost.lines if line.item == panel.pk)


def test_a_build_costs_its_whole_material_and_what_it_is_short_of(panel):
    line = panels_of(cost_of_build(make_build()), panel)

    assert line.material_cents == 200 * line.need
    assert line.to_buy == line.need - 10


def test_what_was_taken_for_a_build_stays_its_material_and_is_not_bought_again(panel, says):
    pull = begun()
    before = panels_of(cost_of_build(pull.build), panel)
    take_as_listed([pull], **says())

    after = panels_of(cost_of_build(pull.build), panel)

    assert (after.need, after.to_buy) == (before.need, before.to_buy)


def test_a_build_that_takes_nothing_more_is_done_with_buying(panel):
    found = cost_of_build(make_build(state="handed over"))

    assert found.to_buy == 0
    assert found.cost.buy_unknown == 0
    assert found.material > 0


def test_a_batch_costs_as_much_as_its_builds_whether_they_are_planned_or_not(panel, drawn):
    batch = Batch.objects.begin("Saturday", by=planner())
    batch.add(drawn, 3)
    wished = cost_of_batch(batch)

    batch.plan_builds(by=planner(), on=DAY)
    planned = cost_of_batch(batch)

    one = panels_of(cost_of_build(make_build("Alone", design=drawn)), panel)
    for found in (wished, planned):
        line = panels_of(found, panel)
        assert line.need == 3 * one.need
        assert line.to_buy == 3 * one.need - 10


@pytest.mark.parametrize("count", [3, 12])
def test_a_batch_asks_as_few_questions_for_twelve_builds_as_for_three(
    panel, drawn, count, django_assert_max_num_queries
):
    batch = Batch.objects.begin("Saturday", by=planner())
    for _number in range(count):
        batch.add_build(make_build(design=drawn))

    with django_assert_max_num_queries(26):
        cost_of_batch(batch)


def test_pages_of_builds_kits_and_batches_show_their_cost_to_coordinators_alone(
    coordinating, building, panel, drawn, text_of
):
    build = make_build(design=drawn, adopter="Ida")
    batch = Batch.objects.begin("Saturday", by=planner())
    batch.add_build(build)
    material = f"{cost_of_build(build).material:.2f}"

    for address in (
        f"/builds/{build.code}/",
        reverse("builds:kit", args=[build.code]),
        f"/batches/{batch.code}/",
    ):
        assert material in text_of(coordinating.get(address))
        assert 'id="cost"' not in text_of(building.get(address))


def test_the_price_of_a_batch_that_is_not_known_is_told(coordinating, panel, drawn, text_of):
    batch = Batch.objects.begin("Saturday", by=planner())
    batch.add(drawn, 1)
    unknown = cost_of_batch(batch).cost.material_unknown

    assert f"price unknown for {unknown} item" in text_of(
        coordinating.get(f"/batches/{batch.code}/")
    )

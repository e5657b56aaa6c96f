"""What all planned builds need beyond what they have and keep, and the list to buy it with."""

import uuid

import pytest

from builds.building.models.replanning import plan_anew
from builds.pulls.models.buying import needs_of_planned_builds
from builds.pulls.models.ending import close, give_up
from builds.pulls.models.pulling import report_short, take_as_listed
from builds.store.models import movements
from builds.store.models.buying import what_to_buy
from builds.store.models.needs import items_of
from habitats.designs.models.designs import Design
from tests.support.builds import DAY, make_build, planner
from tests.support.designs import make_design
from tests.support.pulls import begun, stock_up
from tests.support.sheets import make_place
from tests.support.store import make_pack


@pytest.fixture
def panel(db):
    return stock_up(panel=10)["panel"]


def needed(item):
    return needs_of_planned_builds().of(item)


def whole(build, item):
    return items_of(build.plans.get().revision).of(item)


def test_without_builds_nothing_is_needed(panel):
    assert needs_of_planned_builds().lines == ()


def test_needs_of_all_builds_add_up(panel):
    first, second = make_build("First"), make_build("Second")

    assert needed(panel) == whole(first, panel) + whole(second, panel)


@pytest.mark.parametrize("state", ["inspected", "handed over", "stopped"])
def test_a_build_that_takes_nothing_more_needs_nothing(panel, state):
    make_build(state=state)

    assert needed(panel) == 0


def test_what_is_kept_is_not_needed_beyond(panel):
    pull = begun()

    assert needed(panel) == whole(pull.build, panel) - 10


def test_what_was_taken_is_not_needed_again(panel, says):
    pull = begun()
    take_as_listed([pull], **says())

    assert needed(panel) == whole(pull.build, panel) - 10
    close([pull], **says())
    assert needed(panel) == whole(pull.build, panel) - 10


def test_what_was_not_there_is_needed_and_what_is_spared_is_not(panel, says):
    pull = begun()
    short = whole(pull.build, panel) - 10

    report_short([pull], panel, short, "unneeded", **says())
    assert needed(panel) == 0

    report_short([pull], panel, 3, "missing", **says())
    assert needed(panel) == 3


def test_a_pull_that_is_given_up_leaves_the_need(panel, says):
    pull = begun()
    give_up([pull], **says())

    assert needed(panel) == whole(pull.build, panel)


@pytest.mark.parametrize("state", ["pulled", "building"])
def test_a_build_that_went_on_without_a_pull_needs_nothing_that_is_known(panel, state):
    build = make_build()

    build.set_state(state, DAY, by=planner())

    assert needed(panel) == 0


def test_a_build_planned_anew_needs_the_difference(panel, says):
    design = Design.objects.draw(make_design(["####", "####"]), by=planner())
    build = make_build(design=design)
    pull = begun(build)
    take_as_listed([pull], **says())
    close([pull], **says())
    design.change(make_design(["#####", "#####"]), by=planner())
    design.refresh_from_db()
    plan = plan_anew(build, design, by=planner(), idempotency_key=uuid.uuid4())

    assert needed(panel) == items_of(plan.revision).of(panel) - 10


def test_what_the_store_has_no_item_for_is_told_by_build(db):
    make_build("Nook")

    told = needs_of_planned_builds().missing

    assert any("panels of 355 mm" in one and "for “Nook”" in one for one in told)


def test_the_list_buys_need_less_free_in_the_cheapest_packs_and_adds_up(panel):
    build = make_build()
    make_pack(panel, 12, "30.00")
    make_pack(panel, 4, "11.00")
    short = whole(build, panel) - 10

    buying = what_to_buy(needs_of_planned_builds(), top_up=False)

    row = next(one for one in buying.rows if one.item == panel)
    assert (row.need, row.free, row.buy) == (whole(build, panel), 10, short)
    # By trying all: 0 to 9 of each pack.
    cheapest = min(
        30 * large + 11 * small
        for large in range(10)
        for small in range(10)
        if 12 * large + 4 * small >= short
    )
    assert buying.price == cheapest == sum(line.price for line in buying.orders[0].lines)


def test_what_comes_in_shortens_the_list(panel):
    build = make_build()
    make_pack(panel, 1, "3.00")
    movements.take_in(panel, make_place("Rack"), 1, by=planner())

    buying = what_to_buy(needs_of_planned_builds(), top_up=False)

    assert buying.price == 3 * (whole(build, panel) - 11)


def test_below_the_reorder_level_more_is_bought_than_builds_need(panel):
    make_build()
    panel.reorder_at = 30
    panel.save()
    needs = needs_of_planned_builds()

    plain, topped = what_to_buy(needs, top_up=False), what_to_buy(needs, top_up=True)

    assert next(one.buy for one in topped.rows if one.item == panel) == 30 + next(
        one.buy for one in plain.rows if one.item == panel
    )

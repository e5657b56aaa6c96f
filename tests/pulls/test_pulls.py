"""Pulls: begun, taken from, short, brought back, ended; for one build and for several."""

import uuid

import pytest

from builds.building.models.replanning import plan_anew
from builds.plans.models.builds import Build
from builds.pulls.models.accounts import account_of, accounts_of, pull_accounts
from builds.pulls.models.ending import close, give_up
from builds.pulls.models.pulling import (
    begin,
    bring_back,
    report_short,
    reserve_free,
    take,
    take_as_listed,
)
from builds.pulls.models.pulls import CannotPull, Pull
from builds.store.models import movements, reservations
from builds.store.models.movements import NotEnough
from builds.store.models.needs import items_of
from builds.store.models.places import Place
from builds.store.models.stock import Movement, Stock
from habitats.designs.models.designs import Design
from tests.support.builds import DAY, make_build, planner
from tests.support.designs import make_design
from tests.support.pulls import begun, stock_up
from tests.support.sheets import make_place
from tests.support.store import make_item


@pytest.fixture
def store(db):
    return stock_up()


@pytest.fixture
def rack(store):
    return make_place("Rack")


def wanted(pull):
    return dict(pull_accounts([pull])[pull].asked)


def left(pull):
    return dict(pull_accounts([pull])[pull].left)


def reserved(pull):
    return dict(+account_of(pull.build).reserved)


def again(pull):
    return Pull.objects.get(pk=pull.pk)


def test_a_pull_asks_for_what_the_design_takes_and_keeps_it(store):
    build = make_build()

    pull = begun(build)

    needs = items_of(build.plans.get().revision)
    assert wanted(pull) == {line.item: line.total for line in needs.lines}
    assert reserved(pull) == wanted(pull)


def test_what_the_store_has_too_few_of_is_kept_as_far_as_it_goes(db):
    items = stock_up(panel=5)

    pull = begun()

    assert wanted(pull)[items["panel"]] > 5
    assert reserved(pull)[items["panel"]] == 5


def test_a_pull_is_begun_once(store, says):
    build, words = make_build(), says()

    first = begin(build, **words)

    assert begin(build, **words) == first
    assert begin(build, **says()) == first
    assert Pull.objects.count() == 1


def test_what_the_store_has_no_item_for_is_told(db):
    pull = begun()

    assert any("panels of 355 mm" in one for one in pull.uncounted_sentences)


@pytest.mark.parametrize("state", ["stopped", "inspected", "handed over"])
def test_nothing_is_pulled_for_a_build_that_takes_nothing_more(store, state):
    with pytest.raises(CannotPull, match=f"is {state}, so nothing is taken for it"):
        begun(state=state)


def test_what_is_taken_leaves_the_place_in_the_builds_name(store, rack, says):
    pull, panel = begun(), store["panel"]
    before = Stock.objects.get(item=panel)

    take([pull], {(panel, rack): 4}, **says())

    after = Stock.objects.get(item=panel)
    assert (before.on_hand - after.on_hand, before.reserved - after.reserved) == (4, 4)
    assert left(pull)[panel] == wanted(pull)[panel] - 4
    assert Movement.objects.filter(build=pull.build, pull=pull, why="out").count() == 1


def test_the_same_key_takes_nothing_more(store, rack, says):
    pull, words = begun(), says()
    picks = {(store["panel"], rack): 4, (store["connector"], rack): 2}

    take([pull], picks, **words)

    assert take([pull], picks, **words) == 0
    assert pull_accounts([pull])[pull].issued[store["panel"]] == 4


def test_all_that_is_listed_is_taken_at_once_but_for_sheets(store, says):
    pull, words = begun(), says()

    take_as_listed([pull], **words)

    assert {item.kind for item in left(pull)} == {"sheet"}
    assert take_as_listed([pull], **words) == 0


def test_from_another_place_than_listed_what_was_kept_is_free_again(store, rack, says):
    panel, loft = store["panel"], make_place("Loft")
    pull = begun()
    movements.take_in(panel, loft, 50, by=planner())
    asked = wanted(pull)[panel]

    take([pull], {(panel, loft): 3}, **says())

    assert reservations.reserved_for(panel, rack, build=pull.build) == asked - 3
    assert reserved(pull)[panel] == left(pull)[panel]


def test_more_than_is_there_is_refused_and_nothing_is_half_saved(store, rack, says):
    pull = begun()
    before = Movement.objects.count()

    with pytest.raises(NotEnough, match="1000 × “White panel” asked for; Rack has 200"):
        take([pull], {(store["connector"], rack): 2, (store["panel"], rack): 1000}, **says())

    assert Movement.objects.count() == before


def test_what_another_build_keeps_is_not_taken(db, says):
    items = stock_up(panel=30)
    first, second = begun(name="First"), begun(name="Second")
    own = reserved(first)[items["panel"]]

    with pytest.raises(NotEnough, match="24 reserved, 6 free"):
        take([second], {(items["panel"], make_place("Rack")): 30 - own + 1}, **says())


@pytest.mark.parametrize("count", [0, -3])
def test_a_count_below_one_is_refused(store, rack, says, count):
    with pytest.raises(CannotPull, match=f"{count} given; give 1 to"):
        take([begun()], {(store["panel"], rack): count}, **says())


def test_an_item_of_another_pull_is_refused(store, rack, says):
    other = make_item(name="Yard panel", panel_mm=498)
    movements.take_in(other, rack, 9, by=planner())

    with pytest.raises(CannotPull, match="“Yard panel” is not on this pull"):
        take([begun()], {(other, rack): 1}, **says())


def test_sheets_are_left_to_the_cutting(store, rack, says):
    with pytest.raises(CannotPull, match="is taken by a cutting job"):
        take([begun()], {(store["sheet"], rack): 1}, **says())


def test_after_the_build_was_stopped_nothing_is_kept_or_taken(store, rack, says):
    pull = begun()

    pull.build.set_state("stopped", DAY, by=planner())

    assert not Stock.objects.filter(reserved__gt=0).exists()
    with pytest.raises(CannotPull, match="is stopped, so nothing is taken for it"):
        take([again(pull)], {(store["panel"], rack): 1}, **says())


def test_a_complete_pull_says_that_the_build_is_pulled(store, says):
    pull = begun()
    take_as_listed([pull], **says())

    close([pull], **says())

    assert again(pull).end.how == "complete"
    assert pull.build.state_now() == "pulled"


def test_a_short_pull_is_accepted_and_says_so(db, says):
    items = stock_up(panel=5)
    pull = begun()
    take_as_listed([pull], **says())

    close([pull], **says())

    short = again(pull).shorts.get()
    assert (short.item, short.why) == (items["panel"], "missing")
    assert short.count == wanted(pull)[items["panel"]] - 5
    assert again(pull).end.how == "short"
    assert pull.build.state_now() == "pulled"


def test_a_closed_pull_keeps_nothing_but_sheets(store, rack, says):
    pull = begun()
    take([pull], {(store["panel"], rack): 1}, **says())

    close([pull], **says())

    assert {item.kind for item in reserved(pull)} == {"sheet"}


def test_a_pull_from_which_nothing_was_taken_is_not_closed(store, says):
    pull = begun()

    with pytest.raises(CannotPull, match="Nothing was taken yet"):
        close([pull], **says())

    assert pull.build.state_now() == "planned"


def test_a_pull_is_closed_once(store, says):
    pull, words = begun(), says()
    take_as_listed([pull], **words)

    close([pull], **words)
    close([pull], **words)
    close([pull], **says())

    assert pull.build.events.filter(state="pulled").count() == 1


def test_a_pull_that_is_given_up_keeps_nothing_and_says_nothing(store, says):
    pull = begun()

    give_up([pull], **says())

    assert reserved(pull) == {}
    assert pull.build.state_now() == "planned"
    assert wanted(begun(pull.build)) == wanted(pull)


def test_what_is_not_needed_is_neither_left_nor_asked_for_again(store, says):
    pull, panel = begun(), store["panel"]
    asked = wanted(pull)[panel]

    report_short([pull], panel, 2, "unneeded", **says())

    assert left(pull)[panel] == reserved(pull)[panel] == asked - 2
    take_as_listed([pull], **says())
    close([pull], **says())
    assert again(pull).end.how == "complete"


def test_more_than_is_left_cannot_be_short(store, says):
    pull, panel = begun(), store["panel"]

    with pytest.raises(CannotPull, match=r"900 given .* are left to take"):
        report_short([pull], panel, 900, "missing", **says())


def test_what_serves_instead_is_taken_in_its_place(store, rack, says):
    pull, panel, words = begun(), store["panel"], says()
    black = make_item(name="Black panel")
    movements.take_in(black, rack, 6, by=planner())
    asked = left(pull)[panel]

    for _twice in range(2):
        report_short([pull], panel, 6, "instead", instead=black, place=rack, **words)

    assert left(pull)[panel] == asked - 6
    assert Stock.objects.get(item=black).on_hand == 0
    assert pull.shorts.get().instead == black


def test_what_is_left_over_comes_back_and_is_not_wanted_again(store, rack, says):
    pull, connector, words = begun(), store["connector"], says()
    take_as_listed([pull], **says())
    close([pull], **says())
    before = Stock.objects.get(item=connector).on_hand

    for _twice in range(2):
        bring_back([again(pull)], connector, rack, 3, **words)

    assert Stock.objects.get(item=connector).on_hand == before + 3
    assert connector not in account_of(pull.build).short


def test_no_more_comes_back_than_was_taken(store, rack, says):
    pull = begun()
    take([pull], {(store["connector"], rack): 3}, **says())

    with pytest.raises(CannotPull, match="given to bring back; 3 were taken"):
        bring_back([pull], store["connector"], rack, 4, **says())


def test_what_came_in_since_is_kept_when_asked_for(db, says):
    items = stock_up(panel=5)
    pull, words = begun(), says()
    movements.take_in(items["panel"], make_place("Loft"), 50, by=planner())

    reserve_free([pull], **words)

    assert reserved(pull)[items["panel"]] == left(pull)[items["panel"]]
    assert reserve_free([pull], **words) == 0


def test_a_build_that_is_planned_anew_pulls_the_difference_only(store, says):
    by = planner()
    design = Design.objects.draw(make_design(["####", "####"]), by=by)
    build = make_build(design=design)
    pull = begun(build)
    take_as_listed([pull], **says())
    close([pull], **says())
    design.change(make_design(["#####", "#####"]), by=by)
    design.refresh_from_db()

    plan = plan_anew(build, design, by=by, idempotency_key=uuid.uuid4())
    second = begin(build, **says())

    panel = store["panel"]
    more = items_of(plan.revision).of(panel) - items_of(build.plans.get(number=1).revision).of(
        panel
    )
    assert more > 0
    assert wanted(second)[panel] == more


def test_an_open_pull_ends_when_the_build_is_planned_anew(store, rack, says):
    build = make_build()
    first = begun(build)
    take([first], {(store["panel"], rack): 3}, **says())
    plan_anew(build, build.plans.get().revision.design, by=planner(), idempotency_key=uuid.uuid4())

    second = begin(build, **says())

    assert again(first).end.how == "replanned"
    assert wanted(second)[store["panel"]] == wanted(first)[store["panel"]] - 3
    assert reserved(second) == wanted(second)


def test_a_build_with_everything_has_nothing_to_pull(store, says):
    pull = begun()
    take_as_listed([pull], **says())
    report_short([pull], store["sheet"], left(pull)[store["sheet"]], "unneeded", **says())
    close([pull], **says())

    with pytest.raises(CannotPull, match="is taken already"):
        begin(pull.build, **says())


def test_what_is_taken_for_several_builds_is_shared_out(store, rack, says):
    pulls, panel = [begun(name=name) for name in ("First", "Second")], store["panel"]
    each = wanted(pulls[0])[panel]

    take(pulls, {(panel, rack): each + 2}, **says())

    assert [left(pull).get(panel, 0) for pull in pulls] == [0, each - 2]


def test_of_several_pulls_those_without_anything_stay_open(store, rack, says):
    first, second = begun(name="First"), begun(name="Second")
    take([first], {(store["panel"], rack): 2}, **says())

    assert close([first, second], **says()) == [first]
    assert again(second).is_open


def test_accounts_of_many_builds_ask_as_often_as_of_few(store, django_assert_num_queries):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    def asked(builds):
        with CaptureQueriesContext(connection) as queries:
            found = Build.objects.with_state().filter(pk__in=[one.pk for one in builds])
            for account in accounts_of(found):
                assert account.short is not None
        return len(queries)

    design = Design.objects.draw(make_design(), by=planner())
    builds = [make_build(f"Nook {number}", design=design) for number in range(6)]
    for build in builds[::2]:
        begun(build)

    assert asked(builds) == asked(builds[:2])
    assert Place.objects.count() == 1
    assert Build.objects.count() == 6

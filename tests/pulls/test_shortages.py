"""What is reported missing or damaged moves stock, is fetched again or bought."""

import uuid

import pytest

from builds.building.models.intake import take as take_in_act
from builds.building.models.shortages import shortage_moves
from builds.pulls.models.accounts import pull_accounts
from builds.pulls.models.buying import needs_of_planned_builds
from builds.pulls.models.ending import close
from builds.pulls.models.pulling import take_as_listed
from builds.store.models import reservations
from builds.store.models.buying import what_to_buy
from builds.store.models.stock import Movement, Stock
from tests.support.builds import DAY, NOON, make_build, planner
from tests.support.pulls import begun, stock_up
from tests.support.sheets import make_place


@pytest.fixture
def report(builder):
    """`report(build, "plain panel", 2, is_damaged=True)`: as a phone sends it."""

    def send(build, what, count, is_damaged=False, once=None):
        act = {
            "once": once or uuid.uuid4(),
            "kind": "shortage",
            "what": what,
            "count": count,
            "is_damaged": is_damaged,
        }
        take_in_act(builder, build, act, NOON)
        return build.shortages.last()

    return send


@pytest.fixture
def pulled(db, says):
    """A build for which all was taken but its sheets, from a store that has little left."""

    def make(**counts):
        items = stock_up(**counts)
        pull = begun()
        take_as_listed([pull], **says())
        close([pull], **says())
        return pull.build, items

    return make


def written_off(item):
    return [-one.on_hand_change for one in Movement.objects.filter(item=item, why="write_off")]


def test_what_is_damaged_is_thrown_away_and_kept_anew(pulled, report):
    build, items = pulled()
    panel = items["panel"]
    before = Stock.objects.get(item=panel).on_hand

    shortage = report(build, "plain panel", 2, is_damaged=True)

    assert written_off(panel) == [2]
    assert Stock.objects.get(item=panel).on_hand == before
    assert shortage.line.pull.is_open
    assert reservations.reserved_for(panel, make_place("Rack"), build=build) == 2


def test_of_what_is_missing_nothing_is_in_hand(pulled, report):
    build, items = pulled()

    report(build, "connector", 3)

    assert written_off(items["connector"]) == []
    assert reservations.reserved_for(items["connector"], make_place("Rack"), build=build) == 3


def test_a_report_that_arrives_twice_moves_stock_once(pulled, report):
    build, items = pulled()
    once = uuid.uuid4()

    shortage = report(build, "plain panel", 2, is_damaged=True, once=once)
    report(build, "plain panel", 2, is_damaged=True, once=once)
    shortage_moves(shortage)

    assert written_off(items["panel"]) == [2]
    assert build.shortages.count() == 1


def test_no_more_is_thrown_away_than_the_build_had(db, report):
    items = stock_up()
    build = make_build(state="building")

    report(build, "plain panel", 2, is_damaged=True)

    assert written_off(items["panel"]) == []


def test_a_report_during_a_pull_is_a_line_of_that_pull(db, report):
    items = stock_up()
    pull = begun()
    before = pull_accounts([pull])[pull].left[items["panel"]]

    report(pull.build, "doorway panel", 2)

    assert pull_accounts([pull])[pull].left[items["panel"]] == before + 2
    assert pull.build.pulls.count() == 1


def test_what_is_reported_and_not_in_the_store_is_bought(pulled, report):
    build, items = pulled(panel=20)
    panel = items["panel"]
    left = Stock.objects.get(item=panel).on_hand
    before = needs_of_planned_builds().of(panel)

    report(build, "plain panel", left + 4, is_damaged=False)

    assert needs_of_planned_builds().of(panel) - before == 4
    rows = {row.item: row for row in what_to_buy(needs_of_planned_builds(), top_up=False).rows}
    assert rows[panel].buy == before + 4


def test_a_part_that_the_store_does_not_count_is_bought_in_words(pulled, report):
    build, _items = pulled()

    report(build, "Ground tray", 1, is_damaged=True)

    assert f"1 × Ground tray damaged, for “{build}”" in needs_of_planned_builds().missing


def test_a_stopped_build_asks_for_nothing(pulled, report):
    build, items = pulled()
    build.set_state("stopped", DAY, by=planner())

    report(build, "plain panel", 2)

    assert build.pulls.count() == 1
    assert needs_of_planned_builds().of(items["panel"]) == 0

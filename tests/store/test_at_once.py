"""Many who take from one shelf at once: what is there goes once, and no more."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection

from builds.store.models import movements
from builds.store.models.movements import NotEnough
from builds.store.models.stock import Movement
from tests.support.sheets import make_place
from tests.support.store import make_item

PEOPLE, EACH, THERE = 6, 5, 20


@pytest.mark.django_db(transaction=True)
def test_six_who_take_at_once_get_what_is_there_and_no_more(coordinator):
    panel, rack = make_item(), make_place()
    movements.take_in(panel, rack, THERE, by=coordinator)

    def take(_person: int) -> int:
        got = 0
        try:
            for _time in range(EACH):
                try:
                    movements.take_out(panel, rack, 1, by=coordinator)
                except NotEnough:
                    continue
                got += 1
        finally:
            connection.close()
        return got

    with ThreadPoolExecutor(PEOPLE) as pool:
        got = list(pool.map(take, range(PEOPLE)))

    assert sum(got) == THERE
    assert panel.stocks.get().on_hand == 0
    numbers = Movement.objects.order_by("number").values_list("number", flat=True)
    assert list(numbers) == list(range(1, THERE + 2))

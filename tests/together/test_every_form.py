"""Each form that is based on what its page showed is refused once that is no longer so."""

import inspect
import re

import pytest
from django.urls import reverse

from tests.house.test_access_by_role import DOORS
from tests.house.test_based_on import BASED_ON, VIEWS

# A mark that no fact has: a page on which everything has changed since.
LONG_AGO = "0" * 12
ASKS = re.compile(r"\b(accepted|refuse_if_changed)\(request\b")
# With nobody to move or in quarantine, no rule set to differ from, or nothing drawn, there is no
# form yet.
NO_FORM_YET = {"move_group", "own_figures", "admit", "new_group", "lived_together"}


@pytest.mark.parametrize("name", sorted(BASED_ON))
def test_a_view_that_says_what_its_form_is_based_on_asks_whether_it_still_holds(name) -> None:
    assert ASKS.search(inspect.getsource(inspect.unwrap(VIEWS[name])))


@pytest.mark.parametrize("name", sorted(BASED_ON - NO_FORM_YET))
def test_a_form_of_a_page_that_is_no_longer_true_is_refused_and_says_so(
    name, client_of, coordinator, text_of
) -> None:
    address = reverse(name, kwargs=DOORS[name].make())

    answer = client_of(coordinator).post(address, {"basis": LONG_AGO})

    assert answer.status_code in (409, 422)
    assert "This has changed since you opened the page:" in text_of(answer)

"""After an animal has left, its page says what comes next for those it lived with."""

import pytest


@pytest.fixture
def after_leaving(coordinating, text_of):
    """`after_leaving(pip, "died")`: the page to which the coordinator comes."""

    def leave(animal, why):
        sent = {"on": "2027-03-10", "why": why}
        answer = coordinating.post(f"/animals/{animal.code}/leaving/", sent, follow=True)
        return text_of(answer)

    return leave


def test_the_last_one_of_a_pair_is_alone_and_company_is_a_tap_away(lives, after_leaving):
    group, (pip, _moss), _enclosure = lives("Pip", "Moss")

    page = after_leaving(pip, "died")

    assert "Moss lives alone now, and guinea pigs need company of their own kind." in page
    assert "See that Moss eats: if not, call a vet at once." in page
    assert "Propose company" in page
    assert f"/traces/new/?sort=group&amp;code={group.code}" in page


def test_of_three_two_have_company_and_no_infection_is_asked_about(lives, after_leaving):
    _group, (pip, *_others), _enclosure = lives("Pip", "Moss", "Nut")

    page = after_leaving(pip, "passed on")

    assert "lives alone now" not in page
    assert "Ask a vet whether it may be" not in page


def test_one_that_escaped_may_be_found_again(lives, after_leaving):
    _group, (pip, *_others), _enclosure = lives("Pip", "Moss", "Nut")

    assert "found again? Readmit it" in after_leaving(pip, "missing")

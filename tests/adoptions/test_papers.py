"""Agreement and receipt, printed."""

import pytest

from habitats.adoptions.models.deaths import record_death
from habitats.adoptions.models.steps import adopt, end
from habitats.animals.models.joining import discharge


@pytest.fixture
def printed(coordinating, words_of):
    def read(adoption, paper):
        answer = coordinating.get(f"/adoptions/{adoption.code}/{paper}.pdf")
        return " ".join(words_of(answer.content))

    return read


def test_the_agreement_has_the_rescues_own_words_and_says_that_it_is_no_advice(
    pair, make_reserved, answer_to, printed
):
    answer_to("", name="Larkrise Rescue", adoption_terms="Never alone.\n\nBack to us, always.")
    _group, animals, _enclosure = pair

    said = printed(make_reserved(*animals), "agreement")

    for words in ("Larkrise Rescue", "Rue Marlow", "Pip", "Never alone.", "Back to us, always."):
        assert words in said
    assert "no legal advice" in said


def test_the_receipt_tells_what_the_first_days_need(pair, make_reserved, printed):
    _group, animals, _enclosure = pair

    said = printed(make_reserved(*animals), "receipt")

    assert "Receipt for animals" in said
    assert "needs a vet at once" in said


def test_an_agreement_printed_again_names_all_that_went(pair, make_reserved, step, printed):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [])
    record_death(adoption, pip, step(-3))
    end(adoption, [moss], step(-1, "Alone"), with_quarantine=False)

    said = printed(adoption, "agreement")

    assert pip.code in said
    assert moss.code in said


def test_one_that_died_before_it_went_is_in_no_agreement(
    pair, make_reserved, step, day, coordinator, printed
):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    discharge(pip, day(-5), "died", by=coordinator)
    adopt(adoption, step(-2), [])

    said = printed(adoption, "agreement")

    assert moss.code in said
    assert pip.code not in said

"""Agreement and receipt, printed."""

import pytest


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

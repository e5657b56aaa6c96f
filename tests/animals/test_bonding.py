"""Bonding attempts: who met whom, and that a refusal is remembered."""

import uuid

import pytest

from habitats.animals.models.bonding import BondingAttempt, pair_records, record_attempt
from habitats.animals.models.groups import Override
from habitats.readings.models.readings import Reading
from tests.animals.test_group_pages import SINCE


@pytest.fixture
def met(coordinator, day):
    """`met(pip, moss, "refused", -3)`: they met three days ago."""

    def make(one, other, outcome, days, **facts):
        return record_attempt(
            one,
            other,
            by=coordinator,
            idempotency_key=uuid.uuid4(),
            on=day(days),
            outcome=outcome,
            **facts,
        )

    return make


def admitting(client, group, animal, **sent):
    return client.post(f"/groups/{group.code}/admit/", {**SINCE, "animal": animal.code, **sent})


def test_a_refusal_wants_a_reason_when_the_two_are_put_together(
    lives, make_animal, met, coordinating, text_of, day
):
    group, (pip, _moss), _enclosure = lives("Pip", "Moss")
    fen = make_animal("Fen")
    met(fen, pip, "refused", -3)

    refused = admitting(coordinating, group, fen)
    said = text_of(refused)
    assert refused.status_code == 422
    assert "refused each other on 7 March 2027" in said
    assert "Enter a reason for the override" in said

    assert admitting(coordinating, group, fen, reason="A vet advised it").status_code == 302
    assert Override.objects.get().key.startswith("bonding_refused ")


@pytest.mark.parametrize(
    ("later", "stands"), [("calm", True), ("tense", True), ("bonded", False), ("refused", True)]
)
def test_a_refusal_stands_until_the_two_have_bonded(
    lives, met, coordinating, text_of, later, stands
):
    group, (pip, moss), _enclosure = lives("Pip", "Moss")
    met(pip, moss, "refused", -9)
    met(moss, pip, later, -2)

    said = text_of(coordinating.get(f"/groups/{group.code}/"))

    assert ("refused each other" in said) is stands


def test_a_bond_ends_a_refusal_also_where_it_is_told_the_other_way_round(
    lives, met, coordinating, text_of
):
    """As they are once a record was merged with an older one."""
    group, (pip, moss), _enclosure = lives("Pip", "Moss")
    met(pip, moss, "refused", -9)
    bonded = met(pip, moss, "bonded", -2)
    BondingAttempt.objects.filter(pk=bonded.pk).update(one=bonded.other, other=bonded.one)

    said = text_of(coordinating.get(f"/groups/{group.code}/"))

    assert "refused each other" not in said


def test_the_state_of_the_enclosure_tells_of_a_refusal_at_once(lives, met, today):
    _group, (pip, moss), enclosure = lives("Pip", "Moss")
    before = Reading.objects.fresh(today).get(enclosure=enclosure).warnings

    met(pip, moss, "refused", -1)

    assert Reading.objects.fresh(today).get(enclosure=enclosure).warnings == before + 1


def test_how_two_got_on_is_shown_where_they_are_to_live_together(
    make_animal, met, coordinating, text_of
):
    pip, moss, fen = make_animal("Pip"), make_animal("Moss"), make_animal("Fen")
    met(pip, moss, "tense", -5, minutes=20)
    met(moss, pip, "calm", -2, minutes=40)

    (record,) = pair_records([pip, moss, fen])
    assert (record.attempts, record.minutes, record.last.outcome) == (2, 60, "calm")

    page = coordinating.get("/groups/new/", {"animal": [pip.code, moss.code]})
    said = text_of(page)
    assert "2 attempts, 60 minutes" in said
    assert "Last, on 8 Mar 2027: Calm" in said


def test_a_foster_records_an_attempt_of_two_in_their_home(
    lives, make_home, make_animal, foster, fostering, text_of
):
    home = make_home(people=[foster])
    _group, (pip,), _enclosure = lives("Pip", home=home)
    _other, (moss,), _elsewhere = lives("Moss", home=home)
    make_animal("Strange")
    address = f"/animals/{pip.code}/bonding/"

    said = text_of(fostering.get(address))
    assert "Moss" in said
    assert "Strange" not in said

    sent = {"other": moss.code, "outcome": "calm", "neutral": "yes", "on": "2027-03-10"}
    assert fostering.post(address, sent).url == f"/animals/{pip.code}/"
    attempt = BondingAttempt.objects.get()
    assert (attempt.pair, attempt.is_neutral) == ((pip.pk, moss.pk), True)
    assert "neutral ground" in text_of(fostering.get(f"/animals/{moss.code}/"))


def test_an_attempt_with_nobody_or_a_stranger_is_refused(
    lives, make_home, make_animal, foster, fostering, text_of
):
    home = make_home(people=[foster])
    _group, (pip,), _enclosure = lives("Pip", home=home)
    lives("Moss", home=home)
    address = f"/animals/{pip.code}/bonding/"

    nobody = fostering.post(address, {"outcome": "calm", "on": "2027-03-10"})
    stranger = fostering.post(
        address, {"other": make_animal("Strange").code, "outcome": "calm", "on": "2027-03-10"}
    )

    assert "Choose the other animal." in text_of(nobody)
    assert stranger.status_code == 422
    assert not BondingAttempt.objects.exists()


def test_an_attempt_with_an_unknown_animal_is_refused_with_nothing_lost(
    make_animal, coordinating, text_of
):
    pip, _moss = make_animal("Pip"), make_animal("Moss")
    sent = {"other": "9" * 20, "outcome": "calm", "on": "2027-03-10", "note": "In the hall"}

    refused = coordinating.post(f"/animals/{pip.code}/bonding/", sent)

    said = text_of(refused)
    assert refused.status_code == 422
    assert "Select a valid choice" in said
    assert "Moss" in said  # may be chosen instead
    assert "In the hall" in refused.content.decode()


def test_what_is_sent_twice_is_one_attempt(make_animal, coordinator, today):
    key = uuid.uuid4()
    one, other = make_animal("Pip"), make_animal("Moss")

    for first, second in ((one, other), (other, one)):
        record_attempt(first, second, by=coordinator, idempotency_key=key, on=today, outcome="calm")

    assert BondingAttempt.objects.count() == 1

"""A placing that is worked out beside its page: joined, stopped, lost, out of date."""

import json
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.utils import timezone

from builds.common.beside import News
from builds.common.runs import SILENT
from builds.placing import tasks
from builds.placing.models.asked import What, asked_from
from builds.placing.models.runs import DAYS_KEPT, PlacingRun
from builds.placing.solving import PlacingSearch
from habitats.animals.models.stays import Stay, move_in
from habitats.people.models.erasing import erase
from habitats.placement.questions import ToPlace, answer
from tests.benchmarks.placing import rescue
from tests.support.placing_runs import PAGE, run_of, work

pytestmark = pytest.mark.usefixtures("all_is_large")

SMALL, LARGE = ("##", "##"), ("####", "####")
HEADING = "Working out where everybody could live"
PART = {"HX-Request": "true"}


@pytest.fixture
def worked_out(chain, coordinating):
    coordinating.get(PAGE)
    work()
    return chain


def test_the_page_says_that_it_is_worked_out_and_has_the_moves_then(chain, coordinating, text_of):
    meanwhile = coordinating.get(PAGE)

    assert HEADING in text_of(meanwhile)
    assert "Started 0 s ago." in text_of(meanwhile)
    assert "Record all moves" not in text_of(meanwhile)
    work()
    page = coordinating.get(PAGE)
    assert HEADING not in text_of(page)
    assert [row.who for row in page.context["page"].rows] == [
        "Ida and Una",
        "Fern, Moss, Nut and Pip",
    ]


def test_a_small_rescue_does_not_wait(chain, coordinating, monkeypatch):
    monkeypatch.setattr("builds.placing.pages.at_hand.MOST_AT_ONCE", 60_000)

    assert len(coordinating.get(PAGE).context["page"].rows) == 2
    assert not PlacingRun.objects.exists()


def test_who_asks_the_same_joins_the_run_at_hand(chain, coordinating, make_person, client_of):
    coordinating.get(PAGE)
    client_of(make_person("second", "coordinator")).get(PAGE)

    assert PlacingRun.objects.count() == 1


def test_the_database_keeps_one_run_of_a_question(chain, coordinating):
    coordinating.get(PAGE)
    run = run_of()
    run.pk = None

    with pytest.raises(IntegrityError), transaction.atomic():
        run.save(force_insert=True)


def test_a_run_of_another_language_has_the_same_answer(worked_out, coordinating, coordinator):
    coordinator.language = "de"
    coordinator.save()

    page = coordinating.get(PAGE)

    assert len(page.context["page"].rows) == 2
    assert PlacingRun.objects.count() == 1


def test_while_it_goes_on_its_part_of_the_page_tells_how_long(chain, coordinating, text_of):
    coordinating.get(PAGE)
    run = run_of()
    PlacingRun.objects.update(started_at=timezone.now() - 3 * SILENT, beat_at=timezone.now())

    part = coordinating.get(f"{PAGE}runs/{run.pk}/", headers=PART)
    whole = coordinating.get(f"{PAGE}runs/{run.pk}/?goal=moves")

    assert "Started 45 s ago." in text_of(part)
    assert "<html" not in part.text
    assert HEADING in text_of(whole)
    assert f'href="{PAGE}?goal=moves"' in whole.text


def test_once_it_has_ended_the_part_leads_on_a_single_time(worked_out, coordinating):
    address = f"{PAGE}runs/{run_of().pk}/"

    part = coordinating.get(f"{address}?goal=moves", headers=PART)

    assert 'hx-trigger="load"' in part.text
    assert "every 2s" not in part.text
    led = coordinating.get(f"{address}?goal=moves&ended=yes", headers=PART)
    assert led["HX-Redirect"] == f"{PAGE}?goal=moves"
    assert coordinating.get(f"{address}?goal=moves")["Location"] == f"{PAGE}?goal=moves"


def test_one_that_is_stopped_says_so_and_starts_again_when_asked(chain, coordinating, text_of):
    coordinating.get(PAGE)
    run = run_of()

    coordinating.post(f"{PAGE}runs/{run.pk}/stop/")
    work()

    assert run_of().how == PlacingRun.How.STOPPED
    assert "This was stopped before it was worked out." in text_of(coordinating.get(PAGE))
    assert PlacingRun.objects.count() == 1
    coordinating.post(f"{PAGE}runs/{run.pk}/again/")
    work()
    assert len(coordinating.get(PAGE).context["page"].rows) == 2


def test_one_whose_server_is_gone_says_so(chain, coordinating, text_of):
    coordinating.get(PAGE)
    PlacingRun.objects.update(beat_at=timezone.now() - 2 * SILENT)

    page = text_of(coordinating.get(PAGE))

    assert "This ended when the server was restarted." in page
    assert "Start again" in page
    coordinating.post(f"{PAGE}runs/{run_of().pk}/again/")
    assert [one.how for one in PlacingRun.objects.order_by("pk")] == ["lost", ""]


def test_one_that_fails_says_so(chain, coordinating, text_of, monkeypatch):
    coordinating.get(PAGE)
    monkeypatch.setattr(tasks, "PlacingSearch", None)

    with pytest.raises(TypeError):
        work()

    assert "This failed. The log of the server says why." in text_of(coordinating.get(PAGE))


def test_once_something_changed_it_is_worked_out_again_and_says_so(
    worked_out, coordinating, make_animal, make_group, text_of
):
    make_group(make_animal("Ada", grams=900), make_animal("Eve", grams=900))

    page = text_of(coordinating.get(PAGE))

    assert HEADING in page
    assert "changed since the proposal of" in page
    assert PlacingRun.objects.count() == 2


def test_moves_that_fell_away_are_named_once_it_is_worked_out_again(
    worked_out, coordinating, coordinator, make_animal, make_group, text_of, day
):
    assert "No longer proposed" not in text_of(coordinating.get(PAGE))
    other = make_group(make_animal("Ada", grams=900), make_animal("Eve", grams=900))
    move_in(other, worked_out[3], day(0), by=coordinator)
    coordinating.get(PAGE)
    work()

    page = text_of(coordinating.get(PAGE))

    assert "No longer proposed: Ida and Una to Snug" in page


def test_what_changes_while_it_is_worked_out_stops_the_run_of_before(
    chain, coordinating, make_animal, make_group
):
    coordinating.get(PAGE)
    before = run_of()
    make_group(make_animal("Ada", grams=900), make_animal("Eve", grams=900))

    coordinating.get(PAGE)

    before.refresh_from_db()
    assert before.is_stopping
    assert run_of().pk != before.pk


def test_a_change_of_something_else_leaves_the_proposal_as_it_is(worked_out, coordinating):
    _two, _four, large, _small = worked_out
    large.label = "Under the stairs"
    large.save()

    assert len(coordinating.get(PAGE).context["page"].rows) == 2
    assert PlacingRun.objects.count() == 1


# --- A process of its own ---


def test_a_process_answers_as_a_page_would():
    question = ToPlace(rescue(0, 12, 14))

    with PlacingSearch(question) as search:
        news = search.news(60)

    assert news == News(answer(question), True)


def test_a_process_that_is_left_is_gone():
    with PlacingSearch(ToPlace(rescue(0, 400, 600))) as search:
        process = search._process

    assert process.exitcode is not None


# --- Carried out ---


def test_its_moves_are_recorded_as_any_others(worked_out, coordinating, text_of, day):
    two, four, large, small = worked_out
    proposal = coordinating.get(PAGE).context["page"].proposal

    page = coordinating.post(PAGE, {"proposal": proposal}, follow=True)

    assert "2 groups moved." in text_of(page)
    living = {(stay.group, stay.enclosure) for stay in Stay.objects.on(day(0))}
    assert living == {(two, small), (four, large)}


def test_a_proposal_that_is_out_of_date_moves_nobody_and_is_asked_again(
    worked_out, coordinating, coordinator, make_animal, make_group, text_of, day
):
    proposal = coordinating.get(PAGE).context["page"].proposal
    other = make_group(make_animal("Ada", grams=900), make_animal("Eve", grams=900))
    move_in(other, worked_out[3], day(0), by=coordinator)
    stays = Stay.objects.count()

    page = coordinating.post(PAGE, {"proposal": proposal})

    assert page.status_code == 422
    assert "Something changed since, and nothing was moved." in text_of(page)
    assert HEADING in text_of(page)
    assert Stay.objects.count() == stays


# --- Other questions ---


def test_what_if_asks_for_today_first_and_then_for_what_is_imagined(
    chain, coordinating, make_drawn, text_of
):
    design = make_drawn(LARGE, name="Two by four")
    asked = {"more": design.code, "number": "1"}

    assert HEADING in text_of(coordinating.get(PAGE, asked))
    assert PlacingRun.objects.count() == 1
    work()
    coordinating.get(PAGE, asked)
    assert PlacingRun.objects.count() == 2
    work()
    told = text_of(coordinating.get(PAGE, asked))
    assert "Groups without a place that suits them: 0 instead of 0." in told


def test_who_has_a_place_that_suits_them_is_wanted_elsewhere(
    lives, make_home, make_enclosure, answer_to, coordinating, this_day
):
    """A wish for a settled group can hold, since settled groups are weighed too."""
    answer_to("ch-tschv")
    home = make_home("Wren", most_enclosures=2)
    two, _animals, _large = lives("Ida", "Una", home=home, plan=LARGE, grams=900)
    small = make_enclosure("Snug", home, plan=SMALL)
    wish = {"stays": f"{two.code}.{small.code}"}

    coordinating.get(PAGE, wish)
    work()

    (row,) = coordinating.get(PAGE, wish).context["page"].rows
    assert (row.who, row.to) == ("Ida and Una", f"{small}, Wren")


def test_the_next_best_and_more_pairs_are_worked_out_too(worked_out, coordinating, text_of):
    two = worked_out[0]
    for asked, heading in (
        ({"next": two.code}, "Working out where else they could live"),
        ({"pairs": "guinea_pig"}, "Working out how many pairs could be taken"),
    ):
        assert heading in text_of(coordinating.get(PAGE, asked))
        work()
    assert "Next best:" in text_of(coordinating.get(PAGE, {"next": two.code}))
    assert "that could be taken as everybody lives now" in text_of(
        coordinating.get(PAGE, {"pairs": "guinea_pig"})
    )


def test_no_more_than_two_are_worked_out_at_once(chain, coordinating, text_of):
    two, four, large, _small = chain
    coordinating.get(PAGE)
    coordinating.get(PAGE, {"not": f"{two.code}.{large.code}"})

    page = coordinating.get(PAGE, {"not": f"{four.code}.{large.code}"})

    assert "Two other proposals are being worked out." in text_of(page)
    assert PlacingRun.objects.count() == 2


def test_what_was_asked_is_read_again_as_it_was(chain, coordinating):
    two, four, large, small = chain
    home = large.standings.get().home
    wishes = {
        "stays": f"{two.code}.{large.code}",
        "not": [f"{four.code}.{small.code}", f"{four.code}.home-{home.code}"],
        "away": home.code,
        "goal": ["moves", "waiting"],
        "together": "yes",
    }
    coordinating.get(PAGE, wishes)
    run = run_of()

    asked = run.what_is_asked

    assert asked.what is What.PROPOSAL
    assert asked_from(json.loads(json.dumps(asked.document()))) == asked
    assert asked.mark == run.wishes
    assert asked.by_hand.is_together
    assert {len(asked.by_hand.pins), len(asked.by_hand.away)} == {1}
    assert len(asked.by_hand.forbidden) == 2


# --- What is kept ---


def test_who_asked_may_be_erased_and_the_run_stays(worked_out, coordinator, make_person):
    erase(coordinator, by=make_person("second", "coordinator"))

    assert run_of().made_by.erased_on


def test_old_ones_are_deleted_in_the_night(worked_out, coordinating, capsys):
    for days, told in ((DAYS_KEPT - 1, "0 old proposals"), (DAYS_KEPT + 1, "1 old proposals")):
        PlacingRun.objects.update(ended_at=timezone.now() - timedelta(days))
        call_command("tidy")
        assert told in capsys.readouterr().out


def test_the_number_of_queries_does_not_grow(coordinating, queries_for, asks_as_often_of):
    def ask():
        coordinating.get(PAGE)
        work()
        return queries_for(coordinating, PAGE)

    assert asks_as_often_of(30, ask)

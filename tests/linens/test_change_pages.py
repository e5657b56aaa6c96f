"""Changing linens on a phone: one tap, a label by hand, and what has to be asked."""

import uuid

import pytest
from django.urls import reverse

from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.changes import LinenChange, LinenRemark, change
from habitats.linens.models.spots import ChangePlan
from habitats.linens.models.tasks import change_tasks, shown
from habitats.rotation.labels import LABEL_MARKS
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def home(make_home, make_pool, foster):
    home = make_home("Wren", people=[foster])
    make_pool(home=home)
    return home


@pytest.fixture
def enclosure(home, make_enclosure, make_group, make_animal, day):
    enclosure = make_enclosure(home=home)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-9))
    return enclosure


@pytest.fixture
def spot(enclosure):
    return enclosure.spots.order_by("pk").first()


@pytest.fixture
def linen(make_linen, home, spot):
    return make_linen(home.pool, spot.size)


@pytest.fixture
def send(fostering, enclosure, spot):
    """Change the one spot; `typed`, `chosen`, `truth` and `will_do` are of its form."""

    def post(once=None, on="2027-03-10", **given):
        mine = {f"spot-{spot.pk}-{name}": value for name, value in given.items()}
        sent = {"once": once or uuid.uuid4(), "on": on, f"spot-{spot.pk}-take": "on", **mine}
        return fostering.post(reverse("change_linens", args=[enclosure.code]), sent)

    return post


def test_an_enclosure_that_is_taken_away_meanwhile_is_left_out(enclosure, home, coordinator, today):
    tasks = change_tasks(Enclosure.objects.filter(pk=enclosure.pk), today)
    assert [one.home for one in shown(tasks, today)] == [home]

    enclosure.standings.open().get().end(today, by=coordinator)

    assert shown(tasks, today) == []


def test_what_is_due_is_listed_with_the_day_since_when(fostering, enclosure):
    page = fostering.get(reverse("changes")).content.decode()

    assert enclosure.label in page
    assert "due since 1 Mar" in page


def test_a_coordinator_who_fosters_reads_those_at_home_on_today(
    client_of, make_person, enclosure, this_day
):
    cleo = make_person("cleo", role="coordinator,foster")
    enclosure.standings.get().home.people.add(cleo)

    parts = client_of(cleo).get(reverse("today")).context["page"].parts

    (linens,) = (one for one in parts if one.code == "linens")
    assert enclosure.label in linens.rows[0].aloud


def test_the_clean_linen_that_rested_longest_is_offered_first(
    fostering, enclosure, spot, home, make_linen, day
):
    make_linen(home.pool, spot.size, on=day(-1))
    rested = make_linen(home.pool, spot.size, on=day(-30))

    forms = fostering.get(reverse("change_linens", args=[enclosure.code])).context["spots"]

    offered = next(form.offered for form in forms if form.spot == spot)
    assert offered[0] == rested


def test_the_same_linen_is_not_offered_to_two_places(
    today, home, make_enclosure, make_group, make_animal, make_linen
):
    from habitats.linens.models.dues import dues_of
    from habitats.linens.models.spots import Spot
    from habitats.linens.models.tasks import offered_for

    for label in ("First", "Second"):
        make_group(make_animal(label), enclosure=make_enclosure(label, home=home))
    dues = dues_of(Spot.objects.all(), today)
    only = make_linen(home.pool, dues[0].spot.size)
    same = [due for due in dues if due.spot.size == only.size]

    offered = offered_for(same, home.pool)

    assert [offered[due.spot.pk] for due in same] == [[only], []]


def test_a_linen_typed_for_two_places_is_told_beside_the_second(
    fostering, home, linen, make_enclosure, make_group, make_animal
):
    corner = make_enclosure("Corner", home=home, plan=("####", "##.."))
    make_group(make_animal("Third"), enclosure=corner)
    sent = {"once": uuid.uuid4(), "on": "2027-03-10"}
    for spot in corner.spots.all():
        given = {"take": "on", "typed": linen.label, "will_do": "on"}
        sent |= {f"spot-{spot.pk}-{name}": value for name, value in given.items()}

    answer = fostering.post(reverse("change_linens", args=[corner.code]), sent)

    assert answer.status_code == 422
    assert "already. Take another linen." in answer.content.decode()
    assert not LinenChange.objects.exists()


@pytest.fixture
def visited(home, enclosure, make_enclosure, make_group, make_animal, make_linen, coordinator, day):
    """An enclosure of two places changed every five days: one due today, the other in three days.

    Of each size a clean one waits in the cupboard.
    """
    corner = make_enclosure("Corner", home=home, plan=("####", "##.."))
    ChangePlan.objects.create(enclosure=corner, interval_days=5)
    make_group(make_animal("Third"), enclosure=corner, since=day(-9))
    due, later = corner.spots.order_by("pk")
    for spot, ago in ((due, -5), (later, -2)):
        change(spot, make_linen(home.pool, spot.size), day(ago), by=coordinator)
        make_linen(home.pool, spot.size)
    return corner, due, later


def test_what_is_due_is_ticked_and_nothing_else(fostering, visited):
    corner, due, _later = visited

    page = fostering.get(reverse("change_linens", args=[corner.code]))

    assert [form.spot for form in page.context["spots"] if form["take"].value()] == [due]
    words = page.content.decode()
    assert words.index("Due now") < words.index(due.name) < words.index("Not due yet")


def test_one_button_changes_all_places_due_or_not(fostering, visited):
    corner, due, later = visited
    address = reverse("change_linens", args=[corner.code])
    forms = fostering.get(address).context["spots"]
    chosen = {f"spot-{form.spot.pk}-chosen": form.offered[0].label for form in forms}

    assert "Change all 2 places" in fostering.get(address).content.decode()
    answer = fostering.post(
        address, {"once": uuid.uuid4(), "on": "2027-03-10", "all": "yes", **chosen}
    )

    assert answer.status_code == 302
    assert {one.spot for one in LinenChange.objects.filter(on="2027-03-10")} == {due, later}


def test_all_places_are_those_that_a_clean_linen_is_there_for(fostering, visited, home):
    corner, due, later = visited
    for linen in home.pool.linens.filter(size=due.size, state=State.CLEAN):
        linen.set_state(State.RETIRED, linen.since, by=linen.made_by)
    address = reverse("change_linens", args=[corner.code])
    chosen = home.pool.linens.filter(size=later.size, state=State.CLEAN).first()

    fostering.post(
        address,
        {
            "once": uuid.uuid4(),
            "on": "2027-03-10",
            "all": "yes",
            f"spot-{later.pk}-chosen": chosen.label,
        },
    )

    assert {one.spot for one in LinenChange.objects.filter(on="2027-03-10")} == {later}


def test_where_nothing_is_due_the_page_says_from_when_on(fostering, visited, home, coordinator):
    corner, due, _later = visited
    clean = home.pool.linens.filter(size=due.size, state=State.CLEAN).first()
    change(due, clean, due.linen.since.replace(day=10), by=coordinator)

    page = fostering.get(reverse("change_linens", args=[corner.code]))

    assert "Nothing is due until Saturday, 13 March." in page.content.decode()
    assert not any(form["take"].value() for form in page.context["spots"])


def test_one_tap_lays_the_linen_and_says_where_the_soiled_one_goes(
    send, spot, linen, home, make_linen, coordinator, day
):
    old = make_linen(home.pool, spot.size)
    change(spot, old, day(-5), by=coordinator)

    answer = send(chosen=linen.label)

    assert answer.status_code == 302
    linen.refresh_from_db()
    assert linen.spot == spot
    page = answer.client.get(answer.url).content.decode()
    assert f"{old} goes to the soiled linens of Wren&#x27;s cupboard; washed on Thursday." in page


def test_a_double_tap_changes_once(send, linen):
    once = uuid.uuid4()
    for _ in range(2):
        send(once=once, chosen=linen.label)

    assert LinenChange.objects.count() == 1


def test_a_label_typed_wrong_by_one_mark_is_caught(send, linen):
    other = next(mark for mark in LABEL_MARKS if mark != linen.label[0])

    answer = send(typed=other + linen.label[1:])

    assert answer.status_code == 422
    assert "mistyped" in answer.content.decode()


def test_a_label_in_small_letters_is_read(send, linen):
    assert send(typed=f" {str(linen).lower()} ").status_code == 302
    linen.refresh_from_db()
    assert linen.state == State.IN_USE


def test_the_whole_link_of_a_scan_is_read(send, linen):
    assert send(typed=f"https://example.org/l/{linen.label}/").status_code == 302


def test_a_linen_in_use_elsewhere_is_asked_about_and_stays_if_nobody_answers(
    send, linen, home, make_enclosure, spot, coordinator, day
):
    other = make_enclosure("Second floor", home=home).spots.get(key=spot.key)
    change(other, linen, day(-2), by=coordinator)

    answer = send(typed=linen.label)

    assert answer.status_code == 422
    assert "Which is true?" in answer.content.decode()
    linen.refresh_from_db()
    assert linen.spot == other


def test_it_is_here_moves_it_and_keeps_both_events(
    send, linen, home, make_enclosure, spot, coordinator, day
):
    other = make_enclosure("Second floor", home=home).spots.get(key=spot.key)
    change(other, linen, day(-2), by=coordinator)

    assert send(typed=linen.label, truth="here").status_code == 302
    assert linen.events.filter(state=State.IN_USE).count() == 2


def test_it_still_lies_there_keeps_the_scan_and_changes_nothing(
    send, linen, home, make_enclosure, spot, coordinator, day
):
    other = make_enclosure("Second floor", home=home).spots.get(key=spot.key)
    change(other, linen, day(-2), by=coordinator)

    answer = send(typed=linen.label, truth="there")

    assert answer.status_code == 422
    assert LinenRemark.objects.get().spot == spot
    linen.refresh_from_db()
    assert linen.spot == other


def test_a_day_before_the_linen_was_last_seen_is_refused(send, linen):
    answer = send(chosen=linen.label, on="2026-12-01")

    assert answer.status_code == 422
    assert "is before" in answer.content.decode()
    assert not LinenChange.objects.exists()


def test_a_day_in_the_future_is_refused(send, linen):
    answer = send(chosen=linen.label, on="2027-03-11")

    assert answer.status_code == 422
    assert "is in the future" in answer.content.decode()


def test_no_clean_linen_says_what_to_do(send):
    answer = send()

    assert answer.status_code == 422
    assert "No clean linen of this size is in the cupboard" in answer.content.decode()


def test_a_plan_by_hand_replaces_the_suggestion(fostering, enclosure):
    address = reverse("enclosure_linens", args=[enclosure.code])
    lined = [str(one.pk) for one in enclosure.spots.all()]

    fostering.post(address, {"interval_days": "5", "lined": lined})

    assert ChangePlan.objects.get(enclosure=enclosure).interval_days == 5
    assert "Set by hand: change every 5 days." in fostering.get(address).content.decode()


def test_a_plan_of_no_days_is_refused_beside_the_field(fostering, enclosure):
    answer = fostering.post(
        reverse("enclosure_linens", args=[enclosure.code]), {"interval_days": "0"}
    )

    assert answer.status_code == 422
    assert "0 days between changes are not allowed" in answer.content.decode()


def test_a_spot_clean_is_a_tick_that_moves_no_day(fostering, enclosure, linen, spot, coordinator):
    address = reverse("spot_clean", args=[enclosure.code])
    once = uuid.uuid4()
    for _ in range(2):
        fostering.post(address, {"once": once, "on": "2027-03-10"})

    assert enclosure.spot_cleans.count() == 1
    assert "due since 1 Mar" in fostering.get(reverse("changes")).content.decode()


def test_a_scan_tells_where_a_clean_linen_is_due(fostering, linen, spot):
    page = fostering.get(reverse("linen_link", args=[linen.label])).content.decode()

    assert str(linen) in page
    assert f"?spot={spot.pk}&amp;label={linen.label}" in page


def test_a_scanned_linen_fills_in_its_place_and_no_other(fostering, linen, spot, enclosure):
    address = reverse("change_linens", args=[enclosure.code])
    forms = fostering.get(f"{address}?spot={spot.pk}&label={linen.label}").context["spots"]

    assert [form.spot for form in forms if form["take"].value()] == [spot]


def test_a_linen_set_aside_says_what_for(fostering, linen, day):
    address = reverse("linen_link", args=[linen.label])
    sent = {"once": uuid.uuid4(), "state": "set aside", "on": "2027-03-10"}

    refused = fostering.post(address, sent)
    fostering.post(address, {**sent, "suspicion": "ringworm"})

    assert refused.status_code == 422
    assert "Choose what is suspected" in refused.content.decode()
    linen.refresh_from_db()
    assert (linen.state, linen.suspicion) == (State.SET_ASIDE, "ringworm")


def test_a_linen_of_another_home_is_no_page(fostering, make_home, make_pool, make_linen, spot):
    other = make_pool("Elsewhere", home=make_home("Other"))
    linen = make_linen(other, spot.size)

    assert fostering.get(reverse("linen_link", args=[linen.label])).status_code == 404


def test_a_label_typed_by_hand_leads_to_the_linen(fostering, linen):
    answer = fostering.get(reverse("scan_linen"), {"label": str(linen).lower()})

    assert answer.url == reverse("linen_link", args=[linen.label])


def test_a_label_that_is_none_is_told_beside_the_field(fostering):
    answer = fostering.get(reverse("scan_linen"), {"label": "hello"})

    assert answer.status_code == 422
    assert "no label has “E” in it" in answer.content.decode()


@pytest.mark.parametrize("enclosures", [3, 12])
def test_the_list_asks_the_same_few_questions_of_many_enclosures(
    enclosures,
    home,
    make_enclosure,
    make_group,
    make_animal,
    fostering,
    this_day,
    django_assert_max_num_queries,
):
    from habitats.readings.models.readings import Reading

    for number in range(enclosures):
        one = make_enclosure(f"Wall {number}", home=home)
        make_group(make_animal(f"Pip {number}"), enclosure=one)
    list(Reading.objects.fresh(this_day))
    with django_assert_max_num_queries(9):
        fostering.get(reverse("changes"))

"""Set-up: what is recorded tells which steps are done, and Today says which one is next."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.board.models.set_up import STEPS, progress
from habitats.linens.models.pools import Pool
from habitats.rescue.models.rescue import Rescue

pytestmark = pytest.mark.django_db

HOME = {"name": "Wren", "kind": "foster", "most_enclosures": "1"}


def settle(**facts):
    Rescue.objects.update_or_create(pk=1, defaults=facts)


def test_a_new_rescue_begins_with_its_standard(coordinating, text_of):
    page = text_of(coordinating.get("/today/"))

    assert "Set-up: 0 of 8 done" in page
    assert "Next: Space standard, currency" in page


def test_a_standard_without_a_currency_is_half_a_step(coordinator):
    settle(guinea_pig_rules="ch-tschv")
    assert progress().done == set()

    settle(guinea_pig_rules="ch-tschv", currency="CHF")
    assert progress().done == {"standard"}


def test_each_step_is_done_by_what_is_recorded(
    coordinator, foster, make_home, make_enclosure, make_animal, make_group
):
    settle(rabbit_rules="de-tvt-rabbit", currency="EUR", panel_mm=350)
    home = make_home("Wren")
    assert progress().next.code == "design"

    make_group(make_animal("Pip"), enclosure=make_enclosure("North wall", home))
    assert progress().next.code == "laundry"

    Pool.objects.set_up("Depot", home)
    assert progress().next is None


def test_today_says_nothing_once_it_is_hidden(coordinating, text_of):
    coordinating.post("/set-up/close/")
    assert "Set-up: " not in text_of(coordinating.get("/today/"))

    coordinating.post("/set-up/reopen/")
    assert "Set-up: 0 of 8 done" in text_of(coordinating.get("/today/"))


def test_a_foster_is_not_told_of_it(fostering, text_of):
    assert "Set-up" not in text_of(fostering.get("/today/"))


def test_the_page_has_one_step_to_go_on_with(coordinating):
    page = coordinating.get("/set-up/").content.decode()

    assert page.count('aria-current="step"') == 1
    assert page.count("button first") == 1


def test_once_there_are_animals_a_group_is_the_next_to_make(coordinator, make_animal):
    (step,) = [one for one in STEPS if one.code == "animals"]
    assert progress().ways(step)[0].name == "new_intake"

    make_animal("Pip")
    assert progress().ways(step)[0].name == "new_group"


def test_an_empty_enclosure_leads_newcomers_into_it(coordinating, make_home, make_enclosure):
    empty = make_enclosure("Loft", home=make_home("Wren"))

    groups = coordinating.get("/groups/", {"into": empty.code}).content.decode()
    assert f'href="/intake/?into={empty.code}"' in groups

    intake = coordinating.get("/intake/", {"into": empty.code}).context["form"]
    assert intake["place"].value() == empty.code
    nowhere = coordinating.get("/intake/", {"into": "nowhere"}).context["form"]
    assert not nowhere["place"].value()


def test_a_kind_of_linens_made_for_a_pool_leads_back_to_it(coordinating, make_pool, make_home):
    pool = make_pool(home=make_home())
    fleece = {"name": "Fleece", "sort": "liner", "fibre": "synthetic"}
    sent = fleece | {"layers": "2", "most_washes": "100"}

    landed = coordinating.post(f"/linens/kinds/new/?pool={pool.code}", sent)

    assert landed.status_code == 302
    assert landed.url == f"/pools/{pool.code}/"


def test_a_foster_without_a_home_is_told_on_their_page(coordinating, foster, make_home, text_of):
    told = "no home is looked after by"
    assert told in text_of(coordinating.get(f"/people/{foster.pk}/"))

    make_home("Wren").people.add(foster)
    assert told not in text_of(coordinating.get(f"/people/{foster.pk}/"))


def test_where_a_saved_form_lands_the_next_step_is_told(coordinating, text_of):
    landed = coordinating.post("/homes/new/", HOME, follow=True)

    page = text_of(landed)
    assert "Set-up: 1 of 8 done" in page
    assert "Next: Space standard, currency" in page
    # Only there: it is on the way, and not on every page.
    assert "Set-up: " not in text_of(coordinating.get("/homes/"))


def test_once_it_is_hidden_a_saved_form_says_nothing_of_it(coordinating, text_of):
    coordinating.post("/set-up/close/")
    coordinating.get("/today/")

    assert "Set-up: " not in text_of(coordinating.post("/homes/new/", HOME, follow=True))


def test_how_far_it_is_costs_one_query(coordinator):
    Rescue.ours()
    with CaptureQueriesContext(
        connection,
    ) as asked:
        progress()
    assert len(asked) == 1


def test_an_import_from_set_up_has_its_kind_chosen(coordinating):
    page = coordinating.get("/import/?kind=animals").content.decode()

    assert 'value="animals" required id="id_kind_4" checked' in page

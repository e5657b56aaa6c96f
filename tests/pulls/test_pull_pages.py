"""Pages of pulls: what they say, what they take, what they refuse."""

import re
import uuid
from io import BytesIO

import pypdf
import pytest

from builds.batches.models.batches import Batch
from builds.batches.models.cutting_jobs import CuttingJob
from builds.plans.models.builds import Build
from builds.pulls.models.accounts import account_of, pull_accounts
from builds.pulls.models.pulls import Pull
from builds.store.models import movements
from habitats.designs.models.designs import Design
from tests.support.builds import DAY, make_build, planner
from tests.support.designs import make_design
from tests.support.pulls import begun, stock_up
from tests.support.sheets import cut_up, loaded, make_batch, make_place
from tests.support.store import make_item, make_pack


@pytest.fixture
def store(db):
    return stock_up()


@pytest.fixture
def pull(store):
    return begun()


def act(client, pull, name, **sent):
    return client.post(f"/builds/{pull.build.code}/pull/{name}/", {"once": uuid.uuid4(), **sent})


def field(item, place="Rack"):
    return f"take_{item.pk}_{make_place(place).pk}"


def issued(pull, item):
    return pull_accounts([pull])[pull].issued[item]


def test_before_a_pull_begins_it_says_what_is_short_and_what_could_serve(db, building, text_of):
    items = stock_up(panel=3)
    black = make_item(name="Black panel")
    movements.take_in(black, make_place("Loft"), 7, by=planner())
    make_pack(items["panel"], 40, "98.00", supplier="Marl and Son")
    build = make_build()

    page = text_of(building.get(f"/builds/{build.code}/pull/"))

    assert " short</span>" in page
    assert 'Alternative: Black panel, <span class="figure">7</span> free' in page
    assert "Sold in packs of 40 for 98.00, Marl and Son" in page
    assert Pull.objects.count() == 0


def test_a_builder_begins_takes_all_as_listed_and_closes(store, building, text_of):
    build = make_build()
    here = f"/builds/{build.code}/pull/"

    building.post(f"{here}begin/", {"once": uuid.uuid4()})
    building.post(f"{here}all/", {"once": uuid.uuid4()})
    page = text_of(building.get(here))

    assert "All is taken" in page
    building.post(f"{here}close/", {"once": uuid.uuid4()})
    assert build.state_now() == "pulled"
    assert "Complete" in text_of(building.get(here))


def test_numbers_are_taken_from_one_place(pull, store, building):
    act(building, pull, "take", **{field(store["panel"]): 3, field(store["connector"]): ""})

    assert (issued(pull, store["panel"]), issued(pull, store["connector"])) == (3, 0)


def test_a_form_sent_twice_takes_once(pull, store, building):
    sent = {field(store["panel"]): 3, "once": uuid.uuid4()}

    act(building, pull, "take", **sent)
    act(building, pull, "take", **sent)

    assert issued(pull, store["panel"]) == 3


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ("-2", "-2 given. Give a whole number from 0 to"),
        ("some", "“some” given. Give a whole number from 0 to"),
        ("0", "Nothing was taken"),
        ("99999999999999999999", "Give a whole number from 0 to"),
    ],
)
def test_numbers_that_cannot_be_are_refused(pull, store, building, text_of, given, sentence):
    response = act(building, pull, "take", **{field(store["panel"]): given})

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert issued(pull, store["panel"]) == 0


def test_more_than_is_there_is_refused_as_a_whole(pull, store, building, text_of):
    sent = {field(store["connector"]): 2, field(store["panel"]): 1000}

    response = act(building, pull, "take", **sent)

    assert response.status_code == 409
    assert "1000 × “White panel” asked for; Rack has 200" in text_of(response)
    assert issued(pull, store["connector"]) == 0


def left(pull, item):
    return pull_accounts([pull])[pull].left[item]


def asked(page):
    """What the page that asks sends when it is agreed to."""
    names = re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', page)
    return {name: value for name, value in names if name != "csrfmiddlewaretoken"}


def test_more_than_is_left_is_asked_about_first_with_the_figures(pull, store, building, text_of):
    panel = store["panel"]
    listed = left(pull, panel)
    act(building, pull, "take", **{field(panel): listed - 2})

    response = act(building, pull, "take", **{field(panel): 50})

    assert response.status_code == 422
    page = text_of(response)
    assert "Take more than listed?" in page
    assert 'role="alert"' in page
    assert "50 × “White panel”: left to take 2, so 48 more than listed." in page
    assert issued(pull, panel) == listed - 2


def test_a_phone_that_sends_by_itself_is_told_what_is_asked(pull, store, building):
    sent = {field(store["panel"]): 50, "once": str(uuid.uuid4())}
    address = f"/builds/{pull.build.code}/pull/take/"

    answer = building.post(address, sent, headers={"X-Kept-On-Phone": "1"})

    assert answer.status_code == 422
    assert "50 × “White panel”: " in answer.json()["why"]
    assert "more than listed. Nothing is taken yet." in answer.json()["why"]


def test_more_than_is_left_is_taken_once_it_is_agreed_to(pull, store, building, text_of):
    panel = store["panel"]
    more = left(pull, panel) + 3
    sent = {field(panel): more, field(store["connector"]): 2}
    page = text_of(act(building, pull, "take", **sent))
    assert issued(pull, panel) == 0

    for _twice in range(2):
        building.post(f"/builds/{pull.build.code}/pull/take/", asked(page))

    assert (issued(pull, panel), issued(pull, store["connector"])) == (more, 2)


def test_what_was_agreed_to_is_asked_again_where_less_is_left_by_then(
    pull, store, building, text_of
):
    panel = store["panel"]
    more = left(pull, panel) + 3
    page = text_of(act(building, pull, "take", **{field(panel): more}))
    act(building, pull, "take", **{field(panel): 2})

    again = building.post(f"/builds/{pull.build.code}/pull/take/", asked(page))

    assert again.status_code == 422
    assert issued(pull, panel) == 2


def test_as_many_as_are_left_are_taken_without_a_question(pull, store, building):
    panel = store["panel"]

    assert act(building, pull, "take", **{field(panel): left(pull, panel)}).status_code == 302


def test_for_a_batch_what_is_left_is_that_of_all_its_builds(store, coordinating, text_of):
    batch = make_batch(planner(), count=2)
    here = f"/batches/{batch.code}/pull/"
    coordinating.post(f"/batches/{batch.code}/builds/")
    coordinating.post(f"{here}begin/", {"once": uuid.uuid4()})
    pulls = list(Pull.objects.all())
    whole = sum(one.left[store["panel"]] for one in pull_accounts(pulls).values())

    asked_first = coordinating.post(
        f"{here}take/", {field(store["panel"]): whole + 1, "once": uuid.uuid4()}
    )
    taken = coordinating.post(f"{here}take/", {field(store["panel"]): whole, "once": uuid.uuid4()})

    assert (asked_first.status_code, taken.status_code) == (422, 302)


def test_items_of_another_pull_and_of_nowhere_are_refused(pull, building, text_of):
    other = make_item(name="Yard panel", panel_mm=498)

    assert "is not on this pull" in text_of(act(building, pull, "take", **{field(other): 1}))
    gone = act(building, pull, "take", take_999999_999999=1)
    assert gone.status_code == 422
    assert "no longer known" in text_of(gone)


@pytest.mark.parametrize("name", ["take", "all", "keep", "begin"])
def test_after_the_build_was_stopped_nothing_is_done(pull, store, building, text_of, name):
    pull.build.set_state("stopped", DAY, by=planner())

    response = act(building, pull, name, **{field(store["panel"]): 1})

    assert response.status_code == 409
    assert issued(pull, store["panel"]) == 0


def test_short_picks_are_said_with_a_reason(pull, store, building, text_of):
    here = f"/builds/{pull.build.code}/pull/short/?item={store['panel'].pk}"
    assert "report short" in text_of(building.get(here))

    building.post(
        here, {"count": 2, "why": "missing", "note": "two are bent", "once": uuid.uuid4()}
    )

    page = text_of(building.get(f"/builds/{pull.build.code}/pull/"))
    assert "2 × White panel: Not on the shelf, “two are bent”" in page


def test_a_short_pick_of_more_than_is_left_is_refused(pull, store, building, text_of):
    here = f"/builds/{pull.build.code}/pull/short/?item={store['panel'].pk}"

    response = building.post(here, {"count": 500, "why": "missing", "once": uuid.uuid4()})

    assert response.status_code == 422
    assert "500 given" in text_of(response)


def test_what_is_left_is_brought_back(pull, store, building, text_of):
    act(building, pull, "take", **{field(store["connector"]): 5})
    sent = {"item": store["connector"].pk, "count": 2, "place": make_place("Rack").pk}

    act(building, pull, "back", **sent)
    too_many = act(building, pull, "back", **{**sent, "count": 4})

    assert issued(pull, store["connector"]) == 3
    assert too_many.status_code == 422
    assert "given to bring back; 3 were taken" in text_of(too_many)


def test_of_nothing_taken_nothing_is_brought_back(pull, store, building, text_of):
    sent = {"item": store["connector"].pk, "count": 2, "place": make_place("Rack").pk}

    refused = act(building, pull, "back", **sent)

    assert refused.status_code == 409
    assert "Nothing was taken, so there is nothing to bring back." in text_of(refused)


def test_sheets_go_through_a_cutting_job_and_are_done_when_it_is_cut(pull, store, coordinating):
    response = coordinating.post(f"/builds/{pull.build.code}/pull/cut/", {"once": uuid.uuid4()})
    job = CuttingJob.objects.get()

    assert response.url == f"/cutting/{job.code}/"
    page = coordinating.get(f"/builds/{pull.build.code}/pull/").content.decode()
    assert job.code in page
    assert "ready to cut" in page

    cut_up(loaded(job), planner())
    assert store["sheet"] not in pull_accounts([pull])[pull].left
    assert account_of(pull.build).reserved[store["sheet"]] == 0
    assert store["sheet"].stocks.get().reserved == 0


def test_a_batch_is_pulled_for_all_its_builds_at_once(store, coordinating, text_of):
    batch = make_batch(planner(), count=2)
    here = f"/batches/{batch.code}/pull/"
    assert "Not planned:" in text_of(coordinating.get(here))

    coordinating.post(f"/batches/{batch.code}/builds/")
    coordinating.post(f"/batches/{batch.code}/builds/")
    coordinating.post(f"{here}begin/", {"once": uuid.uuid4()})
    coordinating.post(f"{here}all/", {"once": uuid.uuid4()})
    coordinating.post(f"{here}close/", {"once": uuid.uuid4()})

    assert Build.objects.count() == 2
    assert [build.state_now() for build in Build.objects.all()] == ["pulled", "pulled"]


def test_the_list_on_paper_has_every_line_by_place(pull, store, building):
    response = building.get(f"/builds/{pull.build.code}/pull.pdf")

    text = "\n".join(one.extract_text() for one in pypdf.PdfReader(BytesIO(response.content)).pages)
    assert pull.build.code in text
    assert "page 1 of" in text
    for item, count in pull_accounts([pull])[pull].left.items():
        assert str(item).replace("\u00a0", " ") in text.replace("\u00a0", " ")
        assert str(count) in text


def test_open_pulls_are_listed_soonest_first(store, building, text_of):
    later = make_build("Later", planned_on=DAY.replace(month=9))
    sooner = make_build("Sooner", planned_on=DAY)
    for build in (later, sooner):
        begun(build)

    page = text_of(building.get("/pulls/"))

    assert page.index("Sooner") < page.index("Later")


def test_what_cannot_be_done_with_a_pull_is_not_there(pull, building):
    assert act(building, pull, "burn").status_code == 404
    assert building.get(f"/builds/{pull.build.code}/pull/short/?item=0").status_code == 404
    assert building.get("/builds/ZZZZZZ/pull/").status_code == 404
    assert building.get(f"/builds/{pull.build.code}/pull/take/").status_code == 302


@pytest.mark.parametrize("address", ["/pulls/", "/store/buying/", "batch"])
def test_a_page_asks_as_often_for_twelve_builds_as_for_three(store, coordinating, address):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    design = Design.objects.draw(make_design(), by=planner())
    batch = Batch.objects.begin("Saturday", by=planner())
    path = f"/batches/{batch.code}/pull/" if address == "batch" else address
    for item in store.values():
        movements.take_in(item, make_place("Rack"), 5000, by=planner())

    def queries(number):
        while (count := Build.objects.count()) < number:
            build = make_build(f"Nook {count}", design=design)
            batch.add_build(build)
            begun(build)
        coordinating.get(path)
        with CaptureQueriesContext(connection) as asked:
            assert coordinating.get(path).status_code == 200
        return len(asked)

    few = queries(3)
    assert queries(12) == few

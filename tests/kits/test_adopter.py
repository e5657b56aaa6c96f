"""The link of a kit: opened without an account, it shows one kit and nothing else."""

import re
import uuid

import pytest
from django.contrib.sessions.models import Session
from django.core.signing import Signer

from builds.kits.models.kit_links import SALT, KitLink
from builds.plans.models.build_acts import Tick
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from tests.support.builds import NOON, make_build, make_photo, planner, steps_of
from tests.support.designs import make_design
from tests.support.kits import home_steps, make_kit, make_link

pytestmark = pytest.mark.django_db


@pytest.fixture
def pages(link, here):
    """Every page that is read."""
    steps = home_steps(link.build)
    return [here, f"{here}care/", f"{here}receipt/", *(f"{here}steps/{s.key}/" for s in steps)]


def first_step(link):
    return home_steps(link.build)[0]


def ticks(client, link, key=None, kind="tick", **more):
    key = key or first_step(link).key
    sent = {"once": uuid.uuid4(), **more}
    return client.post(f"/k/{link.token}/steps/{key}/{kind}/", sent)


# --- What it shows ---


def test_every_page_opens_without_an_account(adopter, pages):
    for address in pages:
        assert adopter.get(address).status_code == 200, address


def test_a_step_shows_its_picture_its_words_and_its_cautions(adopter, link, text_of):
    for step in home_steps(link.build):
        page = text_of(adopter.get(f"/k/{link.token}/steps/{step.key}/"))
        card = step.card_in("metric")

        assert "<svg" in page
        for sentence in (*card["instructions"], *card["cautions"]):
            assert " ".join(sentence.replace("\xa0", " ").split()) in page.replace("&#x27;", "'")


def test_nothing_of_ours_is_shown(adopter, link, pages, make_home, builder, coordinator):
    """Names of volunteers, homes, other builds, notes and photos."""
    home = make_home("Secret hollow", area="Far field")
    make_build("Other build at the hollow", home=home)
    build = link.build
    build.people.set([builder, coordinator])
    build.notes = "Hidden note for builders"
    build.save()
    on = {"step_key": first_step(link).key, "at": NOON, "made_by": builder}
    build.ticks.create(**on)
    build.starts.create(**{**on, "step_key": steps_of(build)[1].key})
    build.buildnotes.create(text="Hidden remark", **on)
    make_photo(build, note="Hidden photo")
    hidden = [
        "Bertil",
        "Moss",
        "Cora",
        "Lind",
        "planner",
        "Planner",
        "Secret hollow",
        "Far field",
        "Other build",
        "Hidden",
        home.code,
    ]

    for address in pages:
        text = adopter.get(address).content.decode()
        for word in hidden:
            assert word not in text, (address, word)


def test_the_receipt_names_the_adopter_and_no_volunteer(adopter, this_day, text_of):
    kit = make_kit(state="handed over")
    link = make_link(kit)

    page = text_of(adopter.get(f"/k/{link.token}/receipt/"))

    assert "Ada Quill" in page
    assert "8 March 2027" in page
    assert "Cora Lind" not in page


def test_no_page_leads_anywhere_else(adopter, pages, here):
    for address in pages:
        text = adopter.get(address).content.decode()
        for target in re.findall(r'(?:href|action|src)="([^"#]+)"', text):
            assert target.startswith((here, "/static/", "/words/")), (address, target)


def test_one_who_is_logged_in_sees_no_more(client_of, coordinator, here, text_of, this_day):
    page = text_of(client_of(coordinator).get(here))

    assert "Cora" not in page
    assert "/today/" not in page


def test_the_address_does_not_leak_and_is_kept_by_nobody(adopter, pages):
    for address in [*pages, "/k/altered/"]:
        headers = adopter.get(address).headers

        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["X-Robots-Tag"] == "noindex, nofollow"
        assert "private" in headers["Cache-Control"]
        assert "public" not in headers["Cache-Control"]


def test_a_page_says_to_robots_that_it_is_none_of_theirs(adopter, here):
    assert '<meta name="robots" content="noindex, nofollow">' in adopter.get(here).text


def test_it_has_the_work_with_the_box_and_nothing_that_is_cut_already(adopter, link, here, text_of):
    page = text_of(adopter.get(here))

    titles = [step.card_in("metric")["title"] for step in home_steps(link.build)]
    assert all(title in page for title in titles)
    assert titles[0] == "Sort and count the parts"
    assert "Cut the blank" not in page
    assert "Measure one panel" not in page
    cut = next(
        one for one in steps_of(link.build) if "Cut the blank" in one.card_in("metric")["title"]
    )
    assert adopter.get(f"{here}steps/{cut.key}/").status_code == 302


def test_each_page_says_how_to_reach_the_rescue(adopter, pages, text_of):
    Rescue.objects.update_or_create(
        pk=1,
        defaults={"name": "Burrow Lane", "phone": "01632 960 111", "email": "ask@burrow.example"},
    )

    for address in [*pages, "/k/altered/"]:
        answer = adopter.get(address)
        assert "Ask the rescue: Burrow Lane" in text_of(answer), address
        assert 'href="tel:01632960111"' in answer.text
        assert 'href="mailto:ask@burrow.example"' in answer.text


# --- What it does not open ---


def test_an_address_is_signed_so_that_nobody_makes_one_up(link):
    secret, signature = link.token.split(".")

    assert Signer(salt=SALT, sep=".").unsign(link.token) == secret == link.secret
    assert len(secret) >= 22  # 128 bits in base64
    assert KitLink.objects.by_token(secret, link.expires_on) is None
    assert KitLink.objects.by_token(f"{secret}.{signature[::-1]}", link.expires_on) is None


def test_an_altered_address_opens_nothing(adopter, link):
    token = link.token
    for at in (0, 5, len(token) // 2, len(token) - 2):
        other = "B" if token[at] != "B" else "C"
        altered = token[:at] + other + token[at + 1 :]
        assert adopter.get(f"/k/{altered}/").status_code == 404, altered


def test_a_link_to_one_kit_opens_nothing_of_another(adopter, link, text_of):
    other = make_link(make_kit("Kit for Bo", state="building", adopter="Bo"))
    mine, theirs = link.token.split("."), other.token.split(".")

    for token in (f"{mine[0]}.{theirs[1]}", f"{theirs[0]}.{mine[1]}"):
        assert adopter.get(f"/k/{token}/").status_code == 404
    assert "Kit for Bo" not in text_of(adopter.get(f"/k/{link.token}/"))


def test_a_step_of_another_kit_is_not_shown(adopter, link):
    design = link.build.plans.get().revision.design
    other = make_kit("Kit for Bo", state="building", adopter="Bo")
    other_design = other.plans.get().revision.design
    other_design.change(make_design(plan=["####", "####", "####"]), by=planner())
    foreign = make_kit("Kit for Cy", state="building", adopter="Cy", design=other_design)
    own = {step.key for step in steps_of(link.build)}
    keys = [step.key for step in steps_of(foreign) if step.key not in own]

    assert design != other_design
    assert keys
    for key in keys:
        assert adopter.get(f"/k/{link.token}/steps/{key}/").status_code == 302
        assert ticks(adopter, link, key).status_code == 409
    assert not Tick.objects.exists()


def test_why_an_address_opens_nothing_is_told_to_nobody(adopter, this_day, day):
    """Expired, revoked, altered and never made: the same words, the same status."""
    expired = make_link(days=1, today=day(-10))
    revoked = make_link(make_kit("Kit for Bo", state="building", adopter="Bo"))
    revoked.revoke(by=planner())
    no_kit = make_link(make_kit("Kit for Cy", state="building", adopter="Cy"))
    no_kit.build.adopter = ""
    no_kit.build.save()
    altered = make_link(make_kit("Kit for Di", state="building", adopter="Di")).token[:-1]
    tokens = [expired.token, revoked.token, no_kit.token, altered, "never-made", "a" * 400]

    answers = [adopter.get(f"/k/{token}/") for token in tokens]

    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1
    assert "ask the rescue for a new link" in answers[0].text
    assert "give the build code" in answers[0].text


def test_a_closed_link_takes_no_tick_and_prints_nothing(adopter, link):
    link.revoke(by=planner())

    assert ticks(adopter, link).status_code == 404
    for page in ("papers.pdf", "care/", "receipt/"):
        assert adopter.get(f"/k/{link.token}/{page}").status_code == 404
    assert not Tick.objects.exists()


def test_a_link_is_good_through_its_last_day_and_not_after(this_day, day):
    link = make_link(days=3)

    assert KitLink.objects.by_token(link.token, day(3)) == link
    assert KitLink.objects.by_token(link.token, day(4)) is None


def test_a_link_outlasts_the_role_of_who_made_it(adopter, link):
    Person.objects.filter(pk=link.made_by_id).update(roles="laundry", is_active=False)

    assert ticks(adopter, link).status_code == 302
    assert Tick.objects.get().link == link


# --- How it is read ---


def test_units_and_paper_are_chosen_without_an_account(adopter, here, text_of):
    adopter.post(f"{here}reading/", {"units": "inches", "paper": "Letter"})

    care = text_of(adopter.get(f"{here}care/"))
    assert " in × " in care
    assert " mm" not in care


@pytest.mark.parametrize("sent", [{}, {"units": "cubits", "paper": "A4"}])
def test_a_choice_that_makes_no_sense_is_refused(adopter, here, sent):
    response = adopter.post(f"{here}reading/", sent)

    assert response.status_code == 422
    assert response.context["form"].errors


def test_a_choice_is_kept_in_the_browser_and_nowhere_else(adopter, here, text_of):
    answer = adopter.post(f"{here}reading/", {"units": "inches", "paper": "Letter"})

    cookie = answer.cookies["kit_reading"]
    assert (cookie["path"], cookie["httponly"], cookie["samesite"]) == ("/k/", True, "Lax")
    assert not Session.objects.exists()


def test_a_cookie_of_nonsense_is_no_choice(adopter, here, text_of):
    adopter.cookies["kit_reading"] = "cubits.papyrus"

    assert " mm × " in text_of(adopter.get(f"{here}care/"))


def test_one_family_does_not_print_twice_at_once(adopter, here, monkeypatch, text_of):
    made = []
    monkeypatch.setattr(
        "habitats.common.kept_prints.pdf_from", lambda page: made.append(1) or b"%PDF-"
    )

    answers = [adopter.get(f"{here}papers.pdf") for _ in range(2)]

    assert [answer.status_code for answer in answers] == [200, 429]
    assert "Wait ten seconds" in text_of(answers[1])
    assert len(made) == 1


def test_a_page_asks_as_much_for_one_step_done_as_for_all(adopter, link, here, queries_for):
    ticks(adopter, link)
    few = queries_for(adopter, here)
    for step in home_steps(link.build)[1:-1]:
        ticks(adopter, link, step.key)

    assert queries_for(adopter, here) == few

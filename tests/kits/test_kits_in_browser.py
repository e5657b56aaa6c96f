"""Kits in Chromium: packed with a thumb, and opened by an adopter without an account."""

import re

import pytest

from builds.kits.models.kit_links import KitLink
from builds.kits.models.kits import Packing
from builds.kits.models.receipts import KitReceipt
from builds.plans.models.build_acts import Tick
from tests.support.builds import planner, steps_of
from tests.support.kits import home_steps, make_kit, make_link, pack_all
from tests.support.reading import fits


@pytest.fixture
def kit(builder, this_day):
    """Half packed, with a link, weighed."""
    kit = make_kit("Kit for Ada of the long street", people=[builder])
    lines = Packing(kit).lines
    pack_all(kit, but=[one.what for one in lines[len(lines) // 2 :]])
    kit.kit_weighings.create(grams=9000, is_whole=False, made_by=planner())
    make_link(kit)
    return kit


@pytest.fixture
def gone(this_day):
    return make_kit("Kit for Bo", adopter="Bo", state="handed over")


def test_every_page_of_kits_is_accessible_and_fits_a_phone(phone, kit, gone, axe):
    here, there = f"/builds/{kit.code}/kit/", f"/builds/{gone.code}/kit/"
    places = [
        "/kits/",
        here,
        there,
        f"{here}linens/",
        f"{here}set/",
        f"{here}hand-over/",
        f"{here}links/new/",
        f"{there}follow-ups/",
        f"{there}follow-ups/1/",
    ]
    for address in places:
        assert phone.goto(address).ok, address
        assert fits(phone), address
        axe(phone)


def test_every_page_of_a_link_is_accessible_and_fits_a_phone(open_page, this_day, axe):
    link = make_link()
    phone = open_page(None, screen="phone")
    here = f"/k/{link.token}/"
    steps = steps_of(link.build)
    places = [
        here,
        f"{here}care/",
        f"{here}receipt/",
        f"{here}steps/{steps[1].key}/",
        f"{here}steps/{steps[-1].key}/",
    ]
    for address in places:
        assert phone.goto(address).ok, address
        assert fits(phone), address
        axe(phone)
    assert phone.goto("/k/altered/").status == 404
    axe(phone)


def test_what_a_thumb_touches_is_large_enough(phone, kit):
    phone.goto(f"/builds/{kit.code}/kit/")

    for button in phone.locator(
        "main button:visible, main a.button:visible, main input:visible"
    ).all():
        box = button.bounding_box()
        assert box["height"] >= 48, button.evaluate("it => it.outerHTML")


def test_a_kit_is_packed_and_handed_over_without_script(open_page, coordinator, kit):
    phone = open_page(coordinator, screen="phone", script=False)
    phone.goto(f"/builds/{kit.code}/kit/")
    lines = Packing(kit).lines
    for packed in range(len(lines) // 2, len(lines)):
        phone.get_by_text(f"{packed} of {len(lines)} lines").wait_for()
        phone.get_by_role("button", name="Mark as packed").first.tap()
    phone.get_by_text("the box is complete").wait_for()

    phone.get_by_role("link", name="Hand over").tap()
    phone.get_by_label("Name typed here").check()
    phone.get_by_label("Signature: the adopter’s name").fill("Ada Quill")
    phone.get_by_role("button", name="Hand over").tap()

    phone.get_by_text("The kit is handed over to Ada.").wait_for()
    assert KitReceipt.objects.get(build=kit).missing == []


@pytest.mark.parametrize("script", [True, False])
def test_an_adopter_builds_by_the_link_with_and_without_script(open_page, this_day, script):
    """From the overview through two steps and back, as somebody nobody knows."""
    link = make_link()
    phone = open_page(None, screen="phone", script=script)
    steps = home_steps(link.build)

    phone.goto(f"/k/{link.token}/")
    phone.get_by_role("link", name="Start with step 1").tap()
    phone.locator("figure svg").wait_for()
    phone.get_by_role("button", name="Step 1 is done").tap()
    phone.get_by_role("button", name="Step 2 is done").tap()
    phone.wait_for_url(re.compile(steps[2].key))
    phone.get_by_role("link", name="Kit", exact=True).tap()

    phone.get_by_text(f"2 of {len(steps)}", exact=True).wait_for()
    assert [tick.link_id for tick in Tick.objects.all()] == [link.pk, link.pk]


def test_an_adopter_chooses_inches_and_reads_in_them(open_page, this_day):
    phone = open_page(None, screen="phone", script=False)
    link = make_link()
    phone.goto(f"/k/{link.token}/")

    phone.get_by_label("Inches").check()
    with phone.expect_navigation():
        phone.get_by_role("button", name="Save").tap()
    phone.get_by_role("link", name="Care").tap()

    phone.get_by_text(re.compile(r"finished .+\sin ×")).first.wait_for()


def test_the_address_is_sent_to_no_other_site(open_page, this_day, live_server):
    """A click from the page to another site: `localhost` is another than `127.0.0.1`."""
    link = make_link()
    page = open_page(None)
    page.goto(f"/k/{link.token}/")
    other = live_server.url.replace("localhost", "127.0.0.1")
    assert other != live_server.url
    sent = []
    page.on("request", lambda request: sent.append(request))

    page.evaluate(
        """url => { const a = document.createElement("a"); a.href = url;
                    document.body.append(a); a.click(); }""",
        f"{other}/log-in/",
    )
    page.wait_for_url(f"{other}/log-in/")

    first = next(one for one in sent if one.url == f"{other}/log-in/")
    assert "referer" not in first.all_headers()
    assert page.evaluate("document.referrer") == ""


def test_a_revoked_link_says_one_sentence_and_leads_nowhere(open_page, this_day):
    link = make_link()
    phone = open_page(None, screen="phone")
    phone.goto(f"/k/{link.token}/")
    KitLink.objects.get().revoke(by=planner())

    assert phone.reload().status == 404
    assert phone.get_by_text("ask the rescue for a new link").is_visible()
    assert phone.locator("main a, nav a").count() == 0

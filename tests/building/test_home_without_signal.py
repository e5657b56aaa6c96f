"""What a foster's phone without signal keeps: weights, changes of linens, faults, mended ones."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect

from habitats.animals.models.animals import Weighing
from tests.building.test_without_signal import head, tap_and_go_on
from tests.support.waiting import until

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def photo_file(tmp_path):
    """As a phone takes it."""
    path = tmp_path / "photo.jpg"
    Image.new("RGB", (4000, 3000), "tan").save(path)
    return path


# --- Animals and linens ---


@pytest.fixture
def pip(make_home, make_enclosure, make_group, make_animal, foster, day, this_day):
    """Who lives at the foster's since before the day that the browser takes for today."""
    home = make_home("Wren", people=[foster])
    pip, moss = make_animal("Pip", grams=800), make_animal("Moss", grams=820)
    enclosure = make_enclosure("Nook", home, plan=["####"])
    make_group(pip, moss, enclosure=enclosure, since=day(-200))
    return pip


@pytest.fixture
def at_the_scales(open_page, foster, pip) -> Page:
    """The foster's phone, with the animals to weigh stored on it."""
    page = open_page(foster, screen="phone")
    page.goto(reverse("weigh"))
    until(page, "actQueue.build('weigh').then((one) => Boolean(one?.stored))")
    until(page, "navigator.serviceWorker.controller !== null")
    return page


def test_a_weight_is_kept_without_signal_and_recorded_once(at_the_scales, pip):
    page = at_the_scales
    page.context.set_offline(True)
    page.goto(reverse("weigh_animal", args=[pip.code]))
    page.get_by_label("Grams").fill("812")
    page.get_by_role("button", name=re.compile("^Save")).tap()
    expect(head(page)).to_have_text("1 not sent yet")
    page.goto(reverse("weigh"))
    expect(page.get_by_role("link", name="Pip")).to_contain_text("not sent yet")
    page.goto(reverse("weigh_animal", args=[pip.code]))
    expect(page.get_by_text("Grams: 812")).to_be_visible()
    assert Weighing.objects.filter(animal=pip).count() == 1

    page.context.set_offline(False)
    until(page, "actQueue.all().then((rows) => rows.length === 0)")
    weighed = Weighing.objects.filter(animal=pip, grams=812).get()
    assert weighed.on == timezone.now().date()


def test_a_weight_that_is_not_taken_stays_with_the_reason(at_the_scales, pip):
    page = at_the_scales
    page.context.set_offline(True)
    page.goto(reverse("weigh_animal", args=[pip.code]))
    page.get_by_label("Grams").fill("9")
    page.get_by_role("button", name=re.compile("^Save")).tap()
    expect(head(page)).to_have_text("1 not sent yet")

    page.context.set_offline(False)

    expect(head(page)).to_have_text("1 not accepted")
    head(page).tap()
    expect(page.locator("[data-unsent-list] li")).to_contain_text("Not accepted: ")
    expect(page.locator("[data-unsent-list] li")).to_contain_text("Weight of Pip, Grams: 9")


def test_with_signal_a_weight_is_sent_as_ever(at_the_scales, pip):
    page = at_the_scales
    page.goto(reverse("weigh_animal", args=[pip.code]))
    page.get_by_label("Grams").fill("812")
    page.get_by_role("button", name=re.compile("^Save")).tap()

    expect(page.get_by_text("Pip: 812")).to_be_visible()
    assert Weighing.objects.filter(animal=pip, grams=812).exists()


def test_linens_are_changed_without_signal(open_page, foster, pip, make_pool, make_linen, day):
    from habitats.enclosures.models.enclosures import Enclosure
    from habitats.linens.models.linens import Linen
    from habitats.linens.models.spots import Spot

    enclosure = Enclosure.objects.get()
    spot = Spot.objects.filter(enclosure=enclosure).first()
    pool = make_pool(home=enclosure.standings.get().home)
    linen = make_linen(pool, spot.size, on=day(-200))
    page = open_page(foster, screen="phone")
    page.goto(reverse("changes"))
    until(page, "actQueue.build('changes').then((one) => Boolean(one?.stored))")
    until(page, "navigator.serviceWorker.controller !== null")
    page.context.set_offline(True)
    page.goto(reverse("change_linens", args=[enclosure.code]))
    page.get_by_role("button", name="Change ticked places").tap()
    expect(head(page)).to_have_text("1 not sent yet")

    page.context.set_offline(False)
    until(page, "actQueue.all().then((rows) => rows.length === 0)")
    expect(head(page)).to_be_hidden()
    assert Linen.objects.get(pk=linen.pk).spot == spot


# --- Faults ---


def test_a_fault_is_reported_with_its_photo_without_signal(open_page, foster, pip, photo_file):
    from habitats.enclosures.models.enclosures import Enclosure
    from habitats.faults.models.faults import Fault

    enclosure = Enclosure.objects.get()
    page = open_page(foster, screen="phone")
    page.goto(reverse("enclosure", args=[enclosure.code]))
    until(
        page,
        f"actQueue.build('enclosure/{enclosure.code}').then((one) => Boolean(one?.stored))",
    )
    until(page, "navigator.serviceWorker.controller !== null")
    page.context.set_offline(True)
    page.reload()
    tap_and_go_on(page.get_by_role("link", name="Report fault"))
    page.get_by_label("Fault", exact=True).select_option(index=1)
    page.get_by_role("radio", name=re.compile("Unsafe now")).check()
    page.get_by_label("Photo", exact=True).set_input_files(photo_file)
    tap_and_go_on(page.get_by_role("button", name="Report fault"))
    expect(head(page)).to_have_text("1 not sent yet")
    expect(page.get_by_role("link", name="Report fault")).to_contain_text("not sent yet")
    assert not Fault.objects.exists()

    tap_and_go_on(head(page))  # stored as nobody's, and sends all the same
    expect(page.get_by_role("img", name="Photo")).to_be_visible()
    page.context.set_offline(False)
    until(page, "actQueue.all().then((rows) => rows.length === 0)")
    fault = Fault.objects.get()
    assert fault.is_unsafe
    assert fault.made_by == foster
    with fault.photo.open("rb") as sent, Image.open(sent) as picture:
        assert max(picture.size) == 1600


def test_a_fault_is_marked_as_mended_without_signal_and_once(open_page, foster, pip):
    from habitats.enclosures.models.enclosures import Enclosure
    from habitats.faults.models.faults import FaultMended, report
    from habitats.upkeep.kinds import FaultKind
    from habitats.upkeep.urgency import FaultUrgency

    enclosure = Enclosure.objects.get()
    long_ago = timezone.now().date() - timedelta(days=300)  # the phone's clock is of the machine
    loose = report(enclosure, FaultKind.TIE, FaultUrgency.SOON, on=long_ago, by=foster)
    here, its_page = reverse("enclosure", args=[enclosure.code]), reverse("fault", args=[loose.pk])
    page = open_page(foster, screen="phone")
    page.goto(here)
    until(page, f"actQueue.build('enclosure/{enclosure.code}').then((one) => Boolean(one?.stored))")
    until(page, "navigator.serviceWorker.controller !== null")
    page.context.set_offline(True)
    page.goto(its_page)
    page.get_by_label("Work done").fill("A new tie at the corner.")
    tap_and_go_on(page.get_by_role("button", name="Mark as mended"))
    expect(page.locator(f'main a[href="{its_page}"]')).to_contain_text("not sent yet")

    page.goto(its_page)  # it is told there too, and cannot be said twice
    expect(page.get_by_role("status")).to_contain_text("A new tie at the corner.")
    expect(page.get_by_role("button", name="Mark as mended")).to_be_hidden()

    page.context.set_offline(False)
    until(page, "actQueue.all().then((rows) => rows.length === 0)")
    done = FaultMended.objects.get()
    assert (done.fault, done.made_by) == (loose, foster)
    assert done.note == "A new tie at the corner."

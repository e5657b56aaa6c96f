"""The packet's page and PDF: who may have it, what they may choose, and what they are told."""

import uuid
from dataclasses import replace

import pytest
from django.urls import reverse

from habitats.designs.models.designs import Design
from habitats.structure.lattice import Side
from tests.support.designs import make_design, ramp_from

SHORT = {"sections": "care"}


@pytest.fixture
def design(coordinator, balcony):
    return Design.objects.draw(balcony, by=coordinator)


@pytest.fixture
def page(design):
    return reverse("builds:packet", args=[design.code])


@pytest.fixture
def pdf(design):
    return reverse("builds:packet_pdf", args=[design.code])


@pytest.fixture
def cannot_stand(coordinator, balcony):
    """Its ramp leaves towards no floor."""
    shape = replace(balcony, ramps=(ramp_from(0, 0, Side.N),))
    return Design.objects.draw(shape, by=coordinator)


def test_a_builder_reads_every_step(client_of, builder, page):
    response = client_of(builder).get(page)

    packet = response.context["packet"]
    assert response.status_code == 200
    for card in packet.cards:
        assert f"Step {card.number} done" in response.text


def test_a_builder_gets_a_pdf(client_of, builder, pdf, design):
    response = client_of(builder).get(pdf, SHORT)

    assert response.headers["Content-Type"] == "application/pdf"
    assert f"packet-{design.code}.pdf" in response.headers["Content-Disposition"]
    assert response.content.startswith(b"%PDF-")


@pytest.mark.parametrize("role", ["foster", "laundry"])
def test_others_are_refused(role, client_of, cast, page, pdf):
    client = client_of(cast[role])

    assert client.get(page).status_code == 403
    assert client.get(pdf).status_code == 403


def test_an_unknown_code_is_not_found(client_of, builder):
    response = client_of(builder).get(reverse("builds:packet", args=["BBBBBB"]))

    assert response.status_code == 404


def test_the_link_on_the_packet_leads_to_the_design(client_of, builder, page, design):
    link = client_of(builder).get(page).context["packet"].label.link

    assert link == f"http://testserver/d/{design.code}/"


def test_paper_and_units_are_the_readers_unless_asked_for(client_of, make_person, page):
    reader = make_person("ines", role="builder", units="inches", paper="Letter")
    client = client_of(reader)

    usual = client.get(page, SHORT).context["packet"].options
    asked = client.get(page, SHORT | {"paper": "A4", "units": "metric"}).context["packet"].options

    assert (usual.paper, usual.units) == ("Letter", "inches")
    assert (asked.paper, asked.units) == ("A4", "metric")


def test_a_name_for_the_cover_is_printed_and_kept_nowhere(client_of, builder, page, design):
    name = f"Odell {uuid.uuid4()}"
    sent = {
        "who_for": name,
        "paper": "A4",
        "units": "metric",
        "steps": "2",
        "ink": "colour",
        "sections": ["cover"],
    }
    client = client_of(builder)

    assert name in client.post(page, sent).text
    assert name not in client.get(page).text


def test_a_pdf_is_kept_unless_it_has_a_name(client_of, builder, pdf, unprinted, settings, tmp_path):
    settings.DATA_DIR, settings.PRINTS_MB = tmp_path, 1
    usual = {"paper": "A4", "units": "metric", "steps": "2", "ink": "colour", "sections": ["care"]}
    client = client_of(builder)

    assert client.post(pdf, usual | {"who_for": "Odell"}).status_code == 200
    assert list(tmp_path.glob("prints/*")) == []
    assert client.post(pdf, usual).status_code == 200
    assert len(list(tmp_path.glob("prints/*"))) == 1


@pytest.mark.parametrize(
    ("option", "value"),
    [
        ("paper", "A3"),
        ("units", "cubits"),
        ("steps", "3"),
        ("ink", "gold"),
        ("sections", "maps"),
        ("who_for", "x" * 61),
    ],
)
def test_an_option_that_is_not_offered_is_named_beside_its_field(
    option, value, client_of, builder, page, pdf
):
    client = client_of(builder)

    for address in (page, pdf):
        response = client.get(address, {option: value})

        assert response.status_code == 422
        assert option in response.context["form"].errors


def test_a_form_with_nothing_ticked_says_what_to_do(client_of, builder, pdf):
    sent = {"paper": "A4", "units": "metric", "steps": "2", "ink": "colour"}

    response = client_of(builder).post(pdf, sent)

    assert response.status_code == 422
    assert "Tick at least one section to print." in response.text


def test_a_design_that_cannot_stand_says_why_and_leads_to_the_board(
    client_of, coordinator, cannot_stand
):
    client = client_of(coordinator)
    board = reverse("builds:board", args=[cannot_stand.code])

    for name in ("builds:packet", "builds:packet_pdf"):
        response = client.get(reverse(name, args=[cannot_stand.code]))

        assert response.status_code == 409
        assert str(cannot_stand.faults()[0].message) in response.content.decode()
        assert board in response.text


def test_an_archived_design_still_has_its_packet(client_of, builder, design, page):
    design.archive()

    assert client_of(builder).get(page, SHORT).status_code == 200


def test_a_packet_asks_few_queries(client_of, builder, page, django_assert_max_num_queries):
    client = client_of(builder)

    with django_assert_max_num_queries(5):
        client.get(page, SHORT)


def test_the_page_reads_on_a_phone_in_both_themes(open_page, builder, page, axe):
    phone = open_page(builder, screen="phone")
    phone.goto(page)

    width = phone.evaluate("document.documentElement.scrollWidth")
    assert width <= 360
    axe(phone)


def test_the_form_prints_without_script(open_page, builder, page):
    desktop = open_page(builder, script=False)
    desktop.goto(page)

    desktop.get_by_text("Print options").click()
    desktop.get_by_label("Name on the cover").fill("the Larkrise home")
    desktop.get_by_role("button", name="Show packet").click()

    desktop.get_by_text("the Larkrise home").wait_for()


def test_a_packet_of_one_level_has_no_word_of_ramps_in_its_contents(
    client_of, coordinator, builder
):
    plain = Design.objects.draw(make_design(), by=coordinator)

    response = client_of(builder).get(reverse("builds:packet", args=[plain.code]))

    assert 'href="#ramps"' not in response.text


def test_the_packet_leads_a_builder_back_to_a_page_that_opens(client_of, builder, coordinator):
    from habitats.designs.models.designs import Design
    from tests.support.designs import make_design

    design = Design.objects.draw(make_design(), by=coordinator)
    client = client_of(builder)

    page = client.get(reverse("builds:packet", args=[design.code])).content.decode()

    assert reverse("builds:board", args=[design.code]) not in page
    assert f'href="{reverse("builds:design", args=[design.code])}">' in page

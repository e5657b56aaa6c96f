"""The help page: every term with its anchor, for all who are logged in."""

import re

import pytest
from django.template import Context, Template
from django.urls import reverse

from habitats.glossary import TERMS, Topic
from tests.support.reading import fits

LONGEST_SENTENCE = 20


def test_every_term_stands_on_the_page_with_its_anchor_and_all_of_its_topics(client_of, laundry):
    page = client_of(laundry).get(reverse("help")).content.decode()

    for term in TERMS:
        assert f'<div id="{term.key}"><dt>{term.term}' in page
        assert term.explanation in page
    for topic in Topic:
        assert f'href="#{topic.name.lower()}"' in page
        assert f'id="{topic.name.lower()}"' in page


def leaflets_on(page):
    """Whose leaflets a page offers, in its order."""
    return re.findall(r'href="/help/(\w+)\.pdf"', page)


def test_everyone_is_offered_the_leaflet_of_their_role(client_of, cast):
    for role in ("builder", "foster", "laundry"):
        assert leaflets_on(client_of(cast[role]).get(reverse("help")).text) == [role]


def test_a_coordinator_is_offered_her_own_leaflet_first_and_then_all(client_of, coordinator):
    offered = leaflets_on(client_of(coordinator).get(reverse("help")).text)

    assert offered[0] == "coordinator"
    assert sorted(offered) == ["builder", "coordinator", "foster", "laundry"]


def test_every_page_leads_to_it(client_of, foster):
    assert f'href="{reverse("help")}"' in client_of(foster).get(reverse("own_settings")).text


def test_a_word_on_a_page_leads_to_its_anchor():
    page = Template('{% load glossary %}{% term "par" %}').render(Context())

    assert page == '<a href="/help/#par">Par</a>'


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("screen", ["phone", "desktop"])
def test_it_fits_and_is_accessible(screen, theme, open_page, laundry, axe):
    page = open_page(laundry, screen=screen, theme=theme)
    page.goto(reverse("help"))

    assert fits(page)
    axe(page)

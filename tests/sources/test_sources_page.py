"""The page of sources, and the short links that lead to it."""

import re

import pytest

from builds.cited import chapters, every_figure
from habitats.welfare.rule_sets import rule_sets


@pytest.fixture
def page(client_of, builder):
    return client_of(builder).get("/sources/")


def test_every_figure_stands_on_the_page_under_its_anchor(page):
    anchors = re.findall(r'id="([^"]+)"', page.content.decode())

    assert {one.code for one in every_figure()} <= set(anchors)
    assert len(anchors) == len(set(anchors))


def test_figures_lie_folded_under_their_subjects(page):
    told = page.content.decode()

    assert len(re.findall(r"<details class=\"chapter\" id=", told)) == len(chapters())
    for fold in re.findall(r"<details class=\"chapter\".*?</details>", told, re.DOTALL):
        inside = len(re.findall(r"<dt>", fold))
        assert re.search(rf"\b{inside} figures?\b", fold)


def test_every_standard_names_its_publication_and_how_well_it_is_known(page, text_of):
    told = text_of(page)

    for one in rule_sets():
        assert one.source in told
    assert "The source itself was read." in told
    assert "From memory, not checked." in told


def test_law_and_the_vet_come_first(page, text_of):
    told = text_of(page)

    assert "Local law comes first." in told
    assert "ask a vet" in told


def test_values_are_told_in_the_readers_units(client_of, builder, text_of):
    builder.units = "inches"
    builder.save()

    assert "7.5\N{NO-BREAK SPACE}ft²" in client_of(builder).get("/sources/").content.decode()


def test_it_asks_as_little_of_the_database_with_much_as_with_nothing(
    client_of, builder, make_enclosure, django_assert_num_queries
):
    client = client_of(builder)
    client.get("/sources/")

    with django_assert_num_queries(2):
        client.get("/sources/")
    for _ in range(3):
        make_enclosure()
    with django_assert_num_queries(2):
        client.get("/sources/")


def test_common_practice_is_the_only_word_beside_a_link(client_of, builder, make_drawn):
    design = make_drawn()

    page = client_of(builder).get(f"/designs/{design.code}/").content.decode()

    assert re.search(r"#pups_and_wire\">Source</a>\s+\(common practice\)", page)
    assert "no source" not in page

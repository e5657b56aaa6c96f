"""Who may open which address: one row an address, and no address without a row.

A new page fails `test_every_address_has_its_row` until somebody has decided, in the table of its
app (`doors_of_habitats.py`, `doors_of_builds.py`), who may see it.
"""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.house.doors_of_builds import DOORS_OF_BUILDS
from tests.house.doors_of_habitats import DOORS_OF_HABITATS
from tests.support.doors import BUILDER, COORDINATOR, FOSTER, Door
from tests.support.quoted import not_read_at
from tests.support.surnames import surnames_in, words_of

BOTH = "foster who builds"
DOORS = DOORS_OF_HABITATS | DOORS_OF_BUILDS


def names_of_addresses(resolver: URLResolver, space: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLPattern):
            assert pattern.name, f"The address {pattern.pattern} has no name."
            yield space + pattern.name
        else:
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from names_of_addresses(pattern, inner)


def asked(client: Client, name: str, door: Door, given: dict[str, Any]) -> list[HttpResponse]:
    """What the address answers, and the page that it leads to; what changed is taken back."""
    with transaction.atomic():
        answer: HttpResponse = getattr(client, door.method)(reverse(name, kwargs=given))
        goes_on = is_answered(answer) and answer.status_code == 302
        answers = [answer, client.get(answer.url)] if goes_on else [answer]
        transaction.set_rollback(True)
    return answers


def is_sent_to_log_in(response: HttpResponse) -> bool:
    return response.status_code == 302 and response.url.startswith(reverse("login") + "?next=")


def is_answered(response: HttpResponse) -> bool:
    refusals = (401, 403, 404, 405, 500)
    return response.status_code not in refusals and not is_sent_to_log_in(response)


def test_every_address_has_its_row():
    assert set(names_of_addresses(get_resolver())) == set(DOORS)


@pytest.mark.parametrize("name", DOORS)
@pytest.mark.usefixtures("surnames", "unprinted")
def test_each_role_opens_its_own_doors_and_no_other_and_reads_no_surname(
    name, cast, client_of, make_person
):
    """In one go, since what stands behind an address is costly to make.

    Each page says, too, the words that its reader's leaflet quotes from it. Who has two roles opens
    the doors of both.
    """
    door = DOORS[name]
    cast[BOTH] = make_person("bo", first_name="Bo", role=f"{BUILDER},{FOSTER}")
    given = door.make()

    stranger, *_more = asked(client_of(None), name, door, given)
    answers = {role: asked(client_of(cast[role]), name, door, given) for role in cast}

    assert is_sent_to_log_in(stranger) != door.public
    for role, (answer, *further) in answers.items():
        roles = set(cast[role].roles.split(","))
        may_open = not roles.isdisjoint((COORDINATOR, *door.roles))
        may_open &= not (door.is_makers and role == BOTH)
        if may_open:
            assert is_answered(answer), f"{role}: {answer.status_code}"
        else:
            assert answer.status_code == 403, f"{role}: {answer.status_code}"
        if role != COORDINATOR and may_open:
            words = "".join(words_of(one) for one in (answer, *further))
            assert surnames_in(words, but_of=cast[role]) == [], role
            assert [one for own in roles for one in not_read_at(name, own, words)] == [], role

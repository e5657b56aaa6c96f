"""Who may open which address: one row an address, and no address without a row.

A new page fails `test_every_address_has_its_row` until somebody has decided, here, who may see it.
`roles` are those besides the coordinator, who may open all. Where an address needs an id, `make`
returns its arguments, and makes what it points at; `method` is how the page is asked for.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.urls import URLPattern, URLResolver, get_resolver, reverse

COORDINATOR = "coordinator"
BUILDER = "builder"
FOSTER = "foster"
LAUNDRY = "laundry"
EVERYBODY = (BUILDER, FOSTER, LAUNDRY)


@dataclass(frozen=True)
class Door:
    roles: tuple[str, ...] = ()
    public: bool = False
    method: str = "get"
    make: Callable[[], dict[str, Any]] = dict


def somebody():
    from habitats.models import Person

    return Person.objects.create_user("somebody")


def drawing(**more: str) -> Callable[[], dict[str, Any]]:
    """The code of a new design, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.models import Design, Person
        from tests.support.designs import make_design

        drawer = Person.objects.create_user("drawer", role=COORDINATOR)
        return {"code": Design.objects.draw(make_design(), by=drawer).code, **more}

    return make


DOORS: dict[str, Door] = {
    "home": Door(EVERYBODY),
    "login": Door(EVERYBODY, public=True),
    "logout": Door(EVERYBODY, method="post", public=True),
    "own_settings": Door(EVERYBODY),
    "own_password": Door(EVERYBODY),
    "people": Door(),
    "new_person": Door(),
    "person": Door(make=lambda: {"pk": somebody().pk}),
    "new_password": Door(make=lambda: {"pk": somebody().pk}),
    "builds:designs": Door((BUILDER,)),
    "builds:archived_designs": Door((BUILDER,)),
    "builds:new_design": Door(),
    "builds:import_design": Door(),
    "builds:short_link": Door((BUILDER,), make=drawing()),
    "builds:design": Door((BUILDER,), make=drawing()),
    "builds:corner_view": Door((BUILDER,), make=drawing()),
    "builds:design_file": Door((BUILDER,), make=drawing()),
    "builds:blank_file": Door((BUILDER,), make=drawing(number="1", form="svg")),
    "builds:packet": Door((BUILDER,), make=drawing()),
    "builds:packet_pdf": Door((BUILDER,), make=drawing()),
    "builds:rename_design": Door(make=drawing()),
    "builds:copy_design": Door(method="post", make=drawing()),
    "builds:archive_design": Door(method="post", make=drawing()),
    "builds:unarchive_design": Door(method="post", make=drawing()),
    "builds:board": Door(make=drawing()),
    "builds:undo": Door(method="post", make=drawing()),
    "builds:redo": Door(method="post", make=drawing()),
    "builds:step": Door(method="post", make=drawing(step="lid")),
}


def names_of_addresses(resolver: URLResolver, space: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLPattern):
            assert pattern.name, f"The address {pattern.pattern} has no name."
            yield space + pattern.name
        else:
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from names_of_addresses(pattern, inner)


def answer(client, name: str, door: Door):
    return getattr(client, door.method)(reverse(name, kwargs=door.make()))


def is_sent_to_log_in(response) -> bool:
    return response.status_code == 302 and response.url.startswith(reverse("login") + "?next=")


def test_every_address_has_its_row():
    assert set(names_of_addresses(get_resolver())) == set(DOORS)


@pytest.mark.parametrize("name", DOORS)
def test_a_stranger_is_sent_to_log_in(name, client_of, db):
    response = answer(client_of(None), name, DOORS[name])

    assert is_sent_to_log_in(response) != DOORS[name].public


@pytest.mark.parametrize("role", [COORDINATOR, *EVERYBODY])
@pytest.mark.parametrize("name", DOORS)
def test_each_role_opens_its_own_doors_and_no_other(name, role, cast, client_of):
    door = DOORS[name]

    response = answer(client_of(cast[role]), name, door)

    if role == COORDINATOR or role in door.roles:
        assert response.status_code not in (401, 403, 404, 405, 500)
        assert not is_sent_to_log_in(response)
    else:
        assert response.status_code == 403

"""Volunteers know each other by first name: a surname is for coordinators and for oneself.

Everybody here has a surname that is nobody else's, so a page that holds one tells whose it is.
On the same walk each page says the words that its reader's leaflet quotes from it.
"""

import re
from urllib.parse import urlsplit

import pytest
from django.apps import apps
from django.db import connection
from django.db.models import Value
from django.db.models.functions import Concat
from django.db.models.signals import pre_save
from django.urls import Resolver404, resolve, reverse

from builds.demo.rescue import PEOPLE
from habitats.people.models.people import Person
from tests.house.test_access_by_role import DOORS, EVERYBODY
from tests.support.quoted import not_read_at

# No word of the product has this ending.
ENDING = "wyrzyk"
# Of addresses that differ only in what they are of, as many are opened.
MOST_OF_A_KIND = 1
# Long to make; their addresses are opened one by one.
FILES = (".pdf", ".svg", ".dxf", ".jpg", ".ics", ".zip")
LINK = re.compile(r'(?:href|src|action|data-address)="(/[^"#]*)')


@pytest.fixture
def _surnames():
    """Everybody who comes is given a surname of their own, before anything is made with it."""

    def name(sender, instance, **_more):
        instance.last_name = instance.username + ENDING

    pre_save.connect(name, sender=Person)
    yield
    pre_save.disconnect(name, sender=Person)


def words_of(response):
    """All that can be read in an answer; of a paper, the page before it is printed."""
    return response.getvalue().decode(errors="replace")


def surnames_in(words, but_of):
    """Those in the words that are not the reader's own."""
    found = re.findall(rf"\w+{ENDING}", words, re.IGNORECASE)
    return sorted({one for one in found if one.lower() != but_of.last_name.lower()})


# What is public is the same for all, so it is asked for once.
VOLUNTEERS = [
    (name, role)
    for name, door in DOORS.items()
    for role in (door.roles[:1] if door.public else door.roles)
]


@pytest.mark.usefixtures("_surnames", "unprinted")
@pytest.mark.parametrize(("name", "role"), VOLUNTEERS)
def test_no_address_tells_a_volunteer_a_surname(name, role, cast, client_of):
    door = DOORS[name]
    client = client_of(cast[role])
    address = reverse(name, kwargs=door.make())

    response = getattr(client, door.method)(address, follow=True)

    assert surnames_in(words_of(response), but_of=cast[role]) == []
    assert not_read_at(name, role, words_of(response)) == []


# --- The whole demo, in which all was done by somebody else ---


@pytest.fixture
def stranger(demo):
    """Who did all that was done in the demo; everybody has a surname that tells whose it is."""
    for person in PEOPLE:
        _say_instead(person.last_name, person.username + ENDING)
    one = Person.objects.create_user("stranger", first_name="Ingmarie", role="foster")
    Person.objects.update(last_name=Concat("username", Value(ENDING)))
    one.refresh_from_db()
    for model in apps.get_models():
        for field in model._meta.get_fields():
            is_who = field.concrete and field.many_to_one and field.related_model is Person
            if is_who and field.name in ("made_by", "by"):
                model._base_manager.update(**{field.name: one})
    return one


def _say_instead(said, instead):
    """In every text that was kept: a name that was signed with stays as it was signed."""
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names():
            cursor.execute(f'PRAGMA table_info("{table}")')
            for _number, column, kind, *_more in cursor.fetchall():
                if kind.startswith(("varchar", "text")):
                    told = f'"{column}" = replace("{column}", %s, %s) WHERE instr("{column}", %s)'
                    cursor.execute(f'UPDATE "{table}" SET {told}', [said, instead, said])


def addresses_from(client, first):
    """What can be reached by links, and each page's answer. Of files each kind is opened above."""
    waiting, seen, count = [first], {first}, {}
    while waiting:
        address = waiting.pop(0)
        response = client.get(address, follow=True)
        yield address, response
        if "html" not in response.headers.get("Content-Type", ""):
            continue
        for link in LINK.findall(response.content.decode()):
            path = urlsplit(link.replace("&amp;", "&")).path
            try:
                name = resolve(path).view_name
            except Resolver404:
                continue
            if path.endswith(FILES):
                continue
            if path not in seen and count.get(name, 0) < MOST_OF_A_KIND:
                seen.add(path)
                count[name] = count.get(name, 0) + 1
                waiting.append(path)


def told_to(reader, client_of):
    """The addresses at which others' surnames stand, and all that were opened."""
    reader.refresh_from_db()
    opened, telling = [], {}
    for address, response in addresses_from(client_of(reader), reverse("home")):
        opened.append(address)
        if found := surnames_in(words_of(response), but_of=reader):
            telling[address] = found
    return opened, telling


def test_no_page_of_the_demo_tells_a_volunteer_who_did_it_by_surname(stranger, client_of):
    for role in EVERYBODY:
        opened, telling = told_to(Person.objects.filter(role=role).first(), client_of)

        assert telling == {}, role
        assert len(opened) > 10, role


def test_a_coordinator_reads_who_it_was_in_full(stranger, client_of):
    coordinator = Person.objects.filter(role="coordinator").first()

    _opened, telling = told_to(coordinator, client_of)

    assert len(telling) > 10

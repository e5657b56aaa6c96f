"""Volunteers know each other by first name: a surname is for coordinators and for oneself.

Asked of the whole demo, in which all was done by somebody else; of each address alone, in
`test_access_by_role.py`. Everybody here has a surname that is nobody else's.
"""

import re
from itertools import islice
from urllib.parse import urlsplit

import pytest
from django.apps import apps
from django.db import connection
from django.db.models import Value
from django.db.models.functions import Concat
from django.urls import Resolver404, resolve, reverse

from builds.demo.rescue import PEOPLE
from habitats.people.models.people import Person
from tests.support.doors import EVERYBODY
from tests.support.surnames import ENDING, surnames_in, words_of

# Of addresses that differ only in what they are of, as many are opened.
MOST_OF_A_KIND = 1
# Long to make; their addresses are opened one by one.
FILES = (".pdf", ".svg", ".dxf", ".jpg", ".ics", ".zip")
LINK = re.compile(r'(?:href|src|action|data-address)="(/[^"#]*)')


@pytest.fixture
def stranger(demo):
    """Who did all that was done in the demo; everybody has a surname that tells whose it is."""
    for person in PEOPLE:
        _say_instead(person.last_name, person.username + ENDING)
    one = Person.objects.create_user("stranger", first_name="Ingmarie", roles="foster")
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
        opened, telling = told_to(Person.objects.filter(roles=role).first(), client_of)

        assert telling == {}, role
        assert len(opened) > 10, role


def test_a_coordinator_reads_who_it_was_in_full(stranger, client_of):
    coordinator = Person.objects.filter(roles="coordinator").first()
    coordinator.refresh_from_db()
    pages = addresses_from(client_of(coordinator), reverse("home"))

    telling = (at for at, page in pages if surnames_in(words_of(page), but_of=coordinator))

    # Some pages are enough: opening all takes as long as all of the volunteers' do.
    assert len(list(islice(telling, 10))) == 10

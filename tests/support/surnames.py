"""People whose surnames are nobody else's: a page that holds one tells whose it is."""

import re

import pytest
from django.db.models.signals import pre_save

# No word of the product has this ending.
ENDING = "wyrzyk"


@pytest.fixture
def surnames():
    """Everybody who comes is given a surname of their own, before anything is made with it."""
    from habitats.people.models.people import Person

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

"""A rescue that answers to a rule set, seen by its coordinator on the small rescue's day."""

import pytest


@pytest.fixture
def answering(answer_to):
    """Switzerland, TSchV Annex 2 Table 1: 5 000 cm² for two, 2 000 for each further adult."""
    return answer_to("ch-tschv")


@pytest.fixture
def ask(client_of, coordinator, this_day):
    """`ask(space="short")`: the page as the coordinator sees it; the words with plain blanks."""
    client = client_of(coordinator)

    def read(**query):
        response = client.get("/space/", query)
        response.words = response.content.decode().replace("\xa0", " ").replace("&nbsp;", " ")
        return response

    return read


@pytest.fixture
def settle(make_home, make_enclosure, make_group, make_animal, day):
    """`settle("Wren", ["Pip", "Moss"], plan=("##",))`: grown sows in an enclosure of a new home."""

    def make(name, names=(), *, home=None, area="", born=-600, came_on=-300, **design):
        home = home or make_home(name, area=area)
        enclosure = make_enclosure(f"{name}'s floor", home=home, **design)
        animals = [
            make_animal(one, born=day(born), came_on=day(came_on), grams=850) for one in names
        ]
        if animals:
            make_group(*animals, enclosure=enclosure)
        return home

    return make


@pytest.fixture
def unsafe(coordinator, day):
    """`unsafe(enclosure)`: it has a fault that has to be mended before anybody moves in."""
    from habitats.faults.models.faults import Fault
    from habitats.upkeep.kinds import FaultKind

    def make(enclosure):
        return Fault.objects.create(
            enclosure=enclosure,
            revision=enclosure.revision,
            kind=next(iter(FaultKind)),
            urgency="unsafe",
            on=day(-1),
            made_by=coordinator,
        )

    return make

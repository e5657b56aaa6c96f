"""What is asked of the rules of company."""

from datetime import date

from habitats.welfare.companion import (
    Castration,
)
from habitats.welfare.company import company
from habitats.welfare.objection import Objection, Severity
from tests.support.companions import (
    TODAY,
    days_ago,
    make_boar,
)


def codes(*animals: object, today: date = TODAY) -> set[str]:
    return {objection.code for objection in company(animals, today)}


def the(code: str, *animals: object, today: date = TODAY) -> Objection:
    found = [one for one in company(animals, today) if one.code == code]
    assert len(found) == 1, [one.code for one in company(animals, today)]
    return found[0]


def blocked(*animals: object, today: date = TODAY) -> bool:
    return any(one.severity is Severity.BLOCK for one in company(animals, today))


def castrated_days_ago(days: int, **facts: object) -> object:
    return make_boar(castration=Castration(days_ago(days)), **facts)

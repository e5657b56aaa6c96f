"""Who is there to log in, and what to look at, for `tests.benchmarks.load`: JSON on one line."""

import json
from typing import Any

import django

BACKEND = "django.contrib.auth.backends.ModelBackend"
HOW_MANY = 40


def main() -> None:
    django.setup()
    from builds.plans.models.builds import Build
    from habitats.enclosures.models.enclosures import Enclosure
    from habitats.homes.models.homes import Home
    from habitats.people.models.people import Person

    builds = [
        {"code": build.code, "steps": keys}
        for build in Build.objects.in_state("building")
        if len(keys := _steps(build)) >= 3
    ]
    said = {
        "log_ins": {
            role: [_log_in(one) for one in _some(Person.objects.with_role(role))]
            for role in ("coordinator", "builder", "laundry")
        }
        | {"foster": [_log_in(_foster_of(home)) for home in _homes_with_animals()]},
        "homes": list(Home.objects.values_list("code", flat=True)[:HOW_MANY]),
        "enclosures": list(Enclosure.objects.values_list("code", flat=True)[:HOW_MANY]),
        "builds": builds,
    }
    print(json.dumps(said))


def _homes_with_animals() -> Any:
    from habitats.animals.models.stays import Stay
    from habitats.homes.models.homes import Home

    lived_in = Stay.objects.open().values("enclosure")
    there = Home.objects.filter(standings__until=None, standings__enclosure__in=lived_in)
    return there.distinct().order_by("pk")[:HOW_MANY]


def _foster_of(home: Any) -> Any:
    """The demo has an account for one of them only."""
    from habitats.people.models.people import Person

    name = f"foster-{home.pk}"
    person, _is_new = Person.objects.get_or_create(username=name, defaults={"roles": "foster"})
    home.people.add(person)
    return person


def _some(people: Any) -> Any:
    return people.filter(is_active=True, same_as=None).order_by("pk")[:HOW_MANY]


def _steps(build: Any) -> list[str]:
    """Those that are ticked one at a time: not the inspection."""
    return list(build.plans.newest_first()[0].steps.values_list("key", flat=True))[:-1]


def _log_in(person: Any) -> dict[str, Any]:
    from django.test import Client
    from django.utils import timezone

    from habitats.animals.models.stays import Stay
    from habitats.enclosures.models.enclosures import Enclosure

    client = Client()
    client.force_login(person, backend=BACKEND)
    lived_in = Stay.objects.open().values("enclosure")
    seen = Enclosure.objects.filter(pk__in=lived_in).visible_to(person, timezone.localdate())
    return {
        "person": person.pk,
        "session": client.cookies["sessionid"].value,
        "enclosures": list(seen.values_list("code", flat=True)[:3]),
    }


if __name__ == "__main__":
    main()

"""What every page knows of the rescue: its currency, asked for only where money is shown."""

from functools import cache

from django.http import HttpRequest

from habitats.rescue.models.rescue import Rescue


def currency(_request: HttpRequest) -> dict[str, object]:
    """`currency`, as a function that a template calls: most pages show no money."""
    return {"currency": cache(Rescue.our_currency)}

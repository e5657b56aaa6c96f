"""`{% load health %}`, then `{% health_of animal as health %}`: what matters now of its health.

A tag, so that the page of an animal shows it and imports nothing of the health log.
"""

from django import template
from django.utils import timezone

from habitats.animals.models.animals import Animal
from habitats.health.pages.in_short import HealthInShort, health_in_short

register = template.Library()


@register.simple_tag
def health_of(animal: Animal) -> HealthInShort:
    return health_in_short(animal, timezone.localdate(), timezone.now())

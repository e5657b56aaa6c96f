"""What is remembered, one module a noun."""

from habitats.models.people import Person

__all__ = ["Person"]

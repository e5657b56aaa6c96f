"""What is remembered, one module a noun."""

from habitats.models.designs import Design, DesignRevision
from habitats.models.people import Person

__all__ = ["Design", "DesignRevision", "Person"]

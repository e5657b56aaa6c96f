"""What is remembered, one module a noun."""

from habitats.models.animals import Animal, Birth, Quarantine, Weighing, WeighingStrike
from habitats.models.designs import Design, DesignRevision
from habitats.models.enclosures import Component, ComponentCheck, Enclosure, EnclosureEvent, State
from habitats.models.groups import Group, Membership, Override
from habitats.models.homes import Home, HomeContact
from habitats.models.import_files import ImportFile
from habitats.models.people import Person
from habitats.models.readings import Reading, Urgency
from habitats.models.rescue import Rescue
from habitats.models.stays import Standing, Stay

__all__ = [
    "Animal",
    "Birth",
    "Component",
    "ComponentCheck",
    "Design",
    "DesignRevision",
    "Enclosure",
    "EnclosureEvent",
    "Group",
    "Home",
    "HomeContact",
    "ImportFile",
    "Membership",
    "Override",
    "Person",
    "Quarantine",
    "Reading",
    "Rescue",
    "Standing",
    "State",
    "Stay",
    "Urgency",
    "Weighing",
    "WeighingStrike",
]

"""What is remembered, one module a noun."""

from habitats.models.alterations import Alteration
from habitats.models.animals import Animal, Birth, Quarantine, Weighing, WeighingStrike
from habitats.models.calendar_feeds import CalendarFeed
from habitats.models.designs import Design, DesignRevision
from habitats.models.enclosures import Enclosure, EnclosureEvent, State
from habitats.models.faults import Fault, FaultMended
from habitats.models.groups import Group, Membership, Override
from habitats.models.homes import Home, HomeContact
from habitats.models.import_files import ImportFile
from habitats.models.last_changes import LastChange
from habitats.models.linen_changes import LinenChange, LinenRemark, SpotClean
from habitats.models.linens import Linen, LinenEvent, LinenKind
from habitats.models.loads import Load
from habitats.models.lookings import LookOver
from habitats.models.parts import Component, ComponentCheck
from habitats.models.people import Person
from habitats.models.pools import Pool, Programme
from habitats.models.readings import Reading, Urgency
from habitats.models.rescue import Rescue
from habitats.models.shrinkage import ShrinkTest
from habitats.models.spots import ChangePlan, LinenSize, Spot
from habitats.models.standing import Standing
from habitats.models.stays import Stay
from habitats.models.traces import Trace, TraceEnd, TraceTick

__all__ = [
    "Alteration",
    "Animal",
    "Birth",
    "CalendarFeed",
    "ChangePlan",
    "Component",
    "ComponentCheck",
    "Design",
    "DesignRevision",
    "Enclosure",
    "EnclosureEvent",
    "Fault",
    "FaultMended",
    "Group",
    "Home",
    "HomeContact",
    "ImportFile",
    "LastChange",
    "Linen",
    "LinenChange",
    "LinenEvent",
    "LinenKind",
    "LinenRemark",
    "LinenSize",
    "Load",
    "LookOver",
    "Membership",
    "Override",
    "Person",
    "Pool",
    "Programme",
    "Quarantine",
    "Reading",
    "Rescue",
    "ShrinkTest",
    "Spot",
    "SpotClean",
    "Standing",
    "State",
    "Stay",
    "Trace",
    "TraceEnd",
    "TraceTick",
    "Urgency",
    "Weighing",
    "WeighingStrike",
]

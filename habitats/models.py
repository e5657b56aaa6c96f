"""Every table of `habitats`, for Django to find. Nobody in the house imports from here."""

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import (
    AdoptedAnimal,
    Adoption,
    AdoptionEvent,
    AdoptionOverride,
)
from habitats.adoptions.models.deaths import AdopterDeath, AdopterDeathStrike
from habitats.adoptions.models.follow_ups import AdoptionFollowUp, AdoptionFollowUpDone
from habitats.adoptions.models.fulfilled import WishEvent
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.wishes import Wish
from habitats.animals.models.acts import Act, ActPart, Undone
from habitats.animals.models.animals import Animal, Weighing, WeighingStrike
from habitats.animals.models.births import Birth
from habitats.animals.models.bonding import BondingAttempt
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.groups import Group, Membership, Override
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
from habitats.designs.models.designs import Design, DesignRevision
from habitats.enclosures.models.alterations import Alteration
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent, EnclosureState
from habitats.enclosures.models.parts import Component, ComponentCheck
from habitats.enclosures.models.standing import Standing
from habitats.faults.models.faults import Fault, FaultMended
from habitats.faults.models.mended_news import MendedSeen
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.health.models.entries import HealthEntry
from habitats.health.models.treatments import Dose, Treatment, TreatmentStop
from habitats.homes.models.absences import Absence, AbsenceEnd
from habitats.homes.models.homes import Home, HomeContact
from habitats.linens.models.changes import LinenChange, LinenRemark, SpotClean
from habitats.linens.models.linens import Linen, LinenEvent, LinenKind
from habitats.linens.models.loads import Load
from habitats.linens.models.pool_dates import PoolDates
from habitats.linens.models.pools import Pool, Programme
from habitats.linens.models.shrinkage import ShrinkTest
from habitats.linens.models.spots import ChangePlan, LinenSize, Spot
from habitats.people.models.access_events import AccessEvent
from habitats.people.models.calendar_feeds import CalendarFeed
from habitats.people.models.devices import Device
from habitats.people.models.last_changes import LastChange
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.reading_off import Urgency
from habitats.readings.models.readings import Reading
from habitats.readings.models.unhoused import Unhoused, UnhousedSearch
from habitats.records.models.import_files import ImportFile
from habitats.rescue.models.rescue import Rescue
from habitats.server.workers import TaskWorker
from habitats.traces.models.traces import Trace, TraceEnd, TraceTick

__all__ = [
    "Absence",
    "AbsenceEnd",
    "AccessEvent",
    "Act",
    "ActPart",
    "AdoptedAnimal",
    "Adopter",
    "AdopterDeath",
    "AdopterDeathStrike",
    "Adoption",
    "AdoptionEvent",
    "AdoptionFollowUp",
    "AdoptionFollowUpDone",
    "AdoptionOverride",
    "Alteration",
    "Animal",
    "Birth",
    "BondingAttempt",
    "CalendarFeed",
    "ChangePlan",
    "ClimbingBan",
    "Component",
    "ComponentCheck",
    "Design",
    "DesignRevision",
    "Device",
    "Dose",
    "DueRow",
    "Enclosure",
    "EnclosureEvent",
    "EnclosureState",
    "Fault",
    "FaultMended",
    "Group",
    "HealthEntry",
    "Home",
    "HomeCheck",
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
    "Membership",
    "MendedSeen",
    "Override",
    "Person",
    "Pool",
    "PoolDates",
    "Programme",
    "Quarantine",
    "Reading",
    "Rescue",
    "SafetyCheck",
    "ShrinkTest",
    "Spot",
    "SpotClean",
    "Standing",
    "Stay",
    "TaskWorker",
    "Trace",
    "TraceEnd",
    "TraceTick",
    "Treatment",
    "TreatmentStop",
    "Undone",
    "Unhoused",
    "UnhousedSearch",
    "Urgency",
    "Weighing",
    "WeighingStrike",
    "Wish",
    "WishEvent",
]

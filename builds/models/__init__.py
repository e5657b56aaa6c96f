"""What is remembered or kept at hand, one module a noun."""

from builds.models.batches import Batch, BatchLine
from builds.models.build_acts import (
    BuildNote,
    BuildPhoto,
    Overtaken,
    Shortage,
    Start,
    StrayAct,
    Tick,
)
from builds.models.build_plans import BuildPlan, BuildStep
from builds.models.builds import Build, BuildEvent, BuildState
from builds.models.cutting_jobs import CuttingJob, CuttingJobLine, JobEnding, OffcutClaim
from builds.models.cutting_runs import CuttingRun
from builds.models.deliveries import Delivery, DeliveryReversal
from builds.models.follow_ups import FollowUp, FollowUpDone
from builds.models.inspections import Inspection, Repair, RepairDone
from builds.models.items import Item
from builds.models.kit_links import KitLink
from builds.models.kits import Kit, KitTick, KitWeighing
from builds.models.places import Place
from builds.models.pulls import Pull, PullEnd, PullLine, ShortPick
from builds.models.receipts import KitReceipt
from builds.models.repair_builds import FaultWork
from builds.models.stock import Movement, Stock
from builds.models.stocktakes import Stocktake
from builds.models.store import Offcut, OffcutMove, SheetKind
from builds.models.suppliers import PackOffer, Supplier

__all__ = [
    "Batch",
    "BatchLine",
    "Build",
    "BuildEvent",
    "BuildNote",
    "BuildPhoto",
    "BuildPlan",
    "BuildState",
    "BuildStep",
    "CuttingJob",
    "CuttingJobLine",
    "CuttingRun",
    "Delivery",
    "DeliveryReversal",
    "FaultWork",
    "FollowUp",
    "FollowUpDone",
    "Inspection",
    "Item",
    "JobEnding",
    "Kit",
    "KitLink",
    "KitReceipt",
    "KitTick",
    "KitWeighing",
    "Movement",
    "Offcut",
    "OffcutClaim",
    "OffcutMove",
    "Overtaken",
    "PackOffer",
    "Place",
    "Pull",
    "PullEnd",
    "PullLine",
    "Repair",
    "RepairDone",
    "SheetKind",
    "ShortPick",
    "Shortage",
    "Start",
    "Stock",
    "Stocktake",
    "StrayAct",
    "Supplier",
    "Tick",
]

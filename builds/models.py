"""Every table of `builds`, for Django to find. Nobody in the house imports from here."""

from builds.batches.models.batches import Batch, BatchLine
from builds.batches.models.cutting_jobs import CuttingJob, JobEnding, OffcutClaim
from builds.batches.models.cutting_lines import CuttingJobLine
from builds.batches.models.cutting_runs import CuttingRun
from builds.building.models.build_days import BuildDay, Coming
from builds.building.models.inspections import Inspection, Repair, RepairDone
from builds.building.models.panel_reports import PanelReport
from builds.building.models.repair_builds import FaultWork
from builds.kits.models.follow_ups import FollowUp, FollowUpDone
from builds.kits.models.kit_links import KitLink
from builds.kits.models.kits import Kit, KitTick, KitWeighing
from builds.kits.models.receipts import KitReceipt
from builds.placing.models.runs import PlacingRun
from builds.plans.models.build_acts import (
    BuildNote,
    BuildPhoto,
    Overtaken,
    Shortage,
    Start,
    StrayAct,
    Tick,
)
from builds.plans.models.build_plans import BuildPlan, BuildStep
from builds.plans.models.builds import Build, BuildEvent, BuildState
from builds.pulls.models.pulls import Pull, PullEnd, PullLine, ShortPick
from builds.store.models.deliveries import Delivery, DeliveryReversal
from builds.store.models.items import Item
from builds.store.models.offcuts import Offcut, OffcutMove
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from builds.store.models.stock import Movement, Stock
from builds.store.models.stocktakes import Stocktake
from builds.store.models.suppliers import PackOffer, Supplier

__all__ = [
    "Batch",
    "BatchLine",
    "Build",
    "BuildDay",
    "BuildEvent",
    "BuildNote",
    "BuildPhoto",
    "BuildPlan",
    "BuildState",
    "BuildStep",
    "Coming",
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
    "PanelReport",
    "Place",
    "PlacingRun",
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

"""What is remembered or kept at hand, one module a noun."""

from builds.models.batches import Batch, BatchLine
from builds.models.cutting_jobs import CuttingJob, CuttingJobLine, JobEnding, OffcutClaim
from builds.models.cutting_runs import CuttingRun
from builds.models.store import Offcut, OffcutMove, SheetKind, SheetMovement

__all__ = [
    "Batch",
    "BatchLine",
    "CuttingJob",
    "CuttingJobLine",
    "CuttingRun",
    "JobEnding",
    "Offcut",
    "OffcutClaim",
    "OffcutMove",
    "SheetKind",
    "SheetMovement",
]

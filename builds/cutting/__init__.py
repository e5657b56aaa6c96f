"""Pure: pieces laid out on stock sheets so that a knife and a straightedge can cut them.

    job = read_job(data)                    # JSON to a Job; raises BadJob with its faults
    plan = cut(job)                         # a Layout: sheets, cost, lower bound, what is left out
    faults_in(job, plan)                    # an independent check; [] when all is well
    cut_sequence(plan.sheets[0])            # numbered cuts for the drawing of one sheet
    plan_as_json(plan)                      # what `json.dumps` takes

Whole millimetres, origin at the top left of a sheet, y down; see `values` for kerf and trim.
"""

from builds.cutting.check import faults_in
from builds.cutting.cuts import Cut, CutRect, NotSeparable, cut_sequence
from builds.cutting.layout import cut
from builds.cutting.read import BadJob, JobFault, job_from, read_job, read_job_file
from builds.cutting.values import (
    CutSheet,
    Job,
    Layout,
    Offcut,
    PiecePlacement,
    StockSheet,
    Unplaced,
    WantedPiece,
)
from builds.cutting.write import plan_as_json

__all__ = [
    "BadJob",
    "Cut",
    "CutRect",
    "CutSheet",
    "Job",
    "JobFault",
    "Layout",
    "NotSeparable",
    "Offcut",
    "PiecePlacement",
    "StockSheet",
    "Unplaced",
    "WantedPiece",
    "cut",
    "cut_sequence",
    "faults_in",
    "job_from",
    "plan_as_json",
    "read_job",
    "read_job_file",
]

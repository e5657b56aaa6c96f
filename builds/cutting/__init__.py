"""Pure: pieces laid out on stock sheets so that a knife and a straightedge can cut them.

    job = read_job(data)                    # JSON to a Job; raises BadJob with its faults
    plan = cut(job)                         # a Plan: sheets, cost, lower bound, what is left out
    faults_in(job, plan)                    # an independent check; [] when all is well
    cut_sequence(plan.sheets[0])            # numbered cuts for the drawing of one sheet
    plan_as_json(plan)                      # what `json.dumps` takes

Whole millimetres, origin at the top left of a sheet, y down; see `values` for kerf and trim.
"""

from builds.cutting.check import faults_in
from builds.cutting.cuts import Cut, NotSeparable, Part, cut_sequence
from builds.cutting.layout import cut
from builds.cutting.read import BadJob, Fault, job_from, read_job, read_job_file
from builds.cutting.values import Job, Offcut, Piece, Placement, Plan, Sheet, Stock, Unplaced
from builds.cutting.write import plan_as_json

__all__ = [
    "BadJob",
    "Cut",
    "Fault",
    "Job",
    "NotSeparable",
    "Offcut",
    "Part",
    "Piece",
    "Placement",
    "Plan",
    "Sheet",
    "Stock",
    "Unplaced",
    "cut",
    "cut_sequence",
    "faults_in",
    "job_from",
    "plan_as_json",
    "read_job",
    "read_job_file",
]

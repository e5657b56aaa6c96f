"""Addresses of pulls and the buying list."""

from django.urls import path

from builds.pulls.views import buying, pulls

urlpatterns = [
    path("batches/<slug:code>/builds/", pulls.plan_batch_builds, name="plan_batch_builds"),
    path("batches/<slug:code>/pull.pdf", pulls.pull_batch_pdf, name="pull_batch_pdf"),
    path("batches/<slug:code>/pull/", pulls.pull_batch, name="pull_batch"),
    path("batches/<slug:code>/pull/<slug:act>/", pulls.pull_batch_act, name="pull_batch_act"),
    path("pulls/", pulls.pulls, name="pulls"),
    path("builds/<slug:code>/pull.pdf", pulls.pull_build_pdf, name="pull_build_pdf"),
    path("builds/<slug:code>/pull/", pulls.pull_build, name="pull_build"),
    path("builds/<slug:code>/pull/cut/", pulls.cut_build, name="cut_build"),
    path("builds/<slug:code>/pull/<slug:act>/", pulls.pull_build_act, name="pull_build_act"),
    path("store/buying/", buying.buying, name="buying"),
    path("store/buying.csv", buying.buying_csv, name="buying_csv"),
]

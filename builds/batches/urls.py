"""Addresses of batches, cutting jobs and sheet plans."""

from django.urls import path, re_path

from builds.batches.views import batches, cutting, sheets

urlpatterns = [
    path("designs/<slug:code>/sheets/", sheets.design_sheets, name="design_sheets"),
    path("designs/<slug:code>/sheets/cut/", sheets.cut_design, name="cut_design"),
    path("designs/<slug:code>/sheets.pdf", sheets.design_sheets_pdf, name="design_sheets_pdf"),
    re_path(
        r"^designs/(?P<code>[-\w]+)/sheets/(?P<number>[0-9]{1,4})\.(?P<form>svg|dxf|pdf)$",
        sheets.design_sheet_file,
        name="design_sheet_file",
    ),
    path("batches/", batches.batches, name="batches"),
    path("batches/new/", batches.new_batch, name="new_batch"),
    path("batches/<slug:code>/", batches.batch, name="batch"),
    path("batches/<slug:code>/add/", batches.add_line, name="add_line"),
    path("batches/<slug:code>/add-builds/", batches.add_builds, name="add_builds"),
    path("batches/<slug:code>/remove/<int:pk>/", batches.remove_line, name="remove_line"),
    path("batches/<slug:code>/plan/", batches.plan_batch, name="plan_batch"),
    path("cutting/<slug:code>/", cutting.cutting, name="cutting"),
    path("cutting/<slug:code>/progress/", cutting.progress, name="progress"),
    path("cutting/<slug:code>/stop/", cutting.stop, name="stop_search"),
    path("cutting/<slug:code>/search/", cutting.search_on, name="search_on"),
    path("cutting/<slug:code>/give-up/", cutting.drop, name="drop_job"),
    path("cutting/<slug:code>/cut/", cutting.mark_cut, name="mark_cut"),
    path("cutting/<slug:code>/builds/<int:number>/", cutting.build, name="cutting_build"),
    path("cutting/<slug:code>/sheets.pdf", cutting.sheets_pdf, name="sheets_pdf"),
    path("cutting/<slug:code>/labels.pdf", cutting.labels_pdf, name="labels_pdf"),
    path("cutting/<slug:code>/offcuts.pdf", cutting.offcut_labels_pdf, name="offcut_labels_pdf"),
    re_path(
        r"^cutting/(?P<code>[-\w]+)/sheets/(?P<number>[0-9]{1,4})\.(?P<form>svg|dxf|pdf)$",
        cutting.job_sheet_file,
        name="job_sheet_file",
    ),
]

"""Addresses of imports, the export and the inspection report."""

from django.urls import path

from habitats.records.views import export, imports, report

urlpatterns = [
    path("report/", report.report, name="report"),
    path("report.pdf", report.report_pdf, name="report_pdf"),
    path("report.csv", report.report_csv, name="report_csv"),
    path("import/", imports.import_csv, name="import_csv"),
    path("import/<slug:kind>/template.csv", imports.import_template, name="import_template"),
    path("import/<uuid:once>/", imports.import_check, name="import_check"),
    path("import/<uuid:once>/faults.csv", imports.import_faults, name="import_faults"),
    path("import/<uuid:once>/drop/", imports.drop_import, name="drop_import"),
    path("export/", export.export, name="export"),
    path("export.zip", export.export_zip, name="export_zip"),
]

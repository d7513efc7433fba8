"""The addresses of results and their release: by exam and sample code."""

from django.urls import path

from grading.moderation import views

app_name = "moderation"
urlpatterns = [
    path("", views.index, name="index"),
    path("agree/", views.agree, name="agree"),
    path("withdraw/", views.withdraw, name="withdraw"),
    path("records/", views.records, name="records"),
    path("records/<slug:code>/", views.record, name="record"),
    path("results/", views.results_page, name="results"),
    path("results.csv", views.results_csv, name="csv"),
    path("results.xlsx", views.results_xlsx, name="xlsx"),
    path("results/<slug:code>/", views.sheet, name="sheet"),
]

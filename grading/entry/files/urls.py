"""The addresses of importing records."""

from django.urls import path

from grading.entry.files import views

app_name = "records"
urlpatterns = [
    path("", views.upload, name="import"),
    path("confirm/", views.confirm, name="confirm"),
    path("template.<slug:kind>", views.template, name="template"),
]

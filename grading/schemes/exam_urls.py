"""Addresses at which an exam gets another mark scheme."""

from django.urls import path

from grading.schemes import views

app_name = "remarking"
urlpatterns = [
    path("", views.exam, name="exam"),
    path("apply/", views.apply, name="apply"),
]

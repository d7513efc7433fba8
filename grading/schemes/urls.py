"""Addresses of a centre's own mark schemes."""

from django.urls import path

from grading.schemes import views

app_name = "mark-schemes"
urlpatterns = [
    path("new/", views.copy, name="copy"),
    path("<int:entry>/", views.change, name="change"),
]

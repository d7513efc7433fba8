"""The addresses of entering by choice: by exam and sample code."""

from django.urls import path

from grading.entry.choosing import views

app_name = "choosing"
urlpatterns = [
    path("<slug:code>/", views.record, name="record"),
    path("<slug:code>/<slug:test>/", views.line, name="line"),
]

"""The addresses of the teacher who keeps the door of an exam's bench page."""

from django.urls import path

from grading.entry.bench import door

app_name = "door"
urlpatterns = [
    path("", door.index, name="index"),
    path("rules/", door.rules, name="rules"),
    path("<int:sitting>/issue/", door.issue, name="issue"),
    path("<int:sitting>/time/", door.time, name="time"),
    path("<int:sitting>/close/", door.close, name="close"),
    path("<int:sitting>/new/<slug:code>/", door.reissue, name="reissue"),
]

"""The candidate's addresses: none of them names an exam or a sample."""

from django.urls import path

from grading.entry.bench import views

app_name = "bench"
urlpatterns = [
    path("", views.page, name="page"),
    path("sign-in/", views.sign_in, name="sign-in"),
    path("line/<slug:test>/", views.line, name="line"),
    path("state/", views.state, name="state"),
    path("offline/", views.offline, name="offline"),
    path("worker.js", views.worker, name="worker"),
    path("hand-in/", views.hand_in, name="hand-in"),
]

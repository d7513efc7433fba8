"""The addresses of marking: by exam and sample code, never by anything that names a candidate."""

from django.urls import path

from grading.marking.views import entry, marks, queue

app_name = "marking"
urlpatterns = [
    path("", queue.index, name="index"),
    path("next/", queue.next_record, name="next"),
    path("hand-over/", queue.hand_over, name="hand-over"),
    path("<slug:code>/", marks.marks, name="marks"),
    path("<slug:code>/record/", entry.record, name="record"),
    path("<slug:code>/record/<slug:test>/", entry.line, name="line"),
    path("<slug:code>/award/<str:part>/", marks.award, name="award"),
    path("<slug:code>/sure/", marks.accept_sure, name="accept-sure"),
    path("<slug:code>/finish/", marks.finish, name="finish"),
    path("<slug:code>/reopen/", marks.reopen, name="reopen"),
    path("<slug:code>/absent/", entry.absent, name="absent"),
    path("<slug:code>/renew/", marks.renew, name="renew"),
]

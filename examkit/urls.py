"""The address table: each part hangs its own urls.py here, named by string."""

from django.urls import include, path

urlpatterns = [
    path("", include("examkit.house.urls")),
    path("chemistry/", include("examkit.lookup.urls")),
    path("own/mark-schemes/", include("grading.schemes.urls")),
    path("exams/<int:pk>/mark-scheme/", include("grading.schemes.exam_urls")),
    path("own/", include("examkit.own.urls")),
    path("exams/<int:pk>/stock/", include("examkit.stockroom.urls")),
    path("exams/<int:pk>/day/", include("examkit.day.urls")),
    path("exams/<int:pk>/print/", include("examkit.printing.urls")),
    path("exams/<int:pk>/marking/", include("grading.marking.urls")),
    path("bench/", include("grading.entry.bench.urls")),
    path("exams/<int:pk>/records/", include("grading.entry.files.urls")),
    path("exams/<int:pk>/choose/", include("grading.entry.choosing.urls")),
    path("exams/<int:pk>/bench/", include("grading.entry.bench.door_urls")),
    path("exams/<int:pk>/second/", include("grading.second.urls")),
    path("exams/<int:pk>/release/", include("grading.moderation.urls")),
    path("exams/", include("examkit.planning.urls")),
]

handler400 = "examkit.house.errors.not_readable"
handler403 = "examkit.house.errors.forbidden"
handler404 = "examkit.house.errors.not_found"
handler500 = "examkit.house.errors.broken"

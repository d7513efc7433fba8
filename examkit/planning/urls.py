"""The addresses of planning, by object; examkit/urls.py hangs them at /exams/."""

from django.urls import path

from examkit.planning.views import back, changes, draw, exams, pool, rooms, roster

app_name = "planning"
urlpatterns = [
    path("", exams.exams, name="exams"),
    path("new/", exams.new, name="new"),
    path("<int:pk>/", exams.exam, name="exam"),
    path("<int:pk>/undo/<int:number>/", back.setting, name="setting-undo"),
    path("<int:pk>/edit/", exams.edit, name="exam-edit"),
    path("<int:pk>/copy/", exams.copy, name="exam-copy"),
    path("<int:pk>/staff/", exams.staff, name="staff"),
    path("<int:pk>/staff/<int:duty>/", exams.staff_remove, name="staff-remove"),
    path("<int:pk>/move/", exams.move, name="exam-move"),
    path("<int:pk>/delete/", exams.delete, name="exam-delete"),

    path("rooms/", rooms.rooms, name="rooms"),
    path("rooms/<int:pk>/", rooms.room, name="room"),
    path("rooms/<int:pk>/delete/", rooms.room_delete, name="room-delete"),
    path("rooms/gone/<int:number>/", back.room, name="room-back"),
    path("rooms/<int:pk>/place/", rooms.place, name="room-place"),
    path("rooms/<int:pk>/undo/<int:number>/", back.place, name="place-undo"),
    path("rooms/<int:pk>/separate/", rooms.separate, name="room-separate"),

    path("<int:pk>/sittings/", rooms.sittings, name="sittings"),
    path("<int:pk>/sittings/<int:sitting>/", rooms.sitting, name="sitting"),
    path("<int:pk>/sittings/<int:sitting>/delete/", rooms.sitting_delete, name="sitting-delete"),
    path("<int:pk>/sittings/gone/<int:number>/", back.sitting, name="sitting-back"),

    path("<int:pk>/roster/", roster.roster, name="roster"),
    path("roster/empty.csv", roster.empty_csv, name="roster-empty-csv"),
    path("roster/empty.xlsx", roster.empty_xlsx, name="roster-empty-xlsx"),
    path("<int:pk>/roster/import/", roster.upload, name="roster-import"),
    path("<int:pk>/roster/import/confirm/", roster.confirm, name="roster-import-confirm"),
    path("<int:pk>/roster/import/<str:task>/", roster.import_state, name="roster-import-state"),
    path("<int:pk>/roster/new/", roster.candidate, name="candidate-new"),
    path("<int:pk>/roster/<int:candidate>/", roster.candidate, name="candidate"),
    path("<int:pk>/roster/<int:candidate>/delete/", roster.candidate_delete, name="candidate-delete"),
    path("<int:pk>/roster/undo/<int:number>/", back.list_act, name="list-undo"),

    path("<int:pk>/pool/", pool.pool, name="pool"),
    path("<int:pk>/pool/suggested/", pool.suggested, name="suggested"),
    path("<int:pk>/pool/compare/", pool.compare, name="compare"),

    path("<int:pk>/draw/", draw.draw, name="draw"),
    path("<int:pk>/draw/rules/", changes.rules, name="rules"),
    path("<int:pk>/draw/changes/", changes.changes, name="changes"),
    path("<int:pk>/draw/changes/undo/", changes.undo, name="change-undo"),
    path("<int:pk>/draw/changes/<slug:kind>/", changes.change, name="change"),
    path("<int:pk>/draw/seal/", draw.seal, name="draw-seal"),
    path("<int:pk>/draw/unseal/", draw.unseal, name="draw-unseal"),
    path("<int:pk>/draw/make/", draw.make, name="draw-make"),
]

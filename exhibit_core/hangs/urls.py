from django.urls import include, path

from exhibit_core.hangs.views import asking, reading, ties

app_name = "hangs"

_hang = [
    path("", asking.hang, name="hang"),
    path("edit/", asking.edit, name="edit"),
    path("compute/", asking.compute, name="compute"),
    path("rules/", ties.add_rule, name="add_rule"),
    path("rules/<int:rule_pk>/remove/", ties.remove_rule, name="remove_rule"),
    path("places/", ties.fix, name="fix"),
    path("places/<int:place_pk>/free/", ties.free, name="free"),
    path("kept/", ties.keep, name="keep"),
    path("kept/<int:kept_pk>/give-up/", ties.give_up, name="give_up"),
]
_version = [
    path("", reading.version, name="version"),
    path("accept/", reading.accept, name="accept"),
    path("sheets/", reading.write, name="write_sheets"),
    path("schedule.pdf", reading.schedule_pdf, name="schedule_pdf"),
    path("schedule.xlsx", reading.schedule_xlsx, name="schedule_xlsx"),
    path("elevation.pdf", reading.elevation_pdf, name="elevation_pdf"),
    path("elevation.svg", reading.elevation_svg, name="elevation_svg"),
]

urlpatterns = [
    path("exhibition/<int:pk>/", asking.index, name="index"),
    path("exhibition/<int:pk>/new/", asking.new, name="new"),
    path("<int:pk>/", include(_hang)),
    path("version/<int:pk>/", include(_version)),
]

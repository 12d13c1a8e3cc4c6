from django.urls import include, path

from exhibit_core.exhibitions.views import choosing, listing, plan, rows

app_name = "exhibitions"

_sections = [
    path("", plan.sections, name="sections"),
    path("<int:section_pk>/", plan.section, name="section"),
    path("<int:section_pk>/move/", plan.move_section, name="move_section"),
    path("<int:section_pk>/delete/", plan.delete_section, name="delete_section"),
]
_list = [
    path("", listing.list_page, name="list"),
    path("change/", listing.change, name="change"),
    path("add/", choosing.add, name="add"),
    path("columns/", choosing.columns, name="columns"),
    path("changes/", choosing.changes, name="changes"),
    path("<int:entry_pk>/", rows.entry, name="entry"),
]

urlpatterns = [
    path("", plan.index, name="index"),
    path("exhibitions/new/", plan.new, name="new"),
    path("exhibitions/<int:pk>/", plan.detail, name="detail"),
    path("exhibitions/<int:pk>/edit/", plan.edit, name="edit"),
    path("exhibitions/<int:pk>/sections/", include(_sections)),
    path("exhibitions/<int:pk>/list/", include(_list)),
]

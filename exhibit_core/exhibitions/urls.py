from django.urls import path

from exhibit_core.exhibitions.views import listing, plan, rows

app_name = "exhibitions"

urlpatterns = [
    path("", plan.index, name="index"),
    path("exhibitions/new/", plan.new, name="new"),
    path("exhibitions/<int:pk>/", plan.detail, name="detail"),
    path("exhibitions/<int:pk>/edit/", plan.edit, name="edit"),
    path("exhibitions/<int:pk>/sections/", plan.sections, name="sections"),
    path("exhibitions/<int:pk>/sections/<int:section_pk>/", plan.section, name="section"),
    path(
        "exhibitions/<int:pk>/sections/<int:section_pk>/move/",
        plan.move_section,
        name="move_section",
    ),
    path(
        "exhibitions/<int:pk>/sections/<int:section_pk>/remove/",
        plan.delete_section,
        name="delete_section",
    ),
    path("exhibitions/<int:pk>/list/", listing.entries, name="list"),
    path("exhibitions/<int:pk>/list/change/", rows.change, name="change"),
    path("exhibitions/<int:pk>/list/add/", rows.add, name="add"),
    path("exhibitions/<int:pk>/list/columns/", listing.columns, name="columns"),
    path("exhibitions/<int:pk>/list/changes/", listing.changes, name="changes"),
    path("exhibitions/<int:pk>/list/<int:entry_pk>/", rows.entry, name="entry"),
]

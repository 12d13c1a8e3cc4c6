from django.urls import path

from exhibit_core.spaces import views

app_name = "spaces"

urlpatterns = [
    path("", views.index, name="index"),
    path("venues/new/", views.new_venue, name="new_venue"),
    path("venues/<int:pk>/", views.venue, name="venue"),
    path("venues/<int:pk>/edit/", views.edit_venue, name="edit_venue"),
    path("rooms/<int:pk>/", views.room, name="room"),
    path("rooms/<int:pk>/edit/", views.edit_room, name="edit_room"),
    path("rooms/<int:pk>/move/", views.move_room, name="move_room"),
    path("walls/<int:pk>/", views.wall, name="wall"),
    path("walls/<int:pk>/edit/", views.edit_wall, name="edit_wall"),
    path("walls/<int:pk>/move/", views.move_wall, name="move_wall"),
    path("walls/<int:pk>/<slug:kind>/add/", views.add_part, name="add_part"),
    path("walls/<int:pk>/<slug:kind>/<int:part_pk>/", views.edit_part, name="edit_part"),
    path("<slug:kind>/<int:pk>/remove/", views.remove, name="remove"),
]

from django.urls import path

from exhibit_core.register.views import lenders, listing, objects, pictures, sizes

app_name = "register"

urlpatterns = [
    path("", listing.index, name="index"),
    path("new/", objects.new, name="new"),
    path("<int:pk>/", objects.museum_object, name="object"),
    path("<int:pk>/edit/", objects.edit, name="edit"),
    path("<int:pk>/measure/", sizes.measure, name="measure"),
    path("<int:pk>/written/", sizes.written, name="written"),
    path("<int:pk>/sizes/<int:measurement_pk>/withdraw/", sizes.withdraw, name="withdraw"),
    path("<int:pk>/pictures/add/", pictures.add, name="add_picture"),
    path("pictures/<int:pk>/remove/", pictures.remove, name="remove_picture"),
    path("pictures/<int:pk>/<slug:size>/", pictures.picture, name="picture"),
    path("lenders/", lenders.index, name="lenders"),
    path("lenders/new/", lenders.new, name="new_lender"),
    path("lenders/<int:pk>/", lenders.lender, name="lender"),
    path("lenders/<int:pk>/edit/", lenders.edit, name="edit_lender"),
]

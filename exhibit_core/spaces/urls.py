app_name = "spaces"

urlpatterns: list = []

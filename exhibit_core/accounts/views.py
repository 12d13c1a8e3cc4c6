"""Signing in, and who may do what."""

from ipaddress import ip_address

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.decorators import method_decorator
from django.views.decorators.http import require_POST

from exhibit_core.accounts import actions, queries
from exhibit_core.accounts.access import require
from exhibit_core.accounts.forms import RolesForm, UnitForm
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right, Role
from exhibit_core.web.errors import RefusedError
from exhibit_core.web.render import page


def _open_door(request: HttpRequest) -> bool:
    """True only in demo mode and only for a visitor on this very machine."""
    try:
        return settings.DEMO and ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    template_name = "accounts/sign_in.html"
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: object) -> dict[str, object]:
        entries = queries.first_in_each_role() if _open_door(self.request) else []
        return super().get_context_data(demo_entries=entries, **kwargs)


@login_not_required
@require_POST
def enter_as(request: HttpRequest, role: str) -> HttpResponse:
    """Sign in as the demo's person in this role; outside the demo the address does not exist."""
    if not _open_door(request) or role not in Role.values:
        raise Http404
    people = dict(queries.first_in_each_role())
    if Role(role) not in people:
        raise Http404
    login(request, people[Role(role)], backend="django.contrib.auth.backends.ModelBackend")
    return redirect(settings.LOGIN_REDIRECT_URL)


def people(request: HttpRequest) -> HttpResponse:
    require(request.user)
    return page(
        request,
        "accounts/people.html",
        {"people": queries.people(), "roles_in_order": list(Role), "table": queries.rights_table()},
    )


def person(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a person's roles and change them."""
    require(request.user, Right.MANAGE_PEOPLE)
    someone = get_object_or_404(User, pk=pk)
    form = RolesForm(request.POST or None, initial={"roles": someone.roles})
    if request.method == "POST" and form.is_valid():
        try:
            actions.set_roles(person=someone, roles=form.cleaned_data["roles"], by=request.user)
        except RefusedError as refusal:
            form.add_error("roles", str(refusal))
        else:
            messages.success(request, f"Saved the roles of {someone}.")
            return redirect("accounts:people")
    status = 422 if form.errors else 200
    return page(request, "accounts/person.html", {"someone": someone, "form": form}, status=status)


def preferences(request: HttpRequest) -> HttpResponse:
    require(request.user)
    form = UnitForm(request.POST or None, initial={"unit": request.user.unit})
    if request.method == "POST" and form.is_valid():
        actions.set_unit(person=request.user, unit=form.cleaned_data["unit"])
        messages.success(request, "Saved.")
        return redirect("accounts:preferences")
    return page(
        request,
        "accounts/preferences.html",
        {"form": form},
        status=422 if form.errors else 200,
    )

"""Forms about people."""

from django import forms

from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Role


class RolesForm(forms.Form):
    roles = forms.MultipleChoiceField(
        choices=Role.choices, required=False, widget=forms.CheckboxSelectMultiple
    )


class UnitForm(forms.Form):
    unit = forms.ChoiceField(
        choices=User.Unit.choices,
        label="Read lengths in",
        help_text="Drawings stay in millimetres.",
    )

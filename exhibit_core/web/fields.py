"""Form fields for lengths and weights, typed with or without their unit."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from exhibit_core.web.quantities import GRAMS, MM, QuantityError, read_grams, read_mm


class _QuantityField(forms.Field):
    """A whole number of `small_unit`, shown and typed in `unit` unless another is written."""

    widget = forms.TextInput
    small_unit = ""

    def __init__(
        self, *, unit: str, least: int | None = None, most: int | None = None, **kwargs: Any
    ) -> None:
        self.unit, self.least, self.most = unit, least, most
        super().__init__(**kwargs)

    def read(self, text: str) -> int:
        raise NotImplementedError

    def to_python(self, value: Any) -> int | None:
        if value in self.empty_values or not str(value).strip():
            return None
        if isinstance(value, int):
            return value
        try:
            return self.read(str(value))
        except QuantityError as error:
            raise ValidationError(str(error)) from error

    def validate(self, value: int | None) -> None:
        super().validate(value)
        if value is None:
            return
        if self.least is not None and value < self.least:
            raise ValidationError(
                f"{value} {self.small_unit} is too little: give {self.least} or more."
            )
        if self.most is not None and value > self.most:
            raise ValidationError(
                f"{value} {self.small_unit} is over {self.most} {self.small_unit}: check the unit."
            )

    def widget_attrs(self, widget: forms.Widget) -> dict[str, str]:
        return {"inputmode": "text", "autocomplete": "off", "size": "12"}

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return self.to_python(initial) != self.to_python(data)
        except ValidationError:
            return True


class LengthField(_QuantityField):
    """A length in whole mm; a bare number is in `unit`, as in mm, cm, m, in or ft."""

    small_unit = "mm"

    def __init__(self, *, unit: str = "mm", **kwargs: Any) -> None:
        super().__init__(unit=unit, **kwargs)

    def read(self, text: str) -> int:
        return read_mm(text, self.unit)

    def prepare_value(self, value: Any) -> Any:
        return _shown(value, MM[self.unit])


class WeightField(_QuantityField):
    """A weight in whole grams; a bare number is in `unit`, as in kg, g or lb."""

    small_unit = "g"

    def __init__(self, *, unit: str = "kg", **kwargs: Any) -> None:
        super().__init__(unit=unit, **kwargs)

    def read(self, text: str) -> int:
        return read_grams(text, self.unit)

    def prepare_value(self, value: Any) -> Any:
        return _shown(value, GRAMS[self.unit])


def _shown(value: Any, size: Any) -> Any:
    """Write a stored number in the field's unit; leave what was typed as it was typed."""
    if isinstance(value, int) and not isinstance(value, bool):
        return f"{float(value / size):.6g}" if size != 1 else str(value)
    return value

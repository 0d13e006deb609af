"""What is told of a cycle's evidence."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms
from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy

from lungwort.language import _
from lungwort.typed import two_meanings

NOT_TOLD = ("", gettext_lazy("the file says it"))
MOMENT = {"type": "datetime-local"}


class Number(forms.FloatField):
    """A number with a decimal point or comma; one whose comma may part thousands is asked again."""

    widget = forms.TextInput(attrs={"inputmode": "decimal"})

    def to_python(self, value: Any) -> float | None:  # type: ignore[override]
        """Return the number."""
        text = str(value or "").strip()
        if (ways := two_meanings(text)) is not None:
            says = _("{text} has two meanings: write {whole} or {fraction}").format(text=text, **ways)
            raise forms.ValidationError(says)
        return super().to_python(text.replace(",", "."))


class LogForm(forms.Form):
    """A logger's file, and what it does not say itself."""

    file = forms.FileField(
        label=gettext_lazy("The logger's file"),
        help_text=gettext_lazy("As the logger wrote it: CSV, text or spreadsheet."),
    )
    note = forms.CharField(
        label=gettext_lazy("Where the sensors lay, who read it out"), required=False, max_length=200
    )
    unit = forms.ChoiceField(
        label=gettext_lazy("Unit of columns that name none"),
        required=False,
        choices=(NOT_TOLD, ("C", "°C"), ("F", "°F"), ("K", "K"), ("kPa", "kPa"), ("bar", "bar")),
    )
    pressure_kind = forms.ChoiceField(
        label=gettext_lazy("The pressure is"),
        required=False,
        choices=(
            NOT_TOLD,
            ("absolute", gettext_lazy("absolute")),
            ("gauge", gettext_lazy("above the air outside")),
        ),
    )
    date_order = forms.ChoiceField(
        label=gettext_lazy("Its dates are written"),
        required=False,
        choices=(
            NOT_TOLD,
            ("dmy", gettext_lazy("day, month, year")),
            ("mdy", gettext_lazy("month, day, year")),
            ("ymd", gettext_lazy("year, month, day")),
        ),
    )
    time_unit = forms.ChoiceField(
        label=gettext_lazy("Its times are counted in"),
        required=False,
        choices=(
            NOT_TOLD,
            ("s", gettext_lazy("seconds")),
            ("min", gettext_lazy("minutes")),
            ("h", gettext_lazy("hours")),
        ),
    )
    leave_out = forms.CharField(
        label=gettext_lazy("Columns to leave out, with commas between"), required=False, max_length=200
    )
    sensor = forms.CharField(
        label=gettext_lazy("Another thermometer than the protocol lists"),
        help_text=gettext_lazy("Such as: Pt100 A, or ±0.5 K."),
        required=False,
        max_length=80,
    )

    def clean_file(self) -> UploadedFile[Any]:
        """Refuse a file that is larger than is kept."""
        file: UploadedFile[Any] = self.cleaned_data["file"]
        most = settings.LARGEST_UPLOAD_BYTES
        if (file.size or 0) > most:
            text = _("The file has {size} MB; at most {most} MB are kept. Read out this cycle alone.")
            says = text.format(size=round((file.size or 0) / 1e6, 1), most=round(most / 1e6))
            raise forms.ValidationError(says)
        return file

    @property
    def declared(self) -> dict[str, Any]:
        """What was told, as the records take it."""
        told = self.cleaned_data
        given: dict[str, Any] = {
            key: told[key] for key in ("pressure_kind", "date_order", "time_unit", "sensor") if told[key]
        }
        if told["unit"]:
            given["units"] = {"": told["unit"]}
        left_out = [name.strip() for name in told["leave_out"].split(",") if name.strip()]
        return given | ({"leave_out": left_out} if left_out else {})


class StripForm(forms.Form):
    """A soak as it was seen: times, strength, temperature, rinse."""

    went_in = forms.DateTimeField(
        label=gettext_lazy("The parts went in"),
        widget=forms.DateTimeInput(attrs=MOMENT, format="%Y-%m-%dT%H:%M"),
    )
    came_out = forms.DateTimeField(
        label=gettext_lazy("They came out"), widget=forms.DateTimeInput(attrs=MOMENT, format="%Y-%m-%dT%H:%M")
    )
    made = forms.DateTimeField(
        label=gettext_lazy("The solution was made"),
        required=False,
        widget=forms.DateTimeInput(attrs=MOMENT, format="%Y-%m-%dT%H:%M"),
    )
    method = forms.ChoiceField(
        label=gettext_lazy("The strength was read by"),
        choices=(("strip", gettext_lazy("strip")), ("titration", gettext_lazy("titration"))),
    )
    strength_mg_per_l = Number(
        label=gettext_lazy("Strength read, mg/L"),
        help_text=gettext_lazy("The lower of two fields, where the colour lies between."),
        min_value=0,
    )
    error_percent = Number(
        label=gettext_lazy("Its error, ± %, where known"), required=False, min_value=0, max_value=100
    )
    temperature_c = Number(label=gettext_lazy("Temperature of the solution, °C, where read"), required=False)
    loads = forms.IntegerField(
        label=gettext_lazy("Loads it has served, this one included"), required=False, min_value=1
    )
    water = forms.ChoiceField(
        label=gettext_lazy("Rinsed with"),
        required=False,
        choices=(
            ("", gettext_lazy("not told")),
            ("sterile", gettext_lazy("sterile water")),
            ("filtered", gettext_lazy("filtered water")),
            ("boiled", gettext_lazy("boiled water")),
            ("tap", gettext_lazy("tap water")),
        ),
    )
    times = forms.IntegerField(
        label=gettext_lazy("How many times"), required=False, min_value=1, max_value=20
    )

    @property
    def lines(self) -> list[str]:
        """The soak as lines of text, dated."""
        told = self.cleaned_data
        error = f" ±{told['error_percent']:g} %" if told["error_percent"] is not None else ""
        lines = [
            f"{_minute(told['went_in'])} in",
            f"{_minute(told['went_in'])} {told['method']} {told['strength_mg_per_l']:g} mg/L{error}",
            f"{_minute(told['came_out'])} out",
        ]
        lines += [f"made {_minute(told['made'])}"] if told["made"] else []
        lines += [f"{told['temperature_c']:g} C"] if told["temperature_c"] is not None else []
        lines += [f"load {told['loads']}"] if told["loads"] else []
        times = f" x{told['times']}" if told["times"] else ""
        return [*lines, *([f"rinse {told['water']}{times}"] if told["water"] else [])]


class IndicatorForm(forms.Form):
    """An indicator as it was read."""

    kind = forms.ChoiceField(
        label=gettext_lazy("Indicator"),
        choices=(("chemical", gettext_lazy("chemical")), ("biological", gettext_lazy("biological"))),
    )
    result = forms.ChoiceField(
        label=gettext_lazy("It shows"),
        help_text=gettext_lazy("Positive holds every part of the load at once."),
        choices=(
            ("", gettext_lazy("choose")),
            ("negative", gettext_lazy("negative: no growth, or the colour has turned as it should")),
            ("positive", gettext_lazy("positive: growth, or the colour has not turned as it should")),
        ),
    )
    note = forms.CharField(
        label=gettext_lazy("Lot, and where it lay in the load"), required=False, max_length=200
    )


def _minute(moment: datetime) -> str:
    from django.utils import timezone

    return timezone.localtime(moment).strftime("%Y-%m-%d %H:%M")

"""What each key of the document means, a sentence each, for the page of its form."""

from __future__ import annotations

from collections.abc import Mapping

from lungwort.language import _

MEANINGS: Mapping[str, Mapping[str, str]] = {
    "Protocol": {
        "format": _("the form of the document; 1"),
        "title": _("what it is about"),
        "version": _("its version, as the hospital counts"),
        "valid_from": _("the day from which it holds"),
    },
    "Place": {
        "name": _("the hospital or site"),
        "altitude_m": _("above the sea, as a map says; this or barometer_kpa"),
        "barometer_kpa": _("the usual pressure of the air as read there, not reduced to sea level"),
        "room": _("coldest and warmest through the year where parts are treated"),
        "store": _("coldest and warmest through the year where chemicals are kept"),
        "waters": _("the kinds of water to be had"),
        "room_m3": _("volume of the room where chemicals are used"),
        "air_changes_per_h": _("how often that room's air changes"),
    },
    "Range": {"lowest_c": _("coldest of the year"), "highest_c": _("warmest of the year")},
    "Adoption": {
        "criterion": _("name of the criterion, as `lungwort criteria` lists it"),
        "by": _("name and office of the authorised person"),
        "on": _("day of the adoption"),
        "source": _("the hospital's own copy it was adopted after: title, year, chapter"),
    },
    "Autoclave": {
        "name": _("what it is called"),
        "removal": _("how it removes air"),
        "gauge_unit": _("unit that its gauge shows"),
        "gauge_kind": _("gauge where it shows 0 in open air, absolute where it shows the air's pressure"),
        "setting": _("its programmes"),
    },
    "Setting": {
        "name": _("what the programme is called"),
        "temperature_c": _("temperature aimed at"),
        "pressure": _("what the gauge shows while it holds, in its own unit"),
        "hold_min": _("how long it holds"),
    },
    "Bath": {
        "name": _("what it is called"),
        "highest_c": _("the hottest its water gets"),
        "volume_l": _("its volume"),
    },
    "Thermometer": {
        "name": _("what it is called"),
        "sensor": _(
            "its class or certificate: 'Pt100 A', 'type K class 1', '±0.5 K', 'calibrated +0.12 ±0.20'"
        ),
        "used_on": _("the autoclaves and baths it is used on"),
        "interval_s": _("time between two of its readings"),
        "pressure_too": _("whether it records pressure as well"),
        "calibration_due": _("day on which its calibration lapses"),
    },
    "Scale": {"name": _("what it is called"), "error_g": _("largest error")},
    "Stock": {
        "name": _("what the bottle is called"),
        "agent": _("the chemical, by any name that `lungwort mix` knows"),
        "strength": _("as its label says: '5 % available chlorine w/v', '70 % v/v'"),
        "made_on": _("day it was made"),
        "opened_on": _("day it was opened"),
    },
    "Role": {"name": _("what the role is called"), "note": _("anything to know")},
    "Training": {
        "person": _("the person by a code, never by name"),
        "role": _("the role trained for"),
        "passed_on": _("day of the training"),
        "expires_on": _("last day on which it holds"),
    },
    "Kind": {
        "name": _("what the kind of part is called"),
        "like": _("the generic part it is like, as `lungwort fits` lists them"),
        "materials": _("what it is made of, as stands on it; else the generic part's"),
        "contact": _("how close it comes to a patient (Spaulding)"),
        "reuse": _("whether it is used again"),
        "machine": _("true for a machine with a serial number"),
        "maker": _("the maker's limits"),
        "sets_owned": _("sets in the hospital"),
        "used_per_day": _("sets used a day"),
        "step": _("its turnaround, in order"),
        "check": _("checks before and after use"),
        "duty": _("duties in use, or by the calendar"),
        "on_failure": _("what to do when a step or a proof fails"),
    },
    "MakerLimit": {
        "what": _("what the limit is about"),
        "clause": _("where the maker says so"),
        "highest_steam_c": _("hottest steam allowed"),
        "highest_water_c": _("hottest water allowed"),
        "cycles_at_most": _("how often it may be treated"),
        "not_with": _("chemicals forbidden"),
    },
    "Step": {
        "do": _("what is done"),
        "by": _("the role that does it"),
        "minutes": _("time it takes"),
        "process": _("how it is treated; for treat only"),
        "equipment": _("the autoclave or bath"),
        "setting": _("the autoclave's programme"),
        "temperature_c": _("temperature of the water or the solution"),
        "hold_min": _("time at that temperature"),
        "stock": _("the chemical in stock"),
        "strength": _("strength of the solution: '1000 mg/L', '0.5 %'"),
        "contact_min": _("time under the solution, or wet with it"),
        "solution_days": _("age at which the solution is thrown away"),
        "evaporation_mg_per_h": _("what the open bath gives off into the room, where known"),
        "extracted": _("true where the bath is covered and its air drawn off"),
        "water": _("the water of a rinse"),
        "times": _("how often the step is done"),
        "proved_by": _("criteria that its evidence must meet"),
        "note": _("anything to know"),
    },
    "Check": {
        "when": _("before or after use"),
        "what": _("what is checked"),
        "by": _("the role that checks"),
        "like": _("the usual check it is, where its words do not show it"),
    },
    "Duty": {
        "what": _("what is done"),
        "by": _("the role that does it"),
        "like": _("the usual duty it is, where its words do not show it"),
        "every_h": _("interval in hours; this or every_days"),
        "every_days": _("interval in days"),
        "holds": _("whether the thing is held from the next patient while a duty by the calendar is overdue"),
    },
}

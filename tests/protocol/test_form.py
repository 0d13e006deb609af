"""The form of the document as told from its models."""

from documents import protocols
from hypothesis import HealthCheck, given, seed, settings

from lungwort.protocol.form import form
from lungwort.protocol.kinds import Check, Duty, Kind, MakerLimit, Step
from lungwort.protocol.meanings import MEANINGS
from lungwort.protocol.place import Place


def keys(header):
    """Return the keys of a table by name."""
    (table,) = [table for table in form() if table.header == header]
    return {key.name: key for key in table.keys}


def test_every_table_stands_under_its_header():
    """As it is written in a document, in the document's order."""
    assert [table.header for table in form()] == [
        "",
        "[place]",
        "room, store",
        "[[adoption]]",
        "[[autoclave]]",
        "[[autoclave.setting]]",
        "[[bath]]",
        "[[thermometer]]",
        "[[scale]]",
        "[[stock]]",
        "[[role]]",
        "[[training]]",
        "[[kind]]",
        "[[kind.maker]]",
        "[[kind.step]]",
        "[[kind.check]]",
        "[[kind.duty]]",
    ]


def test_a_key_is_told_with_type_bounds_unit_and_default():
    """From the model itself."""
    step = keys("[[kind.step]]")
    assert (step["minutes"].holds, step["minutes"].unit, step["minutes"].needed) == (
        "number > 0, ≤ 10080",
        "min",
        True,
    )
    assert (step["times"].holds, step["times"].default) == ("whole number ≥ 1, ≤ 20", "1")
    assert step["process"].holds == "steam, hot water, soak, wipe"
    assert step["temperature_c"].unit == "°C"
    assert keys("[place]")["air_changes_per_h"].unit == "1/h"
    assert keys("[[kind]]")["used_per_day"].unit == "1/d"
    assert keys("[[stock]]")["made_on"].holds == "day"
    assert list(step) == [field.alias or name for name, field in Step.model_fields.items()]


def test_no_meaning_is_left_for_a_key_that_is_gone():
    """Each written meaning is shown."""
    shown = {key.means for table in form() for key in table.keys}
    assert {text for table in MEANINGS.values() for text in table.values()} <= shown


def test_the_tests_make_every_key():
    """What the strategies do not make, the property tests do not try."""
    seen: set[tuple[str, str]] = set()

    @given(protocols)
    @settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck), database=None)
    @seed(1)
    def look(protocol):
        for table in (
            protocol.place,
            *(t for kind in protocol.kinds for t in (kind, *kind.steps, *kind.checks)),
        ):
            seen.update((type(table).__name__, name) for name in table.model_fields_set)
        for table in (t for kind in protocol.kinds for t in (*kind.duties, *kind.makers)):
            seen.update((type(table).__name__, name) for name in table.model_fields_set)

    look()
    models = (Place, Kind, Step, Check, Duty, MakerLimit)
    assert {(model.__name__, name) for model in models for name in model.model_fields} <= seen

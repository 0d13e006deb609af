"""Units: where they are written, how they are spelled, what is declared, and what is never guessed."""

from collections.abc import Callable

import numpy as np
import pytest

from lungwort.errors import UnknownName, UnreadableLog
from lungwort.evidence.log import Log

Read = Callable[..., Log]


def column(heading: str, *cells: str, more: str = "") -> str:
    """Return a small file with one column of readings behind the time."""
    return f"Time;{heading}{more}\n" + "".join(f"09:00:{i:02d};{cell}\n" for i, cell in enumerate(cells))


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("T1 (°C)", "T1", "°C"), ("T1 [degC]", "T1", "°C"), ("T1 deg C", "T1", "°C"), ("Temp_C", "Temp", "°C"),
        ("Temp in °C", "Temp", "°C"), ("T1°C", "T1", "°C"), ("temperature_c", "temperature", "°C"),
        ("Drain (℃)", "Drain", "°C"), ("Drain (ºC)", "Drain", "°C"), ("Drain (oC)", "Drain", "°C"),
        ("Drain Celsius", "Drain", "°C"), ("Temp (°C) max", "Temp max", "°C"), ("T1 C", "T1", "°C"),
        ("Probe (C)", "Probe", "°C"), ("Chamber, °C (S/N: 12)", "Chamber", "°C"), ("°C", "°C", "°C"),
        ("Temp °F", "Temp", "°F"), ("T1/degF", "T1", "°F"), ("T1 [Fahrenheit]", "T1", "°F"),
    ],
)  # fmt: skip
def test_temperature_units_are_found_in_headings(read: Read, heading: str, name: str, unit: str) -> None:
    """The name without its unit, and 212 °F as 100 °C (NIST SP 811, section B.8: exact)."""
    log = read(column(heading, "100.4", "122.0"))
    assert (log.channels[0].name, log.channels[0].written_unit) == (name, unit)
    expected = [100.4, 122.0] if unit == "°C" else [38.0, 50.0]
    np.testing.assert_allclose(log.channels[0].values, expected, atol=1e-9)


def test_kelvin_is_read_in_a_heading(read: Read) -> None:
    """373.15 K is 100 °C."""
    np.testing.assert_allclose(
        read(column("T1 (K)", "373.15", "394.25")).channels[0].values, [100.0, 121.1], atol=1e-9
    )


@pytest.mark.parametrize(
    ("heading", "kpa", "kind"),
    [
        ("P/kPa", 2.05, None), ("Pressure_bar", 205.0, None), ("psig", 14.134, "gauge"), ("bar(a)", 205.0, "absolute"),
        ("P (kPa abs)", 2.05, "absolute"), ("P [bar(g)]", 205.0, "gauge"), ("P psia", 14.134, "absolute"),
        ("Abs. pressure (bar)", 205.0, "absolute"), ("Gauge pressure (bar)", 205.0, "gauge"),
        ("P (MPa)", 2050.0 / 1000, None),
        ("P (barg)", 205.0, "gauge"), ("P kgf/cm2", 201.036, None), ("P (bar absolute)", 205.0, "absolute"),
    ],
)  # fmt: skip
def test_pressure_units_and_kinds_are_found_in_headings(
    read: Read, heading: str, kpa: float, kind: str
) -> None:
    """1 psi is 6.894757 kPa (NIST SP 811, table B.8); kgf/cm² is 98.0665 kPa (the same table)."""
    written = "0.00205" if "MPa" in heading else "2.05"
    log = read(column(heading, written, written))
    assert log.channels[0].quantity == "pressure"
    assert log.channels[0].pressure_kind == kind
    assert log.channels[0].values[0] == pytest.approx(kpa, abs=0.0005)


@pytest.mark.parametrize(("word", "kpa"), [("mbar", 101.33), ("hPa", 101.33), ("Pa", 1.0133)])
def test_fine_pressure_units_are_read(read: Read, word: str, kpa: float) -> None:
    """1013.3 mbar is 101.33 kPa."""
    assert read(column(f"P ({word})", "1013.3", "1013.3")).channels[0].values[0] == pytest.approx(kpa)


@pytest.mark.parametrize("heading", ["T1", "Probe C", "Chamber F", "Sensor K", "Temperature", "Probe A"])
def test_a_temperature_without_a_unit_is_refused(read: Read, heading: str) -> None:
    """A letter may be a label; the refusal names the column and the remedy."""
    says = rf"no unit is written for the temperatures in column 2 \({heading}\); say --unit C .* --unit \"{heading}=C\""
    with pytest.raises(UnreadableLog, match=says):
        read(column(heading, "70.1", "70.2"))


def test_letters_that_differ_are_labels(read: Read) -> None:
    """Probe (C) and Probe (F) are two probes, and so are T1 C and T2 F, also in two rows."""
    for heading in ("Probe (C);Probe (F)", "T1 C;T2 F", "Probe (A);Probe (C)", "Probe;Probe\n;C;F"):
        with pytest.raises(UnreadableLog, match="no unit is written"):
            read(f"Time;{heading}\n09:00:00;70.1;70.2\n09:00:01;70.1;70.2\n")


def test_a_lone_k_over_small_numbers_is_the_letter_of_a_thermocouple(read: Read) -> None:
    """No log of steam or water is below 200 K."""
    log = read(column("TC1 type K", "70.1", "70.2"), units={"": "C"})
    assert (log.channels[0].name, log.channels[0].values[0]) == ("TC1 type K", 70.1)


def test_a_pressure_without_a_unit_is_refused_unless_left_out_or_not_asked_for(read: Read) -> None:
    """Its remedy differs from that of a temperature."""
    text = "Time;T1 (°C);Pressure\n09:00:00;70.1;2.0\n09:00:01;70.1;2.0\n"
    with pytest.raises(
        UnreadableLog, match='pressures in column 3.*--unit "Pressure=kPa" or --leave-out "Pressure"'
    ):
        read(text)
    assert len(read(text, leave_out=("pressure",)).channels) == 1
    log = read(text, channels=("t1",))
    assert [c.name for c in log.channels] == ["T1"]
    assert "Left out, not among the channels asked for: column 3 (Pressure)." in log.assumptions


def test_a_number_column_that_tells_nothing_is_refused(read: Read) -> None:
    """Neither a unit nor a telling name; declared or left out, it is read or listed."""
    text = "Time;T1 (°C);Alpha\n09:00:00;70.1;2.0\n09:00:01;70.1;2.5\n"
    with pytest.raises(
        UnreadableLog, match=r'column 3 \(Alpha\) holds numbers.*--unit "Alpha=C".*--leave-out "Alpha"'
    ):
        read(text)
    assert "Left out, as declared: column 3 (Alpha)." in read(text, leave_out=("Alpha",)).assumptions
    assert read(text, units={"alpha": "bar"}).channels[1].quantity == "pressure"
    assert len(read(text, channels=("T1",)).channels) == 1


@pytest.mark.parametrize(
    ("heading", "cells", "why"),
    [
        ("No.", ("1", "2"), "a running number"), ("F0 (min)", ("0.1", "0.2"), "set or calculated"),
        ("A0", ("10", "20"), "set or calculated"), ("Humidity (%RH)", ("50", "51"), "another quantity"),
        ("Battery (V)", ("3.1", "3.1"), "another quantity"), ("Flow l/min", ("3.1", "3.1"), "another quantity"),
        ("Setpoint (°C)", ("134", "134"), "set or calculated"), ("Phase", ("heating", "holding"), "text, no readings"),
        ("Status", ("1", "1"), "another quantity"), ("Current", ("1.5", "1.2"), "another quantity"),
        ("Remark", ("start", "ok"), "text, no readings"),
    ],
)  # fmt: skip
def test_other_columns_are_left_out_with_a_note(
    read: Read, heading: str, cells: tuple[str, str], why: str
) -> None:
    """Each left out column is listed with the reason."""
    log = read(f"Time;{heading};T1 (°C)\n09:00:00;{cells[0]};70.1\n09:00:01;{cells[1]};70.1\n")
    assert [c.name for c in log.channels] == ["T1"]
    assert any(f"column 2 ({heading})" in said and why in said for said in log.assumptions)


def test_a_running_number_that_jumps_is_refused(read: Read) -> None:
    """Then it may be anything."""
    with pytest.raises(UnreadableLog, match=r"column 2 \(No\) holds numbers"):
        read("Time;No;T1 (°C)\n09:00:00;70;70.1\n09:00:01;75;70.1\n")


def test_a_row_of_units_below_the_names_counts(read: Read) -> None:
    """Names, units, readings."""
    log = read("Time;T1;P\nhh:mm:ss;°F;bar(a)\n09:00:00;212;2.05\n09:00:01;212;2.05\n")
    np.testing.assert_allclose([c.values[0] for c in log.channels], [100.0, 205.0])


def test_two_heading_rows_are_joined_and_what_is_carried_over_is_listed(read: Read) -> None:
    """An upper heading stands over the empty cells to its right."""
    log = read(
        "Time;Temperature (°C);;Pressure (bar abs)\nof day;T1;T2;P\n09:00:00;70;71;2.0\n09:00:01;70;71;2.0\n"
    )
    assert [(c.quantity, c.written_unit) for c in log.channels] == [("temperature", "°C")] * 2 + [
        ("pressure", "bar")
    ]
    assert any("stand also over 'T2'" in said for said in log.assumptions)


@pytest.mark.parametrize("cell", ["C", "°C", "degC", "Celsius"])
def test_a_constant_scale_column_gives_the_unit(read: Read, cell: str) -> None:
    """It is listed as the source of the unit."""
    log = read(f"Time;T1;T2;Scale\n09:00:00;70;71;{cell}\n09:00:01;70;71;{cell}\n")
    assert [c.written_unit for c in log.channels] == ["°C", "°C"]
    assert any("In °C, as told by column 4 (Scale)" in said for said in log.assumptions)


def test_several_unit_columns_belong_to_the_columns_before_them(read: Read) -> None:
    """T1, its unit, T2, its unit."""
    log = read("Time;T1;Unit;T2;Unit\n09:00:00;70;°C;212;°F\n09:00:01;70;°C;212;°F\n")
    np.testing.assert_allclose([c.values[0] for c in log.channels], [70.0, 100.0])


def test_a_scale_column_that_changes_is_refused_even_far_down(read: Read) -> None:
    """From the 150th row on in °F."""
    rows = "".join(f"09:{i // 60:02d}:{i % 60:02d};70.5;{'C' if i < 150 else 'F'}\n" for i in range(160))
    with pytest.raises(
        UnreadableLog, match=r"line 152, column 3 \(Scale\): the unit changes from 'C' to 'F'"
    ):
        read("Time;T1;Scale\n" + rows)
    with pytest.raises(UnreadableLog, match=r"column 3 \(Scale\) names more than one unit \(C, F\)"):
        read("Time;T1;Scale\n09:00:00;70;C\n09:00:01;158;F\n")


@pytest.mark.parametrize(
    "line", ["Unit: °F", "Units;°F", "Temperature unit: Fahrenheit", "Scale=F", "Temperatures in °F"]
)
def test_a_line_above_gives_the_unit(read: Read, line: str) -> None:
    """It is listed as the source of the unit."""
    log = read(line + "\n" + column("T1", "212", "212"))
    assert log.channels[0].values[0] == pytest.approx(100.0)
    assert any("°F, as told by the line" in said for said in log.assumptions)


def test_units_in_every_cell_count(read: Read) -> None:
    """With and without a space."""
    assert read(column("T1", "121.5 °C", "121.6°C")).channels[0].values.tolist() == [121.5, 121.6]
    assert read(column("P", "2.05 bar(a)", "2.06 bar(a)")).channels[0].pressure_kind == "absolute"


@pytest.mark.parametrize("cells", [("121.5 °C", "250.7 °F"), ("121.5 °C", "121.6"), ("121.5", "121.6 °C")])
def test_units_in_some_cells_only_or_of_two_kinds_are_refused(read: Read, cells: tuple[str, str]) -> None:
    """One unit throughout."""
    with pytest.raises(UnreadableLog, match=r"line \d, column 2 \(T1\): .* is not in °C like the column"):
        read(column("T1", *cells))


@pytest.mark.parametrize(
    "text",
    [
        "Unit: °F\n" + column("T1 (°C)", "70", "70"),
        "Time;T1 (°C);Scale\n09:00:00;70;F\n09:00:01;70;F\n",
        column("T1 (°C)", "70 °F", "70 °F"),
        "Unit: °F\nUnits: °C\n" + column("T1", "70", "70"),
        "Time;T1 (°C)\nhh:mm:ss;°F\n09:00:00;70\n09:00:01;70\n",
        column("T1 (°C/°F)", "70", "70"),
        column("T1 °C or °F", "70", "70"),
        column("Gauge pressure (bar abs)", "2.0", "2.0"),
        "Pressure: gauge\n" + column("P (bar abs)", "2.0", "2.0"),
    ],
)
def test_units_that_contradict_each_other_in_the_file_are_refused(read: Read, text: str) -> None:
    """Only one can be right, and nothing tells which."""
    with pytest.raises(UnreadableLog, match="only one can be right|two units|leaves the unit in doubt"):
        read(text)


def test_declared_units_fill_what_the_file_leaves_open(read: Read) -> None:
    """All at once, by name, by number, without a heading; each is listed."""
    assert read(column("T1", "212", "212"), units={"": "F"}).channels[0].values[0] == pytest.approx(100.0)
    assert read(column("T1", "212", "212"), units={"t1": "°F"}).channels[0].values[0] == pytest.approx(100.0)
    log = read("09:00:00;212;2.0\n09:00:01;212;2.0\n", units={"2": "F", "3": "bara"})
    assert [c.name for c in log.channels] == ["2", "3"]
    assert "In °F, as told by the declaration: column 2." in log.assumptions
    assert log.channels[1].pressure_kind == "absolute"


def test_a_declared_unit_that_contradicts_the_file_is_refused(read: Read) -> None:
    """For one column and for all."""
    with pytest.raises(UnreadableLog, match=r"column 2 \(T1 \(°C\)\) is said to be in °C and in °F"):
        read(column("T1 (°C)", "70", "70"), units={"T1": "F"})
    with pytest.raises(UnreadableLog, match="the unit °F is declared, but the file says °C"):
        read(column("T1 (°C)", "70", "70"), units={"": "F"})


def test_a_heading_with_two_units_is_read_with_the_one_declared(read: Read) -> None:
    """The heading leaves it open."""
    assert read(column("T1 (°C/°F)", "212", "212"), units={"2": "F"}).channels[0].values[0] == pytest.approx(
        100.0
    )


def test_the_kind_of_pressure_is_declared_or_stays_unknown(read: Read) -> None:
    """Unknown is None; what is declared is listed; a contradiction is refused."""
    text = column("P (bar)", "2.0", "2.0")
    assert read(text).channels[0].pressure_kind is None
    log = read(text, pressure_kind="gauge")
    assert log.channels[0].pressure_kind == "gauge"
    assert any("taken as gauge, as the declaration says" in said for said in log.assumptions)
    assert read("Pressure: absolute\n" + text).channels[0].pressure_kind == "absolute"
    for contradiction in (column("P (bar abs)", "2.0", "2.0"), "Pressure: absolute\n" + text):
        with pytest.raises(UnreadableLog, match="gauge and absolute; only one can be right"):
            read(contradiction, pressure_kind="gauge")


def test_names_that_do_not_exist_are_refused_with_those_that_do(read: Read) -> None:
    """Channels, columns to leave out, columns with a declared unit, and units."""
    text = column("T1 (°C)", "70", "70")
    for declared in ({"channels": ("T9",)}, {"leave_out": ("T9",)}, {"units": {"T9": "C"}}):
        with pytest.raises(UnknownName, match=r"no column is called 'T9'; the columns are: Time, T1 \(°C\)"):
            read(text, **declared)
    with pytest.raises(UnknownName, match="'furlong' is no unit known here; known are C, F, K"):
        read(text, units={"T1": "furlong"})


def test_channels_are_chosen_within_their_quantity(read: Read) -> None:
    """Naming temperatures keeps the pressure."""
    text = "Time;T1 (°C);T2 (°C);P (kPa abs)\n09:00:00;70;71;99\n09:00:01;70;71;99\n"
    assert [c.name for c in read(text, channels=("t2 (°c)",)).channels] == ["T2", "P"]
    assert [c.name for c in read(text, channels=("P",)).channels] == ["T1", "T2", "P"]


def test_channels_of_one_name_are_told_apart(read: Read) -> None:
    """By the whole heading, or else by the column's number."""
    text = "Time;Temp (°C);Temp (°C)\n09:00:00;70;71\n09:00:01;70;71\n"
    assert [c.name for c in read(text).channels] == ["Temp (°C) (2)", "Temp (°C) (3)"]


def test_an_empty_column_must_stay_empty(read: Read) -> None:
    """A value far down in it may be a reading."""
    rows = "".join(f"09:{i // 60:02d}:{i % 60:02d};70.5;\n" for i in range(150))
    assert len(read("Time;T1 (°C);Spare\n" + rows).channels) == 1
    with pytest.raises(
        UnreadableLog, match=r"line 152, column 3 \(Spare\): '12.5' stands in a column that is empty"
    ):
        read("Time;T1 (°C);Spare\n" + rows + "09:10:00;70.5;12.5\n")


def test_a_channel_called_like_a_lethality_is_kept_where_it_has_a_unit_of_temperature(read: Read) -> None:
    """A0 in °C is an input of a logger; without a unit it is the logger's own sum."""
    log = read("Time;A0 (°C);F0\n09:00:00;70.5;0.1\n09:00:01;70.5;0.2\n")
    assert [c.name for c in log.channels] == ["A0"]


def test_a_second_column_of_times_is_left_out_and_listed(read: Read) -> None:
    """Local time beside UTC, or elapsed time beside the date."""
    log = read(
        "Local;Elapsed;T1 (°C)\n2024-05-18 09:00:00;00:00:00;70.5\n2024-05-18 09:00:01;00:00:01;70.5\n"
    )
    assert "Left out, another time: column 2 (Elapsed)." in log.assumptions
    assert log.elapsed_s.tolist() == [0.0, 1.0]


def test_a_letter_alone_is_no_unit(read: Read) -> None:
    """Nothing tells a unit from a name."""
    with pytest.raises(UnreadableLog, match=r"column 2 \(C\) holds numbers but neither unit nor name"):
        read(column("C", "70", "71"))


@pytest.mark.parametrize("heading", ["P k-Pa", "Pressure M_Pa", "P m bar", "P k/Pa"])
def test_a_prefix_parted_from_its_unit_is_refused(read: Read, heading: str) -> None:
    """A thousand times too much or too little."""
    with pytest.raises(UnreadableLog, match="leaves the unit in doubt"):
        read(column(heading, "205.0", "206.0"))


@pytest.mark.parametrize(
    ("heading", "cell"), [("P (Pa)", "205.5"), ("P (mbar)", "2.05"), ("P (MPa g)", "0.0002")]
)
def test_pressures_that_never_reach_a_kilopascal_are_refused(read: Read, heading: str, cell: str) -> None:
    """Their unit must be another."""
    with pytest.raises(
        UnreadableLog, match=r"column 2 .*no pressure reaches 1 kPa, the highest is 0.2.* kPa"
    ):
        read(column(heading, cell, cell))


@pytest.mark.parametrize("heading", ["Pressure (a)", "P A", "PA"])
def test_a_letter_behind_a_pressure_is_no_ampere(read: Read, heading: str) -> None:
    """Nor is PA a pascal: the unit is missing."""
    with pytest.raises(
        UnreadableLog, match="no unit is written for the pressures|holds numbers but|unit in doubt"
    ):
        read(column(heading, "2.05", "2.06"))


@pytest.mark.parametrize("heading", ["Tz_v", "k1_h", "Alpha A"])
def test_a_letter_behind_an_unknown_name_does_not_make_it_another_quantity(read: Read, heading: str) -> None:
    """Only in brackets would it be volt or hour."""
    with pytest.raises(UnreadableLog, match="holds numbers but neither unit nor name tells of what"):
        read(f"Time;T1 (°C);{heading}\n09:00:00;70.5;70.5\n09:00:01;70.5;70.6\n")


def test_a_temperature_mentioned_above_states_no_unit(read: Read) -> None:
    """Neither against the headings nor for want of one."""
    assert read("Room temperature: 68 °F\n" + column("T1 (°C)", "70", "71")).channels[0].values[0] == 70.0
    with pytest.raises(UnreadableLog, match="no unit is written"):
        read("Set temperature: 250 °F\n" + column("T1", "70", "71"))

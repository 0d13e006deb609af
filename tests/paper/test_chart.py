"""The chart as a file and as data."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lungwort.errors import LungwortError
from lungwort.evidence.log import Channel
from lungwort.evidence.verdict import HeatVerdict
from lungwort.paper.chart import PHONE, as_json, chart, chart_svg, write_chart
from lungwort.paper.hover import with_hover
from lungwort.paper.series import scene

Judged = Callable[..., HeatVerdict]
HOSTILE = ("</script><script>alert(1)</script>", "a\x00b\udcff", "<b>&\"'", "የውሃ")


def twelve(make: Judged, names: list[str] | None = None) -> HeatVerdict:
    """Return a steam log of twelve channels a quarter of a degree apart."""
    times = np.arange(0.0, 900.0, 2.0)
    base = np.interp(times, [0, 300, 800, 900], [60, 123, 123, 90])
    named = names or [f"load point {i + 1}" for i in range(12)]
    channels = [Channel(n, "temperature", base - 0.25 * i, "°C") for i, n in enumerate(named)]
    return make(times, channels, ["steam-121C-15min"])


def lines(specification: dict[str, object]) -> list[dict[str, object]]:
    """Return the marks of the upper panel's curves."""
    panel = specification["vconcat"][0]  # type: ignore[index]
    return [layer["mark"] for layer in panel["layer"] if layer["mark"]["type"] == "line"]


def test_the_specification_is_plain_data(steam: HeatVerdict) -> None:
    """It can be written as JSON and read back unchanged, without NaN."""
    made = chart(steam)
    assert json.loads(json.dumps(made, allow_nan=False)) == made


def test_lines_are_told_apart_without_colour(make: Judged) -> None:
    """Twelve channels have twelve different dashes, and the coldest alone is unbroken and heaviest."""
    marks = lines(chart(twelve(make)))
    looks = {json.dumps(m.get("strokeDash")) for m in marks}
    assert len(looks) == 12
    unbroken = [m for m in marks if "strokeDash" not in m]
    assert len(unbroken) == 1
    assert unbroken[0]["strokeWidth"] == max(m["strokeWidth"] for m in marks)


def test_names_beside_the_plot_do_not_collide(make: Judged) -> None:
    """Twelve names stand at least eight px from each other."""
    svg = chart_svg(chart(twelve(make)))
    places = re.findall(r'translate\(([\d.]+),([-\d.]+)\)"[^>]*>load point \d+', svg)
    heights = sorted(float(y) for _x, y in places)
    assert len(heights) == 12
    assert np.diff(heights).min() >= 8.0


def test_a_direct_label_says_when_the_target_is_reached(bath: HeatVerdict, cool_bath: HeatVerdict) -> None:
    """The crossing is labelled, or said not to exist."""
    assert re.search(r"600 s reached after \d+ min", as_json(chart(bath)))
    assert "600 s not reached" in as_json(chart(cool_bath))


def test_the_steam_line_is_labelled_plainly(steam: HeatVerdict) -> None:
    """Readers need no word of thermodynamics."""
    assert "steam at this pressure" in as_json(chart(steam))


def test_a_decimal_comma_reaches_the_axis(bath: HeatVerdict, monkeypatch: pytest.MonkeyPatch) -> None:
    """The axis writes decimals as the language does."""
    monkeypatch.setattr("lungwort.language._", lambda text: text.replace("mark: .", "mark: ,"))
    assert chart(bath)["config"]["locale"]["number"]["decimal"] == ","


@pytest.mark.parametrize(
    ("suffix", "start"), [(".svg", b"<svg"), (".png", b"\x89PNG"), (".html", b"<!DOCTYPE html>")]
)
def test_a_chart_is_written_after_its_suffix(
    bath: HeatVerdict, tmp_path: Path, suffix: str, start: bytes
) -> None:
    """Each kind of file begins as its kind must."""
    path = tmp_path / f"chart{suffix}"
    write_chart(bath, path)
    assert path.read_bytes().lstrip().startswith(start)


def test_the_interactive_page_needs_no_network(bath: HeatVerdict, tmp_path: Path) -> None:
    """It loads no script and no style from elsewhere."""
    write_chart(bath, tmp_path / "chart.html")
    head = (tmp_path / "chart.html").read_text("utf-8")
    assert not re.search(r"<(script|link)[^>]+(src|href)=", head)


def test_the_interactive_page_says_first_what_it_shows(bath: HeatVerdict, tmp_path: Path) -> None:
    """Verdict, file and criterion stand above the curve and in the window's title, and a phone keeps its width."""
    write_chart(bath, tmp_path / "chart.html")
    text = (tmp_path / "chart.html").read_text("utf-8")
    assert re.search(r"<title>Passed: cycle\.csv · 17 March 2026 08:41 · A0-600</title>", text)
    assert "<h1>Passed</h1>" in text
    assert '<meta name="viewport" content="width=device-width' in text
    assert "actions: false" in text


def test_on_a_phone_the_names_stand_under_the_plot(steam: HeatVerdict) -> None:
    """Nothing is drawn to the right of a sheet without room for names."""
    tall = as_json(chart(steam, PHONE))
    assert "steam at this pressure" in tall
    svg = chart_svg(chart(steam, PHONE))
    assert float(re.search(r'<svg[^>]* width="([\d.]+)"', svg)[1]) < 340
    assert float(re.search(r'<svg[^>]* width="([\d.]+)"', chart_svg(chart(steam)))[1]) > 550


def test_the_chart_in_words_ends_with_the_verdict(bath: HeatVerdict) -> None:
    """Those who cannot see it hear the verdict by its plain name."""
    assert chart(bath)["description"].endswith(" Verdict: passed.")


def test_both_lethality_curves_are_drawn_to_their_ends(make: Judged) -> None:
    """A best estimate of 3.7 times the target stays inside the panel."""
    times = np.arange(0.0, 961.0, 60.0)
    verdict = make(
        times, [Channel("bath", "temperature", np.full(17, 83.7), "°C")], ["A0-600"], sensor="±1 K"
    )
    lower = chart(verdict)["vconcat"][1]["layer"][0]["encoding"]["y"]["scale"]["domain"]
    assert lower[1] > verdict.channels[0].a0_s > 3 * 600


def test_under_the_pointer_each_figure_has_its_unit(bath: HeatVerdict) -> None:
    """A time in words, temperatures in °C, lethality in its unit."""
    hovering = with_hover(chart(bath), scene(bath))
    tips = hovering["vconcat"][0]["layer"][-1]["encoding"]["tooltip"]
    titles = [tip["title"] for tip in tips]
    assert titles[0] == "after the start"
    assert titles[-2:] == ["proved A0, s", "best estimate, s"]
    assert all(title.endswith(", °C") for title in titles[1:-2])


def test_a_hostile_name_neither_closes_the_script_nor_breaks_the_drawing(
    make: Judged, tmp_path: Path
) -> None:
    """Names are data in every kind of file."""
    verdict = twelve(make, [*HOSTILE, *(f"n{i}" for i in range(8))])
    for suffix in (".svg", ".png", ".html"):
        write_chart(verdict, tmp_path / f"chart{suffix}")
    assert b"<script>alert" not in (tmp_path / "chart.html").read_bytes()
    assert b"alert(1)" in (tmp_path / "chart.html").read_bytes()
    assert b"<script>" not in (tmp_path / "chart.svg").read_bytes()


def test_an_unknown_suffix_is_refused_with_the_allowed_ones(bath: HeatVerdict, tmp_path: Path) -> None:
    """The message names the value and what is allowed."""
    with pytest.raises(LungwortError, match=r"'\.gif'.*\.svg, \.png, \.html"):
        write_chart(bath, tmp_path / "chart.gif")


def test_a_folder_that_is_not_there_is_named(bath: HeatVerdict, tmp_path: Path) -> None:
    """The message names the place and the remedy."""
    with pytest.raises(LungwortError, match=r"nowhere.*cannot be written.*folder that exists"):
        write_chart(bath, tmp_path / "nowhere" / "chart.svg")


def test_a_log_without_temperatures_still_draws(steam: HeatVerdict) -> None:
    """Nothing to draw is said, not crashed on."""
    empty = replace(steam, channels=(), log=replace(steam.log, channels=()))
    assert "no readings to reckon lethality from" in chart_svg(chart(empty))

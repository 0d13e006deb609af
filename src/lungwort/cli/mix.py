"""`lungwort mix`: a recipe for a disinfectant from the strength its stock has now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from lungwort.cli.layout import say_json
from lungwort.cli.options import AsJson
from lungwort.cli.quantities import (
    AGE_S,
    MASS_G,
    TEMPERATURE_C,
    VOLUME_ML,
    above_zero,
    quantity,
    zero_or_more,
)
from lungwort.errors import UnknownName
from lungwort.language import _

if TYPE_CHECKING:
    from lungwort.cli.mix_report import Sheet
    from lungwort.evidence.mixing import Measures, Store
    from lungwort.evidence.strengths import Liquid, Substance

_AGE = _("How the stock was kept")
_MEASURES = _("What you measure with")
_PLACE = _("Where and with what it is mixed")


def mix(
    agent: Annotated[
        str | None, typer.Option("--agent", help=_("The disinfectant, such as hypochlorite."))
    ] = None,
    stock: Annotated[
        str | None, typer.Option("--stock", help=_("As its label says: '5.25 % NaOCl w/w', '70 % powder'."))
    ] = None,
    target: Annotated[
        str | None, typer.Option("--target", help=_("Strength wanted: '1000 mg/L', '0.5 %'."))
    ] = None,
    volume: Annotated[
        str | None,
        typer.Option("--volume", help=_("How much to mix: 10L, 500mL; the bucket or 1 L if not given.")),
    ] = None,
    age: Annotated[
        str | None,
        typer.Option("--age", help=_("Since the stock was made: 180d, 6 months."), rich_help_panel=_AGE),
    ] = None,
    stored_at: Annotated[
        str | None,
        typer.Option(
            "--stored-at", help=_("Store temperature, in °C unless it says: 32, 90F."), rich_help_panel=_AGE
        ),
    ] = None,
    stored: Annotated[
        list[str] | None,
        typer.Option(
            "--stored",
            help=_("A stay, '90d at 25' (°C) or '90d at 77F', instead of --age; repeat."),
            rich_help_panel=_AGE,
        ),
    ] = None,
    keep_for: Annotated[
        str | None,
        typer.Option("--keep-for", help=_("The recipe is to hold so long: 30d."), rich_help_panel=_AGE),
    ] = None,
    density: Annotated[
        float | None,
        typer.Option(
            "--density", metavar="KG/L", help=_("Density on the label, for w/w."), rich_help_panel=_AGE
        ),
    ] = None,
    bucket: Annotated[
        str | None, typer.Option("--bucket", help=_("Your bucket: 10L."), rich_help_panel=_MEASURES)
    ] = None,
    cup: Annotated[
        str | None, typer.Option("--cup", help=_("Your cup: 50mL; whole cups."), rich_help_panel=_MEASURES)
    ] = None,
    scoop: Annotated[
        str | None, typer.Option("--scoop", help=_("Your scoop of powder: 15g."), rich_help_panel=_MEASURES)
    ] = None,
    smallest: Annotated[
        str, typer.Option("--smallest", help=_("Smallest volume you can measure."), rich_help_panel=_MEASURES)
    ] = "5mL",
    allow_below: Annotated[
        bool,
        typer.Option(
            "--allow-below", help=_("Round to the nearest, even too weak."), rich_help_panel=_MEASURES
        ),
    ] = False,
    with_: Annotated[
        list[str] | None,
        typer.Option("--with", help=_("Anything else in it; repeat."), rich_help_panel=_PLACE),
    ] = None,
    near: Annotated[
        list[str] | None,
        typer.Option("--near", help=_("What is near: flame, heater."), rich_help_panel=_PLACE),
    ] = None,
    water_temperature: Annotated[
        str | None,
        typer.Option(
            "--water-temperature",
            help=_("Of the water, in °C unless it says: 20, 68F."),
            rich_help_panel=_PLACE,
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Give a recipe for a strength, from what the stock still has; hazards come first.

    The recipe takes the cautious end of what the stock may have; a stock worse than that makes a weaker mixture.

    lungwort mix --agent bleach --stock "5.25 % NaOCl w/w" --age 180d --stored-at 32 --target "1000 mg/L" --volume 10L

    lungwort mix --agent hypochlorite --stock "12 °Chl" --target "0.5 %" --bucket 10L --cup 50mL

    lungwort mix --agent "calcium hypochlorite" --stock "70 % powder" --target "0.5 %" --volume 20L --scoop 15g

    lungwort mix --agent NaDCC --stock "2.5 g/tablet" --target "1000 mg/L" --volume 10L
    """
    from lungwort.cli import mix_cautions
    from lungwort.cli.mix_report import Sheet
    from lungwort.evidence.mixing import plan_mix
    from lungwort.evidence.strengths import Liquid, parse_strength, substance_of

    named, stock_text, target_text = (
        _needed(agent, "--agent"),
        _needed(stock, "--stock"),
        _needed(target, "--target"),
    )
    substance = substance_of(mix_cautions.agent_in_hand(named))
    held = parse_strength(stock_text, substance, density_kg_per_l=density)
    wanted = _target(target_text, substance)
    known = mix_cautions.agent_in_hand(named, held)
    mix_cautions.refuse_company(known, with_ or [])
    cautions = mix_cautions.refuse_surroundings(known, near or [])
    if water_temperature is not None:
        mix_cautions.refuse_hot_water(known, _celsius(water_temperature, "--water-temperature"))
    litres, buckets = _volume(volume, bucket)
    decays = known.name == "hypochlorite" and isinstance(held, Liquid)
    store = _store(age, stored_at, stored or [], keep_for, decays)
    plan = plan_mix(held, wanted, litres, store, _measures(cup, scoop, smallest, allow_below))
    _print(Sheet(known, held, wanted, plan, buckets, cautions), as_json)


def _needed(value: str | None, option: str) -> str:
    if value is not None and value.strip():
        return value
    from lungwort.library.agents import all_agents

    says = _(
        "{option} is missing; say what to mix with --agent (one of {agents}), --stock '5 % w/v' and --target '0.5 %'"
    )
    raise UnknownName(says.format(option=option, agents=", ".join(a.name for a in all_agents())))


def _target(text: str, substance: Substance) -> Liquid:
    from lungwort.evidence.strengths import Liquid, parse_strength

    wanted = parse_strength(text, substance, kind="target")
    assert isinstance(wanted, Liquid)  # parse_strength refuses any other form as a target
    return wanted


def _volume(volume: str | None, bucket: str | None) -> tuple[float, int]:
    """Return the litres of one bucket (or of all, where there is none) and how many buckets."""
    from lungwort.science.dilution import whole_up

    if bucket is None:
        return _litres(volume or "1L", "--volume"), 1
    litres = _litres(bucket, "--bucket")
    wanted = litres if volume is None else _litres(volume, "--volume")
    return (litres, whole_up(wanted / litres)) if wanted > litres else (wanted, 1)


def _store(
    age: str | None, stored_at: str | None, stored: list[str], keep_for: str | None, decays: bool
) -> Store:
    from lungwort.evidence.mixing import Store

    if age is not None and stored:
        raise UnknownName(
            _("--age and --stored exclude each other; give the stays alone, such as '90d at 25'")
        )
    keep_s = zero_or_more(keep_for, AGE_S, "--keep-for") if keep_for else 0.0
    warm = _celsius(stored_at, "--stored-at") if stored_at else None
    history = [_stay(text) for text in stored]
    if age is not None:
        history = [(_warmth(warm, decays), zero_or_more(age, AGE_S, "--age"))]
    last = warm if warm is not None else history[-1][0] if history else None
    if keep_s and decays and (last is None or not history):
        raise UnknownName(_("--keep-for needs the age and the store temperature; give --age and --stored-at"))
    if warm is not None and not history:
        raise UnknownName(_("--stored-at says how warm, but not how long; give --age too, such as 180d"))
    return Store(tuple(history), keep_s, last, decays, bool(history))


def _warmth(warm: float | None, decays: bool) -> float:
    if warm is None and decays:
        says = _(
            "how warm was the stock kept? 10 °C more weaken bleach four times as fast; give --stored-at, such as 32"
        )
        raise UnknownName(says)
    return 0.0 if warm is None else warm


def _stay(text: str) -> tuple[float, float]:
    """Read '90d at 25' or '90d@25' as temperature [°C] and time [s]."""

    time, at, warm = text.replace("@", " at ").partition(" at ")
    if not at:
        says = _("--stored {text!r} is not a stay; write how long and how warm, such as '90d at 25'")
        raise UnknownName(says.format(text=text))
    return _celsius(warm, "--stored"), zero_or_more(time, AGE_S, "--stored")


def _measures(cup: str | None, scoop: str | None, smallest: str, allow_below: bool) -> Measures:
    from lungwort.evidence.mixing import Measures

    return Measures(
        cup_l=_litres(cup, "--cup") if cup else None,
        scoop_g=above_zero(scoop, MASS_G, "--scoop") if scoop else None,
        smallest_l=_litres(smallest, "--smallest"),
        allow_below=allow_below,
    )


def _litres(text: str, option: str) -> float:
    return above_zero(text, VOLUME_ML, option) / 1000.0


def _celsius(text: str, option: str) -> float:
    return quantity(text, TEMPERATURE_C, option, bare=True)


def _print(sheet: Sheet, as_json: bool) -> None:
    from lungwort.cli.mix_report import plan_data, show

    if as_json:
        say_json(plan_data(sheet))
    else:
        show(sheet)

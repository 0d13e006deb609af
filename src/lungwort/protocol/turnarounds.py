"""The tables of a generic part in a first protocol: its class with source, its steps, its usual checks and duties."""

from __future__ import annotations

from collections.abc import Iterator

from lungwort.language import _
from lungwort.library.duties import Usual, usual_for
from lungwort.library.parts import Part
from lungwort.protocol.treating import Choice
from lungwort.protocol.writing import value_text

Pairs = dict[str, object]


def kind_lines(name: str, part: Part, choice: Choice | None, treats: str, cares: str) -> Iterator[str]:
    """Yield the lines of a kind's table.

    Args:
        name: the kind's name.
        part: what the library knows of it.
        choice: the treatment suggested; None where there is none.
        treats: the role that takes apart, washes and treats.
        cares: the role that checks before and after use.
    """
    yield from ("[[kind]]", f"name = {value_text(name)}", f"like = {value_text(part.name)}")
    yield f"# {part.source} [{part.basis}]"
    yield f"contact = {value_text(part.spaulding)}"
    yield from _made_of(part)
    if part.reuse == "single patient":
        yield 'reuse = "single patient"'
    else:
        yield from ("# sets_owned = 6", "# used_per_day = 1")
    yield f"on_failure = {value_text(_failure(part))}"
    yield from _steps(part, choice, treats)
    yield from _checks(part, cares)
    yield from _duties(part, cares)


def _made_of(part: Part) -> Iterator[str]:
    if part.note:
        yield f"# {part.note}"
    if part.materials:
        materials = ", ".join((*part.materials, *(f"{name} (unknown)" for name in part.unknown)))
        text = _('taken to be of {materials} [{basis}]; write materials = ["..."] as they stand on the part')
        yield f"# {text.format(materials=materials, basis=part.made_of_basis)}"


def _failure(part: Part) -> str:
    if part.reuse == "single patient":
        return _("Throw it away and take a new one.")
    return _("Set it aside with a red tag; treat it again from the wash; after two failures withdraw it.")


def _steps(part: Part, choice: Choice | None, by: str) -> Iterator[str]:
    if part.reuse == "single patient":
        return
    steps = [_step(do, by, minutes, **more) for do, minutes, more in _sequence(part, choice)]
    if choice is not None:
        yield f"# {choice.sentence}"
    elif part.level != "low":
        yield f"# {_('nothing you have is shown to suit it: ask its maker, then add a treat step')}"
    elif part.wipe_only:
        yield f"# {_('add a wipe with a disinfectant its maker names: do = treat, process = wipe')}"
    yield from ("step = [", *(f"  {step}," for step in steps), "]")


def _sequence(part: Part, choice: Choice | None) -> Iterator[tuple[str, float, Pairs]]:
    """Yield what is done, the minutes, and the keys that belong to it."""
    if part.wipe_only:
        yield (
            "wash",
            10,
            {"note": _("A cloth damp with detergent, then one damp with water; nothing dripping.")},
        )
    else:
        yield "take apart", 5, {}
        yield "wash", 15, {"note": _("Detergent, brush, under water, through every lumen.")}
        yield "rinse", 5, {"water": "tap"}
    yield "look", 5, {"note": _("Cracks, clouding, stickiness, soil left: back to the wash, or withdrawn.")}
    if choice is not None:
        yield "treat", choice.minutes, {**choice.keys, "proved_by": [choice.criterion]}
        if choice.keys["process"] == "soak":
            yield "rinse", 5, {"water": "boiled", "times": 2, "note": _("Sterile is better, filtered next.")}
    yield "dry", 5 if part.wipe_only else 90, {}
    if not part.wipe_only:
        yield "assemble", 5, {}
    yield "test", 5, {}
    yield "store", 2, {"note": _("Covered, with the date and the cycle's number.")}


def _step(do: str, by: str, minutes: float, **more: object) -> str:
    return value_text({"do": do, "by": by, "minutes": float(minutes), **more})


def _checks(part: Part, by: str) -> Iterator[str]:
    usual = [u for u in usual_for(part.name) if u.when != "in use"]
    if usual:
        yield "check = ["
        for u in usual:
            yield f"  {value_text({'when': u.when, 'what': u.name, 'by': by, **_like(u)})},  # [{u.basis}]"
        yield "]"


def _duties(part: Part, by: str) -> Iterator[str]:
    usual = [u for u in usual_for(part.name) if u.when == "in use" and not u.unless_listed]
    if usual:
        yield "duty = ["
        for u in usual:
            pairs = {"what": u.name, "by": by, **_like(u), **_every(u.every_h_at_most)}
            yield f"  {value_text(pairs)},  # [{u.basis}]"
        yield "]"


def _like(usual: Usual) -> Pairs:
    """Return the key that says which usual check or duty it is, where its words do not."""
    return {} if usual.meant_by(usual.name) else {"like": usual.name}


def _every(hours: float | None) -> Pairs:
    hours = float(hours or 24.0)
    return {"every_days": hours / 24} if hours > 48 else {"every_h": hours}

"""Whether a part or a material bears a process, with the reason for every material; the worst decides."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from lungwort.language import _
from lungwort.library.agents import Level
from lungwort.library.loading import Basis, find, weakest
from lungwort.library.materials import (
    Answer,
    Bearing,
    Material,
    find_material,
    material_table,
    materials_by_name,
    worst,
)
from lungwort.library.parts import Part, parts_by_name
from lungwort.library.treatments import Treatment, degrees, find_treatment

OUR_RULE = "Lungwort: where nobody told us, nobody may lean on it"
OXYGEN = "General practice with oxygen: oil and grease ignite in it"


@dataclass(frozen=True)
class Reason:
    """One thing said for or against, about one material or about the part, with source and basis."""

    about: str
    answer: Answer
    sentence: str
    source: str
    basis: Basis


@dataclass(frozen=True)
class Note:
    """Something to know besides, which does not change the answer."""

    sentence: str
    source: str
    basis: Basis


@dataclass(frozen=True)
class Fit:
    """Whether `thing` bears `process`: the worst reason decides; reasons stand worst first.

    It says what the process does to the part, never whether it is enough for the next patient.
    """

    thing: str
    process: str
    answer: Answer
    reasons: tuple[Reason, ...]
    notes: tuple[Note, ...] = ()

    @property
    def basis(self) -> Basis:
        """The weakest basis among the reasons."""
        return weakest(reason.basis for reason in self.reasons)


def fits(part_or_material: str, process: str) -> Fit:
    """Say whether a part or a material bears a process.

    Args:
        part_or_material: a kind of part or a material, by any of its names.
        process: as `find_treatment` reads it: "steam 134", "hot water 90" (°C), an agent, "oil".

    Returns the worst answer over all materials, with every reason: `fits`, `limited`, `not shown` (a material or a
    process of which nobody told us, a temperature the table does not reach) or `does not fit`. Above what a material
    bears for long the answer is at best `limited` for steam that the table answers for, else `does not fit`.

    Raises UnknownName for a name that is nowhere listed; OutOfRange for temperatures that steam or hot water do not
    have.

    >>> str(fits("silicone", "steam-134").answer), str(fits("acrylic", "steam-134").answer)
    ('fits', 'does not fit')
    >>> humidifier = fits("humidifier chamber", "peracetic acid")
    >>> str(humidifier.answer), humidifier.reasons[0].about
    ('does not fit', 'aluminium')
    >>> str(fits("silicone", "OPA").answer)
    'not shown'
    """
    treatment = find_treatment(process)
    says = _(
        "there is no part or material called {name!r}; near ones: {hint}. `lungwort fits` lists them all"
    )
    thing = find(part_or_material, _things(), says)
    reasons = list(_of_part(thing, treatment) if isinstance(thing, Part) else _of_material(thing, treatment))
    reasons.sort(key=lambda reason: list(Answer).index(reason.answer), reverse=True)
    answer = worst(reason.answer for reason in reasons)
    return Fit(thing.name, treatment.name, answer, tuple(reasons), tuple(_notes(thing, treatment)))


def fits_of(part_or_material: str) -> tuple[Fit, ...]:
    """Return what a part or a material bears of every process in the table, hot water at the table's hottest.

    >>> [str(fit.answer) for fit in fits_of("polyphenylsulfone")[:3]]
    ['fits', 'fits', 'fits']
    """
    return tuple(fits(part_or_material, column.name) for column in material_table().columns)


@cache
def _things() -> Mapping[str, Part | Material]:
    return {**materials_by_name(), **parts_by_name()}


def _of_part(part: Part, treatment: Treatment) -> Iterator[Reason]:
    if part.reuse == "single patient":
        sentence = _("For one patient: it is thrown away, not treated.")
        yield Reason(part.name, Answer.DOES_NOT_FIT, sentence, part.source, part.basis)
        return
    for name in part.materials:
        yield from _of_material(find_material(name), treatment)
    for unknown in part.unknown:
        sentence = _("Nobody told us what it is made of: ask its maker.")
        yield Reason(unknown, Answer.NOT_SHOWN, sentence, OUR_RULE, Basis.COMPUTED)
    yield from _of_build(part, treatment)


def _of_build(part: Part, treatment: Treatment) -> Iterator[Reason]:
    """What the build of a part adds to its materials: electronics, oxygen."""
    kind = treatment.column.kind
    usual = (part.made_of_source, part.made_of_basis)
    if part.wipe_only and kind in ("steam", "hot water"):
        sentence = _("Only to be wiped: neither heat nor water may get into it.")
        yield Reason(part.name, Answer.DOES_NOT_FIT, sentence, *usual)
    if part.wipe_only and kind == "agent":
        yield Reason(part.name, Answer.LIMITED, _("Only to be wiped with it: never soaked."), *usual)
    if part.oxygen and kind == "oil":
        sentence = _("Oxygen flows through it: oil or grease can catch fire, whatever the material.")
        yield Reason(part.name, Answer.DOES_NOT_FIT, sentence, OXYGEN, Basis.FROM_MEMORY)


def _of_material(material: Material, treatment: Treatment) -> Iterator[Reason]:
    column = treatment.column
    cell = material.bearing(column.like or column.name)
    if cell is None:
        sentence = column.note or _("Nobody told us how it bears this: ask its maker.")
        said = Reason(material.name, Answer.NOT_SHOWN, sentence, OUR_RULE, Basis.COMPUTED)
    else:
        said = _said(material, cell, treatment)
    yield said
    if treatment.temperature_c is not None:
        yield from _of_heat(material, said, treatment.temperature_c, treatment.column.kind == "steam")


def _said(material: Material, cell: Bearing, treatment: Treatment) -> Reason:
    """What the cell says, no further than it reaches."""
    column, temperature_c = treatment.column, treatment.temperature_c
    answer, sentence = cell.answer, cell.note or _plain_words(cell.answer)
    if column.like:
        answer = worst([answer, Answer.LIMITED])
        sentence = _("As with {like}: {words}").format(like=column.like, words=f"{sentence} {column.note}")
    if temperature_c is not None and cell.above_c is not None and temperature_c <= cell.above_c:
        answer = Answer.NOT_SHOWN
        sentence = _("Known not to bear more than {limit} °C; nothing is known here of less.")
        sentence = sentence.format(limit=degrees(cell.above_c))
    hottest_c = column.hottest_c
    beyond = temperature_c is not None and hottest_c is not None and temperature_c > hottest_c
    if beyond and answer is not Answer.DOES_NOT_FIT:
        answer = Answer.NOT_SHOWN
        sentence = _("The table speaks of no more than {limit} °C.").format(limit=degrees(hottest_c or 0.0))
    return Reason(material.name, answer, sentence, cell.source, cell.basis)


def _plain_words(answer: Answer) -> str:
    return {
        Answer.FITS: _("Bears it."),
        Answer.LIMITED: _("Bears it within limits."),
        Answer.NOT_SHOWN: _("Nothing is known here."),
        Answer.DOES_NOT_FIT: _("Does not bear it."),
    }[answer]


def _of_heat(material: Material, said: Reason, temperature_c: float, short: bool) -> Iterator[Reason]:
    """Compare the temperature with what the material bears for long; steam is short, and the table's answer counts."""
    low_c = material.long_c
    high_c = material.long_at_most_c or low_c
    if temperature_c <= low_c:
        return
    answered = said.answer in (Answer.FITS, Answer.LIMITED)
    within = temperature_c <= high_c
    answer = Answer.LIMITED if within or (short and answered) else Answer.DOES_NOT_FIT
    sentence = _within_words() if within else _above_words()
    words = sentence.format(value=degrees(temperature_c), low=degrees(low_c), high=degrees(high_c))
    yield Reason(material.name, answer, words, material.source, material.basis)


def _within_words() -> str:
    return _("{value} °C is where grades differ: handbooks let it bear {low} to {high} °C for long.")


def _above_words() -> str:
    return _("{value} °C is more than the {high} °C it bears for long: each exposure ages it.")


def _notes(thing: Part | Material, treatment: Treatment) -> Iterator[Note]:
    makers = _("The maker's instructions for the part in hand override this answer.")
    yield Note(makers, "Lungwort", Basis.COMMON_PRACTICE)
    if isinstance(thing, Part):
        yield from _part_notes(thing, treatment)
        return
    if thing.note:
        yield Note(thing.note, thing.source, thing.basis)
    if treatment.column.kind == "oil":
        yield Note(_("Never where oxygen flows: oil or grease can catch fire."), OXYGEN, Basis.FROM_MEMORY)


def _part_notes(part: Part, treatment: Treatment) -> Iterator[Note]:
    if part.note:
        yield Note(part.note, part.made_of_source, part.made_of_basis)
    if part.materials:
        sentence = _("Taken to be of {materials}: look what the part in hand is made of.")
        sentence = sentence.format(materials=", ".join(part.materials))
        yield Note(sentence, part.made_of_source, part.made_of_basis)
    if part.reuse == "reusable":
        yield from _level_notes(part, treatment)


def _level_notes(part: Part, treatment: Treatment) -> Iterator[Note]:
    """Say where the process, borne or not, is too little for the part."""
    level, order = treatment.level, list(Level)
    if level is not None and order.index(level) < order.index(part.level):
        sentence = _(
            "It reaches {level} level; this part ({spaulding}) needs {needed}: not enough by itself."
        )
        sentence = sentence.format(level=level, spaulding=part.spaulding, needed=part.level)
        yield Note(sentence, part.source, part.basis)
    if treatment.column.kind == "hot water" and part.level is Level.HIGH:
        sentence = _("Whether hot water is enough depends on its temperature and time: prove the cycle.")
        yield Note(sentence, "ISO 15883-1: A0", Basis.FROM_MEMORY)

"""What these records cannot show, said with every answer: it never says that nobody else was exposed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from lungwort.language import _, ngettext
from lungwort.records.chain.identity import moment_of
from lungwort.records.look_back.question import Question
from lungwort.records.look_back.result import Exposure, LastGood, TouchedPart
from lungwort.wording import moment


def not_shown(
    question: Question,
    exposures: Sequence[Exposure],
    parts: Sequence[TouchedPart],
    last_good: Sequence[LastGood],
    mended: str,
    cut: bool,
) -> tuple[str, ...]:
    """Return the limits of an answer as sentences, the gravest first.

    Args:
        question: as it was asked.
        exposures, parts, last_good: what was found.
        mended: when a defect was recorded before the inspection at which the search stopped; "" for none.
        cut: whether the search stopped at its limit.
    """
    return (
        *(
            [_("The search stopped at its limit: more parts and patients are linked than are listed.")]
            if cut
            else []
        ),
        *_mended(mended),
        *_unbounded(last_good),
        *_never_tested(question, last_good),
        *_about_question(question),
        *_about_cycles(question),
        *_about_uses(exposures),
        *_wiped_only(parts),
        *_always(),
    )


def _unbounded(last_good: Iterable[LastGood]) -> Iterator[str]:
    codes = sorted({good.thing.code for good in last_good if not good.evidence.kind})
    if codes:
        text = _("No good evidence was found behind {codes}: not shown, back to enrolment.")
        yield text.format(codes=", ".join(codes))


def _mended(defect_at: str) -> Iterator[str]:
    if defect_at:
        text = _(
            "A defect was recorded on {moment}, and the part was found without defect since: who used it before that "
            "defect was found is not listed; ask again up to that moment."
        )
        yield text.format(moment=moment(moment_of(defect_at)))


def _never_tested(question: Question, last_good: Iterable[LastGood]) -> Iterator[str]:
    """Say that growth was bounded by what cannot show its absence, where no better evidence was found."""
    stops = [good.evidence for good in last_good if good.evidence.kind == "cycle"]
    if question.start_kind == "positive indicator" and stops:
        text = _(
            "No negative biological indicator was found before: cycles up to {code} passed by their readings alone "
            "and are not doubted; ask by the equipment, from an earlier moment, if they may have failed too."
        )
        yield text.format(code=stops[0].code)


def _about_question(question: Question) -> Iterator[str]:
    if question.start_kind == "infected patient":
        yield _(
            "What a part gave to other parts of the same set-up while it was on a later or an earlier patient is not "
            "followed further."
        )
        yield _(
            "That the patient has one reference here, and nobody else has the same, is taken for granted."
        )
    if question.start_kind == "defective part" and not question.since:
        yield _(
            "Uses before the last inspection without defect are not listed; if it may have missed the defect, or the "
            "part was repaired since, ask again from an earlier moment."
        )
    if question.start_kind == "faulty equipment" and not question.since:
        yield _(
            "Cycles before the last good evidence are not doubted; if the fault may have deceived it, ask again from "
            "an earlier moment."
        )


def _about_cycles(question: Question) -> Iterator[str]:
    if question.start_kind in ("failed cycle", "wrong batch", "infected patient"):
        yield _(
            "A passed cycle counts as good evidence here, even where a positive indicator in another cycle of the "
            "same equipment puts it in doubt; look back from that indicator too."
        )


def _about_uses(exposures: Sequence[Exposure]) -> Iterator[str]:
    excepted = sorted({e.set_up for e in exposures if e.by_exception})
    if excepted:
        text = ngettext(
            "{count} use was of a part released by exception, without proof: set-up {codes}.",
            "{count} uses were of parts released by exception, without proof: set-ups {codes}.",
            len(excepted),
        )
        yield text.format(count=len(excepted), codes=", ".join(excepted))
    late = sorted({e.set_up for e in exposures if e.late})
    if late:
        text = ngettext(
            "{count} use was entered afterwards, its times as remembered: set-up {codes}.",
            "{count} uses were entered afterwards, their times as remembered: set-ups {codes}.",
            len(late),
        )
        yield text.format(count=len(late), codes=", ".join(late))


def _wiped_only(parts: Sequence[TouchedPart]) -> Iterator[str]:
    wiped = sorted(part.code for part in parts if part.good_since.kind == "wipe")
    if wiped:
        text = _("Wiped since and released by the rules, which is not proved: {codes}.")
        yield text.format(codes=", ".join(wiped))


def _always() -> Iterator[str]:
    yield _(
        "Only what was recorded is followed: uses, loans and patients that were never entered, or other hospitals, "
        "are not in it, nor is any way but shared parts."
    )
    yield _("It is not shown that nobody else was exposed, nor that anybody listed was harmed.")

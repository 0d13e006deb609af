"""Dryness by weight: what water is left in a part, judged to a verdict in the same form as heat."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from lungwort.errors import UnreadableLog
from lungwort.evidence.rules.common import between, finding, unmeasured
from lungwort.evidence.verdict import CriterionVerdict, Finding, Outcome, Verdict
from lungwort.language import _, number
from lungwort.library.criteria import Criterion, Limit
from lungwort.typed import two_meanings, typed_number

SCALE_ERROR_G = 1.0  # where nobody states it: a kitchen scale that shows grams (common practice)
_LINE = re.compile(
    r"(?P<what>dry|now|scale)\s*(?:±|\+/-)?\s*(?P<grams>\d+(?:[.,]\d+)?)\s*(?P<unit>k?g)", re.IGNORECASE
)


@dataclass(frozen=True)
class Weights:
    """A part's weight when known to be dry and its weight now, in g, with the scale's largest error."""

    dry_g: float | None = None
    now_g: float | None = None
    scale_error_g: float = SCALE_ERROR_G
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class DrynessVerdict(Verdict):
    """The judgement of a part's dryness."""

    weights: Weights


def read_weights(lines: Sequence[str]) -> Weights:
    """Read weights written by hand: "dry 412 g", "now 412.5 g", "scale ±0.1 g"; several parted by semicolons.

    Raises UnreadableLog naming the line and what is allowed.

    >>> read_weights(["dry 412 g; now 413,5 g; scale ±0.1 g"]).now_g
    413.5
    """
    found: dict[str, float] = {}
    for line in (part.strip() for text in lines for part in text.split(";")):
        match = _LINE.fullmatch(line)
        if line and (match is None or match["what"].lower() in found):
            text = _(
                "{line!r} is no weight, or a second one; write dry 412 g, now 413.5 g, scale ±0.1 g, once each"
            )
            raise UnreadableLog(text.format(line=line))
        if match:
            _require_clear(line, match["grams"])
            factor = 1000.0 if match["unit"].lower() == "kg" else 1.0
            found[match["what"].lower()] = typed_number(match["grams"]) * factor
    if found.get("dry") == 0.0:
        raise UnreadableLog(_("a dry weight of 0 g is no weight; write the part's own, such as dry 412 g"))
    said = (
        ()
        if "scale" in found
        else (_("The scale is taken as good to 1 g; state its own, such as scale ±0.1 g."),)
    )
    return Weights(found.get("dry"), found.get("now"), found.get("scale", SCALE_ERROR_G), said)


def _require_clear(line: str, digits: str) -> None:
    """Refuse 1,250 g: a thousand or one and a quarter."""
    shown = two_meanings(digits)
    if shown is not None:
        text = _("{line!r} may be a thousand or a fraction; write {whole} or {fraction}")
        raise UnreadableLog(text.format(line=line, **shown))


def judge_dryness(weights: Weights, criteria: Sequence[Criterion]) -> DrynessVerdict:
    """Return what a part's weights show of each criterion of dryness."""
    judged = tuple(CriterionVerdict(c, tuple(_judge_residue(weights, x) for x in c.limits)) for c in criteria)
    said = _("The dry weight is this part's own, taken with the same scale when it was known to be dry.")
    return DrynessVerdict(judged, (), (*weights.assumptions, said), None, weights)


def _judge_residue(weights: Weights, limit: Limit) -> Finding:
    """Judge the water left, both weighings erring as much as the scale can."""
    if not weights.dry_g or weights.now_g is None or limit.at_most is None:
        return unmeasured(limit, _("Both the dry weight and the weight now are needed."), limit.at_most)
    left_g = weights.now_g - weights.dry_g
    error_g = 2 * weights.scale_error_g
    share, error = 100 * left_g / weights.dry_g, 100 * error_g / weights.dry_g
    text = _(
        "{left} g of water are left (±{error} g), {share} % of the dry weight; {most} % at most."
    ).format(left=number(left_g), error=number(error_g), share=number(share, 2), most=number(limit.at_most))
    if left_g < -error_g:
        text = _("The part weighs {less} g less than dry: one of the weights is not this part's.").format(
            less=number(-left_g)
        )
        return finding(limit, Outcome.NOT_SHOWN, text, share, limit.at_most)
    outcome = between(share + error <= limit.at_most, share - error > limit.at_most)
    return finding(limit, outcome, text, share, limit.at_most)

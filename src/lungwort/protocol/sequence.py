"""What rules ask of a turnaround's steps: which agent is used, what stands where, whether the part breathes."""

from __future__ import annotations

from functools import lru_cache

from lungwort.language import _
from lungwort.library.agents import Agent
from lungwort.library.mixtures import Danger, dangerous
from lungwort.protocol.document import Protocol
from lungwort.protocol.finding import Severity
from lungwort.protocol.kinds import Kind, Step
from lungwort.protocol.lines import Path


def agent_of(protocol: Protocol, step: Step) -> Agent | None:
    """Return the agent that a soak or a wipe uses; None for other steps, and where the stock is not listed."""
    stock = protocol.stock(step.stock) if step.process in ("soak", "wipe") else None
    return None if stock is None else stock.described


def substance_of(protocol: Protocol, step: Step) -> str | None:
    """Return what a treat step brings to the part, by a name that mixtures.toml knows: an agent, steam, hot water."""
    if step.process in ("steam", "hot water"):
        return step.process
    agent = agent_of(protocol, step)
    return None if agent is None else agent.name


@lru_cache(maxsize=1024)
def danger_between(one: str, other: str) -> Danger | None:
    """Return the worst that is known against mixing two substances, remembered."""
    return dangerous(one, other)


def meeting(protocol: Protocol, kind: Kind, s: int) -> tuple[int, Danger] | None:
    """Return the treat step that follows the chemical of step `s` unrinsed, with the danger of the two meeting.

    None where nothing is known against it, or where it is rinsed off (or, a spirit, dried off) before.
    """
    first = agent_of(protocol, kind.steps[s])
    if first is None:
        return None
    ends = ("rinse",) if first.rinse.times else ("rinse", "dry")
    for later in range(s + 1, len(kind.steps)):
        step = kind.steps[later]
        if step.do in ends:
            return None
        if step.do == "treat":
            second = substance_of(protocol, step)
            danger = None if second is None else danger_between(first.name, second)
            return None if danger is None else (later, danger)
    return None


def at_step(k: int, s: int, key: str) -> Path:
    """Return the path of a key of a step."""
    return ("kind", k, "step", s, key)


def places(kind: Kind, *dos: str) -> list[int]:
    """Return the places of the steps that do one of `dos`, in their order."""
    return [s for s, step in enumerate(kind.steps) if step.do in dos]


def named(s: int, step: Step) -> str:
    """Name a step as people count: step 3 (treat)."""
    return _("step {count} ({do})").format(count=s + 1, do=_(step.do))


def for_one_patient(kind: Kind) -> bool:
    """Return whether a kind, or the generic part it is like, is for a single patient."""
    return kind.reuse == "single patient" or (
        kind.generic is not None and kind.generic.reuse == "single patient"
    )


def breathes(kind: Kind) -> bool:
    """Return whether a kind touches more than whole skin, by its own contact class or by that of what it is like."""
    classes = [kind.contact, *((kind.generic.spaulding,) if kind.generic else ())]
    return any(each != "non-critical" for each in classes)


def by_contact(kind: Kind) -> Severity:
    """Return error for what touches airway or tissue, warning for what touches whole skin only."""
    return Severity.ERROR if breathes(kind) else Severity.WARNING

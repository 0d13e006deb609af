"""Agents: chemicals that disinfect, what each reaches and what it does to people, loaded from agents.toml."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any, Literal

from lungwort.errors import UnusableLibrary
from lungwort.language import _
from lungwort.library.loading import Basis, find, plain, row, shipped, tables, weakest

FILE = "agents.toml"

PercentBasis = Literal["w/w", "w/v", "v/v"]
LimitKind = Literal["ceiling", "TWA", "STEL", "IDLH", "surface"]


class Level(StrEnum):
    """How far a treatment goes, lowest first."""

    LOW = "low"
    INTERMEDIATE = "intermediate"
    HIGH = "high"
    STERILANT = "sterilant"


@dataclass(frozen=True)
class Rinse:
    """How a part is rinsed after an agent: kind of water and number of times."""

    water: str
    times: int
    source: str
    basis: Basis
    note: str = ""


@dataclass(frozen=True)
class Use:
    """One way to use an agent, and the level it reaches: a suggestion until the hospital adopts it.

    `strength_mg_per_l` and `strength_at_most_mg_per_l` in mg/L of the agent's active substance; the alcohols, which
    are no dilute solutions, carry `strength_percent` and `strength_at_most_percent` on `percent_basis` instead.
    `contact_s` is the cautious end of the times that documents and labels give, `contact_shortest_s` the other end.
    `minimum_effective_mg_per_l` is the strength below which a solution in use is thrown away; `use_life_days` and
    `use_life_loads` end it too, whichever comes first. None says that nobody told us, never that there is no limit.
    """

    name: str
    level: Level
    tradition: str
    contact_s: float
    source: str
    basis: Basis
    contact_shortest_s: float | None = None
    strength_mg_per_l: float | None = None
    strength_at_most_mg_per_l: float | None = None
    strength_percent: float | None = None
    strength_at_most_percent: float | None = None
    percent_basis: PercentBasis | None = None
    temperature_c: float | None = None
    temperature_at_most_c: float | None = None
    minimum_effective_mg_per_l: float | None = None
    use_life_days: float | None = None
    use_life_loads: int | None = None
    note: str = ""

    @property
    def floor_mg_per_l(self) -> float | None:
        """The weakest solution that may still be used: the minimum effective strength, else the use's own."""
        if self.minimum_effective_mg_per_l is not None:
            return self.minimum_effective_mg_per_l
        return self.strength_mg_per_l


@dataclass(frozen=True)
class Hazard:
    """One thing an agent does to people, parts or the room, as a sentence."""

    sentence: str
    source: str
    basis: Basis


@dataclass(frozen=True)
class ExposureLimit:
    """How much of a vapour a person may meet; `substance` may differ from the agent (bleach gives off chlorine)."""

    substance: str
    body: str
    kind: LimitKind
    source: str
    basis: Basis
    ppm: float | None = None
    mg_per_m3: float | None = None
    surface_ug_per_100cm2: float | None = None
    over_min: float | None = None
    molar_mass_g_per_mol: float | None = None


@dataclass(frozen=True)
class Protection:
    """One piece of protective equipment, or a demand on the room."""

    item: str
    source: str
    basis: Basis


@dataclass(frozen=True)
class Surrounding:
    """A surrounding in which an agent must not be used: `name` is a short key such as flame, heat or hot water."""

    name: str
    sentence: str
    source: str
    basis: Basis


@dataclass(frozen=True)
class Agent:
    """A chemical that disinfects; `active_substance` is what its strength in mg/L counts."""

    name: str
    aliases: tuple[str, ...]
    active_substance: str
    formula: str
    molar_mass_g_per_mol: float
    uses: tuple[Use, ...]
    rinse: Rinse
    hazards: tuple[Hazard, ...]
    protections: tuple[Protection, ...]
    surroundings: tuple[Surrounding, ...]
    exposure_limits: tuple[ExposureLimit, ...] = ()
    vapour: str = ""
    note: str = ""

    @property
    def level(self) -> Level:
        """The highest level that any of its uses reaches."""
        return max((use.level for use in self.uses), key=list(Level).index)

    @property
    def basis(self) -> Basis:
        """The weakest basis among its uses, rinse, hazards, limits, protections and surroundings."""
        groups = (
            self.uses,
            (self.rinse,),
            self.hazards,
            self.exposure_limits,
            self.protections,
            self.surroundings,
        )
        return weakest(fact.basis for group in groups for fact in group)

    def use(self, name: str) -> Use | None:
        """Return the use called `name`, or None."""
        return next((use for use in self.uses if plain(use.name) == plain(name)), None)

    def surrounding(self, name: str) -> Surrounding | None:
        """Return why the agent must not be used in a surrounding, or None where nothing is known against it."""
        return next((s for s in self.surroundings if plain(s.name) == plain(name)), None)


def parse_agents(text: str) -> tuple[Agent, ...]:
    """Read agents from TOML text: `[[agent]]` tables with rows of use, hazard, exposure_limit and so on beneath them.

    An agent `like` an earlier one has that one's rows and rinse besides its own.

    Raises UnusableLibrary where a row lacks a needed value, its source or its basis, or a use has no strength.
    """
    agents: dict[str, Agent] = {}
    for raw in tables(text, FILE)["agent"]:
        agent = _agent(raw, agents)
        agents[agent.name] = agent
    return tuple(agents.values())


_ROWS: Mapping[str, tuple[str, Any]] = {
    "use": ("uses", Use),
    "hazard": ("hazards", Hazard),
    "exposure_limit": ("exposure_limits", ExposureLimit),
    "protection": ("protections", Protection),
    "surrounding": ("surroundings", Surrounding),
}


def _agent(raw: Mapping[str, Any], earlier: Mapping[str, Agent]) -> Agent:
    owner = str(raw.get("name", "?"))
    own = {key: value for key, value in raw.items() if key not in _ROWS and key != "like"}
    for key, (field, kind) in _ROWS.items():
        own[field] = tuple(_row(kind, item, f"{key} of {owner}") for item in raw.get(key, []))
    if "rinse" in raw:
        own["rinse"] = row(Rinse, raw["rinse"], f"rinse of {owner}", FILE)
    if "like" in raw:
        own = _with_rows_of(_like(raw, earlier), own)
    return row(Agent, own, f"agent {owner}", FILE)


def _like(raw: Mapping[str, Any], earlier: Mapping[str, Agent]) -> Agent:
    if raw["like"] in earlier:
        return earlier[raw["like"]]
    says = _(
        "agent {name} in {file} is like {like}, which does not stand before it; move it or mend the name"
    )
    raise UnusableLibrary(says.format(name=raw.get("name", "?"), file=FILE, like=raw["like"]))


def _with_rows_of(other: Agent, own: Mapping[str, Any]) -> dict[str, Any]:
    joined = {field: own[field] + getattr(other, field) for field, _kind in _ROWS.values()}
    return {"rinse": other.rinse, **own, **joined}


def _row(kind: type[Any], raw: Mapping[str, Any], what: str) -> Any:
    if kind is not Use:
        return row(kind, raw, what, FILE)
    use = row(Use, raw, f"{what} ({raw.get('name', '?')})", FILE, level=Level)
    percent = use.strength_percent is not None and use.percent_basis is not None
    if percent == (use.strength_mg_per_l is not None):
        says = _(
            "{what} in {file} needs strength_mg_per_l, or strength_percent with percent_basis, and not both"
        )
        raise UnusableLibrary(says.format(what=f"{what} ({use.name})", file=FILE))
    return use


@cache
def all_agents() -> tuple[Agent, ...]:
    """Return the agents that ship with Lungwort: suggestions, none of them adopted by anyone."""
    return parse_agents(shipped(FILE))


@cache
def _by_name() -> Mapping[str, Agent]:
    return {plain(name): agent for agent in all_agents() for name in (agent.name, *agent.aliases)}


def find_agent(name: str) -> Agent:
    """Return the agent called `name` (any case, hyphens as spaces, aliases included).

    Raises UnknownName listing near names where there is none.

    >>> find_agent("Bleach").name, find_agent("PAA").name
    ('hypochlorite', 'peracetic acid')
    >>> str(find_agent("glutaraldehyde").level)
    'sterilant'
    """
    return find(name, _by_name(), _("there is no agent called {name!r}; near ones: {hint}"))

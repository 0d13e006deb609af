"""Finding what a deed is about; what is not known stops a deed at once, since no other rule could speak of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lungwort.language import _
from lungwort.protocol.document import Protocol
from lungwort.protocol.kinds import Kind
from lungwort.records.chain.event import Thing
from lungwort.records.codes.own import is_own, looks_own
from lungwort.records.life.as_of import as_it_stands
from lungwort.records.life.reasons import Reason, Refused
from lungwort.records.states.kinds import PartState, ProtocolState, State
from lungwort.records.states.view import S, View

PROTOCOL = "protocol"
"""The code under which a place's protocol is recorded."""


def known(view: View, shape: type[S], code: str) -> S:
    """Return what a thing is now; refused where nothing is known of it."""
    state = view.state(shape, code)
    if state is None:
        raise Refused([_unknown(view, shape, code)])
    return state


def _unknown(view: View, shape: type[State], code: str) -> Reason:
    words = {"kind": kind_words(shape.kind), "code": code, "place": view.place}
    if as_it_stands(view).state(shape, code) is not None:
        says = _("{kind} {code} was not known yet in {place} at that time").format(**words)
        next_step = _(
            "give the time at which it happened; if that is right, correct when {code} was enrolled"
        )
        return Reason("unknown", says, next_step.format(code=code), firm=True)
    says = _("no {kind} {code} is known in {place}").format(**words)
    mistyped = next(well_typed(code), None)
    return mistyped or Reason("unknown", says, _("check the code, or enrol it first"), firm=True)


def well_typed(code: str) -> Iterator[Reason]:
    """Yield that a code is meant as one of ours and does not fit its check character: it was mistyped."""
    if looks_own(code) and not is_own(code):
        says = _("{code} is no code that was ever printed: a character is wrong, or two are swapped")
        yield Reason("unknown", says.format(code=code), _("read the label again"), firm=True)


def new_code(view: View, shape: type[State], code: str) -> Iterator[Reason]:
    """Yield that a code is taken, at whatever time: two things never bear the same; or that it was mistyped."""
    yield from well_typed(code)
    if as_it_stands(view).state(shape, code) is not None:
        says = _("{code} is enrolled already").format(code=code)
        yield Reason("code", says, _("use another code for this one"), firm=True)


def kind_words(kind: str) -> str:
    """Return the name of a kind of thing for people to read.

    >>> kind_words("set_up")
    'set-up'
    """
    names = {
        "part": _("part"),
        "set_up": _("set-up"),
        "cycle": _("cycle"),
        "equipment": _("equipment"),
        "batch": _("batch"),
        "person": _("person"),
        "patient": _("patient"),
        "criterion": _("criterion"),
        "protocol": _("protocol"),
        "place": _("place"),
    }
    return names.get(kind, kind)


def parts_known(view: View, codes: Iterable[str]) -> list[PartState]:
    """Return parts as they are now; refused where one is not known, or none is named."""
    found = [known(view, PartState, code) for code in codes]
    if not found:
        says, next_step = _("no part is named"), _("name the parts by their codes")
        raise Refused([Reason("unknown", says, next_step, firm=True)])
    return found


def part_things(codes: Iterable[str]) -> tuple[Thing, ...]:
    """Return parts as things of an event, each once."""
    return tuple(Thing(code, "part") for code in dict.fromkeys(codes))


def in_force(view: View) -> Protocol:
    """Return the protocol in force; refused where none is."""
    state = view.state(ProtocolState, PROTOCOL)
    if state is None or state.status != "in force":
        says = _("no protocol version is in force")
        if state is not None:
            says = _("protocol version {version} was withdrawn: {why}").format(
                version=state.version, why=state.withdrawn.get(state.version, "")
            )
        next_step = _("the infection control lead publishes a version")
        raise Refused([Reason("protocol", says, next_step)])
    return protocol_kept(view, state.versions[state.version])


def protocol_kept(view: View, sha256: str) -> Protocol:
    """Return a published protocol by its document's digest."""
    if sha256 not in _READ:
        from lungwort.protocol.reading import parse_protocol

        _READ[sha256] = parse_protocol(view.evidence(sha256).decode("utf-8")).protocol
    return _READ[sha256]


_READ: dict[str, Protocol] = {}
"""Protocols by their document's digest: each is read once, and can never change."""


def kind_of(protocol: Protocol, part: PartState) -> Kind:
    """Return a part's kind in a protocol; refused where the protocol has none such."""
    kind = protocol.kind(part.of_kind)
    if kind is None:
        says = _("{code} is a {kind}, of which the protocol in force says nothing").format(
            code=part.code, kind=part.of_kind
        )
        next_step = _("the infection control lead adds the kind to the protocol")
        raise Refused([Reason("protocol", says, next_step)])
    return kind

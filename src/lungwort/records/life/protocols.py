"""Deeds on the protocol: a version published or withdrawn, a criterion adopted or dropped."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from lungwort.errors import LungwortError
from lungwort.language import _
from lungwort.library.catalogue import find_criterion
from lungwort.protocol.finding import Severity
from lungwort.protocol.reading import Document, parse_protocol
from lungwort.protocol.vet import vet
from lungwort.records.chain.event import Attachment, Event, Thing
from lungwort.records.life.as_of import as_it_stands
from lungwort.records.life.deed import Proposal, do, gathered
from lungwort.records.life.known import PROTOCOL, known
from lungwort.records.life.parts import said
from lungwort.records.life.reasons import Reason
from lungwort.records.life.witness import Witness
from lungwort.records.states.kinds import CriterionState, ProtocolState
from lungwort.records.states.view import View


def publish(witness: Witness, text: str, file_name: str = "protocol.toml") -> Event:
    """Publish a version of the protocol; vetting must find no error in it. It is in force from now on.

    Args:
        witness: the infection control lead.
        text: the document, TOML.
        file_name: for messages, and to keep it under.

    Raises:
        UnreadableProtocol: the document cannot be read.
        Refused: vetting found errors, or the version was published before.
    """
    document = parse_protocol(text, Path(file_name).name)
    told = {"version": document.protocol.version, "title": document.protocol.title}

    def plan(view: View) -> Proposal:
        reasons = gathered(_new_version(view, document), _vetted(view, document))
        return Proposal((Thing(PROTOCOL, "protocol"),), told, reasons)

    attached = (Attachment(document.file_name, text.encode("utf-8")),)
    return do(witness, "protocol.published", plan, attached, decides=True)


def _new_version(view: View, document: Document) -> Iterator[Reason]:
    state = as_it_stands(view).state(ProtocolState, PROTOCOL)
    if state is not None and document.protocol.version in state.versions:
        says = _("version {version} was published already").format(version=document.protocol.version)
        yield Reason("version", says, _("give the document a new version"), firm=True)


def _vetted(view: View, document: Document) -> Iterator[Reason]:
    for finding in vet(document, view.now.date()).of(Severity.ERROR):
        says = _("line {line}: {says}").format(line=finding.line, says=finding.says)
        yield Reason(f"vetting {finding.rule}", says.rstrip("."), finding.remedy.rstrip("."))


def withdraw(witness: Witness, version: str, reason: str) -> Event:
    """Withdraw a version: nothing is done by it any more, and what it treated opens no gate."""

    def plan(view: View) -> Proposal:
        state = known(view, ProtocolState, PROTOCOL)
        reasons = gathered(_was_published(state, version), said(reason))
        return Proposal((Thing(PROTOCOL, "protocol"),), {"version": version, "reason": reason}, reasons)

    return do(witness, "protocol.withdrawn", plan, decides=True)


def _was_published(state: ProtocolState, version: str) -> Iterator[Reason]:
    if version not in state.versions or version in state.withdrawn:
        standing = [v for v in state.versions if v not in state.withdrawn]
        says = _("version {version} was never published, or was withdrawn already").format(version=version)
        yield Reason(
            "version", says, _("give one of: {names}").format(names=", ".join(standing) or "–"), firm=True
        )


def adopt(witness: Witness, criterion: str, source: str) -> Event:
    """Adopt a criterion for the hospital, by a named, authorised person after the hospital's own source."""

    def plan(view: View) -> Proposal:
        try:
            name = find_criterion(criterion).name
        except LungwortError as error:
            reason = Reason(
                "criterion", str(error).rstrip("."), _("give a criterion of the library"), firm=True
            )
            return Proposal((), {}, (reason,))
        return Proposal((Thing(name, "criterion"),), {"source": source}, gathered(said(source)))

    return do(witness, "criterion.adopted", plan, decides=True)


def drop(witness: Witness, criterion: str, reason: str) -> Event:
    """Drop a criterion that was adopted; from then on it opens no gate."""

    def plan(view: View) -> Proposal:
        state = known(view, CriterionState, criterion)
        return Proposal((Thing(state.code, "criterion"),), {"reason": reason}, gathered(said(reason)))

    return do(witness, "criterion.dropped", plan, decides=True)

"""Pages that show things: lists, one thing, its label."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from lungwort.language import _
from lungwort.records.chain.event import Thing
from lungwort.records.life.known import PROTOCOL, kind_words
from lungwort.records.life.permissions import MAY
from lungwort.records.states.kinds import CycleState, PartState, SetUpState, State
from lungwort.records.states.view import View
from lungwort.records.stores.place_view import PlaceView
from lungwort.web.access import for_everybody
from lungwort.web.things.enrolling import DEEDS
from lungwort.web.things.going_on import standing_of
from lungwort.web.things.history import Entry, entry, story_of
from lungwort.web.things.listing import A_PAGE, ORDERS, Asked, as_csv, asked_of, found
from lungwort.web.things.offers import offers_of
from lungwort.web.things.present import lines_of
from lungwort.web.things.shapes import SHAPES, TABS, described, detail, page_of, remembering, tab_of
from lungwort.web.things.symbol import SYMBOLS, symbol

MOST_LABELS = 40
MOST_EXCEPTIONS = 3
"""Exceptions told in full at the head of a page; the story has every one."""


@for_everybody
@require_safe
def things(request: HttpRequest) -> HttpResponse | StreamingHttpResponse:
    """Show a list of things, or give it as CSV."""
    book: Any = request.book  # type: ignore[attr-defined]
    asked = asked_of(request.GET.dict())
    states = found(book.view(), asked)
    if request.GET.get("form") == "csv":
        answer = StreamingHttpResponse(as_csv(states), content_type="text/csv; charset=utf-8")
        answer.headers["Content-Disposition"] = f'attachment; filename="{asked.tab}.csv"'
        return answer
    return render(request, "things/things.html", _listed(request, states, asked))


def _listed(request: HttpRequest, states: Sequence[State], asked: Asked) -> dict[str, Any]:
    pages = max(1, -(-len(states) // A_PAGE))
    page = min(asked.page, pages)
    begin = (page - 1) * A_PAGE
    rows = [(s, page_of(s.kind, s.code), described(s), detail(s)) for s in states[begin : begin + A_PAGE]]
    same: dict[str, str | int] = {
        "kind": asked.tab,
        "q": asked.words,
        "status": asked.status,
        "order": asked.order,
    }
    words = {
        "code": _("by code"),
        "what": _("by what it is"),
        "status": _("by status"),
        "newest": _("newest first"),
    }
    enrols = {"machine": "part"}.get(asked.tab, asked.tab)
    roles: Any = request.person.roles  # type: ignore[attr-defined]
    return {
        "asked": asked,
        "tabs": [(name, tab.word(), name == asked.tab) for name, tab in TABS.items()],
        "title": TABS[asked.tab].word(),
        "rows": rows,
        "count": len(states),
        "first": begin + 1,
        "last": begin + len(rows),
        "statuses": TABS[asked.tab].statuses,
        "orders": [(name, words[name]) for name in ORDERS],
        "earlier": f"?{urlencode({**same, 'page': page - 1})}" if page > 1 else "",
        "later": f"?{urlencode({**same, 'page': page + 1})}" if page < pages else "",
        "csv": f"?{urlencode({**same, 'form': 'csv'})}",
        "enrols": enrols if enrols in DEEDS and set(MAY[DEEDS[enrols]]) & set(roles) else "",
    }


# ---- one thing ----


@for_everybody
@require_safe
def thing(request: HttpRequest, kind: str, code: str) -> HttpResponse:
    """Show what a thing is, whether it may go on, what next, and its story."""
    asked: Any = request
    kind = "part" if kind == "machine" else kind
    view = remembering(asked.book.view())
    _look_ahead(view, kind, code)
    state = state_of(view, kind, code)
    if state is None:
        return unknown(request, code)
    story = story_of(asked.book, asked.person, (kind, code), request.GET.get("before", ""))
    shown = {
        "state": state,
        "tab": tab_of(state),
        "what": described(state) or kind_words(kind),
        "kind": _("machine") if tab_of(state) == "machine" else kind_words(kind),
        "standing": standing_of(view, state),
        "offers": offers_of(view, state, asked.person.roles),
        "lines": lines_of(view, state),
        "story": story,
        "further": "before" in request.GET,
        "exceptions": _exceptions(view, state, request),
        "labelled": kind != "patient",
    }
    return render(request, "things/thing.html", shown)


def _look_ahead(view: View, kind: str, code: str) -> None:
    """Read in few questions what the page will ask for one by one."""
    if not isinstance(view, PlaceView) or kind not in SHAPES:
        return
    view.look_at([Thing(code, kind), Thing(PROTOCOL, "protocol")])
    state = view.state(SHAPES[kind], code)
    cycles = [c for c in (*getattr(state, "exposures", ()), getattr(state, "cycle", "")) if c]
    joined = [state.machine, *state.parts] if isinstance(state, SetUpState) else []
    view.look_at([*(Thing(c, "cycle") for c in cycles), *(Thing(c, "part") for c in joined)])
    told = [cycle for c in cycles if (cycle := view.state(CycleState, c)) is not None]
    criteria = [Thing(name, "criterion") for cycle in told for name in cycle.criteria]
    view.look_at([*criteria, *(Thing(cycle.equipment, "equipment") for cycle in told if cycle.equipment)])


def _exceptions(view: View, state: State, request: HttpRequest) -> list[Entry]:
    """Return the last releases by exception, told in full."""
    codes = state.exceptions[-MOST_EXCEPTIONS:] if isinstance(state, PartState) else ()
    events = [event for code in codes if (event := view.event(code)) is not None]
    person: Any = request.person  # type: ignore[attr-defined]
    return [entry(event, {}, person, (state.kind, state.code)) for event in reversed(events)]


def state_of(view: View, kind: str, code: str) -> State | None:
    """Return what a thing with a page is now; None where nothing is known of it."""
    return view.state(SHAPES[kind], code) if kind in SHAPES else None


def unknown(request: HttpRequest, code: str) -> HttpResponse:
    """Say that nothing is known of a code, and offer enrolment to those who may enrol."""
    person: Any = request.person  # type: ignore[attr-defined]
    may = [what for what, deed in DEEDS.items() if set(MAY[deed]) & set(person.roles)]
    shown = {"code": code, "may": [(what, kind_words(what)) for what in may]}
    return render(request, "things/unknown.html", shown, status=404)


@for_everybody
@require_safe
def label(request: HttpRequest, kind: str, code: str) -> HttpResponse:
    """Show a thing's label to print: its code as a symbol and in words."""
    asked: Any = request
    state = state_of(asked.book.view(), kind, code)
    if state is None or kind == "patient":
        raise Http404(code)
    form = request.GET.get("form", "qr") if request.GET.get("form") in SYMBOLS else "qr"
    told = request.GET.get("copies", "1")
    copies = int(told) if told.isascii() and told.isdigit() and len(told) < 4 else 1
    shown = {
        "state": state,
        "what": described(state) or kind_words(kind),
        "kind": kind_words(kind),
        "drawn": symbol(code, form, _("The code {code} as a symbol").format(code=code)),
        "form": form,
        "copies": range(min(max(copies, 1), MOST_LABELS)),
        "most": MOST_LABELS,
    }
    return render(request, "things/label.html", shown)


def back_to(kind: str, code: str) -> HttpResponse:
    """Go to a thing's page."""
    return redirect("thing", kind, code)

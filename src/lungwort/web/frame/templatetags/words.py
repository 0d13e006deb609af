"""Words and pictures in templates: statuses, moments in the hospital's zone, icons with their word."""

from __future__ import annotations

from datetime import datetime
from secrets import token_hex

from django import template
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.html import format_html
from django.utils.safestring import SafeString

from lungwort.records.chain.identity import moment_of
from lungwort.records.life.status import status_words

register = template.Library()


@register.filter
def moment(text: str) -> str:
    """Return a moment of the records as day and time in the hospital's zone; "" for none."""
    return date_format(timezone.localtime(moment_of(text)), "j M Y, H:i") if text else ""


@register.filter
def since(text: str) -> str:
    """Return how long ago a moment of the records was, in one unit."""
    from django.utils.timesince import timesince

    return timesince(moment_of(text), timezone.now(), depth=1) if text else ""


@register.filter
def status(name: str) -> str:
    """Return a status in words."""
    return status_words(name)


@register.simple_tag
def icon(name: str) -> SafeString:
    """Return a picture of the style sheet's own; the word beside it says the same, so it is hidden from readers."""
    from django.templatetags.static import static

    return format_html(
        '<svg class="icon" aria-hidden="true" focusable="false"><use href="{}#{}"></use></svg>',
        static("lungwort/icons.svg"),
        name,
    )


@register.simple_tag
def state_mark(name: str) -> SafeString:
    """Return a status as shape and word; the colour only repeats them."""
    slug = name.replace(" ", "-")
    return format_html(
        '<span class="state state-{}">{} {}</span>', slug, icon(f"state-{slug}"), status_words(name)
    )


@register.filter
def day(value: datetime | None) -> str:
    """Return a day by locale."""
    return date_format(value, "j M Y") if value else ""


@register.simple_tag
def once() -> SafeString:
    """Return a form's own word, by which what is sent twice is recorded once."""
    return format_html('<input type="hidden" name="once" value="{}">', token_hex(8))

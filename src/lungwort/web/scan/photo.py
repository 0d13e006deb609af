"""Codes read from a photo, of bounded size and of the few forms that a browser sends."""

from __future__ import annotations

from typing import IO, Any

from lungwort.errors import UnreadableCode
from lungwort.language import _

LARGEST_BYTES = 15_000_000
MOST_PIXELS = 60_000_000
LONGEST_SIDE = 2400
FORMS = ("JPEG", "PNG", "WEBP", "GIF", "BMP")


def codes_in(photo: IO[bytes], size: int) -> list[str]:
    """Return every code in a photo as a hand scanner would send it, each once.

    Args:
        photo: a picture file.
        size: its bytes.

    Raises:
        UnreadableCode: too large, no picture, or no code found in it; with advice.
    """
    import zxingcpp

    if size > LARGEST_BYTES:
        says = _("the picture has {size:.0f} MB, more than {most:.0f} MB; take it smaller")
        raise UnreadableCode(says.format(size=size / 1e6, most=LARGEST_BYTES / 1e6))
    read = zxingcpp.read_barcodes(_grey(photo), text_mode=zxingcpp.TextMode.Plain)
    codes = dict.fromkeys(f"{one.symbology_identifier}{one.text}" for one in read if one.text)
    if not codes:
        raise UnreadableCode(
            _(
                "no code was found in the picture; hold the camera a hand's breadth away, level, with light from "
                "the side, the whole symbol in the middle; or type the characters below it"
            )
        )
    return list(codes)


def _grey(photo: IO[bytes]) -> Any:
    """Return a picture in grey, no larger than reading needs."""
    from PIL import Image

    try:
        with Image.open(photo, formats=FORMS) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise UnreadableCode(_("the picture has too many pixels; take it smaller"))
            picture.draft("L", (LONGEST_SIDE, LONGEST_SIDE))
            grey = picture.convert("L")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        says = _("this file is no picture that can be read; send one saved as JPEG or PNG")
        raise UnreadableCode(says) from error
    grey.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    return grey

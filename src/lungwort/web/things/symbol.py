"""A code as a symbol to print: QR Code (ISO/IEC 18004) or Data Matrix (ISO/IEC 16022), made by zxing-cpp."""

from __future__ import annotations

import re

from django.utils.html import format_html
from django.utils.safestring import SafeString

SYMBOLS = {"qr": "QRCode", "matrix": "DataMatrix"}
_SIZE = re.compile(r'<svg width="(\d+)" height="(\d+)"')
_PATH = re.compile(r' d="([MmHhVvZz0-9 .,-]+)"')


def symbol(code: str, form: str, words: str) -> SafeString:
    """Return a code as a drawing with its quiet zone, dark on white whatever the scheme; `words` tell what it shows."""
    import zxingcpp

    chosen = getattr(zxingcpp.BarcodeFormat, SYMBOLS[form])
    made = zxingcpp.create_barcode(code, chosen, **({"force_square": True} if form == "matrix" else {}))
    drawn = made.to_svg(scale=1, add_quiet_zones=True)
    size, path = _SIZE.search(drawn), _PATH.search(drawn)
    assert size is not None, "the drawing says how large it is"
    assert path is not None, "the drawing has one path"
    text = (
        '<svg class="symbol" viewBox="0 0 {0} {1}" role="img" aria-label="{2}" shape-rendering="crispEdges">'
        '<rect width="{0}" height="{1}" fill="#fff"></rect><path d="{3}" fill="#000"></path></svg>'
    )
    return format_html(text, size[1], size[2], words, path[1])

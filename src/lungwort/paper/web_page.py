"""The interactive chart as one HTML file: verdict, chart for the width at hand, and no need of a network."""

from __future__ import annotations

import html
import json
from collections.abc import Sequence

from lungwort.language import language
from lungwort.paper.marks import Spec

NARROW_BELOW_PX = 620
STYLE = """
body { margin: 0 auto; max-width: 60rem; padding: 0.75rem; background: white; color: #1c1c1a;
  font: 1rem/1.4 "Libertinus Serif", Georgia, serif; }
h1 { margin: 0; font-size: 1.8rem; }
p { margin: 0.2rem 0 1rem; }
p span { display: inline-block; max-width: 100%; overflow-wrap: anywhere; }
#chart { width: 100%; }
#chart svg { display: block; width: 100%; height: auto; }
""".strip()
LIBRARY = "window.vegaEmbed = vegaEmbed;"
DRAW = """
const narrow = window.matchMedia("(max-width: WIDTHpx)");
function draw() {
  const spec = narrow.matches ? charts.narrow : charts.wide;
  vegaEmbed("#chart", spec, { renderer: "svg", actions: false }).catch(console.error);
}
narrow.addEventListener("change", draw);
draw();
""".strip().replace("WIDTH", str(NARROW_BELOW_PX))


def page(verdict_word: str, what: Sequence[str], wide: Spec, narrow: Spec) -> str:
    """Return the page: the verdict and what was judged, in a few words each, then the chart, narrow on a phone.

    A `<` in a name becomes an escape, so that no name closes the script.
    """
    import vl_convert

    charts = json.dumps({"wide": wide, "narrow": narrow}, ensure_ascii=False).replace("<", "\\u003c")
    word, parts = html.escape(verdict_word), [html.escape(part) for part in what]
    return "\n".join(
        [
            "<!DOCTYPE html>",
            f'<html lang="{html.escape(language())}"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{word}: {' · '.join(parts)}</title><style>{STYLE}</style></head>",
            f"<body><h1>{word}</h1><p>{' · '.join(f'<span>{part}</span>' for part in parts)}</p>",
            '<div id="chart"></div>',
            f"<script>{vl_convert.javascript_bundle(LIBRARY)}</script>",
            f"<script>(() => {{\nconst charts = {charts};\n{DRAW}\n}})();</script></body></html>",
        ]
    )

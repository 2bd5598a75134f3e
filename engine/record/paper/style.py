"""How the sheet looks: printed black on white, rules fat enough for a carpenter's pencil."""

from __future__ import annotations

from engine.record.paper import room as r
from engine.record.paper.room import PAPERS, Paper


def style(paper: Paper) -> str:
    """The page's own style for a paper."""
    width_mm, height_mm = PAPERS[paper]
    size = (
        f"@page {{ size: {width_mm:g}mm {height_mm:g}mm; margin: {r.MARGIN_MM:g}mm; }}\n"
        f"body {{ width: {width_mm - 2 * r.MARGIN_MM:g}mm; margin: 0 auto; }}\n"
    )
    heights = "".join(
        f"{name} {{ height: {mm:g}mm; }}\n"
        for name, mm in (
            (".title", r.TITLE_MM),
            (".queue tbody tr", r.QUEUE_MM),
            (".windows tbody tr", r.WINDOW_MM),
            (".lines tbody tr", r.LINE_MM),
        )
    )
    return size + heights + RULES


RULES = """* { box-sizing: border-box; }
html { color: #000; background: #fff; }
body { font: 8.5pt/1.15 Arial, Helvetica, "Liberation Sans", sans-serif; font-variant-numeric: tabular-nums; }
.side { break-after: page; overflow: hidden; }
.side:last-child { break-after: auto; }
.title { display: flex; align-items: baseline; gap: 3mm; overflow: hidden; white-space: nowrap; }
.title strong { font-size: 14pt; flex: 1; overflow: hidden; text-overflow: ellipsis; }
h2 { font-size: 9.5pt; margin: 1.2mm 0 .6mm; line-height: 1.1; white-space: nowrap; overflow: hidden; }
h2 span { font-weight: normal; font-size: 7.5pt; }
p { margin: 0; }
.how { font-size: 7.5pt; line-height: 3mm; height: 6mm; overflow: hidden; }
.how code { font: bold 7.5pt "Liberation Mono", Consolas, monospace; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; }
th, td { padding: 0 .8mm; text-align: left; overflow: hidden; white-space: nowrap; text-overflow: ellipsis; }
th { font-weight: bold; vertical-align: bottom; }
.queue td { border-top: .5pt solid #000; }
.queue td:first-child, .queue td:last-child { font-weight: bold; font-size: 9.5pt; line-height: 1; }
.stamps, .lines table { border: 1.8pt solid #000; }
.stamps th, .stamps td, .lines th, .lines td { border: 1.1pt solid #000; }
.stamps td, .lines td { vertical-align: top; padding-top: .3mm; }
.stamps thead th { font-size: 8pt; height: 4.6mm; }
.stamps tbody th { vertical-align: top; padding-top: .3mm; font-size: 11pt; line-height: 1; }
.stamps tbody th small { display: block; font-weight: normal; font-size: 7pt; line-height: 1; margin-top: .2mm; }
.stamps td { font-size: 8.5pt; }
.stamps td.tight { font-size: 6.5pt; }
.windows { border-bottom: 1pt solid #000; font-size: 8pt; }
.windows th, .windows td { padding: 0 .4mm; text-align: right; text-overflow: clip; }
.windows thead th { text-align: left; height: 3.6mm; }
.windows td { border-top: .5pt solid #000; }
.windows .dose { border-left: 1.8pt solid #000; }
.windows .pass { border-left: .8pt solid #000; }
.windows .day td { font-weight: bold; }
.windows .day td:first-child { background: #000; color: #fff; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.windows .due { font-style: italic; }
.lines { display: flex; gap: 3mm; }
.lines > div { flex: 1; min-width: 0; }
.lines thead th { height: 4mm; font-size: 7.8pt; }
.lines td small { font-size: 7pt; }
.cautions, .warning { font-size: 7.3pt; line-height: 3.05mm; margin-top: 1.2mm; }
.warning { font-weight: bold; border: 1.8pt solid #000; padding: 0 1mm; }
@media screen { body { padding: 4mm; } .side { margin-bottom: 8mm; } }
"""

// How the papers look.
#pragma once

#include "base/modules.h"

namespace witnessline::papers {

inline constexpr const char* paper_style = R"css(
:root{--ink:#1d1d1b;--soft:#5a5750;--rule:#b9b3a6;--warm:#7a4a1e;--red:#a3190f;--amber:#8a5a00;--paper:#fff}
*{box-sizing:border-box}
html{background:#e9e6df}
body{margin:0 auto;max-width:190mm;padding:12mm 10mm;background:var(--paper);color:var(--ink);font:10.5pt/1.42 Georgia,"Times New Roman","TeX Gyre Termes",serif}
h1{font-size:23pt;line-height:1.12;margin:0 0 2mm;font-weight:normal}
h2{font-size:15pt;font-weight:normal;margin:9mm 0 3mm;padding-bottom:1.2mm;border-bottom:.5pt solid var(--ink);break-after:avoid}
h3{font:bold 9pt/1.3 Helvetica,Arial,sans-serif;letter-spacing:.03em;margin:6mm 0 2mm;color:var(--warm);break-after:avoid}
p{margin:0 0 2.5mm;orphans:3;widows:3;max-width:165mm}
table{border-collapse:collapse;width:100%;margin:0 0 3mm;font:8.8pt/1.35 Helvetica,Arial,sans-serif;font-variant-numeric:tabular-nums}
th,td{text-align:left;vertical-align:top;padding:1.1mm 2mm 1.1mm 0;border-bottom:.4pt solid var(--rule);overflow-wrap:break-word}
th{font-weight:bold;border-bottom:.7pt solid var(--ink)}
th[scope=row]{font-weight:normal;border-bottom:.4pt solid var(--rule)}
tr{break-inside:avoid}
thead{display:table-header-group}
td.n,th.n{text-align:right;padding-right:3mm;white-space:nowrap}
.figure{white-space:nowrap}
.band{display:block;color:var(--soft);font-size:.86em}
abbr{color:var(--amber);text-decoration:none;font-size:.86em}
a.working{color:var(--warm);text-decoration:none;font-size:.66em;vertical-align:super;padding-left:.15em}
.lead{font-size:11.5pt}
.kicker{font:9pt Helvetica,Arial,sans-serif;color:var(--soft);margin:0 0 1mm}
.invented{border:1.2pt solid var(--ink);padding:1.6mm 3mm;margin:0 0 5mm;font:bold 10pt Helvetica,Arial,sans-serif;text-align:center;max-width:none}
.note{font:9.3pt/1.38 Helvetica,Arial,sans-serif;padding:1.8mm 3mm;margin:0 0 1.8mm;max-width:none;border-left:1mm solid var(--rule);background:#f5f3ee;break-inside:avoid}
.note.caution{border-left-color:#d08a00;background:#fff4da}
.note.danger{border:1.4pt solid var(--red);border-left-width:3mm;background:#fdeceb;font-size:10.4pt}
.note.danger b:first-child{color:var(--red)}
.about{color:var(--soft)}
.hold{font:9.3pt/1.38 Helvetica,Arial,sans-serif;border:1pt dashed var(--red);padding:1.8mm 3mm;margin:0 0 1.8mm;max-width:none;break-inside:avoid}
.strip{display:grid;grid-template-columns:repeat(6,1fr);gap:2.5mm}
.trio{display:grid;grid-template-columns:repeat(3,1fr);gap:3mm;align-items:end}
figure{margin:0 0 3mm;break-inside:avoid}
img{width:100%;height:auto;display:block}
figcaption{font:8pt/1.3 Helvetica,Arial,sans-serif;color:var(--soft);margin-top:1mm;overflow-wrap:break-word}
figure svg{width:100%;height:auto;max-height:84mm;display:block}
.plan{break-before:page}
.plan>h2,.card>h2{margin-top:0}
.pair{display:grid;grid-template-columns:1fr 1fr;gap:6mm}
.trio img{max-height:88mm;width:auto;max-width:100%;margin:0 auto}
.workings{columns:2;column-gap:7mm}
.sections{display:grid;grid-template-columns:1fr 1fr;gap:4mm}
.sections figure.wide{grid-column:1/-1}
.swatch{display:inline-block;width:9mm;height:4mm;border:.4pt solid var(--ink);vertical-align:-.6mm;margin-right:1.5mm;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.law{font:7.6pt/1.32 Helvetica,Arial,sans-serif;margin:0 0 2mm}
.law p{margin:0 0 .5mm;max-width:none;break-after:avoid}
.law table{font-size:7.2pt;margin:0;line-height:1.25}
.law td{padding:.3mm 2mm .3mm 0;border-bottom:.2pt solid #ddd8cc}
.law td:nth-child(1){width:46%}.law td.n{width:1%;white-space:nowrap}
.kind{color:var(--amber)}
.card{break-before:page}
.card li{display:grid;grid-template-columns:12mm 1fr auto;gap:3mm;border-bottom:.6pt solid var(--ink);padding:2.4mm 0;break-inside:avoid;align-items:baseline}
.card ol{list-style:none;margin:0;padding:0}
.card .no{font:bold 20pt Helvetica,Arial,sans-serif;color:var(--warm)}
.card .what b{font:bold 13pt Helvetica,Arial,sans-serif}
.card .what span{display:block;font:9pt/1.35 Helvetica,Arial,sans-serif;color:var(--soft)}
.card .big{font:bold 15pt/1.15 Helvetica,Arial,sans-serif;text-align:right;white-space:nowrap}
.card .big small{display:block;font:8.5pt Helvetica,Arial,sans-serif;color:var(--soft)}
.card .ageing{font:9.3pt/1.36 Helvetica,Arial,sans-serif;margin:.8mm 0 0;max-width:none}
.card .ageing i{font-style:normal;font-weight:bold;color:var(--warm);padding-right:1mm}
.card .hold{margin-top:1.5mm}
.cautions{font:8.6pt/1.35 Helvetica,Arial,sans-serif;columns:2;column-gap:7mm;padding-left:4mm;margin:0 0 3mm}
.cautions li{break-inside:avoid;margin-bottom:.9mm}
.card .cautions li{display:list-item;border:0;padding:0}
.safety table{font-size:8pt}
.safety .figure{white-space:normal}
.refused{color:var(--red);font-weight:bold}
.note,.hold,.invented{print-color-adjust:exact;-webkit-print-color-adjust:exact}
@page{margin:15mm 14mm 16mm}
@media print{html{background:none}body{padding:0;max-width:none}}
@media screen and (max-width:700px){.strip{grid-template-columns:repeat(3,1fr)}.sections{grid-template-columns:1fr}}
)css";

}  // namespace witnessline::papers

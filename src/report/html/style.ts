/** The page's look: one column of reading width, light and dark, and paper (A4 or Letter alike). No script, no fetch. */
export const STYLE = `
:root{color-scheme:light dark;
 --paper:#fbf8f0;--card:#fff;--ink:#1a2130;--soft:#596274;--line:#ddd6c4;--accent:#0a6583;
 --within:#12684f;--over:#a83216;--close:#7a5600;--none:#596274;--target:#94206c;--bar:#0a6583;--bar-soft:#cfe3ea}
@media (prefers-color-scheme:dark){:root{--paper:#0e1420;--card:#161e2d;--ink:#f1ecdf;--soft:#aab3c2;--line:#2b3648;
 --accent:#57d3ff;--within:#7fd6c2;--over:#ff9678;--close:#ffd166;--none:#aab3c2;--target:#ffb3e2;--bar:#57d3ff;--bar-soft:#24384a}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:17px/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Liberation Sans","DejaVu Sans",sans-serif;
 font-variant-numeric:tabular-nums}
main{max-width:1080px;margin:0 auto;padding:28px 20px 64px}
h1{font-size:2.1rem;line-height:1.15;margin:0 0 .2em;letter-spacing:-.01em}
h2{font-size:1.35rem;margin:2.6em 0 .7em;padding-bottom:.25em;border-bottom:2px solid var(--line)}
h3{font-size:1.2rem;margin:0 0 .3em}
h4{font-size:.95rem;margin:1.5em 0 .4em;color:var(--soft);font-weight:650}
p{margin:.35em 0;max-width:68ch}
a{color:var(--accent)}
.lead{color:var(--soft);margin:0}
.demo{margin:1.2em 0 0;padding:.7em 1em;border:2px dashed var(--close);border-radius:8px;font-weight:650;max-width:none}
.plain{margin:1.2em 0 0;padding:.8em 1em;border-left:5px solid var(--accent);background:var(--card);border-radius:0 8px 8px 0;max-width:none}
.glance{display:grid;gap:12px;margin:1.4em 0 0;padding:0;list-style:none}
.glance a{color:inherit;text-decoration:none;display:grid;grid-template-columns:minmax(10em,1.1fr) minmax(11em,1fr) 2fr;gap:4px 20px;align-items:baseline;
 background:var(--card);border:1px solid var(--line);border-radius:10px;padding:12px 16px}
.glance a:hover,.glance a:focus-visible{border-color:var(--accent)}
.glance b{font-size:1.15rem}.glance small{display:block;color:var(--soft);font-size:.85em}
.verdicts{list-style:none;margin:1em 0 0;padding:0;display:grid;gap:.7em}
.glance .verdicts{margin:0;gap:.2em}
.verdict{display:grid;grid-template-columns:auto 1fr;gap:.2em .6em;align-items:start}
.verdict svg{width:1.35em;height:1.35em;margin-top:.12em;flex:none}
.verdict strong{font-weight:650}
.verdict small{display:block;color:var(--soft);font-size:.9rem;line-height:1.4}
.within{color:var(--within)}.over{color:var(--over)}.too-close{color:var(--close)}.no-verdict{color:var(--none)}
.reading{background:var(--card);border:1px solid var(--line);border-radius:14px;overflow:hidden;margin:0 0 26px;
 display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr)}
.reading figure{margin:0;background:#161e2d}
.reading figure svg{display:block;width:100%;height:auto}
.reading>div{padding:22px 26px 20px}.reading>div+div h4:first-child{margin-top:0}
.reading>div:nth-child(n+3){border-top:1px solid var(--line)}.reading>div:nth-child(4){border-left:1px solid var(--line)}
.figure-big{font-size:1.75rem;line-height:1.2;font-weight:700;margin:.1em 0 .2em;max-width:none}
.figure-big span{white-space:nowrap}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.25em 1.1em;margin:.8em 0 0}
dt{color:var(--soft)}dd{margin:0}
.do{border-left:5px solid var(--target);padding:.1em 0 .1em 1em;margin:1em 0}
.do strong{color:var(--target)}
ol.steps{margin:.4em 0;padding-left:1.3em}ol.steps li{margin:.25em 0;font-weight:600}
.care{margin:.6em 0 0;color:var(--over);font-weight:600}
.note{font-size:.95rem;color:var(--soft)}
table{border-collapse:collapse;width:100%;font-size:.95rem}
th,td{text-align:left;vertical-align:top;padding:.45em .9em .45em 0;border-bottom:1px solid var(--line)}
td:first-child{white-space:nowrap}.budget td:first-child{white-space:normal}
th{color:var(--soft);font-weight:600}
.wide{overflow-x:auto}
.budget td{border:0;padding:.16em .8em .16em 0;line-height:1.3}
.budget td:nth-child(2){width:38%;min-width:90px}
.budget td:last-child{white-space:nowrap;padding-right:0;text-align:right}
.budget svg{display:block;width:100%;height:14px}
.budget tr.sum td{border-top:1px solid var(--line);padding-top:.4em;font-weight:650}
.cautions{columns:2;column-gap:2.4em;padding-left:1.2em;margin:0}
.cautions li{break-inside:avoid;margin:0 0 .45em}
footer{margin-top:3em;color:var(--soft);font-size:.9rem;border-top:2px solid var(--line);padding-top:1em}
@media screen and (max-width:760px){main{padding:18px 14px 48px}h1{font-size:1.7rem}.reading{grid-template-columns:1fr}.reading>div,.reading>div:nth-child(4){padding:16px 16px 18px;border-left:0}
 .glance a{grid-template-columns:1fr}.cautions{columns:1}.budget td:nth-child(2){width:28%}
 .stack thead{display:none}.stack tr{display:block;padding:.5em 0;border-bottom:1px solid var(--line)}.stack td{display:block;border:0;padding:.05em 0}
 .stack td[data-head]:not(:empty)::before{content:attr(data-head) ": ";color:var(--soft)}.stack td:first-child{font-weight:650}.stack td:first-child::before{content:none}}
@page{margin:12mm}
@media print{
 :root{--paper:#fff;--card:#fff;--ink:#111;--soft:#444;--line:#bbb;--accent:#0a5670;--within:#0d5742;--over:#8d2710;--close:#664800;--none:#444;--target:#7d195b;--bar:#0a5670;--bar-soft:#d5e5ea}
 section{break-inside:auto}footer{break-before:avoid;margin-top:1em}p{orphans:3;widows:3}body{font-size:8.6pt;line-height:1.3}table{font-size:8.5pt}.reading h3{font-size:11pt}main{max-width:none;padding:0}
 h1{font-size:20pt}h2{font-size:12pt;margin:1.2em 0 .5em;break-after:avoid}h3,h4{break-after:avoid}
 .reading{break-inside:avoid;border-color:#999;border-radius:0}.reading>div,.reading>div:nth-child(n+3){padding:2.5mm 4mm}.reading{margin-bottom:5mm}dl{gap:.1em .8em;margin-top:.4em}.verdicts{margin-top:.5em;gap:.4em}.verdict small,.note,.budget{font-size:8pt}.budget~.note{display:none}.care,.do{margin:.5em 0}
 .reading figure{background:none}.figure-big{font-size:14pt}h4{margin:.8em 0 .3em;font-size:9pt}footer{font-size:8pt}
 .glance{gap:1.5mm;margin-top:.8em}.glance a{break-inside:avoid;border-radius:0;padding:1.5mm 3mm}.glance b{font-size:10pt;white-space:nowrap}.do,table,.cautions li,.plain{break-inside:avoid}
 *{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
`;

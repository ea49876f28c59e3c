"""The look of the printed plan: calm, typographic, the same on screen, paper and phone."""

from plateside.drawing.palette import css_root

CSS = (
    css_root("paper", "ink", "soft", "hairline", "accent", "sun")
    + """
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:16px/1.5 Barlow,system-ui,sans-serif;
-webkit-print-color-adjust:exact;print-color-adjust:exact}
svg{font-family:Barlow,system-ui,sans-serif}
body{overflow-wrap:break-word;margin:0 auto;max-width:1120px;padding:40px 48px 64px}
h1,h2,h3{font-family:Newsreader,Georgia,serif;font-weight:400;line-height:1.2;margin:0}
h1{font-size:40px;letter-spacing:-.01em}
h2{font-size:24px;margin:44px 0 14px}
h3,h2.sub{font-size:20px}
h2.sub{margin:0}
p{margin:.4em 0}
a{color:var(--accent)}
.soft{color:var(--soft)}
.lead{font-size:18px;color:var(--soft);margin-top:8px}
.num{font-variant-numeric:tabular-nums}
table{border-collapse:collapse;width:100%}
th{text-align:left;font-weight:400;color:var(--soft);font-size:13px;padding:0 14px 6px 0;vertical-align:bottom}
td{border-top:1px solid var(--hairline);padding:9px 14px 9px 0;vertical-align:top}
td:last-child,th:last-child{padding-right:0}
.when{width:118px;white-space:nowrap;font-variant-numeric:tabular-nums}
td:nth-child(2){width:34%}
tr.shot td{background:#f1efe6}
tr.minds td{border-top:0;padding-top:0}
tr.minds td:first-child,tr.minds td:last-child{width:auto}
tr.minds ul{margin:0}
tr.shot p{margin:0}
tr.shot td:first-child{box-shadow:inset 3px 0 0 var(--accent);padding-left:12px}
tr.cook td:first-child{padding-left:12px}
.settings{font-size:34px;font-family:Newsreader,Georgia,serif;margin:14px 0 4px;letter-spacing:-.005em}
.settings span{white-space:nowrap}
.settings i{font-style:normal;color:var(--hairline);padding:0 10px}
dl{display:grid;grid-template-columns:repeat(auto-fill,minmax(190px,1fr));gap:0 28px;margin:18px 0 8px}
dl div{border-top:1px solid var(--hairline);padding:8px 0 9px}
dt{font-size:13px;color:var(--soft)}
dd{margin:0}
.drawings{display:grid;grid-template-columns:1fr 1fr;gap:28px;align-items:start;margin:18px 0}
.drawings svg{width:100%;height:auto;display:block}
.drawings figure{margin:0}
figcaption{font-size:13px;color:var(--soft);margin-bottom:4px}
ul{margin:.3em 0;padding:0;list-style:none}
li{padding:5px 0 5px 22px;position:relative}
li:before{content:"";position:absolute;left:2px;top:14px;width:8px;height:1px;background:var(--soft)}
li.mind{padding-left:25px}
li.mind:before{content:"!";left:0;top:6px;width:16px;height:16px;border-radius:50%;background:var(--ink);
color:var(--paper);font-size:11px;line-height:16px;text-align:center}
.caution{border-left:3px solid var(--sun);padding:4px 0 4px 16px;margin:10px 0;font-size:15px}
table.num td:nth-child(2){width:auto}
.two{display:grid;grid-template-columns:1fr 1fr;gap:0 44px}
.bar{margin:26px 0 6px}
.bar svg{width:100%;height:auto;display:block}
.line{border-bottom:1px solid var(--soft);display:inline-block;min-width:180px;height:1.2em;vertical-align:bottom}
section.card{border-top:2px solid var(--ink);padding-top:18px;margin-top:48px}
@media (max-width:640px){
body{padding:22px 18px 48px}h1{font-size:30px}.settings{font-size:29px}.drawings,.two{grid-template-columns:1fr}
.bar{display:none}dl{grid-template-columns:1fr 1fr;gap:0 18px}td,th{padding-right:10px}
table.run thead{display:none}table.run tr{display:grid;grid-template-columns:112px 1fr;padding:0 0 0 12px;
border-top:1px solid var(--hairline)}
table.run tr.shot{background:#f1efe6;box-shadow:inset 3px 0 0 var(--accent)}table.run tr.minds{border:0}
table.run td{border:0;padding:7px 8px 7px 0;min-width:0;overflow-wrap:anywhere;width:auto}
table.run tr td:first-child{padding-left:0;box-shadow:none;background:none;font-size:15px}
table.run tr.shot td{background:none}
.settings{display:flex;flex-wrap:wrap}
table.run td.wide{grid-column:2;padding-top:0}table.run td.wide:empty{display:none}
table.run tr.minds td:first-child{display:none}table.run tr.minds td{grid-column:1/-1}
table.num{display:block;overflow-wrap:anywhere}table.num thead{display:none}table.num tbody{display:block}
table.num tr{display:grid;grid-template-columns:1fr 1fr;border-top:1px solid var(--hairline);padding:8px 0}
table.num td{border:0;padding:1px 10px 1px 0;width:auto}
table.num td[data-is]:before{content:attr(data-is) " ";color:var(--soft)}
.line{min-width:120px}
}
@page{size:A4;margin:13mm 13mm 14mm}
@media print{
html{font-size:10.5px;background:#fff}body{padding:0;max-width:none}
h1{font-size:27px}h2{font-size:17px;margin:22px 0 8px}
h3,h2.sub{font-size:15px}
h2.sub{margin:0}
.lead{font-size:12px}.settings{font-size:24px;margin:8px 0 2px}dt,th,figcaption{font-size:9px}
td{padding:3.5px 10px 3.5px 0}
dl{grid-template-columns:repeat(4,1fr);gap:0 20px;margin:10px 0 4px}dl div{padding:5px 0}
.caution{font-size:9.5px;margin:5px 0;padding:2px 0 2px 10px}li{padding:2px 0 2px 18px}
li:before{top:9px}li.mind{padding-left:21px}
li.mind:before{top:1px;width:14px;height:14px;line-height:14px;font-size:9px}
.drawings{gap:18px;margin:8px 0}.drawings svg{max-height:88mm}
section.card{break-before:page;margin-top:0}tr,li,dl div,figure{break-inside:avoid}h2{break-after:avoid}
.screen{display:none}
}
"""
)

"""How the preview page and the contact sheet look: paper, ink, one accent, the bundled typefaces; nothing fetched."""

from plateside.drawing.palette import css_root

BASE = (
    css_root("paper", "ink", "soft", "hairline", "accent")
    + """
:root {
  --serif: Newsreader, Georgia, serif; --sans: Barlow, system-ui, sans-serif;
}
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; }
body { overflow-wrap: break-word; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1.0625rem/1.6 var(--sans); }
h1, h2 { font-family: var(--serif); font-weight: normal; line-height: 1.15; text-wrap: balance; }
img { display: block; max-width: 100%; height: auto; background: var(--hairline); }
a { color: var(--accent); text-underline-offset: .2em; }
"""
)

RECIPE = (
    BASE
    + """main { max-width: 52rem; margin: 0 auto; padding: 4.5rem 1.5rem 5rem; }
.remark { margin: 0; padding: .6rem 1.5rem; border-bottom: 1px solid var(--hairline); color: var(--soft);
  font-size: .875rem; text-align: center; }
.recipe h1 { margin: 0; font-size: clamp(2.1rem, 6vw, 3.4rem); letter-spacing: -.01em; }
.recipe .lead { margin: 1.25rem 0 0; max-width: 36em; color: var(--soft); font-size: 1.2rem; line-height: 1.5; }
.recipe h2 { margin: 0 0 1.1rem; font-size: 1.5rem; }
.recipe figure { margin: 0; }
.recipe figure.main { margin: 2.75rem 0 0; }
.recipe picture img { width: 100%; }
.recipe figcaption { padding-top: .6rem; color: var(--soft); font-size: .9rem; line-height: 1.45; }
.facts { display: flex; flex-wrap: wrap; gap: 0 3.5rem; margin: 2.25rem 0 0; padding: 1.1rem 0;
  border: solid var(--hairline); border-width: 1px 0; }
.facts div { padding: .25rem 0; }
.facts dt { color: var(--soft); font-size: .8rem; letter-spacing: .02em; }
.facts dd { margin: 0; font-family: var(--serif); font-size: 1.2rem; }
.ingredients, .method { margin-top: 3.25rem; }
.ingredients ul { margin: 0; padding: 0; list-style: none; columns: 2 18rem; column-gap: 3.5rem; }
.ingredients li { padding: .42rem 0; border-bottom: 1px solid var(--hairline); break-inside: avoid; }
.contains { margin: 1.25rem 0 0; color: var(--soft); }
.contains strong { color: var(--ink); font-weight: 600; }
.method ol { margin: 0; padding: 0; list-style: none; counter-reset: step; }
.method li { display: grid; grid-template-columns: 2.4rem 1fr auto; gap: 0 1rem; padding: .8rem 0;
  border-bottom: 1px solid var(--hairline); counter-increment: step; }
.method li::before { content: counter(step); color: var(--accent); font: 1.35rem/1.25 var(--serif); }
.method .text { max-width: 38em; }
.method .takes { color: var(--soft); font-size: .9rem; line-height: 1.8; white-space: nowrap; }
.method figure { margin-top: 2.25rem; }
.pictures { display: grid; grid-template-columns: repeat(2, 1fr); gap: 1.75rem 1.5rem; margin-top: 3.5rem; }
.pictures figure:only-child, .pictures figure:last-child:nth-child(odd) { grid-column: 1 / -1; }
.recipe footer { margin-top: 4rem; padding-top: 1.1rem; border-top: 1px solid var(--hairline); color: var(--soft);
  font-size: .875rem; }
.recipe footer p { margin: 0; }
@media (max-width: 36rem) {
  main { padding: 2.5rem 1.15rem 3.5rem; }
  .pictures { grid-template-columns: 1fr; }
  .facts { gap: 0 2.25rem; }
}
@media print { body { background: none; } main { padding: 0; } }
"""
)

SHEET = (
    BASE
    + """main { max-width: 78rem; margin: 0 auto; padding: 3.5rem 2rem 5rem; }
h1 { margin: 0; font-size: 2.4rem; }
.when { margin: .5rem 0 0; color: var(--soft); }
section { margin-top: 3.25rem; padding-top: 1.5rem; border-top: 1px solid var(--hairline); }
h2 { margin: 0 0 .4rem; font-size: 1.5rem; }
section > p { max-width: 46rem; margin: .2rem 0; color: var(--soft); font-size: .95rem; }
.sheet { display: grid; grid-template-columns: repeat(auto-fill, minmax(15.5rem, 1fr)); gap: 1.75rem 1.5rem;
  margin-top: 1.5rem; }
.sheet figure { margin: 0; }
.sheet img { display: block; height: 11.5rem; width: 100%; object-fit: contain; object-position: left bottom;
  background: none; }
.sheet figcaption { padding-top: .5rem; font-size: .875rem; line-height: 1.45; }
.sheet figcaption b { font-weight: 600; }
.sheet figcaption span { display: block; color: var(--soft); }
@media print { body { background: none; } section { break-inside: avoid; } }
"""
)

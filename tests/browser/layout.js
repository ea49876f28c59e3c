// Measures a page's layout: see layout.py.
() => {
  const found = [], MOST = 1, root = document.querySelector("dialog[open]:modal") || document.body;
  const name = (e) => {
    const own = e.id ? `#${e.id}` : `${e.tagName.toLowerCase()}${e.classList.length ? "." + [...e.classList].join(".") : ""}`;
    return own;
  };
  const shown = (e) => e.checkVisibility({ opacityProperty: true, visibilityProperty: true })
    && !e.closest(".unseen, .skip:not(:focus), [inert]");
  // what of a box is left by all that cut around it; scroll: by what can be scrolled to
  const clip = (e, box, from = e.parentElement) => {
    let { left, top, right, bottom } = box, scrolled = false, hard = { left, top, right, bottom };
    for (let p = from; p && p !== document.body && p !== document.documentElement; p = p.parentElement) {
      const style = getComputedStyle(p), b = p.getBoundingClientRect();
      const x = style.overflowX !== "visible", y = style.overflowY !== "visible";
      const scrolls = /auto|scroll/.test(style.overflowX + style.overflowY);
      if (x) { left = Math.max(left, b.left); right = Math.min(right, b.right); }
      if (y) { top = Math.max(top, b.top); bottom = Math.min(bottom, b.bottom); }
      // what is scrolled out of sight is cut off by nothing
      scrolled ||= scrolls;
      if (!scrolled && x) { hard.left = Math.max(hard.left, b.left); hard.right = Math.min(hard.right, b.right); }
      if (!scrolled && y) { hard.top = Math.max(hard.top, b.top); hard.bottom = Math.min(hard.bottom, b.bottom); }
      if (style.position === "fixed" || p.matches("dialog")) break;
    }
    return { left, top, right, bottom, hard, scrolled };
  };
  const layer = (e) => {
    for (let p = e; p && p !== root; p = p.parentElement) if (/fixed|sticky/.test(getComputedStyle(p).position)) return p;
    return null;
  };
  const boxes = [];
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const e = node.parentElement;
    if (!node.data.trim() || /^(SCRIPT|STYLE|OPTION|TITLE|TEXTAREA|DESC)$/i.test(e.tagName) || !shown(e)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const size = parseFloat(getComputedStyle(e).fontSize);
    const svg = e.closest("svg");
    const less = svg ? 0 : 0.2 * size;
    for (const r of range.getClientRects()) {
      if (r.width < 1 || r.height < 1) continue;
      const high = svg ? 0.2 * r.height : Math.min(less, 0.3 * r.height);
      const line = { left: r.left, right: r.right, top: r.top + high, bottom: r.bottom - high };
      const left = clip(e, line, e);
      const words = node.data.trim().slice(0, 40);
      if (!left.scrolled && (line.left < -MOST || line.right > innerWidth + MOST)) found.push(`beyond the window: ${name(e)} "${words}"`);
      const inView = left.hard.right > left.hard.left && left.hard.bottom > left.hard.top;
      if (!svg && (left.hard.left - line.left > MOST || line.right - left.hard.right > MOST
        || left.hard.top - line.top > MOST || line.bottom - left.hard.bottom > MOST))
        found.push(`cut${inView ? "" : " away"}: ${name(e)} "${words}"`);
      if (left.right - left.left > MOST && left.bottom - left.top > MOST) boxes.push({ ...left, e, words, text: true, label: getComputedStyle(e).pointerEvents === "none" });
    }
  }
  const CONTROLS = "button, input, select, textarea, summary, a.button, [role=button], [role=slider], [role=option], [role=tab]";
  for (const e of root.querySelectorAll(CONTROLS)) {
    // things of a drawing lie where they lie in the room
    if (!shown(e) || e.closest("svg")) continue;
    const left = clip(e, e.getBoundingClientRect());
    if (left.right - left.left > MOST && left.bottom - left.top > MOST) boxes.push({ ...left, e, words: e.textContent.trim().slice(0, 40), text: false, label: false });
  }
  for (const e of root.querySelectorAll("*")) {
    if (!shown(e) || e.closest("svg") || !e.textContent.trim() || !e.clientWidth) continue;
    const style = getComputedStyle(e), cuts = (way) => /hidden|clip/.test(way);
    if ((cuts(style.overflowX) && e.scrollWidth > e.clientWidth + MOST) || style.textOverflow === "ellipsis" && e.scrollWidth > e.clientWidth + MOST)
      found.push(`too narrow for its words: ${name(e)}`);
  }
  boxes.sort((a, b) => a.top - b.top);
  for (let i = 0; i < boxes.length; i++) for (let j = i + 1; j < boxes.length && boxes[j].top < boxes[i].bottom; j++) {
    const a = boxes[i], b = boxes[j];
    if (layer(a.e) !== layer(b.e)) continue;
    if (a.e === b.e || a.e.contains(b.e) || b.e.contains(a.e)) continue;
    if ((a.label && !b.text) || (b.label && !a.text)) continue;
    const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left), high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    if (wide > MOST && high > MOST)
      found.push(`over each other by ${wide.toFixed(0)} x ${high.toFixed(0)} px: ${name(a.e)} "${a.words}" and ${name(b.e)} "${b.words}"`);
  }
  const over = document.documentElement.scrollWidth - innerWidth;
  if (over > 0) found.push(`${over} px too wide`);
  return [...new Set(found)];
}

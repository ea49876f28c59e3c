// Deliver: every picture cropped for its places, described, made, handed over.
/** @import { DeliverShown, DeliveryShown, PointShown } from "../core/facts" */
import "../core/copied.js";
import { focused, given, keepingFocus, keepingOpen, make, one } from "../core/dom.js";
import { follow, on } from "../core/live.js";
import { presses } from "../core/press.js";
import { reading } from "../core/reading.js";
import { Saved, changes, markField } from "../core/save.js";
import { Picture } from "./picture.js";
import { longWork } from "../core/job.js";
import { size } from "../core/words.js";
import { SAID } from "./words.js";

/** @type {DeliverShown} */
let reply = given("given");
const pictures = new Map();
const file = (path) => `/deliver/files/${path.split("/").map(encodeURIComponent).join("/")}`;

// ---- pictures
// ----------------------------------------------------------------------------------------------

const draw = () => keepingFocus(one("main"), drawAll);

function drawAll() {
  const place = one("#pictures"), names = reply.shots.map((s) => s.name);
  if ([...pictures.keys()].join("\n") !== names.join("\n")) {
    pictures.clear();
    for (const shot of reply.shots) pictures.set(shot.name, new Picture(shot, reply, afresh));
    place.replaceChildren(...(reply.shots.length ? [...pictures.values()].map((p) => p.element)
      : [make("p", { class: "soft" }, reply.no_shots)]));
  } else for (const shot of reply.shots) pictures.get(shot.name).take(shot, reply);
  stands();
  rights();
  packing();
  files();
}

function stands() {
  one("#stands").textContent = reply.headline;
  /** @type {(kind: string) => (p: PointShown) => HTMLElement} */
  const point = (kind) => (p) => make("li", { class: kind },
    make("strong", {}, p.blocks ? SAID.blocks : SAID.remark), p.words,
    p.address === "#run" ? [" ", make("button", { type: "button", class: "quiet", onclick: again }, p.link)]
    : p.address ? [" ", make("a", { href: p.address }, p.link), "."] : "");
  const points = [...reply.withheld.map(point("withheld")), ...reply.open.map(point("open"))];
  one("#open")
    .replaceChildren(...(points.length ? points : [make("li", { class: "soft" }, reply.nothing_left)]));
}

/** The point's own button does what it says; how far the work is shows at the page's main button. */
function again() {
  focused().blur();
  one("#run").scrollIntoView({ block: "nearest" });
  making.press();
}

// ---- rights: kept in shoot.toml
// ----------------------------------------------------------------------------

const saved = new Saved("shoot", reply.version, false, () => afresh());
for (const name of ["usage_terms", "licence_url"]) {
  const input = one(`#${name}`);
  input.addEventListener("change",
    () => saved.save([{ put: ["creator", name], value: input.value.trim() }],
    (error) => markField(input.closest(".field"), error.mistakes[0]?.said || error.message))
    .then((right) => right && markField(input.closest(".field"), "")));
}

function rights() {
  for (const name of ["usage_terms", "licence_url"]) {
    const input = one(`#${name}`);
    if (document.activeElement !== input) input.value = reply.creator[name];
  }
  const people = reply.shots.filter((s) => s.person);
  one("#releases").replaceChildren(...people.map((s) => {
    const box = make("input", { type: "checkbox", id: `release-${s.name}`, checked: s.model_release });
    box.addEventListener("change",
      () => saved.save([{ put: ["shots", s.name, "model_release"], value: box.checked }]));
    return make("p", { class: "release" }, box, make("label", { for: `release-${s.name}` }, s.release_words));
  }));
}

// ---- made, packed, checked
// ---------------------------------------------------------------------------------

const making = longWork(one("#run"), {
  words: SAID.make, path: "/deliver/run", kind: "results.deliver", main: true,
  counted: SAID.making,
  done: (got) => { afresh(); return got.said; },
});

function packing() {
  const whom = one("#for-whom"), check = one("#checked"), was = [whom.value, check.value];
  const places = [...new Set((reply.delivery?.pictures || []).map((p) => p.channel))];
  whom.replaceChildren(
    ...(reply.delivery ? [make("option", { value: "delivery" }, SAID.packed.delivery)] : []),
    ...places.map((name) => make("option", { value: `channel ${name}` }, SAID.packed.channel(name))),
    ...(reply.landed ? [make("option", { value: "archive" }, SAID.packed.archive)] : []));
  if (!whom.options.length) whom.append(make("option", { value: "" }, SAID.nothing));
  check.replaceChildren(...(reply.delivery ? [make("option", { value: "" }, SAID.delivery)] : []),
    ...reply.packages.map((name) => make("option", { value: name }, name)));
  if (!check.options.length) check.append(make("option", { value: "" }, SAID.nothing));
  if ([...whom.options].some((o) => o.value === was[0])) whom.value = was[0];
  if ([...check.options].some((o) => o.value === was[1])) check.value = was[1];
  shutOrNot();
}

/** What cannot be done yet, and why; what can be done, and had better wait. */
function shutOrNot() {
  const whom = one("#for-whom").value, grey = reply.greyed_out;
  making.shut(grey.make);
  packs.shut(!whom || whom === "archive" ? grey.pack : grey["hand over"]);
  const mind = whom && whom !== "archive" ? reply.pack_mind : "";
  one("#pack-mind").hidden = !mind;
  one("#pack-mind").textContent = mind;
  checks.shut(grey.check);
}
one("#for-whom").addEventListener("change", shutOrNot);
const packed = () => {
  const wanted = one("#for-whom").value;
  return { archive: wanted === "archive", channels: wanted.startsWith("channel ") ? [wanted.slice(8)] : [] };
};
const packs = longWork(one("#pack"), {
  words: SAID.pack, path: "/deliver/pack", kind: "results.pack", data: packed,
  again: (args) => ({ archive: args.archive, channels: args.channels }),
  counted: SAID.file,
  done: (got) => { afresh(); return got.said.join(" "); },
});
const checks = longWork(one("#verify"), {
  words: SAID.check, path: "/deliver/verify", kind: "results.verify",
    data: () => ({ package: one("#checked").value }),
  again: (args) => ({ package: args.package }),
  counted: SAID.file,
  done: (got) => got.said.join(" "),
});

// ---- what was delivered
// ------------------------------------------------------------------------------------

function files() {
  const d = reply.delivery;
  one("#files").hidden = one("#page").hidden = !d;
  if (!d) return;
  keepingOpen(one("#listed"),
    ...reply.channels.filter((c) => d.pictures.some((p) => p.channel === c.name)).map((c) => {
      const rows = d.pictures.filter((p) => p.channel === c.name),
        sum = rows.reduce((n, p) => n + p.bytes, 0);
      return make("details", {},
        make("summary", { id: `files-of-${c.name}` }, make("strong", {}, c.name),
          make("span", { class: "soft number" }, SAID.files(rows.length, sum))),
        make("table", {},
          make("thead", {},
          make("tr", {},
          SAID.table.map((words, n) => make("th", { scope: "col", class: n ? "number" : null }, words)))),
          make("tbody", {},
            rows.map((p) => make("tr", {},
            make("td", {}, make("a", { href: file(p.file), target: "_blank", rel: "noopener" },
            p.file.split("/").at(-1))), make("td", { class: "number" }, SAID.pixels(p.width_px, p.height_px)),
            make("td", { class: "number" }, size(p.bytes)))))));
    }),
    make("details", {}, make("summary", { id: "files-documents" }, make("strong", {}, SAID.documents),
      make("span", { class: "soft number" }, SAID.documentFiles(d.documents.length))),
      make("ul", { class: "plain documents" },
        d.documents.map((doc) => make("li", {},
        make("a", { href: file(doc.file), target: "_blank", rel: "noopener" }, doc.file),
        make("span", { class: "soft small number" }, ` ${size(doc.bytes)}`))))),
  );
  preview(d);
}

/** The pictures that the recipe's page shows, in its order, each with its words as the markup has them. */
/** @param {DeliveryShown} d */
function preview(d) {
  const onPage = reply.channels.filter((c) => c.on_page).map((c) => c.name);
  const widest = (name) => d.pictures.filter((p) => p.shot === name
    && onPage.includes(p.channel) && /\.(jpg|webp|png|avif)$/.test(p.file))
    .sort((a, b) => b.width_px / b.height_px - a.width_px / a.height_px
      || (a.kind === "jpeg" ? -1 : 1) - (b.kind === "jpeg" ? -1 : 1) || b.width_px - a.width_px)[0];
  const order = [...reply.shots].sort((a, b) => (a.role === "main" ? 0 : 1) - (b.role === "main" ? 0 : 1));
  const shown = order.map((s) => ({ s, p: widest(s.name) })).filter(({ p }) => p);
  one("#preview").replaceChildren(
    make("div", { class: "preview-words" }, make("p", { class: "preview-title" }, reply.recipe.title),
      make("p", { class: "soft" }, reply.recipe.description)),
    ...shown.map(({ s, p }, n) => {
      const img = make("img", { alt: s.words.used.alt_text, width: p.width_px, height: p.height_px });
      img.loading = "lazy";
      img.src = file(p.file);
      return make("figure", { class: n ? null : "first" }, img, make("figcaption", {}, s.words.used.caption));
    }));
}

// ---- kept right
// --------------------------------------------------------------------------------------------

const afresh = reading("/deliver/standing", (standing) => {
  reply = standing;
  saved.version = reply.version;
  draw();
}, { after: [presses, changes] });
on("row", (row) => {
  if (row.kind === "dish" || row.kind === "undo") for (const picture of pictures.values()) picture.marked();
});
on("row", (row) => {
  if (["crop", "dish", "words", "select", "kept",
    "again", "verdict", "frame landed", "frame belongs", "undo"].includes(row.kind)) afresh();
});
on("settings", (news) => { if (news.which === "shoot") afresh(); });
on("work", (job) => {
  if (/^results\.(finish|deliver|pack)$/.test(job.work) && ["done", "stopped"].includes(job.state)) afresh();
});
on("connected", afresh);
follow(reply.row);
draw();

// Deliver: every picture cropped for its places, described, made, handed over.
import { ask } from "./core/ask.js";
import { given, make, one, settled } from "./core/dom.js";
import { follow, on, sawRow } from "./core/live.js";
import { Saved, markField } from "./core/save.js";
import { Picture } from "./deliver-picture.js";
import { longWork, size } from "./finish-job.js";

let told = given("given");
const pictures = new Map();
const file = (path) => `/deliver/files/${path.split("/").map(encodeURIComponent).join("/")}`;

// ---- pictures ----------------------------------------------------------------------------------------------

function draw() {
  const place = one("#pictures"), names = told.shots.map((s) => s.name);
  if ([...pictures.keys()].join("\n") !== names.join("\n")) {
    pictures.clear();
    for (const shot of told.shots) pictures.set(shot.name, new Picture(shot, told, afresh));
    place.replaceChildren(...(told.shots.length ? [...pictures.values()].map((p) => p.element) : [make("p", { class: "soft" }, "The shot list is empty. Write it on the Plan page.")]));
  } else for (const shot of told.shots) pictures.get(shot.name).take(shot, told);
  stands();
  rights();
  packing();
  files();
}

function stands() {
  const d = told.delivery, crops = d ? new Set(d.pictures.map((p) => `${p.shot} ${p.channel}`)).size : 0;
  one("#stands").textContent = !told.channels.length ? "No channel says yet where the pictures go: add one on the Plan page."
    : !d ? "Each picture is cropped and sized for its places, with its words and your rights in it. Nothing is delivered yet."
      : `${crops} crops as ${d.pictures.length} files lie in the folder delivery. ${d.ready && !held().length ? "Ready to publish." : "Not ready to publish yet."}`;
  const points = [...held(), ...open()];
  one("#open").replaceChildren(...(points.length ? points.map(([kind, words, link]) => make("li", { class: kind }, make("strong", {}, kind === "held" ? "Held back: " : "Open: "), words, link ? [" ", make("a", { href: link[0] }, link[1]), "."] : "")) : [make("li", { class: "soft" }, "Nothing is held back, nothing is open.")]));
}

/** What keeps a delivery from being published. */
function held() {
  return [
    ...told.shots.filter((s) => s.held_back).map((s) => ["held", `${s.name}: a person is in the picture and no release is on record.`, ["#releases", "Say that it was given"]]),
    ...(told.licensed ? [] : [["held", "no terms and no licence are stated, so nobody knows what may be done with the pictures.", ["#usage_terms", "Write them"]]]),
  ];
}

/** What would make it better. */
function open() {
  const now = told.shots.filter((s) => !s.held_back);
  const points = [
    ...now.filter((s) => !s.picture).map((s) => ["open", `${s.name} is not finished.`, ["/finish", "Finish it"]]),
    ...now.filter((s) => s.another_hero).map((s) => ["open", `${s.name} has another hero than the finished picture.`, ["/finish", "Finish it again"]]),
    ...now.filter((s) => s.picture).flatMap((s) => s.words.remarks.map((words) => ["open", words, [`#alt_text-${s.name}`, "Mend it"]])),
  ];
  const known = /(not finished|another hero|alt text)/i;
  return [...points, ...(told.delivery?.open || []).filter((words) => !known.test(words) && !/licence is stated/.test(words)).map((words) => ["open", words, null])];
}

// ---- rights: kept in shoot.toml ----------------------------------------------------------------------------

const saved = new Saved("shoot", told.version, false, () => afresh());
for (const name of ["usage_terms", "licence_url"]) {
  const input = one(`#${name}`);
  input.addEventListener("change", () => saved.save([{ put: ["creator", name], value: input.value.trim() }], (error) => markField(input.closest(".field"), error.mistakes[0]?.said || error.message))
    .then((right) => right && markField(input.closest(".field"), "")));
}

function rights() {
  saved.version = told.version;
  for (const name of ["usage_terms", "licence_url"]) { const input = one(`#${name}`); if (document.activeElement !== input) input.value = told.creator[name]; }
  const people = told.shots.filter((s) => s.person);
  const focused = document.activeElement?.id;
  one("#releases").replaceChildren(...people.map((s) => {
    const box = make("input", { type: "checkbox", id: `release-${s.name}`, checked: s.release });
    box.addEventListener("change", () => saved.save([{ put: ["shots", s.name, "release"], value: box.checked }]));
    return make("p", { class: "release" }, box, make("label", { for: `release-${s.name}` }, `Whoever can be seen in ${s.name} has agreed in writing, or it is you.`));
  }));
  if (focused?.startsWith("release-")) document.getElementById(focused)?.focus();
}

// ---- made, packed, checked ---------------------------------------------------------------------------------

longWork(one("#run"), {
  words: "Make the delivery", path: "/deliver/run", kind: "results.deliver", main: true,
  counted: (at, total) => at >= total ? "Writing page and list ..." : `Crop ${at + 1} of ${total - 1 || 1}`,
  done: (got) => { afresh(); return `${got.crops} crops as ${got.files} files, ${size(got.bytes)}: ${got.made} made, ${got.files - got.made} unchanged${got.removed ? `, ${got.removed} no longer wanted and taken away` : ""}.`; },
});

function packing() {
  const whom = one("#for-whom"), check = one("#checked"), was = [whom.value, check.value];
  const places = [...new Set((told.delivery?.pictures || []).map((p) => p.channel))];
  whom.replaceChildren(
    make("option", { value: "delivery" }, "the delivery, to hand over"),
    ...places.map((c) => make("option", { value: `channel ${c}` }, `only ${c}, for one client`)),
    make("option", { value: "archive" }, "everything, to keep"));
  check.replaceChildren(...(told.delivery ? [make("option", { value: "" }, "the delivery")] : []), ...told.packages.map((name) => make("option", { value: name }, name)));
  if ([...whom.options].some((o) => o.value === was[0])) whom.value = was[0];
  if ([...check.options].some((o) => o.value === was[1])) check.value = was[1];
}
const packed = () => {
  const wanted = one("#for-whom").value;
  return { archive: wanted === "archive", channels: wanted.startsWith("channel ") ? [wanted.slice(8)] : [] };
};
longWork(one("#pack"), {
  words: "Pack", path: "/deliver/pack", kind: "results.pack", data: packed,
  again: (args) => ({ archive: args.archive, channels: args.channels }),
  counted: (at, total) => `File ${at} of ${total}`,
  done: (got) => { afresh(); return [`${got.files} files, ${size(got.bytes)}, in the folder packages/${got.package}. Every file was read back and compared.`, ...(got.kind === "archive" ? ["Keep a second copy on another device, and one elsewhere."] : [])].join(" "); },
});
longWork(one("#verify"), {
  words: "Check every file", path: "/deliver/verify", kind: "results.verify", data: () => ({ package: one("#checked").value }),
  again: (args) => ({ package: args.package }),
  counted: (at, total) => `File ${at} of ${total}`,
  done: (got) => got.faults.length ? `${got.faults.length} fault${got.faults.length === 1 ? "" : "s"}: ${got.faults.slice(0, 5).join(" ")} Copy these files again from another copy.` : `All ${got.files} files (${size(got.bytes)}) are there and unchanged.`,
});

// ---- what was delivered ------------------------------------------------------------------------------------

function files() {
  const d = told.delivery;
  one("#files").hidden = one("#page").hidden = !d;
  if (!d) return;
  one("#listed").replaceChildren(
    ...told.channels.filter((c) => d.pictures.some((p) => p.channel === c.name)).map((c) => {
      const rows = d.pictures.filter((p) => p.channel === c.name), sum = rows.reduce((n, p) => n + p.bytes, 0);
      return make("details", {},
        make("summary", {}, make("strong", {}, c.name), make("span", { class: "soft number" }, ` ${rows.length} file${rows.length === 1 ? "" : "s"}, ${size(sum)}`)),
        make("table", {}, make("thead", {}, make("tr", {}, make("th", { scope: "col" }, "File"), make("th", { scope: "col", class: "number" }, "Pixels"), make("th", { scope: "col", class: "number" }, "Size"))),
          make("tbody", {}, rows.map((p) => make("tr", {}, make("td", {}, make("a", { href: file(p.file), target: "_blank", rel: "noopener" }, p.file.split("/").at(-1))), make("td", { class: "number" }, `${p.width_px} × ${p.height_px}`), make("td", { class: "number" }, size(p.bytes)))))));
    }),
    make("details", {}, make("summary", {}, make("strong", {}, "Page, words and lists"), make("span", { class: "soft number" }, ` ${d.documents.length} files`)),
      make("ul", { class: "plain documents" }, d.documents.map((doc) => make("li", {}, make("a", { href: file(doc.file), target: "_blank", rel: "noopener" }, doc.file), make("span", { class: "soft small number" }, ` ${size(doc.bytes)}`))))),
  );
  preview(d);
}

/** The pictures that the recipe's page shows, in its order, each with its words as the markup has them. */
function preview(d) {
  const onPage = told.channels.filter((c) => c.on_page).map((c) => c.name);
  const widest = (name) => d.pictures.filter((p) => p.shot === name && onPage.includes(p.channel) && /\.(jpg|webp|png|avif)$/.test(p.file))
    .sort((a, b) => b.width_px / b.height_px - a.width_px / a.height_px || (a.kind === "jpeg" ? -1 : 1) - (b.kind === "jpeg" ? -1 : 1) || b.width_px - a.width_px)[0];
  const order = [...told.shots].sort((a, b) => (a.role === "main" ? 0 : 1) - (b.role === "main" ? 0 : 1));
  const shown = order.map((s) => [s, widest(s.name)]).filter(([, p]) => p);
  one("#preview").replaceChildren(
    make("div", { class: "preview-words" }, make("p", { class: "preview-title" }, told.recipe.title), make("p", { class: "soft" }, told.recipe.description)),
    ...shown.map(([s, p], n) => {
      const img = make("img", { alt: s.words.used.alt_text, width: p.width_px, height: p.height_px });
      img.loading = "lazy";
      img.src = file(p.file);
      return make("figure", { class: n ? null : "first" }, img, make("figcaption", {}, s.words.used.caption));
    }));
}

// ---- kept right --------------------------------------------------------------------------------------------

const afresh = settled(120, async () => {
  try { told = await ask("/deliver/standing"); sawRow(told.row); draw(); } catch { /* the next news tries again */ }
});
on("row", (row) => { if (["crop", "words", "hero", "undo"].includes(row.kind)) afresh(); });
on("settings", (news) => { if (news.which === "shoot") afresh(); });
on("work", (job) => { if (/^results\.(finish|deliver|pack)$/.test(job.work) && ["done", "stopped"].includes(job.state)) afresh(); });
on("connected", afresh);
follow(told.row);
draw();

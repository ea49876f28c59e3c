// What the settings' reader says, in the words of the page: no keys, no headings of a file.
const TABLES = {
  windows: "window", "windows.opposite": "outside", spots: "table spot", boards: "board", diffusers: "sheer", blocks: "furniture",
  cameras: "camera", lenses: "lens", supports: "support", surfaces: "surface", props: "prop", readings: "light reading",
  shots: "shot", channels: "channel", "shots.boards": "board of the shot", "recipe.steps": "step", room: "the room", place: "the place",
  recipe: "the recipe", creator: "who makes the pictures",
};
const UNIT = /_(m|mm|deg|kg|s|lx|stops|px|kb|percent)$/;

/** "from_left_m of [[windows]]" is "from left of window". */
export function plain(text) {
  return text
    .replace(/\[\[?([a-z_.]+)\]?\]/g, (_, table) => TABLES[table] ?? table.replace(/[_.]/g, " "))
    .replace(/\b[a-z]+(?:_[a-z0-9]+)+\b/g, (key) => key.replace(UNIT, "").replaceAll("_", " "))
    .replace(/\b(?:shoot|studio)\.toml\b/g, (file) => (file === "shoot.toml" ? "the shoot" : "the studio"));
}

// What the close look says by itself.
export const CLOSER = {
  tools: {
    whole: "Whole", one: "100 %", two: "200 %", focus: "Focus", clipped: "Clipped", levels: "Levels", marks: "Marks",
    crops: "Crops", grid: "Grid", level: "Level", planned: "Planned", test: "Test frame", layout: "Layout",
    room: "Dark room", asIs: "As it is", hide: "Hide",
  },
  room: { dark: "Dark room", lit: "Lit room" },
  layout: (share) => (share ? `Layout ${Math.round(share * 100)} %` : "Layout"),
  about: {
    whole: "The whole frame (0)", one: "One picture pixel on one of the screen, at the focus (1)",
    two: "Twice that (2)", room: "How bright your room is: the frame is shown so that the screen lights nothing",
    asIs: "The frame as bright as it is", hide: "Hide all that is laid over the frame (H)",
  },
  said: (word, act) => (act ? `${word}. ${act}` : word),
  asItIs: "Shown as bright as it is.",
  darker: (stops) => `Shown ${stops.toFixed(1)} ${stops < 1.05 ? "stop" : "stops"} darker than it is.`,
  fetching: "Fetching the full size …",
  fullSize: (percent, wide, high) => `${percent} % of ${wide} × ${high} px`,
  noPlanned: "There is no planned picture of this shot yet: make it on the Plan page.",
  fetchingPlanned: "Fetching the planned picture …",
  planned: "Planned picture: rendered, not photographed",
  noLevel: "How level the camera is shows only with the set card in this frame or in the test frame.",
  level: (degrees) => {
    const size = Math.abs(degrees).toFixed(1);
    if (Number(size) < 0.2) return "Level";
    return `Turn the camera ${size}° ${degrees > 0 ? "anticlockwise" : "clockwise"}`;
  },
  noCrops: "This shot goes to no channel.",
  crop: (name, wide, high) => `${name}, ${wide} × ${high}`,
  stops: "stops below clipping",
  channels: ["red", "green", "blue"],
  any: "All",
  clippedIn: (which) => (which === "any" ? "Clipped in any channel" : `Clipped in ${which}`),
  headroom: (name, stops) => `${name} ${stops < 0.05 ? "0" : stops.toFixed(1)}`,
  noLayout: "There is no layout for this shot. Choose its PNG or PDF at the laptop.",
  layoutOf: (name, page, pages) => (pages > 1 ? `${name}, page ${page} of ${pages}` : name),
  before: "Page before", after: "Page after", another: "Another layout", away: "Take it away",
  choose: "Choose the client's layout: PNG or PDF",
  reading: "Reading the layout …",
};

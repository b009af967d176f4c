// Jobs of the stories, each told by what differs from a plain disc.

/** A disc for a practised hand, section by section; lists stand for sections that may come several times. */
const DISC = {
  "": { skill: "practised" },
  sheet: { metal: "copper", thickness: 0.8 },
  outline: { shape: "circle", diameter: 30, border: 2.5 },
  pattern: { name: "hexagon", pitch: 4.4, bridge: 1.2 },
};

/** @param {unknown} value */
function written(value) {
  if (typeof value !== "object") return JSON.stringify(value);
  if (Array.isArray(value)) return `[${value.join(", ")}]`;
  return `{ ${Object.entries(/** @type {object} */ (value)).map(([key, v]) => `${key} = ${written(v)}`).join(", ")} }`;
}

/** @param {Record<string, unknown>} keys */
const lines = (keys) => Object.entries(keys).filter(([, v]) => v !== undefined).map(([key, v]) => `${key} = ${written(v)}\n`).join("");

/**
 * The text of a job: the plain disc with these keys in place of its own.
 * @param {Record<string, any>} own
 */
export function job(own) {
  const names = [...new Set([...Object.keys(DISC), ...Object.keys(own)])];
  return names
    .map((name) => {
      if (Array.isArray(own[name])) return own[name].map((/** @type {Record<string, unknown>} */ keys) => `[[${name}]]\n${lines(keys)}`).join("\n");
      const keys = { .../** @type {any} */ (DISC)[name], ...own[name] };
      return `${name && `[${name}]\n`}${lines(keys)}`;
    })
    .join("\n");
}

export const EARRINGS = job({
  "": { title: "Wholesale discs", pieces: 80, skill: undefined },
  sheet: { metal: "sterling-silver", thickness: 0.7, price_per_gram: 0.9 },
  outline: { diameter: 22, border: 2 },
  pattern: { pitch: 4, bridge: 1 },
  saw: { blade: "3/0" },
  rates: { per_hour: 40, saw: 12, per_hole: 1.2, filing: 0.8, handling: 6 },
});

export const BAND = job({
  "": { title: "Band", skill: undefined },
  sheet: { metal: "sterling-silver", thickness: 0.7 },
  outline: { shape: "band", ring_size: "US 7", diameter: undefined, width: 8, border: 1.5 },
  pattern: { pitch: 4, bridge: 1 },
});

const TAB = { name: "bail tab", shape: "circle", diameter: 5, at: [0, 14] };

export const STONE = job({
  "": { title: "Stone in the middle" },
  sheet: { metal: "sterling-silver" },
  outline: { diameter: 34 },
  keep_solid: [TAB],
  hole: [{ name: "bail hole", diameter: 2, at: [0, 14] }],
  construction: { bezel: { stone: 10, thickness: 0.3, height: 4, ledge: 1, window: true } },
});

export const DROPS = job({
  "": { title: "Rain", pair: true },
  sheet: { metal: "brass" },
  outline: { shape: "teardrop", diameter: undefined, width: 22, height: 36, tip_radius: 1, border: 2.4 },
  pattern: { name: "diamond", pitch: 5, bridge: 1.3 },
  hole: [{ name: "hook hole", diameter: 1.5, at: [0, 13] }],
});

export const THIN = job({
  "": { title: "Bridges too thin" },
  outline: { border: 2.4 },
  pattern: { pitch: 4.2, bridge: 0.8, at_border: "trim" },
  limits: { bridge: 0.9 },
});

export const RIMMED = job({
  "": { title: "Disc on a wall" },
  pattern: { name: "triangle", pitch: 6.2, at_border: "trim" },
  construction: {
    rim: { height: 4, thickness: 0.5, sits: "round-edge" },
    back: { thickness: 0.7, overhang: 1 },
  },
});

/** About so wide a disc of fine openings, for times. @param {number} across @param {string} edge */
export const wide = (across, edge) =>
  job({
    "": { title: "Speed", skill: "fine-work" },
    outline: { diameter: across, border: 2 },
    pattern: { pitch: 2.6, bridge: 0.8, at_border: edge },
    paper: { size: [400, 400] },
    keep_solid: [{ ...TAB, diameter: 6 }],
  });

/** As a maker writes one, with remarks. */
export const PLAIN = `# kept through every edit
title = "Reed disc"
skill = "practised"

[sheet]
metal = "copper"     # from the drawer
thickness = 0.8

[outline]
shape = "circle"
diameter = 36
border = 2.5

[pattern]
name = "hexagon"
pitch = 6
bridge = 1.4

[[keep_solid]]
name = "bail tab"
shape = "circle"
diameter = 6
at = [0, 14]

[[hole]]
name = "bail hole"
diameter = 1.8
at = [0, 14]
`;

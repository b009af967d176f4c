/** The drawing: the piece in its metal, what lies on it, and what hands do to it. */
import { html, svg, nothing } from "../vendor/lit-html.js";
import { bench, edit, change, ask, gesture, micro, redraw } from "./store.js";
import { count, t } from "./words.js";
import { fit, lookAt, pan, placeAt, view, viewBox, zoom } from "./view.js";
import { say } from "./live-region.js";
import { metalNow } from "./metal.js";

/** What is shown, and what is chosen. */
export const shown = {
	thin: true,
	drill: true,
	numbers: false,
	/** A solid place, window, hole, stone: `keep_solid[0]`. @type {string | null} */
	chosen: null,
	/** What lies under the last click. @type {any} */
	read: null,
	/** The finding that is looked at, and its places. @type {string | null} */
	looked: null,
	/** @type {Place[]} */
	places: [],
};

/** The key of the pattern's own middle. */
const PATTERN = "pattern";

/** What a hand holds right now. @type {null | {key: string, at: Place}} */
let held = null;

/** The head of its keys. @param {{section: string, index: number | null}} solid */
export const keyOf = (solid) => (solid.index === null ? solid.section : `${solid.section}[${solid.index}]`);

/** Length of n screen pixels in mm. @param {number} n */
const px = (n) => n / view.scale;

export function sheet() {
	const d = bench.drawing;
	if (!d) return nothing;
	const plate = `${d.outline}${d.windows ?? ""}${d.holes ?? ""}`;
	return html`<svg
		class="sheet"
		id="sheet"
		data-metal=${metalNow()}
		viewBox=${viewBox()}
		tabindex="0"
		role="group"
		aria-label=${t("sheet.label", { title: bench.title || t("sheet.piece") })}
		aria-describedby="sheet-help"
		@pointerdown=${down}
		@pointermove=${move}
		@pointerup=${up}
		@pointercancel=${up}
		@wheel=${wheel}
		@keydown=${keys}
	>
		<defs>
			<linearGradient id="metal" gradientUnits="userSpaceOnUse" x1=${d.box[0]} y1=${-d.box[3]} x2=${d.box[2]} y2=${-d.box[1]}>
				<stop offset="0" class="m1"></stop>
				<stop offset=".45" class="m2"></stop>
				<stop offset="1" class="m3"></stop>
			</linearGradient>
		</defs>
		<path class="shadow" d=${d.outline} transform="translate(${px(2)} ${px(5)})"></path>
		<path class="metal" d=${plate} fill-rule="evenodd"></path>
		${d.openings.map((/** @type {string} */ tile) => svg`<path class="opening" d=${tile}></path>`)}
		${shown.thin && d.thin?.length ? thin(d.thin) : nothing} ${shown.drill ? drills(d) : nothing}
		${shown.numbers ? numbers(d) : nothing} ${shown.read ? readMark(shown.read) : nothing}
		${d.handles?.length ? outlineHandles(d) : nothing} ${solids().map(solid)}
		${shown.places.map((p, i) => mark(p, i))}
	</svg>`;
}

/** A line across each bridge. @param {Thin[]} list */
export const across = (list) => list.map(({ a, b }) => `M${a[0]} ${-a[1]}L${b[0]} ${-b[1]}`).join("");

/** @param {Thin[]} list */
function thin(list) {
	return svg`<path class="thin" d=${across(list)}></path>${list.slice(0, 12).map((b) => {
		const x = (b.a[0] + b.b[0]) / 2;
		const y = -(b.a[1] + b.b[1]) / 2;
		const s = px(6);
		return svg`<path class="thin-mark" d="M${x} ${y - s}l${s} ${s * 1.7}h${-2 * s}z"><title>${b.width}</title></path>`;
	})}`;
}

/** Start holes of the drawing that was looked at last. @type {{of: any, places: number[], tiles: string[]}} */
let starts = { of: null, places: [], tiles: [] };

/**
 * The start holes in the order of piercing: x, y of each, y up; and as paths, a tile of the piece each. All of them in one
 * path take a browser three times as long to paint, and are painted anew wherever one moves. @param {any} drawing
 */
function startsOf(drawing) {
	if (starts.of === drawing) return starts;
	const places = drawing.drill ? drawing.drill.split(" ").map(Number) : [];
	const [x0, y0, x1, y1] = drawing.box;
	const side = Math.ceil(Math.sqrt(drawing.openings.length)) || 1;
	const row = (/** @type {number} */ share) => Math.min(side - 1, Math.max(0, Math.floor(share * side)));
	/** @type {string[]} */
	const tiles = Array(side * side).fill("");
	for (let i = 0; i < places.length; i += 2) {
		const [x, y] = [places[i], places[i + 1]];
		tiles[row((y - y0) / (y1 - y0)) * side + row((x - x0) / (x1 - x0))] += round([x, y], drawing.drill_radius);
	}
	starts = { of: drawing, places, tiles };
	return starts;
}

/** @param {any} drawing */
function drills(drawing) {
	// Smaller on the screen they are no holes any more.
	if (drawing.drill_radius / px(1) < 1) return nothing;
	return startsOf(drawing).tiles.map((d) => svg`<path class="drill" d=${d}></path>`);
}

/** Numbers at the start holes: the order of piercing. @param {any} drawing */
function numbers(drawing) {
	const { places } = startsOf(drawing);
	const w = view.width / view.scale / 2;
	const h = view.height / view.scale / 2;
	const seen = [];
	for (let i = 0; i < places.length; i += 2) {
		const [x, y] = [places[i], places[i + 1]];
		if (Math.abs(x - view.x) < w && Math.abs(-y - view.y) < h) seen.push({ x, y, n: i / 2 + 1 });
	}
	if (seen.length > 500) return nothing;
	const size = px(12);
	return svg`<g class="numbers" font-size=${size} aria-hidden="true">${seen.map(
		({ x, y, n }) => svg`<text x=${x} y=${-y + size * 0.36}>${n}</text>`,
	)}</g>`;
}

/** @param {any} read */
function readMark(read) {
	if (read.d) return svg`<path class="read" d=${read.d}></path>`;
	if (read.a && read.b) return svg`<path class="read" d=${across([read])}></path>`;
	const at = read.at ?? [0, 0];
	return svg`<circle class="read" cx=${at[0]} cy=${-at[1]} r=${px(9)}></circle>`;
}

/** @param {Place} p @param {number} i */
function mark(p, i) {
	return svg`<g class="place"><circle cx=${p[0]} cy=${-p[1]} r=${px(13)}></circle>${
		i === 0 ? svg`<circle class="first" cx=${p[0]} cy=${-p[1]} r=${px(20)}></circle>` : nothing
	}</g>`;
}

/** @param {Solid} s */
function solid(s) {
	const key = keyOf(s);
	const chosen = shown.chosen === key;
	const [x, y] = held?.key === key ? held.at : s.at;
	const [dx, dy] = [x - s.at[0], -(y - s.at[1])];
	const handles = chosen && held?.key !== key ? (s.handles ?? []).filter((h) => h.kind !== "move") : [];
	return svg`<g class="solid ${s.kind} ${chosen ? "chosen" : ""}" data-key=${key} tabindex="0" role="button"
			aria-pressed=${chosen} aria-roledescription=${t("sheet.movable")}
			aria-label=${whatAt(s, [x, y])}
			transform="translate(${dx} ${dy})">
		<circle class="touch" cx=${s.at[0]} cy=${-s.at[1]} r=${px(13)}></circle>
		<path class="hold" d=${s.d || round(s.at, px(10))}></path>
		${chosen || key === PATTERN ? svg`<path class="cross" d="M${s.at[0] - px(7)} ${-s.at[1]}h${px(14)}M${s.at[0]} ${-s.at[1] - px(7)}v${px(14)}"></path>` : nothing}
		${handles.map((h) => handleMark(h, key))}
	</g>`;
}

/** The outline's own sizes, to be pulled. @param {Drawing} d */
function outlineHandles(d) {
	return svg`<g class="outline-handles">${d.handles.map((h) => handleMark(h, "outline"))}</g>`;
}

/** @param {Handle} h @param {string} key */
function handleMark(h, key) {
	return svg`<g class="handle ${h.kind}" data-key=${key} data-handle=${h.path} data-kind=${h.kind}>
				<circle class="touch" cx=${h.at[0]} cy=${-h.at[1]} r=${px(18)}></circle>
				${
					h.kind === "turn"
						? svg`<circle cx=${h.at[0]} cy=${-h.at[1]} r=${px(6.5)}></circle>`
						: svg`<path d="M${h.at[0]} ${-h.at[1] - px(8)}l${px(8)} ${px(8)}l${px(-8)} ${px(8)}l${px(-8)} ${px(-8)}z"></path>`
				}
			</g>`;
}

/** @param {Place} at @param {number} r */
function round(at, r) {
	return `M${at[0] - r} ${-at[1]}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;
}

/** What stands on the piece, its pattern's middle last. @returns {Solid[]} */
function solids() {
	const { solid = [], middle } = bench.drawing ?? {};
	if (!middle) return solid;
	return [...solid, { section: PATTERN, index: null, name: "", kind: PATTERN, d: "", at: middle.at, path: middle.path, handles: [] }];
}

/** What stands there, and where. @param {{kind: string, name?: string, index?: number | null}} s @param {Place} at */
export function whatAt({ kind, name = "", index }, [x, y]) {
	const word = t(`kind.${kind}`);
	const own = kind === "row" ? ` ${(index ?? 0) + 1}` : word.toLowerCase().includes(name.toLowerCase()) ? "" : `: ${name}`;
	return t("sheet.at", { what: word + own, x: num(x), y: num(y) });
}

/** A length as people read it on the drawing. @param {number} mm */
export function num(mm) {
	return bench.units === "in" ? (mm / 25.4).toFixed(3) : String(Math.round(mm * 100) / 100);
}

// ---- hands

/** @type {Map<number, Spot>} */
const fingers = new Map();
/** @type {Doing | null} */
let doing = null;

/** @param {PointerEvent} e */
function spot(e) {
	const box = /** @type {Element} */ (e.currentTarget).getBoundingClientRect();
	return { x: e.clientX - box.left, y: e.clientY - box.top };
}

/** @param {string} key @returns {Solid | null} */
export function solidOf(key) {
	if (key === "outline") return { section: "outline", index: null, name: "", kind: "outline", d: "", at: [0, 0], handles: bench.drawing?.handles ?? [] };
	return solids().find((s) => keyOf(s) === key) ?? null;
}

/** Where the place of a solid is written. @param {Solid} s */
function pathOf(s) {
	return s.path ?? s.handles?.find((h) => h.kind === "move")?.path ?? null;
}

/** @param {PointerEvent} e */
function down(e) {
	if (e.button > 0) return;
	const here = spot(e);
	fingers.set(e.pointerId, here);
	/** @type {Element} */ (e.currentTarget).setPointerCapture(e.pointerId);
	if (fingers.size === 2) {
		doing = null;
		held = null;
		return;
	}
	const target = /** @type {Element} */ (e.target);
	const handle = target.closest("[data-handle]");
	const thing = target.closest("[data-key]");
	const key = thing?.getAttribute("data-key") ?? undefined;
	const place = placeAt(here);
	const base = { start: here, moved: false, gesture: gesture(), key };
	const s = key ? solidOf(key) : null;
	if (handle && s?.handles) {
		const path = handle.getAttribute("data-handle");
		const found = s.handles.find((h) => h.path === path);
		doing = { ...base, kind: "handle", handle: found, grip: [0, 0] };
	} else if (s) {
		doing = { ...base, kind: "move", grip: [place[0] - s.at[0], place[1] - s.at[1]] };
	} else doing = { ...base, kind: "pan", grip: [0, 0] };
}

/** @param {PointerEvent} e */
function move(e) {
	const before = fingers.get(e.pointerId);
	if (!before) return;
	const here = spot(e);
	if (fingers.size === 2) {
		pinch(e.pointerId, here);
		return;
	}
	if (!doing) return;
	if (!doing.moved && Math.hypot(here.x - doing.start.x, here.y - doing.start.y) < 4) return;
	doing.moved = true;
	fingers.set(e.pointerId, here);
	if (doing.kind === "pan") pan(here.x - before.x, here.y - before.y);
	else void hand(here);
}

/** @param {number} id @param {Spot} here */
function pinch(id, here) {
	const before = /** @type {Spot} */ (fingers.get(id));
	const other = [...fingers].find(([k]) => k !== id)?.[1] ?? here;
	const was = Math.hypot(before.x - other.x, before.y - other.y);
	const is = Math.hypot(here.x - other.x, here.y - other.y);
	pan((here.x - before.x) / 2, (here.y - before.y) / 2);
	if (was > 1) zoom(is / was, { x: (here.x + other.x) / 2, y: (here.y + other.y) / 2 });
	fingers.set(id, here);
}

/** Moves, sizes or turns what is held. @param {Spot} here */
async function hand(here) {
	if (!doing?.key) return;
	const s = solidOf(doing.key);
	if (!s) return;
	const [x, y] = placeAt(here);
	redraw();
	if (doing.kind === "move") {
		const at = /** @type {Place} */ ([snap(x - doing.grip[0]), snap(y - doing.grip[1])]);
		const path = pathOf(s);
		if (!path) return turnTo(s, x, y);
		held = { key: doing.key, at };
		shown.chosen = doing.key;
		await edit([{ path, value: at.map(micro) }], { gesture: doing.gesture });
	} else {
		const value = handleValue(doing.handle, x, y);
		if (value !== null) await edit([{ path: doing.handle.path, value }], { gesture: doing.gesture });
	}
}

/** A tenth of a mm is as near as a hand places anything. @param {number} mm */
const snap = (mm) => Math.round(mm * 10) / 10;

/** What stands on the edge goes round with the hand. @param {Solid} s @param {number} x @param {number} y */
async function turnTo(s, x, y) {
	const h = s.handles?.find((one) => one.kind === "turn");
	if (!h) return;
	shown.chosen = keyOf(s);
	const value = handleValue(h, x, y);
	if (value !== null) await edit([{ path: h.path, value }], { gesture: doing?.gesture });
}

/** @param {Handle} h @param {number} x @param {number} y */
function handleValue(h, x, y) {
	const about = h.about ?? [0, 0];
	const [dx, dy] = [x - about[0], y - about[1]];
	if (h.kind === "turn") {
		// A lug's turn is where it stands; other things are turned by a handle that stands above them.
		const rest = /\.at_angle$/.test(h.path) ? 0 : 90;
		const degrees = Math.round((Math.atan2(dy, dx) * 180) / Math.PI - rest);
		return ((degrees + 540) % 360) - 180;
	}
	const along = h.along ?? [1, 0];
	const mm = (h.per ?? 2) * (dx * along[0] + dy * along[1]);
	return mm > 0.2 ? micro(snap(mm)) : null;
}

/** @param {PointerEvent} e */
function up(e) {
	const here = spot(e);
	fingers.delete(e.pointerId);
	const was = doing;
	doing = fingers.size ? doing : null;
	if (!was || e.type === "pointercancel") {
		held = null;
		redraw();
		return;
	}
	if (was.moved && was.kind !== "pan") {
		doing = was;
		const last = hand(here);
		const mine = held;
		void last.then(() => settleHeld(mine));
		doing = null;
	} else if (!was.moved) void click(here, was.key);
}

/** The held thing keeps its place on the screen until the engine has drawn it there. @param {typeof held} mine */
function settleHeld(mine) {
	if (held !== mine) return;
	held = null;
	redraw();
}

/** @param {Spot} here @param {string | undefined} key */
async function click(here, key) {
	if (key === "outline") return;
	if (key) {
		choose(shown.chosen === key ? null : key);
		return;
	}
	const [x, y] = placeAt(here);
	await read(x, y);
}

/** @param {string | null} key */
export function choose(key) {
	shown.chosen = key;
	shown.read = null;
	redraw();
}

/** Reads what lies at a place. @param {number} x mm @param {number} y mm, y up */
export async function read(x, y) {
	const answer = await ask({ ask: "at", x, y });
	shown.chosen = null;
	shown.read = answer.ok && answer.kind ? answer : null;
	lookAway();
	if (shown.read?.says?.length) say(shown.read.says.join(". "));
	redraw();
}

/** @param {WheelEvent} e */
function wheel(e) {
	e.preventDefault();
	const box = /** @type {Element} */ (e.currentTarget).getBoundingClientRect();
	const step = e.deltaMode === 1 ? e.deltaY * 16 : e.deltaY;
	zoom(Math.exp(-step / 400), { x: e.clientX - box.left, y: e.clientY - box.top });
}

// ---- keys

/** One gesture for keys that follow each other quickly. @type {{key: string, id: string, until: number}} */
let run = { key: "", id: "", until: 0 };

/** @param {string} key */
function runOf(key) {
	const now = performance.now();
	if (run.key !== key || now > run.until) run = { key, id: gesture(), until: 0 };
	run.until = now + 1500;
	return run.id;
}

/** @param {KeyboardEvent} e */
function keys(e) {
	const key = /** @type {Element} */ (e.target).closest("[data-key]")?.getAttribute("data-key") ?? null;
	const arrow = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
	if (e.ctrlKey || e.metaKey || e.altKey) return;
	if (arrow && key) nudge(key, arrow, e.shiftKey ? 0.1 : 0.5);
	else if (arrow) pan(-arrow[0] * 60, arrow[1] * 60);
	else if (key && (e.key === "Enter" || e.key === " ")) choose(shown.chosen === key ? null : key);
	else if (key && (e.key === "Delete" || e.key === "Backspace")) removeSolid(key);
	else if (key && (e.key === "+" || e.key === "=" || e.key === "-")) resize(key, e.key === "-" ? -0.2 : 0.2);
	else if (key && (e.key === "[" || e.key === "]")) turnBy(key, e.key === "[" ? 5 : -5);
	else if (e.key === "+" || e.key === "=") zoom(1.25);
	else if (e.key === "-") zoom(0.8);
	else if (e.key === "0" && bench.drawing) fit(bench.drawing.box);
	else if (e.key === "Escape") {
		choose(null);
		lookAway();
	} else return;
	e.preventDefault();
}

/** @param {string} key @param {number[]} by @param {number} step */
function nudge(key, by, step) {
	const s = solidOf(key);
	if (!s) return;
	const from = held?.key === key ? held.at : s.at;
	const path = pathOf(s);
	if (!path) return turnBy(key, (by[0] || -by[1]) * -step * 2);
	const at = /** @type {Place} */ ([from[0] + by[0] * step, from[1] + by[1] * step].map((v) => Math.round(v * 100) / 100));
	const mine = { key, at };
	held = mine;
	shown.chosen = key;
	redraw();
	void edit([{ path, value: at.map(micro) }], { gesture: runOf(key) }).then(() => {
		settleHeld(mine);
		say(t("say.moved", { x: num(at[0]), y: num(at[1]) }));
	});
}

/** @param {string} key @param {number} by mm */
function resize(key, by) {
	const s = solidOf(key);
	const sizes = s?.handles?.filter((h) => h.kind === "size") ?? [];
	if (!s || !sizes.length) return;
	const edits = sizes.map((h) => {
		return { path: h.path, value: micro(Math.max(0.2, Math.round(((h.value ?? 0) + by) * 100) / 100)) };
	});
	void edit(edits, { gesture: runOf(`${key} size`) });
}

/** @param {string} key @param {number} degrees */
function turnBy(key, degrees) {
	const s = solidOf(key);
	const h = s?.handles?.find((one) => one.kind === "turn");
	if (s && h) void edit([{ path: h.path, value: Math.round((h.from ?? s.turn ?? 0) + degrees) }], { gesture: runOf(`${key} turn`) });
}

/** @param {string} key */
export function removeSolid(key) {
	const s = solidOf(key);
	if (!s || key === PATTERN) return;
	shown.chosen = null;
	void change({ ask: "remove", section: s.section, index: s.index });
}

function lookAway() {
	shown.looked = null;
	shown.places = [];
}

/** Shows a finding on the piece; a second time, no longer. @param {Finding} finding */
export function showFinding(finding) {
	shown.read = null;
	const again = shown.looked === finding.id;
	shown.looked = again ? null : finding.id;
	shown.places = again ? [] : (finding.places ?? []);
	const first = shown.places[0];
	if (first) {
		const w = view.width / view.scale / 2;
		const h = view.height / view.scale / 2;
		if (Math.abs(first[0] - view.x) > w || Math.abs(-first[1] - view.y) > h) lookAt(first[0], first[1]);
	}
	if (!again) say(`${finding.says} ${count("finding.places", shown.places.length)}`);
	redraw();
}

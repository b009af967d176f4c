/** Drawing one's own outline: straight and round pieces, a photograph to trace over, or a drawing dropped in. */
import { html, svg, nothing } from "../vendor/lit-html.js";
import { bench, edit, faultsOf, fieldOf, micro, redraw, round } from "./store.js";
import { count, numberOf, t } from "./words.js";
import { closePanel, fault, panel } from "./panels.js";
import { say } from "./live-region.js";
import { closed, pathData, pointsOf } from "./outline-points.js";
import { num } from "./sheet.js";
import { giveFile } from "./bringing.js";

/** @typedef {import("./outline-points.js").Point} Point */

const o = {
	/** @type {Point[]} */
	points: [],
	both: true,
	round: false,
	/** Where the next point would go. */
	at: { x: 0, y: 15 },
	/** mm the board shows across; 0 until it is looked at. */
	wide: 0,
	photo: { url: "", width: 40, x: 0, y: 0, strength: 50, tall: 1 },
	/** @type {null | {i: number, rise: boolean}} */
	held: null,
	fault: "",
};

panel("outline", { title: "outline.title", view: outlinePanel, enter: start });

/** One of the job's units, mm; and between two lines of the board: a millimetre, or a sixteenth of an inch. */
const unit = () => (bench.units === "in" ? 25.4 : 1);
const ruled = () => (bench.units === "in" ? 25.4 / 16 : 1);

function start() {
	const d = fieldOf("outline.d")?.typed;
	const points = typeof d === "string" ? pointsOf(d.replace(/^"|"$/g, "")) : null;
	o.fault = "";
	o.wide ||= unit() === 1 ? 60 : 63.5;
	if (!points) return;
	o.points = points;
	o.both = false;
	const reach = Math.max(...points.flatMap((p) => [Math.abs(p.x), Math.abs(p.y)]));
	o.wide = Math.max(20, Math.ceil((reach * 2.6) / 10) * 10);
}

const whole = () => (o.both ? closed(o.points) : o.points);

function outlinePanel() {
	const w = o.wide;
	const line = whole();
	const dot = w / 60;
	return html`<div class="outline-work">
			<svg id="board" class="board" viewBox="${-w / 2} ${-w / 2} ${w} ${w}" tabindex="0" role="group" aria-label=${t("outline.board")}
				aria-describedby="panel-lead" @pointerdown=${down} @pointermove=${move} @pointerup=${up} @keydown=${keys}>
				${grid(w)}
				${o.photo.url ? svg`<image href=${o.photo.url} x=${o.photo.x - o.photo.width / 2} y=${-o.photo.y - (o.photo.width * o.photo.tall) / 2}
					width=${o.photo.width} height=${o.photo.width * o.photo.tall} opacity=${o.photo.strength / 100}></image>` : nothing}
				${line.length > 1 ? svg`<path class="drawn" d=${pathData(line)}></path>` : nothing}
				${o.points.map((p, i) => svg`<circle class="point" data-point=${i} cx=${p.x} cy=${-p.y} r=${dot * 0.9}></circle>`)}
				${o.points.map((p, i) => riseDot(i, dot))}
				<path class="cross" d="M${o.at.x - dot * 2} ${-o.at.y}h${dot * 4}M${o.at.x} ${-o.at.y - dot * 2}v${dot * 4}"></path>
			</svg>
			<div class="fields outline-side">
				<fieldset class="part">
					<legend>${t("outline.next")}</legend>
					<span class="row">
						<button type="button" aria-pressed=${!o.round} @click=${() => ((o.round = false), redraw())}>${t("outline.straight")}</button>
						<button type="button" aria-pressed=${o.round} @click=${() => ((o.round = true), redraw())}>${t("outline.round")}</button>
					</span>
					<label class="tick"><input type="checkbox" .checked=${o.both} @change=${(e) => ((o.both = e.target.checked), redraw())} />
						<span>${t("outline.both")}</span></label>
					<label class="line">${t("outline.wide")}
						<input inputmode="decimal" .value=${num(o.wide)} @change=${(e) => setWide(e.target.value)} /> ${bench.units}</label>
				</fieldset>
				<fieldset class="part">
					<legend>${count("outline.points", o.points.length)}</legend>
					<p class="hint">${t("outline.order")}</p>
					<ol class="points">
						${o.points.map(pointRow)}
					</ol>
					<span class="row">
						<button type="button" class="quiet" ?disabled=${!o.points.length} @click=${back}>${t("outline.back")}</button>
						<button type="button" class="quiet" ?disabled=${!o.points.length} @click=${() => ((o.points = []), redraw())}>${t("outline.clear")}</button>
					</span>
				</fieldset>
				<fieldset class="part">
					<legend>${t("outline.photo")}</legend>
					<input type="file" accept="image/*" aria-label=${t("outline.photo")} @change=${photo} />
					${o.photo.url ? photoBoxes() : nothing}
				</fieldset>
				<fieldset class="part">
					<legend>${t("outline.file")}</legend>
					<input type="file" accept=".svg,image/svg+xml" aria-label=${t("outline.file")} @change=${shapeFile} />
				</fieldset>
			</div>
		</div>
		${fault(o.fault)}
		<div class="row end"><button class="do" data-do="outline" ?disabled=${line.length < 3 && !line.some((p) => p.rise)} @click=${take}>${t("outline.do")}</button></div>`;
}

/** @param {number} w */
function grid(w) {
	let fine = "";
	let strong = "";
	const h = w / 2;
	const strongs = unit() === 1 ? 10 : 16;
	for (let k = -Math.floor(h / ruled()); k * ruled() <= h; k += 1) {
		const at = k * ruled();
		const d = `M${at} ${-h}V${h}M${-h} ${at}H${h}`;
		if (k % strongs === 0) strong += d;
		else if (w <= 120) fine += d;
	}
	return svg`<path class="grid" d=${fine}></path><path class="grid strong" d=${strong}></path><path class="grid axis" d="M0 ${-h}V${h}"></path>`;
}

/** The middle of the piece that ends in a point: drag it to make the piece round. @param {number} i @param {number} dot */
function riseDot(i, dot) {
	const m = top(i);
	return m ? svg`<rect class="rise" data-rise=${i} x=${m.x - dot * 0.7} y=${-m.y - dot * 0.7} width=${dot * 1.4} height=${dot * 1.4}></rect>` : nothing;
}

/** @param {number} i */
function top(i) {
	const b = o.points[i];
	const a = o.points[i - 1];
	if (!a || !b) return null;
	const c = Math.hypot(b.x - a.x, b.y - a.y) || 1;
	const left = { x: -(b.y - a.y) / c, y: (b.x - a.x) / c };
	return { x: (a.x + b.x) / 2 + left.x * b.rise, y: (a.y + b.y) / 2 + left.y * b.rise };
}

/** @param {Point} p @param {number} i */
function pointRow(p, i) {
	const box = (/** @type {keyof Point} */ key) =>
		html`<input inputmode="decimal" aria-label=${t(`outline.${key}`, { n: i + 1 })} .value=${num(p[key])}
			@change=${(e) => set(i, key, e.target.value)} />`;
	return html`<li>${box("x")}${box("y")}${box("rise")}</li>`;
}

/** @param {number} i @param {"x" | "y" | "rise"} key @param {string} text */
function set(i, key, text) {
	const v = numberOf(text);
	if (Number.isFinite(v)) o.points[i] = { ...o.points[i], [key]: v * unit() };
	redraw();
}

/** @param {string} text */
function setWide(text) {
	const v = numberOf(text) * unit();
	if (v >= 5 && v <= 1000) o.wide = v;
	redraw();
}

/** @param {number} x @param {number} y */
function put(x, y) {
	const before = o.points.at(-1);
	const chord = before ? Math.hypot(x - before.x, y - before.y) : 0;
	if (before && chord < 0.05) return;
	// A round piece begins a quarter as high as it is long, bulging away from the middle.
	const outward = before ? Math.sign(before.x * y - before.y * x) || 1 : 1;
	o.points.push({ x, y, rise: before && o.round ? -outward * chord * 0.25 : 0 });
	say(t("outline.put", { n: o.points.length, x: num(x), y: num(y) }));
	redraw();
}

function back() {
	o.points.pop();
	redraw();
}

/** @param {PointerEvent} e */
function place(e) {
	const board = /** @type {SVGSVGElement} */ (/** @type {unknown} */ (document.getElementById("board")));
	const box = board.getBoundingClientRect();
	const s = o.wide / Math.min(box.width, box.height);
	const snap = (/** @type {number} */ v) => (Math.round((v / ruled()) * 2) * ruled()) / 2;
	return { x: snap((e.clientX - box.left - box.width / 2) * s), y: snap(-(e.clientY - box.top - box.height / 2) * s) };
}

/** @param {PointerEvent} e */
function down(e) {
	const target = /** @type {Element} */ (e.target);
	const point = target.getAttribute("data-point");
	const rise = target.getAttribute("data-rise");
	/** @type {Element} */ (e.currentTarget).setPointerCapture(e.pointerId);
	o.at = place(e);
	if (point !== null) o.held = { i: Number(point), rise: false };
	else if (rise !== null) o.held = { i: Number(rise), rise: true };
	else put(o.at.x, o.at.y);
}

/** @param {PointerEvent} e */
function move(e) {
	o.at = place(e);
	if (o.held) {
		const { i, rise } = o.held;
		const p = o.points[i];
		if (!rise) o.points[i] = { ...p, ...o.at };
		else {
			const a = o.points[i - 1];
			const c = Math.hypot(p.x - a.x, p.y - a.y) || 1;
			const h = (-(p.y - a.y) * (o.at.x - (a.x + p.x) / 2) + (p.x - a.x) * (o.at.y - (a.y + p.y) / 2)) / c;
			o.points[i] = { ...p, rise: Math.abs(h) < 0.3 ? 0 : Math.round(h * 10) / 10 };
		}
	}
	redraw();
}

function up() {
	o.held = null;
}

/** @param {KeyboardEvent} e */
function keys(e) {
	const step = e.shiftKey ? ruled() / 10 : ruled();
	const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
	if (by) {
		o.at = { x: micro(o.at.x + by[0] * step), y: micro(o.at.y + by[1] * step) };
		say(t("say.moved", { x: num(o.at.x), y: num(o.at.y) }));
	} else if (e.key === "Enter" || e.key === " ") put(o.at.x, o.at.y);
	else if (e.key === "Backspace") back();
	else if (e.key === "r") o.round = !o.round;
	else return;
	e.preventDefault();
	redraw();
}

/** @param {any} e */
function photo(e) {
	const file = e.target.files?.[0];
	if (!file) return;
	if (o.photo.url) URL.revokeObjectURL(o.photo.url);
	const url = URL.createObjectURL(file);
	const image = new Image();
	image.onload = () => {
		o.photo = { ...o.photo, url, width: o.wide * 0.8, tall: image.naturalHeight / image.naturalWidth };
		redraw();
	};
	image.src = url;
}

function photoBoxes() {
	const box = (/** @type {"width" | "x" | "y" | "strength"} */ key, mm = unit(), word = bench.units) =>
		html`<label class="line">${t(`outline.photo.${key}`)}
			<input inputmode="decimal" .value=${String(round(o.photo[key] / mm, 2))}
				@change=${(e) => {
					const v = numberOf(e.target.value) * mm;
					if (Number.isFinite(v)) o.photo[key] = v;
					redraw();
				}} /> ${word}</label>`;
	return html`<p class="hint">${t("outline.photo.hint")}</p>${box("width")}${box("x")}${box("y")}${box("strength", 1, "%")}`;
}

/** @param {any} e */
async function shapeFile(e) {
	const file = e.target.files?.[0];
	if (file) await done(await giveFile(file));
}

async function take() {
	const d = pathData(whole());
	await done(
		await edit([
			{ path: "outline.shape", value: "drawn" },
			...sizes("d"),
			{ path: "outline.d", value: d },
		]),
	);
}

/** The sizes of the shape before do not belong to the new one. @param {string} keep */
export function sizes(keep) {
	const stays = ["shape", "border", keep];
	const typed = bench.form.flatMap((g) => g.fields).filter((f) => f.section === "outline" && f.origin === "typed");
	return typed.filter((f) => !stays.includes(f.key)).map(({ path }) => ({ path, value: null }));
}

/** @param {Answer} answer */
async function done(answer) {
	o.fault = faultsOf(answer);
	if (answer.ok) closePanel();
	redraw();
}


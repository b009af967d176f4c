/** By eye: every pattern fitted into this outline, at this sheet, blade and skill. Rows and middles likewise. */
import { html, nothing } from "../vendor/lit-html.js";
import { ask, bench, edit, redraw } from "./store.js";
import { count, t } from "./words.js";
import { closePanel, panel } from "./panels.js";
import { picture } from "./metal.js";
import { around } from "./view.js";
import { num } from "./sheet.js";

/** @typedef {{name: string, title: string, family?: string, about?: string, sample?: any}} Choice */

/** Shapes of rows and motifs. */
const SHAPES = /** @type {Record<string, string[]>} */ ({
	row: ["round", "drop", "brick", "petal", "lozenge"],
	middle: ["rosette", "star", "circle", "ellipse", "heart", "teardrop"],
});

/** How wide motifs are that are not as wide as high, in parts of the piece. @type {Record<string, number>} */
const WIDE = { ellipse: 0.3, heart: 0.4, teardrop: 0.28 };

const eye = {
	of: "pattern",
	/** @type {Choice[]} */
	choices: [],
	only: false,
	family: "",
	/** Counts up when the pictures asked for are no longer wanted. */
	round: 0,
};

panel("eye", { title: "open.eye", view: eyePanel, enter: () => void start("pattern"), leave: () => (eye.round += 1) });

/** @param {string} of */
async function start(of) {
	eye.of = of;
	eye.family = "";
	const round = ++eye.round;
	if (of === "pattern") eye.choices = (await ask({ ask: "patterns" })).patterns ?? [];
	else eye.choices = [{ name: "", title: t(`eye.no.${of}`) }, ...SHAPES[of].map((name) => ({ name, title: t(`shape.${name}`) }))];
	redraw();
	for (const choice of eye.choices) {
		if (round !== eye.round) return;
		const sample = await ask(of === "pattern" ? { ask: "sample", name: choice.name } : { ask: "sample", title: choice.title, edits: edits(of, choice.name) });
		choice.sample = sample.ok ? sample : { fits: false, says: sample.faults?.[0]?.says ?? "" };
		redraw();
	}
}

/** What puts a row along the edge, or a motif into the middle. @param {string} of @param {string} shape */
function edits(of, shape) {
	const there = bench.form.some((g) => g.sections?.some((s) => s.section === of && s.count > 0));
	if (!shape) return there ? [{ path: of === "row" ? "row[0]" : "middle", value: null }] : [];
	if (of === "row") return [{ path: "row[0]", value: { shape } }];
	const [x0, y0, x1, y1] = bench.drawing?.box ?? [0, 0, 1, 1];
	const part = (/** @type {number} */ of) => Math.round(Math.min(x1 - x0, y1 - y0) * of * 10) / 10;
	const sized = WIDE[shape] ? { width: part(WIDE[shape]), height: part(0.4) } : { diameter: part(0.4) };
	return [{ path: "middle", value: { shape, ...sized } }];
}

function eyePanel() {
	const families = [...new Set(eye.choices.map((c) => c.family).filter(Boolean))];
	const seen = eye.choices.filter((c) => (!eye.family || c.family === eye.family) && (!eye.only || c.sample?.fits));
	const done = eye.choices.filter((c) => c.sample).length;
	return html`<div class="row filters">
			<span class="row" role="group" aria-label=${t("eye.of")}>
				${["pattern", ...Object.keys(SHAPES)].map(
					(of) => html`<button aria-pressed=${eye.of === of} data-of=${of} @click=${() => start(of)}>${t(`eye.of.${of}`)}</button>`,
				)}
			</span>
			${
				families.length > 1
					? html`<label>${t("eye.family")}
							<select @change=${(e) => ((eye.family = e.target.value), redraw())}>
								<option value="">${t("eye.all")}</option>
								${families.map((f) => html`<option value=${f}>${f}</option>`)}
							</select></label>`
					: nothing
			}
			<label class="tick"><input type="checkbox" .checked=${eye.only} @change=${(e) => ((eye.only = e.target.checked), redraw())} />
				<span>${t("eye.only")}</span></label>
			<span class="done" role="status">${done < eye.choices.length ? t("eye.working", { done, all: eye.choices.length }) : t("eye.done", { all: seen.length })}</span>
		</div>
		<ul class="eye" data-done=${done} data-all=${eye.choices.length}>
			${seen.map(card)}
		</ul>`;
}

/** @param {Choice} c */
function card(c) {
	const s = c.sample;
	const fits = s?.fits === true;
	return html`<li class=${s ? (fits ? "fits" : "unfit") : "waiting"} data-name=${c.name}>
		<button ?disabled=${!s?.edits} @click=${() => take(c)} aria-describedby=${`eye-${c.name}`}>
			${s?.d ? picture(around(s.box ?? bench.drawing?.box), [{ d: `${s.outline ?? ""}${s.windows ?? ""}${s.d}` }]) : html`<span class="picture"></span>`}
			<span class="name">${c.title}</span>
		</button>
		<p id=${`eye-${c.name}`}>
			${
				s
					? fits
						? html`${s.hours.says}<br />${t("eye.bridge", { bridge: bridge(s) })}<br />${count("eye.openings", s.openings)}`
						: html`<span class="why-not">▲ ${s.says ?? t("eye.unfit")}</span>`
					: nothing
			}
		</p>
	</li>`;
}

const bridge = (/** @type {any} */ s) => (s.bridge ? `${num(s.bridge.finished)} ${bench.units}` : "–");

/** @param {Choice} c */
async function take(c) {
	if (!c.sample.edits.length) return closePanel();
	const answer = await edit(c.sample.edits);
	if (answer.ok) closePanel();
}

/** Always in sight: the piece's numbers, and what was found. */
import { html, nothing } from "../vendor/lit-html.js";
import { bench, edit } from "./store.js";
import { count, t } from "./words.js";
import { num, showFinding, shown } from "./sheet.js";
import { openPanel } from "./panels.js";

/** Each level has a shape and a word beside its colour. */
const SIGN = /** @type {Record<string, string>} */ ({ stop: "■", caution: "▲", unchecked: "?", good: "✓" });

export function rail() {
	const n = bench.numbers;
	const b = n?.bridge;
	const low = bench.findings.some((f) => f.check === "bridge-width" && f.level === "stop");
	return html`<dl class="rail" aria-label=${t("rail.label")}>
		${figure("bridge", b ? `${num(b.finished)} ${bench.units}` : undefined, low ? "stop" : "", b?.says)} ${figure("openings", n ? String(n.openings) : undefined)}
		${figure("hours", n?.hours?.says)} ${figure("grams", n?.grams?.says)} ${figure("size", n?.sized)}
	</dl>`;
}

/** @param {string} name @param {string | undefined} says @param {string} [level] @param {string} [more] */
function figure(name, says, level = "", more) {
	return html`<div class="figure ${level}" data-figure=${name} title=${more ?? nothing}>
		<dt>${t(`rail.${name}`)}</dt>
		<dd>${says ?? "–"}</dd>
	</div>`;
}

/** @param {string} level */
const some = (level) => bench.findings.filter((f) => f.level === level);

export function findings() {
	const stops = some("stop");
	const cautions = some("caution");
	const heard = [...stops, ...cautions];
	const quiet = [...some("unchecked"), ...some("good")];
	if (!bench.findings.length) return html`<section class="findings" aria-label=${t("findings.label")}></section>`;
	return html`<section class="findings" aria-label=${t("findings.label")}>
		<h2>
			${stops.length ? html`<span class="level stop">${SIGN.stop} ${count("findings.stops", stops.length)}</span>` : nothing}
			${cautions.length ? html`<span class="level caution">${SIGN.caution} ${count("findings.cautions", cautions.length)}</span>` : nothing}
			${heard.length ? nothing : html`<span class="level good">${SIGN.good} ${t("findings.none")}</span>`}
			${stops.length ? html`<button class="do" @click=${() => openPanel("mend")}>${t("open.mend")}</button>` : nothing}
		</h2>
		<ul>
			${heard.map(line)}
		</ul>
		<div class="notes">${(bench.numbers?.notes ?? []).map((/** @type {string} */ note) => html`<p>${note}</p>`)}</div>
		${
			quiet.length
				? html`<details class="quiet">
						<summary>${count("findings.quiet", quiet.length)}</summary>
						<ul>
							${quiet.map(line)}
						</ul>
					</details>`
				: nothing
		}
	</section>`;
}

/** @param {Finding} f */
function line(f) {
	const looked = shown.looked === f.id;
	const body = html`<span class="sign" aria-hidden="true">${SIGN[f.level] ?? ""}</span>
		<span class="words"><span class="hidden">${t(`level.${f.level}`)}: </span>${f.says}</span>`;
	// What would clear a caution is told once it is looked at; of a stop at once.
	const remedy = f.level === "stop" || looked || !f.places?.length ? (f.remedy ?? f.no_remedy) : null;
	return html`<li class="finding ${f.level}" data-check=${f.check}>
		${
			f.places?.length
				? html`<button class="show" aria-pressed=${looked} @click=${() => showFinding(f)}>${body}</button>`
				: html`<div class="show">${body}</div>`
		}
		${
			remedy
				? html`<p class="remedy">
						<span>${remedy}</span>
						${f.edits?.length ? html`<button class="do" @click=${() => edit(f.edits ?? [])}>${t("findings.do")}</button>` : nothing}
					</p>`
				: nothing
		}
	</li>`;
}

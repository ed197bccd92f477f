// Working through a pattern: one row at a time, large, with the place kept on the device.
//
// House rules: the place is written before anything is drawn; what is drawn comes from
// the plan in the page and from the place, and from nothing else.

import { dress, keep, project, saveProject, saveSettings, settings } from "./work-device.js";
import { Box, sentence, smaller } from "./work-notes.js";

const source = document.getElementById("work-data");
if (source) begin(JSON.parse(source.textContent));

function begin(plan) {
	const $ = (id) => document.getElementById(id);
	const { steps, lines, loops } = plan;
	const total = steps.length;
	const rowsBefore = [0]; // rows among the steps before each
	for (const s of steps) rowsBefore.push(rowsBefore.at(-1) + (s.k ? 0 : 1));
	const loopOf = new Map();
	loops.forEach((o, k) => {
		for (let i = o.from; i <= o.to; i++) loopOf.set(i, k);
	});
	let at = { i: 0, n: 1, laps: {}, taps: {}, past: [] }; // the place
	let box = null;

	// --- words ---------------------------------------------------------------

	const loop = (i) => loops[loopOf.get(i)];
	const kinds = { begin: "Begin", end: "To end", do: "Do this", also: "At the same time", note: "Then" };

	// head names a step: "Row 12 (WS)".
	function head(i, n = 1) {
		if (i >= total) return "All done";
		const s = steps[i], line = lines[s.l], o = loop(i);
		if (s.h || line.h) return s.h || line.h;
		if (!s.k && o && o.from === o.to) return "Row " + n;
		return kinds[s.k] || "Row";
	}

	function pass(i, n) {
		const s = steps[i], o = loop(i);
		if (s?.q) return `repeat ${s.p} of ${s.q}`;
		if (o && (o.from < o.to || lines[s.l].h)) return n > 1 ? `repeat ${n}` : "";
		return "";
	}

	const label = (i, n) => [head(i, n), i < total && pass(i, n)].filter(Boolean).join(", ");

	function shortly(i, n) {
		if (i < 0) return "";
		if (i >= total) return "The end";
		return label(i, n) + ": " + lines[steps[i].l].t;
	}

	function where() {
		const rows = rowsBefore[total];
		if (at.i >= total) return `All ${rows} rows`;
		const n = rowsBefore[at.i + 1];
		return n === 0 ? `${rows} rows` : `Row ${n} of ${rows}`;
	}

	// --- the place -----------------------------------------------------------

	const place = ({ i, n }) => ({ i, n });

	function after({ i, n }) {
		const o = loop(i);
		if (o && i === o.to) return { i: o.from, n: n + 1 };
		if (o && i < o.to) return { i: i + 1, n };
		return { i: Math.min(i + 1, total), n: 1 };
	}

	function before({ i, n }) {
		const o = loop(i);
		if (o && i > o.from) return { i: i - 1, n };
		if (o && n > 1) return { i: o.to, n: n - 1 };
		if (i === 0) return { i, n };
		return { i: i - 1, n: (loop(i - 1) && at.laps[loopOf.get(i - 1)]) || 1 };
	}

	// go moves the place; far says that it was no single step, which Undo takes back.
	function go(to, far = false) {
		if (to.i === at.i && to.n === at.n) return;
		const o = loop(at.i);
		if (o) at.laps[loopOf.get(at.i)] = at.n;
		const last = at.past.at(-1);
		if (last && !far && last.i === to.i && last.n === to.n) { // back again: with what was counted there
			at.past = at.past.slice(0, -1);
			to = last;
		} else if (far !== "undo") at.past = [...at.past.slice(-29), { ...place(at), taps: at.taps, far }];
		at.i = to.i;
		at.n = to.n;
		at.taps = to.taps || {};
		save();
		draw();
		say();
		note();
	}

	function undo() {
		const to = at.past.at(-1);
		if (!to) return;
		at.past = at.past.slice(0, -1);
		go(to, "undo");
		$("next").focus();
	}

	function through() {
		const o = loop(at.i);
		if (o) go({ i: o.to + 1, n: 1 }, true);
		$("next").focus();
	}

	function save() {
		const s = steps[Math.min(at.i, total - 1)];
		const line = lines[s.l];
		const ok = saveProject(plan.key, { ...at, title: plan.title, size: plan.size, url: plan.url, edition: plan.edition, of: total, done: at.i >= total,
			where: label(at.i, at.n), row: line.r, id: line.id || 0, head: head(at.i, at.n), pass: s.p || 0, at: Date.now() });
		if (!ok) news("This browser does not let the page keep your place. It may be a private window, or full.");
	}

	function note() {
		if (!box) return;
		const line = at.i < total ? lines[steps[at.i].l] : {};
		box.place({ row: line.id || 0, step: at.i, of: total, words: label(at.i, at.n) });
	}

	// restore finds the place again, in another revision by the row's identity.
	function restore() {
		const had = project(plan.key);
		if (!had) return save();
		at = { i: Math.min(Math.max(0, had.i | 0), total), n: Math.max(1, had.n | 0), laps: had.laps || {}, taps: had.taps || {}, past: (had.past || []).filter((p) => p.i <= total) };
		if (had.edition === plan.edition) return;
		at.laps = {};
		at.taps = {};
		at.past = [];
		if (had.done) at.i = total;
		else {
			const same = (test) => {
				const all = [];
				steps.forEach((s, i) => test(lines[s.l], s, i) && all.push(i));
				if (all.length === 0) return -1;
				const pass = all.filter((i) => (steps[i].p || 0) === had.pass);
				const near = (a, b) => (Math.abs(a - had.i) <= Math.abs(b - had.i) ? a : b);
				return (pass.length > 0 ? pass : all).reduce(near);
			};
			let i = had.id ? same((line) => line.id === had.id) : -1;
			const found = i >= 0;
			if (i < 0) i = same((line, s, k) => line.r === had.row && head(k, had.n) === had.head);
			if (i < 0) i = same((line) => line.r === had.row);
			if (i < 0) i = Math.min(had.i, total - 1);
			at.i = i;
			if (!loop(i)) at.n = 1;
			const changed = lines.filter((line) => line.new).length;
			news(`This is ${plan.revision} now. ` + (found || !had.id ? `You go on at ${label(i, at.n)}.` : `The row you were at is no longer in it; the nearest is ${label(i, at.n)}. Look whether it is where you are.`) +
				(changed > 0 ? ` ${changed === 1 ? "One row has" : changed + " rows have"} changed; ${changed === 1 ? "it is" : "they are"} marked.` : ""));
		}
		save();
		note();
	}

	function news(words) {
		$("news").hidden = false;
		$("news").firstElementChild.textContent = words;
	}

	// --- drawing -------------------------------------------------------------

	function set(id, words) {
		if ($(id).textContent !== (words || "")) $(id).textContent = words || ""; // what is said aloud is said once
		$(id).hidden = !words;
	}

	function countWords(s, o, n) {
		if (!s.c || (o?.changes && n > 1)) return "";
		const d = s.d || 0;
		if (d === 0) return s.c;
		return `${s.c}, ${Math.abs(d)} ${d > 0 ? "more" : "fewer"}`;
	}

	function draw() {
		const { i, n } = at;
		const done = i >= total;
		const s = steps[i] || {}, line = lines[s.l] || {}, o = loop(i);
		$("bar").max = total;
		$("bar").value = i;
		set("where", where());
		set("before", i > 0 ? shortly(before(at).i, before(at).n) : "");
		set("place", done ? plan.title : line.at);
		set("head", head(i, n));
		set("pass", [done ? "" : pass(i, n), line.new ? "changed" : ""].filter(Boolean).join(" · "));
		set("first", s.note);
		set("text", done ? "That was the last row." : line.t);
		set("like", line.like);
		const by = s.b !== undefined ? lines[s.b].t : o?.t;
		set("by", by && by !== line.t ? by : !by && o ? "Worked " + o.until + "." : "");
		set("count", countWords(s, o, n));
		set("after", done ? "" : shortly(after(at).i, after(at).n));
		$("scroll").scrollTop = 0;
		$("row").dataset.kind = done ? "done" : s.k || "row";
		drawRepeats(s, done);
		drawTerms(line);
		drawChart(line);
		drawNoted(line);
		$("through").hidden = !o;
		$("through").textContent = "Enough, go on";
		$("undo").hidden = !at.past.at(-1)?.far;
		$("back").disabled = i === 0 && n === 1;
		$("next").disabled = done;
		$("next").textContent = done ? "Finished" : i === total - 1 && !o ? "Done" : "Next";
		if ($("open-wrong")) $("open-wrong").hidden = done;
	}

	function say() {
		const s = steps[at.i];
		$("say").textContent = s ? [label(at.i, at.n), s.note, lines[s.l].t, countWords(s, loop(at.i), at.n)].filter(Boolean).join(". ") : "All done";
	}

	function el(name, words, attrs = {}) {
		const e = document.createElement(name);
		e.textContent = words;
		for (const [k, v] of Object.entries(attrs)) e.setAttribute(k, v);
		return e;
	}

	// drawRepeats puts a counter beside each repeat of the row, or one for her own count.
	function drawRepeats(s, done) {
		const list = $("repeats");
		const open = !s.k && !done;
		const all = (s.x || []).map((k) => plan.repeats[k]);
		if (open && all.length === 0) all.push({ w: "Count", n: 0 });
		list.replaceChildren(...(open ? all : []).map((x, k) => {
			const li = document.createElement("li");
			const tap = el("button", "", { type: "button", class: "work-tap" });
			const less = el("button", "−", { type: "button", class: "quiet", "aria-label": "One less: " + x.w });
			const words = el("span", x.n ? x.w : "My own count", { class: "work-tap-words" });
			const number = el("span", "", { class: "work-tap-n" });
			const show = () => {
				const have = at.taps[k] || 0;
				number.textContent = x.n ? `${have} of ${x.n}` : String(have);
				if (x.s && have > 0) number.append(el("small", ` · ${have * x.s} stitches`));
				tap.classList.toggle("full", x.n > 0 && have >= x.n);
				li.classList.toggle("own", !x.n);
				less.disabled = have === 0;
			};
			const add = (d) => {
				const have = (at.taps[k] || 0) + d;
				if (have < 0 || (x.n && have > x.n)) return;
				at.taps[k] = have;
				save();
				show();
				$("say").textContent = number.textContent;
			};
			tap.addEventListener("click", () => add(1));
			less.addEventListener("click", () => add(-1));
			tap.append(words, number);
			li.append(tap, less);
			show();
			return li;
		}));
		list.hidden = list.children.length === 0;
	}

	function drawTerms(line) {
		const terms = line.terms || [];
		$("terms").hidden = terms.length === 0;
		$("terms").querySelector("dl").replaceChildren(...terms.flatMap(([term, words]) => {
			const div = document.createElement("div");
			div.append(el("dt", term), el("dd", words));
			return [div];
		}));
	}

	// drawChart shows the chart of the row, its row lit.
	function drawChart(line) {
		const slot = $("chart");
		const figure = line.chart && document.getElementById(`chart-${line.chart[0]}-figure`);
		for (const f of document.querySelectorAll(".work-chart")) f.hidden = f !== figure;
		if (!figure) return;
		if (figure.parentElement !== slot) slot.append(figure);
		const svg = figure.querySelector("svg");
		svg.querySelector(".lit-frame")?.remove();
		let box = null;
		for (const g of svg.querySelectorAll("g.row")) {
			const here = Number(g.dataset.row) === line.chart[1];
			g.classList.toggle("lit", here);
			if (!here) continue;
			const b = g.getBBox();
			box = box ? { x: Math.min(box.x, b.x), y: Math.min(box.y, b.y), r: Math.max(box.r, b.x + b.width), b: Math.max(box.b, b.y + b.height) } : { x: b.x, y: b.y, r: b.x + b.width, b: b.y + b.height };
		}
		if (!box) return;
		const frame = document.createElementNS("http://www.w3.org/2000/svg", "rect");
		for (const [k, v] of Object.entries({ class: "lit-frame", x: box.x - 0.8, y: box.y - 0.8, width: box.r - box.x + 1.6, height: box.b - box.y + 1.6, rx: 1 })) frame.setAttribute(k, v);
		svg.append(frame);
		const room = figure.querySelector(".work-chart-box");
		const f = frame.getBoundingClientRect(), r = room.getBoundingClientRect();
		room.scrollTop += f.top - r.top - (r.height - f.height) / 2;
	}

	// --- what is wrong -------------------------------------------------------

	const stateWords = { waiting: "waits for the network", sent: "sent", refused: "not taken" };

	function drawNoted(line) {
		const list = $("noted");
		if (!list || !box) return;
		const here = box.noted.filter((n) => (n.row ? n.row === line.id : n.line === at.i && n.edition === plan.edition));
		list.replaceChildren(...here.map((n) => {
			const kind = document.querySelector(`#wrong-form [value="${n.what}"]`)?.parentElement.textContent.trim();
			return el("li", `You noted: ${kind}. ${[n.had, n.did, n.note].filter(Boolean)[0] || ""} (${stateWords[n.state]})`);
		}));
		list.hidden = here.length === 0;
	}

	function drawBox() {
		const link = box.state.signIn && plan.signIn;
		if (!link || !$("sent").querySelector("a")) set("sent", sentence(box.state));
		if (link && !$("sent").querySelector("a")) $("sent").append(" ", el("a", "Sign in", { href: plan.signIn }));
		$("refused").hidden = box.state.refused.length === 0;
		$("refused").replaceChildren(...box.state.refused.map((n) => {
			const li = document.createElement("li");
			li.append(el("strong", `${n.label}: the server did not take this note. `), el("span", (n.why || "") + " It stays here for you to copy:"));
			li.append(el("textarea", [n.had, n.did, n.note].filter(Boolean).join("\n"), { readonly: "", rows: 3, "aria-label": "The note on " + n.label }));
			const away = el("button", "Take it off this page", { type: "button", class: "quiet small" });
			away.addEventListener("click", () => box.forget(n.uuid));
			li.append(away);
			return li;
		}));
		drawNoted(lines[steps[at.i]?.l] || {});
	}

	function wrongForm() {
		const dialog = $("wrong"), form = $("wrong-form"), problem = $("wrong-problem");
		let photo = "", reading = null;
		$("open-wrong").addEventListener("click", () => {
			$("wrong-where").textContent = [lines[steps[at.i].l].at, label(at.i, at.n)].filter(Boolean).join(": ");
			problem.hidden = true;
			dialog.showModal();
			dialog.scrollTop = 0;
		});
		$("wrong-close").addEventListener("click", () => dialog.close());
		$("wrong-photo").addEventListener("change", () => {
			const file = $("wrong-photo").files[0];
			photo = "";
			$("wrong-shown").replaceChildren();
			if (!file) return;
			reading = smaller(file).then(({ data, canvas }) => {
				photo = data;
				problem.hidden = true;
				canvas.setAttribute("role", "img");
				canvas.setAttribute("aria-label", "The photograph as it will be sent");
				$("wrong-shown").replaceChildren(canvas);
			}, () => {
				$("wrong-photo").value = "";
				problem.textContent = "This photograph cannot be read here. Choose another, or note it without one.";
				problem.hidden = false;
			});
		});
		form.addEventListener("submit", async (event) => {
			event.preventDefault();
			await reading;
			const f = Object.fromEntries(["had", "did", "note"].map((k) => [k, form.elements[k].value.trim()]));
			if (!f.had && !f.did && !f.note) {
				problem.textContent = "Say what you had, what you did instead, or what is not clear.";
				problem.hidden = false;
				return form.elements.had.focus();
			}
			const line = lines[steps[at.i].l];
			try {
				await box.erratum({ row: line.id || 0, label: label(at.i, at.n), line: at.i, edition: plan.edition, what: form.elements.what.value, ...f, photo: photo || undefined });
			} catch (err) {
				problem.textContent = "It could not be kept on this device: " + err.message + ". What you wrote still stands here.";
				problem.hidden = false;
				return;
			}
			form.reset();
			photo = "";
			reading = null;
			$("wrong-shown").replaceChildren();
			dialog.close();
			$("say").textContent = "It is noted. " + sentence(box.state);
		});
	}

	// --- all rows ------------------------------------------------------------

	function jumpList() {
		const dialog = $("list"), all = $("all");
		dialog.append(all);
		all.querySelector("noscript")?.remove();
		for (const li of all.querySelectorAll("li[data-step]")) {
			if (li.dataset.step === "") continue;
			const button = el("button", "", { type: "button", class: "plain work-jump" });
			button.append(...li.childNodes);
			li.append(button);
		}
		const jump = (i, n = 1) => {
			dialog.close();
			go({ i, n }, true);
			$("next").focus();
		};
		all.addEventListener("click", (event) => {
			const button = event.target.closest("button");
			if (!button) return;
			const i = Number(button.dataset.to ?? button.parentElement.dataset.step);
			const o = loop(i);
			jump(i, (o && at.laps[loopOf.get(i)]) || 1);
		});
		// Of rows worked again, each time is one tap away.
		const chips = () => {
			for (const li of all.querySelectorAll("li[data-last]")) {
				const from = Number(li.dataset.step), to = Number(li.dataset.last);
				if (li.dataset.last === "" || loop(from)) continue;
				const ul = el("ul", "", { class: "work-chips", "aria-label": "Each time" });
				let had = -1;
				for (let i = from; i <= to && ul.children.length < 200; i++) {
					const s = steps[i];
					if (s.q && s.p === had) continue;
					had = s.p;
					const chip = el("button", s.q ? String(s.p) : String(i - from + 1), { type: "button", class: "quiet small", "data-to": i, "aria-label": label(i, 1) });
					const item = document.createElement("li");
					item.append(chip);
					ul.append(item);
				}
				if (ul.children.length > 1) li.append(ul);
			}
		};
		let chipped = false;
		$("open-list").addEventListener("click", () => {
			if (!chipped) chips();
			chipped = true;
			let here = null;
			for (const li of all.querySelectorAll("li[data-step]")) {
				const from = Number(li.dataset.step), to = Number(li.dataset.last || li.dataset.step);
				const on = li.id !== "" && at.i >= from && at.i <= to;
				if (on) li.setAttribute("aria-current", "step");
				else li.removeAttribute("aria-current");
				if (on) here = li;
			}
			dialog.showModal();
			(here || all).scrollIntoView({ block: "center" });
			here?.querySelector("button")?.focus({ preventScroll: true });
		});
	}

	// --- hands ---------------------------------------------------------------

	function hands() {
		$("next").addEventListener("click", () => go(after(at)));
		$("back").addEventListener("click", () => go(before(at)));
		$("undo").addEventListener("click", undo);
		$("through").addEventListener("click", through);
		$("open-help").addEventListener("click", () => $("help").showModal());
		$("news").querySelector("button").addEventListener("click", () => {
			$("news").hidden = true;
			$("next").focus();
		});

		document.addEventListener("keydown", (event) => {
			if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || event.defaultPrevented || document.querySelector("dialog[open]")) return;
			if (event.target.closest("input, textarea, select, .work-chart-box")) return;
			if (event.key === "ArrowRight" || (event.key === " " && !event.target.closest("button, a, summary"))) {
				event.preventDefault();
				go(after(at));
			} else if (event.key === "ArrowLeft") {
				event.preventDefault();
				go(before(at));
			}
		});

		let from = null;
		$("stage").addEventListener("touchstart", (event) => {
			const t = event.touches[0];
			const box = event.target.closest(".work-chart-box");
			from = event.touches.length === 1 && !(box && box.scrollWidth > box.clientWidth + 1) ? { x: t.clientX, y: t.clientY } : null;
		}, { passive: true });
		$("stage").addEventListener("touchcancel", () => (from = null));
		$("stage").addEventListener("touchend", (event) => {
			if (!from || event.touches.length > 0) return;
			const t = event.changedTouches[0];
			const dx = t.clientX - from.x, dy = t.clientY - from.y;
			from = null;
			if (Math.abs(dx) < 60 || Math.abs(dx) < 2 * Math.abs(dy)) return;
			go(dx < 0 ? after(at) : before(at));
		});

		addEventListener("storage", (event) => { // another tab of this browser has gone on
			if (event.key !== "rowproof.work." + plan.key || !event.newValue) return;
			restore();
			draw();
		});
	}

	// --- the screen ----------------------------------------------------------

	function screen() {
		const wake = $("wake");
		let lock = null;
		const can = "wakeLock" in navigator;
		$("wake-choice").hidden = !can;
		$("wake-none").hidden = can;
		const hold = async () => {
			if (!can || !wake.checked || lock || document.visibilityState !== "visible") return;
			try {
				lock = await navigator.wakeLock.request("screen");
				document.body.dataset.awake = "yes";
				lock.addEventListener("release", () => {
					lock = null;
					document.body.dataset.awake = "";
				});
				if (!wake.checked) await lock.release();
			} catch {
				lock = null; // the battery is low, or the browser will not; nothing is lost
			}
		};
		const had = settings();
		wake.checked = had.wake;
		const form = $("choices");
		form.elements.letters.value = had.letters;
		form.addEventListener("change", () => {
			saveSettings({ wake: wake.checked, letters: form.elements.letters.value });
			dress();
			if (wake.checked) hold();
			else lock?.release();
		});
		form.addEventListener("submit", (event) => event.preventDefault());
		document.addEventListener("visibilitychange", hold);
		hold();
	}

	// --- go ------------------------------------------------------------------

	dress();
	if (plan.sync) box = new Box(plan.key, plan.sync, drawBox);
	restore();
	jumpList();
	hands();
	screen();
	$("menu").hidden = false;
	$("stage").hidden = false;
	document.body.classList.add("live");
	draw();
	if (box) {
		wrongForm();
		box.start();
	}
	keep((kept) => {
		$("kept").textContent = kept ? "Kept for use without a network" : "";
		if (kept) document.body.dataset.kept = "yes";
	});
}

// The list of what was begun on this device.

import { dress, forgetProject, keep, project, projects, saveProject } from "./work-device.js";

const list = document.getElementById("projects");
const none = document.getElementById("none");

function el(name, text, attrs = {}) {
	const e = document.createElement(name);
	e.textContent = text;
	for (const [k, v] of Object.entries(attrs)) e.setAttribute(k, v);
	return e;
}

const when = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", hour: "numeric", minute: "2-digit" });

function show(focus) {
	list.replaceChildren();
	const all = projects();
	none.hidden = all.length > 0;
	for (const p of all) {
		const li = document.createElement("li");
		const a = el("a", "", { href: p.url });
		a.append(el("strong", p.title));
		if (p.size) a.append(el("span", "Size " + p.size));
		a.append(el("span", p.done ? "All done" : p.where));
		const bar = el("progress", "", { max: p.of, value: p.done ? p.of : p.i, "aria-label": "Progress of " + p.title });
		a.append(bar, el("span", "Last worked at on " + when.format(p.at), { class: "hint" }));
		const out = el("button", "Take off the list", { type: "button", class: "quiet small" });
		out.append(el("span", ": " + p.title + (p.size ? ", size " + p.size : ""), { class: "visually-hidden" }));
		out.addEventListener("click", () => {
			const had = project(p.key);
			forgetProject(p.key);
			const gone = document.createElement("li");
			const back = el("button", "Put it back", { type: "button", class: "quiet small" });
			back.addEventListener("click", () => {
				saveProject(p.key, had);
				show(true);
			});
			gone.append(el("p", p.title + " is off the list; its place is forgotten."), back);
			li.replaceWith(gone);
			back.focus();
		});
		li.append(a, out);
		list.append(li);
	}
	if (focus) list.querySelector("a")?.focus();
}

dress();
show();
keep(() => {});

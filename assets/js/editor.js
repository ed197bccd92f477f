// The editor's margin. The page works without this script; with it the proof
// stands beside every line and follows the typing.
//
// House rules: the textarea is the one truth, the lines under it only mirror it.
// One check and one save run at a time, what comes back stale is dropped, and a
// change to the text is made so that the browser's own undo takes it back.

const form = document.getElementById("pattern");
const area = document.getElementById("manuscript");
const sheet = document.getElementById("sheet");
const lines = document.getElementById("lines");
const notes = document.getElementById("notes");
const facts = document.getElementById("facts");
const live = document.getElementById("live");
const trouble = document.getElementById("trouble");
const savedText = document.getElementById("saved");
const wide = matchMedia("(min-width: 64rem)");

const checkPause = 250; // ms after the last letter
const savePause = 2000;

let proof = JSON.parse(sheet.dataset.proof || "{}");
let current = -1; // finding that the keys stand on
let shown = []; // lines as mirrored

// --- the mirror under the text -------------------------------------------

function mirrorLine(text) {
	const el = document.createElement("div");
	el.className = "line";
	for (const name of ["side", "text", "counts"]) {
		const part = document.createElement("span");
		part.className = name;
		el.append(part);
	}
	el.children[1].textContent = text;
	return el;
}

// mirror brings the lines up to the text, touching only those that changed.
function mirror() {
	const now = area.value.split("\n");
	let start = 0;
	while (start < now.length && start < shown.length && now[start] === shown[start]) start++;
	let tail = 0;
	while (tail < now.length - start && tail < shown.length - start && now[now.length - 1 - tail] === shown[shown.length - 1 - tail]) tail++;
	for (let i = shown.length - tail - 1; i >= start; i--) lines.children[i].remove();
	const fresh = document.createDocumentFragment();
	for (let i = start; i < now.length - tail; i++) fresh.append(mirrorLine(now[i]));
	lines.insertBefore(fresh, lines.children[start] || null);
	shown = now;
}

// utf16 turns a column, in characters from 1, into a place in a string.
function utf16(line, column) {
	let at = 0;
	for (const letter of line) {
		if (--column < 1) break;
		at += letter.length;
	}
	return at;
}

// dress puts sides, counts and marks on the lines.
function dress() {
	const marks = new Map();
	for (const m of proof.marks || []) {
		const line = m.place[0];
		if (!marks.has(line)) marks.set(line, []);
		marks.get(line).push(m);
	}
	for (let i = 0; i < lines.children.length; i++) {
		const el = lines.children[i];
		const [side, text, counts] = el.children;
		const facts = (proof.lines || {})[i + 1] || {};
		const found = marks.get(i + 1) || [];
		const level = ["error", "warning"].find((l) => found.some((m) => m.level === l));
		const key = JSON.stringify([facts, found]);
		if (el.dataset.key === key) continue;
		el.dataset.key = key;
		el.className = "line" + (level ? " level-" + level : "");
		side.textContent = facts.side || "";
		counts.textContent = facts.counts || "";
		counts.title = facts.title || "";
		markText(text, shown[i], found);
	}
	const letters = Math.min(proof.width || 0, 44);
	sheet.style.setProperty("--counts", Math.max(4, letters * 0.46 + 2.2) + "rem");
	sheet.classList.toggle("few", letters < 18);
}

function markText(el, line, found) {
	el.textContent = line;
	const spans = found
		.map((m) => ({ from: utf16(line, m.place[1]), to: m.place[2] === m.place[0] ? utf16(line, m.place[3]) : line.length, level: m.level }))
		.filter((s) => s.to > s.from)
		.sort((a, b) => a.from - b.from);
	if (!spans.length) return;
	el.textContent = "";
	let at = 0;
	for (const s of spans) {
		if (s.from < at) continue; // one mark on another: the first stays
		el.append(line.slice(at, s.from));
		const mark = document.createElement("mark");
		mark.className = "level-" + s.level;
		mark.textContent = line.slice(s.from, s.to);
		el.append(mark);
		at = s.to;
	}
	el.append(line.slice(at));
}

// place lays each note beside its line, below the one before it.
function place() {
	const list = [...notes.querySelectorAll(".note")];
	if (!wide.matches) {
		for (const n of list) n.style.top = "";
		sheet.style.minHeight = "";
		return;
	}
	const origin = sheet.getBoundingClientRect().top;
	let free = 0;
	for (const n of list) {
		const line = lines.children[Math.min(n.dataset.line, lines.children.length) - 1];
		const want = line ? line.getBoundingClientRect().top - origin - 6 : 0;
		const top = Math.max(want, free);
		n.classList.toggle("pushed", top > want + 4);
		n.style.top = top + "px";
		free = top + n.offsetHeight + 10;
	}
	sheet.style.minHeight = free + "px";
}

function draw() {
	mirror();
	dress();
	place();
}

// --- the proof --------------------------------------------------------------

let sequence = 0;
let checking = false;
let checkTimer = 0;

function checkSoon(pause = checkPause) {
	clearTimeout(checkTimer);
	checkTimer = setTimeout(check, pause);
}

async function check() {
	if (checking) return; // the answer under way asks again when the text moved on
	checking = true;
	form.classList.add("waiting");
	const seq = String(++sequence);
	const text = area.value;
	try {
		const body = new FormData();
		body.set("manuscript", text);
		body.set("base", form.elements.base.value);
		body.set("seq", seq);
		const answer = await fetch(form.dataset.check, { method: "POST", body, headers: { Accept: "application/json" } });
		const said = await answer.json();
		if (!answer.ok) throw new Error(said.text || said.error);
		if (said.seq === seq && area.value === text) show(said);
		quietTrouble("check");
	} catch (err) {
		complain("check", "The proof is not up to date: " + (err.message || "no answer") + " It is tried again as you type.");
	}
	checking = false;
	form.classList.remove("waiting");
	if (area.value !== text) checkSoon(0);
}

function show(said) {
	proof = said.proof;
	const open = facts.querySelector("details")?.open;
	const held = document.activeElement?.closest?.(".note")?.id;
	notes.innerHTML = said.notes; // our own server's, escaped there
	facts.innerHTML = said.facts;
	if (open) facts.querySelector("details")?.setAttribute("open", "");
	const verdict = document.getElementById("verdict");
	const text = document.getElementById("verdict-text");
	verdict.className = "verdict level-" + said.level;
	if (text.textContent !== said.status) say(said.status);
	text.textContent = said.status;
	current = -1;
	draw();
	jumpButtons();
	if (held) (document.getElementById(held)?.querySelector("button") || area).focus();
}

function say(text) {
	live.textContent = text;
}

// --- from finding to finding -------------------------------------------------

// jumpButtons makes the place of each finding a button that goes there.
function jumpButtons() {
	for (const where of notes.querySelectorAll("strong.note-where")) {
		const button = document.createElement("button");
		button.type = "button";
		button.className = "note-where";
		button.textContent = where.textContent;
		where.replaceWith(button);
	}
	document.getElementById("jump").hidden = !notes.querySelector(".note");
}

function offset(line, column) {
	let at = 0;
	for (let i = 0; i < line - 1 && i < shown.length; i++) at += shown[i].length + 1;
	return at + utf16(shown[Math.min(line, shown.length) - 1] || "", column);
}

function go(note, announce = true) {
	for (const n of notes.querySelectorAll(".lit")) n.classList.remove("lit");
	note.classList.add("lit");
	const [line, column, endLine, endColumn] = JSON.parse(note.dataset.place);
	area.focus({ preventScroll: true });
	area.setSelectionRange(offset(line, column), offset(endLine, endColumn));
	lines.children[line - 1]?.scrollIntoView({ block: "center" });
	here();
	if (announce) say(note.querySelector(".note-head").innerText + ". " + note.querySelector(".note-message").textContent);
}

function jump(step) {
	const list = [...notes.querySelectorAll(".note")];
	if (!list.length) return say("Nothing to mend.");
	if (current < 0) {
		const line = area.value.slice(0, area.selectionStart).split("\n").length;
		const after = list.findIndex((n) => Number(n.dataset.line) >= line);
		current = step > 0 ? (after < 0 ? 0 : after) : after < 1 ? list.length - 1 : after - 1;
	} else {
		current = (current + step + list.length) % list.length;
	}
	go(list[current]);
}

// here lights the line of the caret.
function here() {
	lines.querySelector(".here")?.classList.remove("here");
	if (document.activeElement !== area) return;
	const line = area.value.slice(0, area.selectionStart).split("\n").length;
	lines.children[line - 1]?.classList.add("here");
}

// --- mends ------------------------------------------------------------------

// replace changes a stretch of the text as if it had been typed, so that Ctrl+Z
// takes it back.
function replace(from, to, text) {
	area.focus({ preventScroll: true });
	area.setSelectionRange(from, to);
	const done = text ? document.execCommand("insertText", false, text) : document.execCommand("delete");
	if (!done) area.setRangeText(text, from, to, "end");
}

function mend(button) {
	const edits = JSON.parse(button.dataset.edits);
	edits.sort((a, b) => b[0] - a[0] || b[1] - a[1]); // from below, so that places above stay right
	for (const [line, column, endLine, endColumn, text] of edits) {
		mirror();
		replace(offset(line, column), offset(endLine, endColumn), text);
	}
	reason = "mended";
	changed();
	checkSoon(0);
	say("Mended. Control Z takes it back.");
}

// --- saving -------------------------------------------------------------------

let saved = area.value;
let saving = null;
let saveTimer = 0;
let conflicted = false;
let reason = "autosave"; // of the next save that nobody asked for; "mended" after a mend

function complain(about, text, link) {
	trouble.dataset.about = about;
	trouble.textContent = text;
	if (link) {
		const a = document.createElement("a");
		a.href = link;
		a.textContent = "See both texts";
		trouble.append(" ", a);
	}
	trouble.hidden = false;
}

function quietTrouble(about) {
	if (trouble.dataset.about === about) trouble.hidden = true;
}

function saveSoon() {
	clearTimeout(saveTimer);
	if (!conflicted) saveTimer = setTimeout(() => save(reason), savePause);
}

// save sends the text, if it is new or was asked for. It resolves to whether what
// stands in the page is kept.
function save(why) {
	if (conflicted) return Promise.resolve(false);
	if (saving) return saving.then(() => (area.value === saved ? true : save(why)));
	if (why !== "save" && area.value === saved) return Promise.resolve(true);
	clearTimeout(saveTimer);
	saving = send(why).finally(() => {
		saving = null;
		if (area.value !== saved) saveSoon();
	});
	return saving;
}

async function send(why) {
	const text = area.value;
	const body = new FormData();
	body.set("manuscript", text);
	body.set("base", form.elements.base.value);
	body.set("do", why);
	try {
		const answer = await fetch(form.action, { method: "POST", body, headers: { Accept: "application/json" } });
		const said = await answer.json();
		if (answer.status === 409 && said.conflict) {
			conflicted = true;
			saved = text; // it is kept aside on the server
			complain("save", "This pattern was saved in another tab or by someone else. Your text is kept aside.", said.conflict);
			savedText.textContent = "Kept aside";
			return false;
		}
		if (!answer.ok) throw new Error(said.text || said.error);
		saved = text;
		form.elements.base.value = said.version;
		document.getElementById("undo").disabled = !said.canUndo;
		document.getElementById("redo").disabled = !said.canRedo;
		savedText.textContent = area.value === saved ? said.saved : "Not saved yet";
		document.querySelector(".pattern-head h1").textContent = said.title;
		if (why === "save") say(said.saved);
		reason = "autosave";
		quietTrouble("save");
		return true;
	} catch (err) {
		complain("save", "Not saved: " + (err.message || "no answer") + " Your text is still here.");
		return false;
	}
}

function changed() {
	current = -1;
	draw();
	here();
	if (area.value !== saved) savedText.textContent = "Not saved yet";
	checkSoon();
	saveSoon();
}

// --- wiring --------------------------------------------------------------------

area.addEventListener("input", changed);
document.addEventListener("selectionchange", here);
area.addEventListener("blur", here);

form.addEventListener("submit", async (event) => {
	const button = event.submitter;
	const why = button?.value || "save";
	if (button?.dataset.edits) {
		event.preventDefault();
		mend(button);
	} else if (why === "check") {
		event.preventDefault();
		checkSoon(0);
	} else if (why === "save") {
		event.preventDefault();
		save("save");
	} else if (why === "undo" || why === "redo") {
		// The server steps back; what is typed is kept first, as a text of its own.
		event.preventDefault();
		if (!(await save("autosave"))) return;
		const step = document.createElement("input");
		step.type = "hidden";
		step.name = "do";
		step.value = why;
		form.append(step);
		HTMLFormElement.prototype.submit.call(form);
	}
});

notes.addEventListener("click", (event) => {
	const where = event.target.closest("button.note-where");
	if (!where) return;
	const note = where.closest(".note");
	current = [...notes.querySelectorAll(".note")].indexOf(note);
	go(note, false);
});

document.getElementById("next").addEventListener("click", () => jump(1));
document.getElementById("previous").addEventListener("click", () => jump(-1));

document.addEventListener("keydown", (event) => {
	if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === "s") {
		event.preventDefault();
		save("save");
	} else if (event.altKey && !event.ctrlKey && (event.key === "ArrowDown" || event.key === "ArrowUp")) {
		event.preventDefault();
		jump(event.key === "ArrowDown" ? 1 : -1);
	}
});

document.addEventListener("visibilitychange", () => {
	if (document.visibilityState === "hidden") save("autosave");
});
addEventListener("beforeunload", (event) => {
	if (area.value !== saved) event.preventDefault();
});

new ResizeObserver(place).observe(lines);
wide.addEventListener("change", place);
document.fonts?.ready.then(place);

document.body.classList.add("live");
// Firefox keeps what was typed over a reload: then the proof is of another text.
if (area.value !== area.defaultValue) changed();
draw();
jumpButtons();

// Drawing a chart. The page hands over a chart as JSON; it is drawn here as SVG,
// painted on, and sent back to be written as rows.
//
// House rules: the chart in memory is the one truth, the drawing follows it row by
// row; columns count from the right edge and rows from the bottom, as charts are
// read. Every change is one step of the undo; what the rows are is asked of the
// server, one question at a time, and a stale answer is dropped.

const desk = document.getElementById("drawing");
const board = document.getElementById("board");
const live = document.getElementById("live");
const where = document.getElementById("where");
const $ = (id) => document.getElementById(id);

const symbols = JSON.parse(desk.dataset.symbols);
let chart = JSON.parse(desk.dataset.chart);

const CELL = 28; // pixels
const SIDE = 46; // for the rows' numbers
const TOP = 6;
const FOOT = 24;
const fills = ["#ffffff", "#bdbdbd", "#7f7f7f", "#dedede", "#9c9c9c", "#5c5c5c"];
const numbered = /^(knit-wrap|purl-wrap|inc|inc-purl|dec-n|dec-n-purl|below|below-purl)$/;

// --- the chart ------------------------------------------------------------------

const clone = (v) => JSON.parse(JSON.stringify(v));
const plain = (column, yarn) => ({ kind: "stitch", column, span: 1, symbol: "knit", yarn });
const ground = () => (chart.yarns.length ? 0 : -1);

function cellAt(row, column) {
	return chart.rows[row].cells.find((c) => c.column <= column && column < c.column + c.span);
}

// split makes a wide cell single ones again, so that a part of it can be changed.
function split(row, column) {
	const r = chart.rows[row];
	const i = r.cells.findIndex((c) => c.column <= column && column < c.column + c.span);
	if (i < 0 || r.cells[i].span === 1) return;
	const wide = r.cells[i];
	const parts = [];
	for (let x = 0; x < wide.span; x++) parts.push(plain(wide.column + x, wide.yarn));
	r.cells.splice(i, 1, ...parts);
}

// put lays a cell; what it lies on goes. It reports whether it fits.
function put(row, cell) {
	if (row < 0 || row >= chart.rows.length || cell.column < 0 || cell.column + cell.span > chart.columns) return false;
	for (let x = 0; x < cell.span; x++) split(row, cell.column + x);
	const r = chart.rows[row];
	r.cells = r.cells.filter((c) => c.column + c.span <= cell.column || c.column >= cell.column + cell.span);
	r.cells.push(cell);
	r.cells.sort((a, b) => a.column - b.column);
	return true;
}

// tidy brings a row's own facts up to its cells: the yarn it is worked in, holes filled.
function tidy(row) {
	const r = chart.rows[row];
	const cells = [];
	let next = 0;
	for (const c of r.cells) {
		while (next < c.column) cells.push(plain(next++, ground()));
		cells.push(c);
		next = c.column + c.span;
	}
	while (next < chart.columns) cells.push(plain(next++, ground()));
	r.cells = cells;
	const yarns = new Set(cells.filter((c) => c.kind === "stitch" && c.yarn >= 0).map((c) => c.yarn));
	if (!chart.yarns.length) {
		r.yarn = -1;
		for (const c of cells) {
			c.yarn = -1;
			delete c.several;
		}
		return;
	}
	// a slipped stitch shows its own yarn, not the one in hand
	const worked = new Set(cells.filter((c) => c.kind === "stitch" && c.yarn >= 0 && !/^slip|^drop/.test(c.symbol)).map((c) => c.yarn));
	r.yarn = worked.size === 1 ? [...worked][0] : worked.size === 0 && yarns.size === 1 ? [...yarns][0] : -1;
	for (const c of cells) {
		if (worked.size > 1) c.several = true;
		else delete c.several;
	}
}

// renumber counts the rows anew from the first; what goes by a word keeps it.
function renumber() {
	let n = Number.parseInt(chart.rows[0].number, 10) || 1;
	const ws = chart.rows[0].ws && !chart.round;
	chart.rows.forEach((r, i) => {
		if (/^\d*$/.test(r.number)) r.number = String(n);
		n++;
		r.round = chart.round;
		r.ws = !chart.round && (i % 2 === 1) !== ws;
		r.left = r.ws;
	});
}

function emptyRow() {
	const r = { number: "", ws: false, left: false, round: chart.round, yarn: -1, count: chart.columns, cells: [] };
	for (let x = 0; x < chart.columns; x++) r.cells.push(plain(x, ground()));
	return r;
}

function fitBox() {
	const b = chart.box;
	if (!b) return;
	b.width = Math.min(b.width, chart.columns);
	b.from = chart.rows.map((_, i) => Math.max(0, Math.min(b.from[i] ?? b.from[b.from.length - 1] ?? 0, chart.columns - b.width)));
	b.of = b.width;
}

// --- steps ------------------------------------------------------------------------

const past = [];
const future = [];
const mostSteps = 200;
let saved = JSON.stringify(chart); // as it came: a page that was only looked at asks nothing on leaving
let leaving = false;

// step makes a change that undo takes back as one.
function step(change, said) {
	const before = JSON.stringify(chart);
	change();
	chart.rows.forEach((_, i) => tidy(i));
	fitBox();
	const after = JSON.stringify(chart);
	if (after === before) return;
	past.push(before);
	if (past.length > mostSteps) past.shift();
	future.length = 0;
	refresh(before);
	if (said) say(said);
}

function travel(from, to, said) {
	if (!from.length) return say("Nothing to " + said + ".");
	const before = JSON.stringify(chart);
	to.push(before);
	chart = JSON.parse(from.pop());
	refresh(before);
	say(said === "undo" ? "Undone." : "Done again.");
}

function refresh(before) {
	const was = JSON.parse(before);
	const same = was.columns === chart.columns && was.rows.length === chart.rows.length && JSON.stringify(was.yarns) === JSON.stringify(chart.yarns) && was.round === chart.round;
	cursor.row = Math.min(cursor.row, chart.rows.length - 1);
	cursor.column = Math.min(cursor.column, chart.columns - 1);
	anchor = null;
	if (same) {
		chart.rows.forEach((r, i) => {
			if (JSON.stringify(r) !== JSON.stringify(was.rows[i])) drawRow(i);
		});
		overlay();
	} else draw();
	fields();
	checkSoon();
}

// --- drawing ------------------------------------------------------------------------

const NS = "http://www.w3.org/2000/svg";
let svg;
let rowGroups = [];
let over;

function el(name, attributes, parent) {
	const e = document.createElementNS(NS, name);
	for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
	parent?.append(e);
	return e;
}

const left = (column, span = 1) => SIDE + (chart.columns - column - span) * CELL;
const top = (row) => TOP + (chart.rows.length - 1 - row) * CELL;
const fill = (c) => (c.kind === "none" ? "#c8c8c8" : c.yarn >= 0 ? fills[Math.min(c.yarn, fills.length - 1)] : "#ffffff");
const ink = (f) => (f === "#5c5c5c" ? "#ffffff" : "#000000");

function draw() {
	const wide = SIDE * 2 + chart.columns * CELL;
	const high = TOP + chart.rows.length * CELL + FOOT;
	const had = svg && document.activeElement === svg;
	board.textContent = "";
	svg = el("svg", { xmlns: NS, width: wide, height: high, viewBox: `0 0 ${wide} ${high}`, tabindex: 0, role: "application", "aria-label": "Chart to draw on", "aria-describedby": "draw-keys", "font-family": "sans-serif", "stroke-linecap": "round", "stroke-linejoin": "round" }, board);
	rowGroups = chart.rows.map(() => el("g", {}, svg));
	over = el("g", { "pointer-events": "none" }, svg);
	chart.rows.forEach((_, i) => drawRow(i));
	overlay();
	wire();
	if (had) svg.focus();
}

function drawRow(i) {
	const g = rowGroups[i];
	const r = chart.rows[i];
	g.textContent = "";
	for (const c of r.cells) {
		const x = left(c.column, c.span);
		const y = top(i);
		const f = fill(c);
		el("rect", { x, y, width: c.span * CELL, height: CELL, fill: f, stroke: "#8a8a8a", "stroke-width": 0.8 }, g);
		sign(g, c, x, y, ink(f));
	}
	const label = r.number + (chart.yarns.length && r.yarn >= 0 ? " " + chart.yarns[r.yarn].letter : "");
	el("text", { x: r.left ? SIDE - 7 : SIDE + chart.columns * CELL + 7, y: top(i) + CELL * 0.64, "font-size": 13, "text-anchor": r.left ? "end" : "start", fill: "#000" }, g).textContent = label;
}

function sign(g, c, x, y, colour) {
	const wide = c.span * CELL;
	const pen = { fill: "none", stroke: colour, "stroke-width": 0.075 };
	if (c.kind !== "stitch") {
		if (c.kind === "unworked") el("circle", { cx: x + wide / 2, cy: y + CELL / 2, r: 1.5, fill: colour }, g);
		return;
	}
	if (c.symbol === "cross") return crossing(g, c, x, y, colour);
	const s = symbols[c.symbol];
	const scale = c.symbol === "cluster" ? wide : CELL;
	const at = x + (wide - scale) / 2;
	const own = el("g", { transform: `translate(${at} ${y}) scale(${scale} ${CELL})` }, g);
	for (const m of s?.marks || []) {
		if (m.d) el("path", { d: m.d, ...(m.fill ? { fill: colour } : pen) }, own);
		else {
			const text = m.at ? String(c.number || "") : m.text === "@" ? c.name || "" : m.text;
			const size = m.at ? (/^inc|-wrap/.test(c.symbol) ? 10 : 13) : Math.min(14.5, (0.94 * wide) / (0.62 * Math.max(1, text.length)));
			el("text", { x: m.at ? at + (m.at[0] / 100) * scale : x + wide / 2, y: y + (m.at ? (m.at[1] / 100) * CELL : CELL / 2) + 0.36 * size, "font-size": size, "text-anchor": "middle", fill: colour }, g).textContent = text;
		}
	}
	if (c.several && c.yarn > 0 && !(s?.marks || []).length) {
		el("text", { x: x + wide / 2, y: y + CELL * 0.68, "font-size": 14, "text-anchor": "middle", fill: colour }, g).textContent = chart.yarns[c.yarn].letter;
	}
}

function crossing(g, c, x, y, colour) {
	const f = fill(c);
	const wide = c.span * CELL;
	for (const place of ["back", "between", "front"]) {
		for (const s of c.strands.filter((t) => t.place === place)) {
			const px = (column) => x + wide - column * CELL;
			const [a, b] = [px(s.from + 0.1), px(s.from + s.n - 0.1)];
			const [d, e] = [px(s.to + 0.1), px(s.to + s.n - 0.1)];
			const [lo, hi] = [y + CELL - 1, y + 1];
			el("path", { d: `M${a} ${lo}L${d} ${hi}L${e} ${hi}L${b} ${lo}Z`, fill: f }, g);
			el("path", { d: `M${a} ${lo}L${d} ${hi}M${b} ${lo}L${e} ${hi}`, fill: "none", stroke: colour, "stroke-width": 2 }, g);
			if (s.purl) for (const t of [0.2, 0.8]) el("circle", { cx: (a + b) / 2 + ((d + e) / 2 - (a + b) / 2) * t, cy: lo + (hi - lo) * t, r: 2.2, fill: colour }, g);
		}
	}
}

// overlay draws what stands over the cells: repeat, selection, cursor, the place at fault.
function overlay() {
	over.textContent = "";
	chart.rows.forEach((r, i) => {
		for (const c of r.cells) {
			if (c.kind !== "stitch" || !/^below/.test(c.symbol) || !c.number || !i) continue;
			const foot = top(Math.max(0, i - c.number)) + CELL - 3; // the legs reach down to the loop that is caught
			for (const dx of [0.2, 0.8]) el("path", { d: `M${left(c.column) + dx * CELL} ${top(i) + CELL}V${foot}`, stroke: "#000", "stroke-width": 2 }, over);
		}
	});
	const b = chart.box;
	if (b) {
		let l = "";
		let r = "";
		chart.rows.forEach((_, i) => {
			const [x, z] = [left(b.from[i], b.width), left(b.from[i], 0)];
			l += `${i ? "L" : "M"}${x} ${top(i) + CELL}L${x} ${top(i)}`;
			r += `${i ? "L" : "M"}${z} ${top(i) + CELL}L${z} ${top(i)}`;
		});
		const last = chart.rows.length - 1;
		l += `L${left(b.from[last], 0)} ${top(last)}M${left(b.from[0], b.width)} ${top(0) + CELL}L${left(b.from[0], 0)} ${top(0) + CELL}`;
		el("path", { d: l + r, fill: "none", stroke: "#000", "stroke-width": 3.5 }, over);
		el("text", { x: (left(b.from[0], b.width) + left(b.from[0], 0)) / 2, y: top(0) + CELL + 17, "font-size": 12.5, "text-anchor": "middle", fill: "#000" }, over).textContent = "repeat";
	}
	if (anchor) {
		const s = area();
		el("rect", { x: left(s.x1), y: top(s.y1), width: (s.x1 - s.x0 + 1) * CELL, height: (s.y1 - s.y0 + 1) * CELL, fill: "#2c4a6e", "fill-opacity": 0.16, stroke: "#2c4a6e", "stroke-width": 2, "stroke-dasharray": "5 4" }, over);
	}
	if (fault && fault.row >= 0 && fault.row < chart.rows.length) {
		const c = fault.column >= 0 ? cellAt(fault.row, fault.column) : null;
		const x = c ? left(c.column, c.span) : left(chart.columns - 1);
		el("rect", { x: x - 1, y: top(fault.row) - 1, width: (c ? c.span : chart.columns) * CELL + 2, height: CELL + 2, fill: "none", stroke: "#b3261e", "stroke-width": 3 }, over);
	}
	el("rect", { x: left(cursor.column) + 2, y: top(cursor.row) + 2, width: CELL - 4, height: CELL - 4, fill: "none", stroke: "#2c4a6e", "stroke-width": 2.5, class: "cursor" }, over);
}

// --- cursor and selection -------------------------------------------------------------

const cursor = { row: 0, column: 0 };
let anchor = null; // the other corner of the selection
let clip = null;
let fault = null;

// area is the selection, or the cell of the cursor.
function area() {
	const a = anchor || cursor;
	return { x0: Math.min(a.column, cursor.column), x1: Math.max(a.column, cursor.column), y0: Math.min(a.row, cursor.row), y1: Math.max(a.row, cursor.row) };
}

function wordsOf(c) {
	if (c.kind === "none") return "no stitch";
	if (c.kind === "unworked") return "not worked";
	const words = (symbols[c.symbol]?.words || c.symbol).replace("#", c.number || "").replace("@", c.name || "");
	return words + (chart.yarns.length && c.yarn >= 0 ? ", " + chart.yarns[c.yarn].letter : "");
}

function move(row, column, keep) {
	if (keep && !anchor) anchor = { ...cursor };
	if (!keep) anchor = null;
	cursor.row = Math.max(0, Math.min(row, chart.rows.length - 1));
	cursor.column = Math.max(0, Math.min(column, chart.columns - 1));
	overlay();
	tell();
	const box = board.getBoundingClientRect();
	const x = left(cursor.column) - board.scrollLeft;
	if (x < 0) board.scrollLeft += x - CELL;
	else if (x + CELL > box.width) board.scrollLeft += x + 2 * CELL - box.width;
}

function tell() {
	const r = chart.rows[cursor.row];
	const s = area();
	const text = anchor
		? `${s.x1 - s.x0 + 1} by ${s.y1 - s.y0 + 1} selected`
		: `${chart.round ? "Round" : "Row"} ${r.number}${chart.round ? "" : r.ws ? " (WS)" : " (RS)"}, stitch ${cursor.column + 1} from the right: ${wordsOf(cellAt(cursor.row, cursor.column))}`;
	where.textContent = text;
	say(text);
}

function say(text) {
	live.textContent = text;
}

// --- tools ------------------------------------------------------------------------------

const picked = (name) => document.querySelector(`input[name="${name}"]:checked`)?.value;
const num = (id, least, most) => Math.max(least, Math.min(most, Number.parseInt($(id).value, 10) || least));
let yarn = 0;

// brush is the cell that is painted.
function brush(id, column) {
	const y = chart.yarns.length ? Math.min(yarn, chart.yarns.length - 1) : -1;
	if (id === "none") return { kind: "none", column, span: 1, yarn: -1 };
	if (id.startsWith("cross-")) {
		const f = num("cross-front", 1, 6);
		const b = num("cross-back", 1, 6);
		const purl = $("cross-purl").checked;
		const right = id === "cross-right";
		const front = { from: right ? b : 0, to: right ? 0 : b, n: f, place: "front" };
		const back = { from: right ? 0 : f, to: right ? f : 0, n: b, place: "back" };
		if (purl) back.purl = true;
		return { kind: "stitch", column, span: f + b, symbol: "cross", yarn: y, strands: [front, back] };
	}
	const c = { ...plain(column, y), symbol: id };
	if (numbered.test(id)) c.number = num("number", 2, 9);
	return c;
}

function paintArea(id) {
	const s = area();
	const first = brush(id, s.x0);
	let fits = true;
	step(() => {
		for (let r = s.y0; r <= s.y1; r++) {
			if (first.span > 1) fits = put(r, brush(id, s.x0)) && fits;
			else for (let x = s.x0; x <= s.x1; x++) put(r, brush(id, x));
		}
	});
	say(fits ? wordsOf(cellAt(cursor.row, cursor.column)) : "It does not fit here: " + first.span + " stitches wide.");
	if (!fits) where.textContent = live.textContent;
	else where.textContent = where.textContent.replace(/: .*/, ": " + live.textContent);
}

// lift takes the cells of an area, wide ones only where they lie in it whole.
function lift(s) {
	const rows = [];
	for (let r = s.y0; r <= s.y1; r++) {
		rows.push(chart.rows[r].cells.filter((c) => c.column >= s.x0 && c.column + c.span - 1 <= s.x1).map((c) => ({ ...clone(c), column: c.column - s.x0 })));
	}
	return { wide: s.x1 - s.x0 + 1, rows };
}

function lay(piece, row, column) {
	piece.rows.forEach((cells, i) => {
		for (const c of cells) put(row + i, { ...clone(c), column: c.column + column });
	});
}

const twins = [["dec-r-", "dec-l-"], ["m1r", "m1l"], ["lift-r", "lift-l"]];
function twin(id) {
	for (const [a, b] of twins) {
		if (id.startsWith(a)) return id.replace(a, b);
		if (id.startsWith(b)) return id.replace(b, a);
	}
	return id;
}

function mirrored(piece) {
	return {
		wide: piece.wide,
		rows: piece.rows.map((cells) =>
			cells.map((c) => {
				const m = { ...c, column: piece.wide - c.column - c.span };
				delete m.key; // it named the stitch as it leant before
				if (m.symbol) m.symbol = twin(m.symbol);
				if (m.strands) m.strands = m.strands.map((s) => ({ ...s, from: c.span - s.from - s.n, to: c.span - s.to - s.n }));
				if (c.key?.startsWith("own:")) return { ...c, column: m.column };
				return m;
			}),
		),
	};
}

function mirror() {
	const s = area();
	step(() => lay(mirrored(lift(s)), s.y0, s.x0), "Mirrored.");
	anchorAgain(s);
}

// shift turns the content of the selection round by one cell.
function shift(dx, dy) {
	const s = area();
	const high = s.y1 - s.y0 + 1;
	const wide = s.x1 - s.x0 + 1;
	step(() => {
		const piece = lift(s);
		if (dy) lay({ wide, rows: piece.rows.map((_, i) => piece.rows[(i - dy + high) % high]) }, s.y0, s.x0);
		else {
			for (let r = s.y0; r <= s.y1; r++) for (let x = s.x0; x <= s.x1; x++) put(r, plain(x, ground()));
			piece.rows.forEach((cells, i) => {
				for (const c of cells) {
					const to = (c.column + dx + wide) % wide;
					if (to + c.span <= wide) put(s.y0 + i, { ...c, column: s.x0 + to });
				}
			});
		}
	}, "Shifted.");
	anchorAgain(s);
}

function anchorAgain(s) {
	if (s.x0 === s.x1 && s.y0 === s.y1) return;
	anchor = { row: s.y0, column: s.x0 };
	Object.assign(cursor, { row: s.y1, column: s.x1 });
	overlay();
}

function copy() {
	clip = lift(area());
	$("paste").disabled = false;
	say("Copied.");
}

function paste() {
	if (!clip) return say("Nothing was copied.");
	const s = area();
	step(() => lay(clip, s.y0, s.x0), "Pasted.");
}

// --- pointer ------------------------------------------------------------------------------

let stroke = null; // the chart before it, where the pointer was

function spot(event) {
	const box = svg.getBoundingClientRect();
	const column = chart.columns - 1 - Math.floor((event.clientX - box.left - SIDE) / CELL);
	const row = chart.rows.length - 1 - Math.floor((event.clientY - box.top - TOP) / CELL);
	return row >= 0 && row < chart.rows.length && column >= 0 && column < chart.columns ? { row, column } : null;
}

function dab(at) {
	const c = brush(picked("symbol"), at.column);
	if (c.span > 1 && stroke.last) return; // a wide one is set once
	put(at.row, c);
	tidy(at.row);
	drawRow(at.row);
}

function wire() {
	svg.addEventListener("pointerdown", (event) => {
		const mode = picked("mode");
		const at = spot(event);
		if (!at || mode === "scroll" || event.button > 0) return;
		event.preventDefault();
		svg.focus({ preventScroll: true });
		svg.setPointerCapture(event.pointerId);
		if (mode === "select" || event.shiftKey) {
			move(at.row, at.column, event.shiftKey);
			anchor = anchor || { ...cursor };
			stroke = { select: true };
			return;
		}
		anchor = null;
		stroke = { before: JSON.stringify(chart), last: null };
		dab(at);
		stroke.last = at;
		Object.assign(cursor, at);
		overlay();
	});
	svg.addEventListener("pointermove", (event) => {
		if (!stroke) return;
		const at = spot(event);
		if (!at) return;
		if (stroke.select) {
			if (at.row !== cursor.row || at.column !== cursor.column) move(at.row, at.column, true);
			return;
		}
		const from = stroke.last;
		const n = Math.max(Math.abs(at.row - from.row), Math.abs(at.column - from.column));
		for (let k = 1; k <= n; k++) dab({ row: Math.round(from.row + ((at.row - from.row) * k) / n), column: Math.round(from.column + ((at.column - from.column) * k) / n) });
		if (n) {
			stroke.last = at;
			Object.assign(cursor, at);
			overlay();
		}
	});
	const done = () => {
		if (!stroke) return;
		const { select, before } = stroke;
		stroke = null;
		if (select) {
			if (anchor && anchor.row === cursor.row && anchor.column === cursor.column) anchor = null;
			overlay();
			return tell();
		}
		if (JSON.stringify(chart) !== before) {
			past.push(before);
			if (past.length > mostSteps) past.shift();
			future.length = 0;
			fields();
			checkSoon();
		}
		tell();
	};
	svg.addEventListener("pointerup", done);
	svg.addEventListener("pointercancel", done);
	svg.addEventListener("keydown", keys);
	svg.addEventListener("focus", tell);
}

// --- keys ------------------------------------------------------------------------------------

const letters = {};
for (const label of document.querySelectorAll(".symbol")) {
	const key = label.querySelector("kbd")?.textContent;
	if (key) letters[key] = label.querySelector("input").value;
}

function keys(event) {
	const key = event.key;
	const arrows = { ArrowLeft: [0, 1], ArrowRight: [0, -1], ArrowUp: [1, 0], ArrowDown: [-1, 0] };
	const ctrl = event.ctrlKey || event.metaKey;
	if (event.altKey) return;
	if (ctrl) {
		const todo = { c: copy, v: paste, z: () => (event.shiftKey ? travel(future, past, "redo") : travel(past, future, "undo")), y: () => travel(future, past, "redo"), a: () => { anchor = { row: 0, column: 0 }; Object.assign(cursor, { row: chart.rows.length - 1, column: chart.columns - 1 }); overlay(); tell(); } }[key.toLowerCase()];
		if (!todo) return;
		event.preventDefault();
		return todo();
	}
	if (arrows[key]) move(cursor.row + arrows[key][0], cursor.column + arrows[key][1], event.shiftKey);
	else if (key === "Home") move(cursor.row, chart.columns - 1, event.shiftKey);
	else if (key === "End") move(cursor.row, 0, event.shiftKey);
	else if (key === " " || key === "Enter") paintArea(picked("symbol"));
	else if (key === "Delete" || key === "Backspace") paintArea("knit");
	else if (key === "Escape") move(cursor.row, cursor.column, false);
	else if (key === "m") mirror();
	else if (/^[1-9]$/.test(key) && chart.yarns[key - 1]) {
		yarn = key - 1;
		fields();
		say("Yarn " + chart.yarns[yarn].letter + ".");
	} else if (letters[key]) {
		const input = document.querySelector(`input[name="symbol"][value="${letters[key]}"]`);
		input.checked = true;
		symbolFields();
		paintArea(letters[key]);
	} else return;
	event.preventDefault();
}

// --- the fields around it ------------------------------------------------------------------------

function symbolFields() {
	const id = picked("symbol");
	$("number-field").hidden = !numbered.test(id);
	$("cross-fields").hidden = !id.startsWith("cross-");
}

function fields() {
	$("undo-step").disabled = !past.length;
	$("redo-step").disabled = !future.length;
	$("box-width").value = chart.box?.width ?? 0;
	$("box-from").value = chart.box?.from[0] ?? 0;
	for (const input of document.querySelectorAll('input[name="worked"]')) input.checked = (input.value === "round") === !!chart.round;
	const list = $("yarns");
	for (const old of list.querySelectorAll("label")) old.remove();
	if (!chart.yarns.length) {
		const one = document.createElement("label");
		one.className = "one-yarn";
		one.textContent = "One yarn";
		list.append(one);
	}
	chart.yarns.forEach((y, i) => {
		const label = document.createElement("label");
		label.className = "pick";
		const input = document.createElement("input");
		input.type = "radio";
		input.name = "yarn";
		input.checked = i === Math.min(yarn, chart.yarns.length - 1);
		input.addEventListener("change", () => { yarn = i; });
		const face = document.createElement("span");
		const swatch = el("svg", { width: 16, height: 16, viewBox: "0 0 16 16", "aria-hidden": "true" });
		el("rect", { x: 0.5, y: 0.5, width: 15, height: 15, fill: fills[Math.min(i, fills.length - 1)], stroke: "#8a8a8a" }, swatch);
		face.append(swatch, " " + y.letter + (y.name !== y.letter ? " " + y.name : ""));
		label.append(input, face);
		list.append(label);
	});
	$("row-yarn").disabled = !chart.yarns.length;
	$("row-gone").disabled = chart.rows.length < 2;
	$("column-gone").disabled = chart.columns < 2;
}

function addYarn() {
	const letter = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].find((l) => !chart.yarns.some((y) => y.letter === l));
	if (!letter || chart.yarns.length > 20) return;
	step(() => {
		if (!chart.yarns.length) {
			chart.yarns = [{ letter: "A", name: "A" }];
			for (const r of chart.rows) for (const c of r.cells) if (c.kind === "stitch") c.yarn = 0;
			chart.yarns.push({ letter: "B", name: "B" });
			yarn = 1;
			return;
		}
		chart.yarns.push({ letter, name: letter });
		yarn = chart.yarns.length - 1;
	});
	fields();
	say("Yarn " + chart.yarns[yarn].letter + " added, and picked.");
}

function insertColumn(at) {
	if (chart.columns >= 400) return say("No more columns.");
	chart.rows.forEach((r, i) => {
		const c = at < chart.columns ? cellAt(i, at) : null;
		if (c && c.column < at) split(i, at);
		for (const x of chart.rows[i].cells) if (x.column >= at) x.column++;
		r.count = (r.count || 0) + 1;
	});
	if (chart.box) chart.box.from = chart.box.from.map((f) => (f >= at && at <= f ? f + 1 : f));
	chart.columns++;
}

function removeColumn(at) {
	chart.rows.forEach((r, i) => {
		split(i, at);
		r.cells = r.cells.filter((c) => c.column !== at);
		for (const c of r.cells) if (c.column > at) c.column--;
	});
	if (chart.box) {
		const inside = chart.box.from[0] <= at && at < chart.box.from[0] + chart.box.width;
		chart.box.from = chart.box.from.map((f) => (f > at ? f - 1 : f));
		if (inside) chart.box.width--;
		if (chart.box.width < 1) chart.box = null;
	}
	chart.columns--;
}

function setBox(width, from) {
	step(() => {
		if (width < 1) chart.box = null;
		else {
			width = Math.min(width, chart.columns);
			from = Math.max(0, Math.min(from, chart.columns - width));
			chart.box = { width, from: chart.rows.map(() => from), of: width };
		}
	}, width < 1 ? "No repeat." : `Repeat of ${width}.`);
	overlay();
}

const press = (id, todo) => $(id).addEventListener("click", todo);
press("undo-step", () => travel(past, future, "undo"));
press("redo-step", () => travel(future, past, "redo"));
press("copy", copy);
press("paste", paste);
press("mirror", mirror);
press("shift-left", () => shift(1, 0));
press("shift-right", () => shift(-1, 0));
press("shift-up", () => shift(0, 1));
press("shift-down", () => shift(0, -1));
press("add-yarn", addYarn);
press("row-yarn", () => step(() => { for (const c of chart.rows[cursor.row].cells) if (c.kind === "stitch") c.yarn = Math.min(yarn, chart.yarns.length - 1); }, "The row is in " + chart.yarns[Math.min(yarn, chart.yarns.length - 1)]?.letter + "."));
press("row-top", () => step(() => { chart.rows.push(emptyRow()); renumber(); }, "A row more."));
press("row-here", () => step(() => { chart.rows.splice(cursor.row, 0, emptyRow()); chart.rows[0].number ||= "1"; renumber(); }, "A row more."));
press("row-gone", () => step(() => { const first = chart.rows[0].number; chart.box?.from.splice(cursor.row, 1); chart.rows.splice(cursor.row, 1); if (cursor.row === 0 && /^\d+$/.test(chart.rows[0].number)) { chart.rows[0].number = first; chart.rows[0].ws = !chart.rows[0].ws; } renumber(); }, "A row less."));
press("column-left", () => step(() => insertColumn(chart.columns), "A column more."));
press("column-here", () => step(() => insertColumn(cursor.column), "A column more."));
press("column-gone", () => step(() => removeColumn(cursor.column), "A column less."));
press("box-here", () => { const s = area(); setBox(s.x1 - s.x0 + 1, s.x0); });
for (const id of ["box-width", "box-from"]) $(id).addEventListener("change", () => setBox(Number.parseInt($("box-width").value, 10) || 0, Number.parseInt($("box-from").value, 10) || 0));
for (const input of document.querySelectorAll('input[name="worked"]')) input.addEventListener("change", () => step(() => { chart.round = picked("worked") === "round"; chart.rows[0].ws = false; renumber(); }));
for (const input of document.querySelectorAll('input[name="symbol"]')) input.addEventListener("change", symbolFields);
for (const input of document.querySelectorAll('input[name="mode"]')) input.addEventListener("change", () => { board.dataset.mode = picked("mode"); });

// --- what is written from it ----------------------------------------------------------------------

let sequence = 0;
let asking = false;
let timer = 0;
let asked = "";

function checkSoon(pause = 250) {
	clearTimeout(timer);
	$("written").classList.add("waiting");
	timer = setTimeout(check, pause);
}

async function check() {
	if (asking) return;
	asking = true;
	asked = JSON.stringify(chart);
	const seq = ++sequence;
	try {
		const answer = await fetch(desk.dataset.check, { method: "POST", body: `{"seq":${seq},"chart":${asked}}`, headers: { "Content-Type": "application/json", Accept: "application/json" } });
		const said = await answer.json();
		if (!answer.ok) throw new Error(said.text || said.error);
		if (said.seq === sequence && asked === JSON.stringify(chart)) show(said);
	} catch (err) {
		show({ level: "quiet", status: "Not asked yet", problem: { row: -1, column: -1, text: (err.message || "No answer.") + " It is asked again as you draw." }, rows: [], findings: [] });
	}
	asking = false;
	if (asked !== JSON.stringify(chart)) checkSoon(0);
}

function show(said) {
	$("written").classList.remove("waiting");
	const verdict = $("verdict");
	verdict.className = "verdict level-" + said.level;
	$("verdict-text").textContent = said.status;
	fault = said.problem;
	$("trouble").hidden = !fault;
	$("trouble").textContent = fault?.text || "";
	$("trouble-go").hidden = !(fault && fault.row >= 0);
	const list = $("rows-written");
	list.textContent = "";
	for (const text of [said.begins, ...said.rows]) {
		if (!text) continue;
		const li = document.createElement("li");
		li.textContent = text;
		list.append(li);
	}
	const findings = $("drawn-findings");
	findings.textContent = "";
	for (const f of said.findings) {
		const li = document.createElement("li");
		li.className = "level-" + f.level;
		li.textContent = f.text;
		findings.append(li);
	}
	$("use-rows").disabled = !!fault || !said.rows.length;
	overlay();
}

press("go-there", () => {
	if (!fault) return;
	svg.focus();
	move(fault.row, Math.max(0, fault.column), false);
});

$("use").addEventListener("submit", () => {
	$("use").elements.chart.value = JSON.stringify(chart);
	leaving = true;
});
addEventListener("beforeunload", (event) => {
	if (!leaving && JSON.stringify(chart) !== saved) event.preventDefault();
});

chart.yarns ||= [];
chart.rows.forEach((r) => { r.cells ||= []; });
for (const id of ["tools", "palette", "shape", "written"]) $(id).hidden = false;
board.dataset.mode = picked("mode");
document.body.classList.add("live-chart");
draw();
symbolFields();
fields();
chart.rows.forEach((_, i) => tidy(i));
saved = JSON.stringify(chart);
draw();
board.scrollLeft = board.scrollWidth; // read from the right
check();

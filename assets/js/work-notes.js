// What a test knitter notes while she works: where she is, and what is wrong. Each note
// is numbered without a gap from 1 for this browser and this knit, waits in a box on the
// device, and leaves it only when the server says that it holds all notes up to its
// number. So each arrives once, whatever happens to the network or to the page.

const dbName = "rowproof-notes";
const most = 20; // notes in one request
const mostBytes = 3_000_000;
const patience = 60_000; // ms for one request

function opened() {
	return new Promise((done, failed) => {
		const req = indexedDB.open(dbName, 1);
		req.onupgradeneeded = () => {
			const db = req.result;
			db.createObjectStore("device"); // by knit: {device, next, tried}
			db.createObjectStore("waiting", { keyPath: ["knit", "seq"] });
			db.createObjectStore("noted", { keyPath: "uuid" }).createIndex("knit", "knit");
		};
		req.onsuccess = () => {
			req.result.onversionchange = () => req.result.close();
			done(req.result);
		};
		req.onerror = () => failed(req.error);
	});
}

const result = (req) => new Promise((done, failed) => {
	req.onsuccess = () => done(req.result);
	req.onerror = () => failed(req.error);
});

const uuid = () => {
	if (crypto.randomUUID) return crypto.randomUUID();
	const b = crypto.getRandomValues(new Uint8Array(16));
	b[6] = (b[6] & 0x0f) | 0x40;
	b[8] = (b[8] & 0x3f) | 0x80;
	const h = Array.from(b, (x) => x.toString(16).padStart(2, "0")).join("");
	return [h.slice(0, 8), h.slice(8, 12), h.slice(12, 16), h.slice(16, 20), h.slice(20)].join("-");
};

// Box is the box of notes of one knit. changed is called whenever what it says is new.
export class Box {
	constructor(knit, url, changed) {
		this.knit = knit;
		this.url = url;
		this.changed = changed;
		this.state = { failing: false, waiting: 0, errata: 0, trouble: "", signIn: false, refused: [] };
		this.noted = [];
		this.wait = 0; // ms until the next try
		this.timer = 0;
		this.ready = opened();
	}

	async start() {
		await this.look();
		addEventListener("online", () => this.soon(0));
		document.addEventListener("visibilitychange", () => {
			if (document.visibilityState === "visible") this.soon(0);
		});
		this.soon(0);
	}

	range() {
		return IDBKeyRange.bound([this.knit, 0], [this.knit, Infinity]);
	}

	// within runs work in one transaction, which is on the disk when it has ended.
	async within(work) {
		const db = await this.ready;
		const tx = db.transaction(["device", "waiting", "noted"], "readwrite", { durability: "strict" });
		const ended = new Promise((done, failed) => {
			tx.oncomplete = done;
			tx.onabort = tx.onerror = () => failed(tx.error);
		});
		const out = await work({ device: tx.objectStore("device"), waiting: tx.objectStore("waiting"), noted: tx.objectStore("noted") });
		await ended;
		return out;
	}

	async device(tx) {
		return (await result(tx.device.get(this.knit))) || { device: uuid(), next: 1, tried: 0 };
	}

	async push(tx, event) {
		const d = await this.device(tx);
		await result(tx.waiting.put({ knit: this.knit, seq: d.next, event }));
		d.next++;
		await result(tx.device.put(d, this.knit));
	}

	// place notes where she is. A place that waits and was never sent is put right instead.
	async place(place) {
		const event = { at: new Date().toISOString(), kind: "place", ...place };
		await this.within(async (tx) => {
			const d = await this.device(tx);
			for (const w of await result(tx.waiting.getAll(this.range()))) {
				if (w.event.kind !== "place" || w.seq <= d.tried) continue;
				await result(tx.waiting.put({ ...w, event }));
				return;
			}
			await this.push(tx, event);
		});
		await this.look();
		this.soon(1500);
	}

	// erratum notes what is wrong with a row.
	async erratum(e) {
		const id = uuid();
		const at = new Date().toISOString();
		await this.within(async (tx) => {
			await this.push(tx, { at, kind: "erratum", uuid: id, ...e });
			const { photo, ...words } = e;
			await result(tx.noted.put({ uuid: id, knit: this.knit, at, photo: !!photo, state: "waiting", ...words }));
		});
		await this.look();
		this.soon(0);
	}

	// look reads the box and tells the page.
	async look() {
		const [waiting, noted] = await this.within(async (tx) => [await result(tx.waiting.getAll(this.range())), await result(tx.noted.index("knit").getAll(this.knit))]);
		this.noted = noted.sort((a, b) => (a.at < b.at ? -1 : 1));
		this.state.waiting = waiting.length;
		this.state.errata = waiting.filter((w) => w.event.kind === "erratum").length;
		this.state.refused = noted.filter((n) => n.state === "refused");
		this.changed();
	}

	soon(ms) {
		clearTimeout(this.timer);
		this.timer = setTimeout(() => this.send(), ms);
	}

	later() {
		this.state.failing = true;
		this.changed();
		this.wait = Math.min(Math.max(2000, this.wait * 2), 300_000);
		this.soon(this.wait * (0.75 + Math.random() / 2));
	}

	// send sends what waits, in order. One page sends at a time.
	async send() {
		if (this.sending) return;
		this.sending = true;
		try {
			const work = () => this.sendAll();
			if (navigator.locks) await navigator.locks.request("rowproof-notes-" + this.knit, { ifAvailable: true }, (lock) => (lock ? work() : this.soon(5000)));
			else await work();
		} catch (err) {
			this.trouble("The notes on this device cannot be read: " + err.message + ".");
			this.later();
		} finally {
			this.sending = false;
		}
	}

	trouble(words, signIn = false) {
		this.state.trouble = words;
		this.state.signIn = signIn;
		this.changed();
	}

	// next reads the notes of the next request and marks them as tried, before they leave.
	next(alone) {
		return this.within(async (tx) => {
			const d = await this.device(tx);
			const events = [];
			let bytes = 0;
			const all = await result(tx.waiting.getAll(this.range(), alone ? 1 : most));
			for (const w of all) {
				bytes += (w.event.photo?.length || 0) + 2000;
				if (events.length > 0 && bytes > mostBytes) break;
				events.push({ seq: w.seq, ...w.event });
			}
			if (events.length > 0) {
				d.tried = Math.max(d.tried, events.at(-1).seq);
				await result(tx.device.put(d, this.knit));
			}
			return { device: d.device, events };
		});
	}

	async sendAll() {
		let alone = false;
		for (;;) {
			const batch = await this.next(alone);
			if (batch.events.length === 0) {
				this.wait = 0;
				this.state.failing = false;
				this.trouble("");
				return;
			}
			let res, answer;
			try {
				res = await fetch(this.url, { method: "POST", credentials: "same-origin", redirect: "error", headers: { "Content-Type": "application/json", Accept: "application/json" },
					body: JSON.stringify(batch), signal: AbortSignal.timeout?.(patience) });
				answer = await res.json().catch(() => ({}));
			} catch {
				this.trouble("");
				return this.later();
			}
			const words = answer.text || answer.error || "The server answered " + res.status + ".";
			if (res.ok && Number.isInteger(answer.upto)) {
				await this.arrived(answer.upto, answer.refused || {}, batch);
				alone = false;
			} else if (res.ok || res.status >= 500 || res.status === 429 || res.status === 408) {
				this.trouble("");
				return this.later();
			} else if (res.status === 401 || res.status === 403) {
				return this.trouble("Sign in again to send what you noted; nothing is lost.", true);
			} else if (res.status === 404 || res.status === 410) {
				return this.trouble("What you noted cannot be sent: " + words + " It stays on this device.");
			} else if (batch.events.length > 1) {
				alone = true; // to find the one that is refused
			} else {
				await this.refuse(batch.events[0], words);
				alone = false;
			}
		}
	}

	// arrived takes out of the box what the server holds.
	async arrived(upto, refused, batch) {
		await this.within(async (tx) => {
			const d = await this.device(tx);
			if (d.device !== batch.device) return;
			const all = await result(tx.waiting.getAll(this.range()));
			for (const w of all) {
				if (w.seq > upto) break;
				await result(tx.waiting.delete([this.knit, w.seq]));
				if (w.event.kind !== "erratum") continue;
				const n = await result(tx.noted.get(w.event.uuid));
				if (!n) continue;
				const why = refused[w.seq];
				await result(tx.noted.put({ ...n, state: why ? "refused" : "sent", why }));
			}
			if (d.next <= upto) d.next = upto + 1;
			const left = all.filter((w) => w.seq > upto);
			if (left.length > 0 && left[0].seq > upto + 1) {
				// The server does not know what came before: the rest begins anew under
				// another name. A note that it has already it knows by its own number.
				d.device = uuid();
				d.next = 1;
				d.tried = 0;
				for (const w of left) await result(tx.waiting.delete([this.knit, w.seq]));
				for (const w of left) await result(tx.waiting.put({ ...w, seq: d.next++ }));
			}
			await result(tx.device.put(d, this.knit));
		});
		await this.look();
	}

	// refuse keeps a note that the server does not take, for her to copy; a place goes in
	// its stead, so that the numbers have no gap.
	async refuse(event, words) {
		await this.within(async (tx) => {
			if (event.kind === "erratum") {
				const n = await result(tx.noted.get(event.uuid));
				if (n) await result(tx.noted.put({ ...n, state: "refused", why: words }));
				await result(tx.waiting.put({ knit: this.knit, seq: event.seq, event: { at: event.at, kind: "place", row: event.row, step: event.step || 0, of: event.of || 0, words: event.label } }));
			} else {
				await result(tx.waiting.put({ knit: this.knit, seq: event.seq, event: { at: event.at, kind: "place", step: 0, of: 0, words: "" } }));
			}
		});
		await this.look();
		if (event.kind !== "erratum") {
			this.trouble("The server did not take your place: " + words);
			throw new Error(words);
		}
	}

	// forget takes a refused note off the page.
	async forget(id) {
		await this.within((tx) => result(tx.noted.delete(id)));
		await this.look();
	}
}

// sentence says how the box stands.
export function sentence(state) {
	if (state.trouble) return state.trouble;
	if (state.waiting === 0 || (state.errata === 0 && !state.failing)) return "All sent."; // her place goes along by itself
	const n = state.errata;
	if (n === 0) return "Your place waits for the network.";
	return n === 1 ? "1 note waits for the network." : n + " notes wait for the network.";
}

// smaller makes a photograph fit to be sent: a JPEG of at most 1600 pixels a side and
// 700 kB, in base64.
export async function smaller(file) {
	const image = await createImageBitmap(file, { imageOrientation: "from-image" });
	let side = 1600;
	for (let quality = 0.8; ; quality -= 0.15) {
		const scale = Math.min(1, side / Math.max(image.width, image.height));
		const canvas = document.createElement("canvas");
		canvas.width = Math.max(1, Math.round(image.width * scale));
		canvas.height = Math.max(1, Math.round(image.height * scale));
		canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
		const data = canvas.toDataURL("image/jpeg", quality).split(",")[1];
		if (data.length <= 700_000 || side < 300) {
			image.close();
			return { data, canvas };
		}
		if (quality < 0.5) {
			side = Math.round(side * 0.7);
			quality = 0.95;
		}
	}
}

// The service worker: what a knitter has open to work through stays usable without a
// network. It keeps the pages on which a pattern is worked through, the list of what is
// begun, and the files these need. It touches nothing else of the site.

const hash = "HASH"; // of all files of the site
const files = ["FILES"]; // what the pages need
const cacheName = "rowproof-work-" + hash;
const patience = 3000; // ms that a page waits for the network when there is a kept one

// kept reports whether a page may be kept.
function kept(url) {
	return url.origin === location.origin && (/^\/p\/[^/]+\/work$/.test(url.pathname) || /^\/knit\/\d+\/work$/.test(url.pathname) || url.pathname === "/working");
}

const keepable = (res) => res.ok && !res.redirected && (res.headers.get("Content-Type") || "").startsWith("text/html");

// fetchPage gets a page for keeping; it never follows a redirect into another page.
async function fetchPage(url) {
	const res = await fetch(url, { credentials: "same-origin", cache: "no-store", redirect: "follow", headers: { Accept: "text/html" } });
	return keepable(res) ? res : null;
}

async function oldCaches() {
	return (await caches.keys()).filter((name) => name.startsWith("rowproof-work-") && name !== cacheName);
}

// take brings the pages of older caches over: fresh ones, or, where that cannot be had
// now, the old ones with their own files.
async function take(cache) {
	for (const name of await oldCaches()) {
		const old = await caches.open(name);
		let stale = false;
		for (const req of await old.keys()) {
			const url = new URL(req.url);
			if (!kept(url)) continue;
			const fresh = await fetchPage(req.url).catch(() => null);
			if (!fresh) stale = true;
			await cache.put(req.url, fresh || (await old.match(req)));
		}
		if (!stale) continue;
		for (const req of await old.keys()) {
			if (!kept(new URL(req.url)) && !(await cache.match(req))) await cache.put(req, await old.match(req));
		}
	}
}

self.addEventListener("install", (event) => {
	event.waitUntil((async () => {
		const cache = await caches.open(cacheName);
		await cache.addAll(files);
		const list = await fetchPage("/working").catch(() => null);
		if (list) await cache.put("/working", list);
		await take(cache);
		await self.skipWaiting();
	})());
});

self.addEventListener("activate", (event) => {
	event.waitUntil((async () => {
		for (const name of await oldCaches()) await caches.delete(name);
		await self.clients.claim();
	})());
});

// page answers with the network's page, or, where that fails or takes long, the kept one.
async function page(event, url) {
	const cache = await caches.open(cacheName);
	const old = await cache.match(url.href);
	const fresh = (async () => {
		const res = await fetch(event.request);
		if (keepable(res)) await cache.put(url.href, res.clone());
		return res;
	})();
	event.waitUntil(fresh.catch(() => {}));
	if (!old) return fresh;
	const late = new Promise((done) => setTimeout(done, patience, old));
	const usable = fresh.then((res) => (res.status >= 500 ? old : res), () => old);
	return Promise.race([usable, late]);
}

async function file(request) {
	const cache = await caches.open(cacheName);
	const have = await cache.match(request);
	if (have) return have;
	return fetch(request);
}

// forget drops what is kept of test knits: a draft is for its knitter alone. What she noted
// and has not sent yet stays in its box.
async function forget() {
	for (const name of await caches.keys()) {
		if (!name.startsWith("rowproof-work-")) continue;
		const cache = await caches.open(name);
		for (const req of await cache.keys()) {
			if (new URL(req.url).pathname.startsWith("/knit/")) await cache.delete(req);
		}
	}
}

self.addEventListener("fetch", (event) => {
	const { request } = event;
	const url = new URL(request.url);
	if (url.origin !== location.origin) return;
	if (request.method === "POST" && ["/knit/sign-out", "/knit/forget"].includes(url.pathname)) event.waitUntil(forget());
	if (request.method !== "GET") return;
	if (request.mode === "navigate" && kept(url)) {
		url.hash = "";
		event.respondWith(page(event, url));
	} else if (url.pathname.startsWith("/assets/") && !url.search) {
		event.respondWith(file(request));
	}
});

// A page that was open before there was a worker asks to be kept.
self.addEventListener("message", (event) => {
	const answer = event.ports[0];
	const url = new URL(event.data?.keep || "/", location.href);
	url.hash = "";
	if (!kept(url)) return;
	event.waitUntil((async () => {
		const cache = await caches.open(cacheName);
		let have = await cache.match(url.href);
		if (!have || event.data.fresh) {
			const res = await fetchPage(url.href).catch(() => null);
			if (res) {
				await cache.put(url.href, res);
				have = res;
			}
		}
		answer?.postMessage({ kept: !!have });
	})());
});

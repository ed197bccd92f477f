// What this device remembers of the patterns that are being worked through: for each the
// place, what was begun when, and the settings. It is written at every step, at once, so
// that nothing is lost when the page is killed.

const prefix = "rowproof.work.";
const settingsKey = "rowproof.settings";

function read(key) {
	try {
		return JSON.parse(localStorage.getItem(key));
	} catch {
		return null;
	}
}

function write(key, value) {
	try {
		localStorage.setItem(key, JSON.stringify(value));
		return true;
	} catch {
		return false; // full, or forbidden in this window
	}
}

// project is what is kept of one pattern and size; null before it was begun.
export const project = (key) => read(prefix + key);

export const saveProject = (key, value) => write(prefix + key, value);

export function forgetProject(key) {
	localStorage.removeItem(prefix + key);
}

// projects lists what was begun, the latest first.
export function projects() {
	const out = [];
	for (let i = 0; i < localStorage.length; i++) {
		const name = localStorage.key(i);
		if (!name.startsWith(prefix)) continue;
		const p = read(name);
		if (p) out.push({ key: name.slice(prefix.length), ...p });
	}
	return out.sort((a, b) => (b.at || 0) - (a.at || 0));
}

export const settings = () => ({ wake: true, letters: "1", ...read(settingsKey) });

export const saveSettings = (value) => write(settingsKey, value);

// keep has the page kept for use without a network; told is called with whether it is.
export async function keep(told) {
	if (!("serviceWorker" in navigator)) return;
	try {
		await navigator.serviceWorker.register("/worker.js", { scope: "/" });
		const ready = await navigator.serviceWorker.ready;
		const channel = new MessageChannel();
		channel.port1.onmessage = (event) => told(event.data.kept);
		ready.active.postMessage({ keep: location.href }, [channel.port2]);
	} catch {
		told(false);
	}
	navigator.storage?.persist?.().catch(() => {});
}

// One colour of paper for the bar above the page, and letters as large as chosen.
export function dress() {
	document.documentElement.dataset.letters = settings().letters;
}

// Copying the rows of a stitch, and the line that works it. Without a script they
// are text to select.

const say = (button, words) => {
	const was = button.dataset.label ?? button.textContent;
	button.dataset.label = was;
	button.textContent = words;
	clearTimeout(button.timer);
	button.timer = setTimeout(() => { button.textContent = was; }, 2500);
	document.getElementById("copied").textContent = words;
};

async function copy(text) {
	if (navigator.clipboard?.writeText) {
		try { await navigator.clipboard.writeText(text); return true; } catch { /* not allowed: the old way */ }
	}
	const area = document.createElement("textarea");
	area.value = text;
	area.className = "visually-hidden";
	document.body.append(area);
	area.select();
	const done = document.execCommand("copy");
	area.remove();
	return done;
}

for (const button of document.querySelectorAll("button[data-copy]")) {
	button.hidden = false;
	button.addEventListener("click", async () => {
		const from = document.getElementById(button.dataset.copy);
		say(button, await copy(from.textContent.trim() + "\n") ? "Copied" : "Select it and copy by hand");
		button.focus();
	});
}

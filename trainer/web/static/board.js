// Keeps a region up to date by fetching its content again every few seconds. Left alone while hidden, while the focus is
// inside it, or while stopped by its button.
for (const region of document.querySelectorAll("[data-refresh]")) {
  const line = region.parentElement.querySelector("[data-refresh-says]");
  const [says, button] = [line?.querySelector("span"), line?.querySelector("button")];
  const every = 1000 * Math.max(2, Number(region.dataset.every) || 5);
  let going = true;
  let held = region.innerHTML;
  const say = (key) => { if (says && says.textContent !== line.dataset[key]) says.textContent = line.dataset[key]; };

  const fetchAgain = async () => {
    const reply = await fetch(region.dataset.refresh, { headers: { "X-Fragment": "1" }, cache: "no-store", signal: AbortSignal.timeout?.(10000) });
    if (!reply.ok || reply.redirected) throw new Error("not the region");
    const fresh = await reply.text();
    if (fresh !== held && going && !region.contains(document.activeElement)) { region.innerHTML = fresh; held = fresh; }
  };
  const step = async () => {
    if (going && !document.hidden) {
      try { await fetchAgain(); if (going) say("on"); } catch { if (going) say("lost"); }
    }
    setTimeout(step, every);
  };

  button?.addEventListener("click", () => {
    going = !going;
    button.textContent = going ? button.dataset.stop : button.dataset.go;
    say(going ? "on" : "off");
  });
  if (line) { line.hidden = false; say("on"); }
  setTimeout(step, every);
}

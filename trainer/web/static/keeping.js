// Keeps what is being typed on a paper: after a short pause, and when the page is left. The press Keep does the same and
// is all there is without scripts. The server takes it by its own clock; what it refuses is said, and the field stays.
const PAUSE = 1500;

for (const form of document.querySelectorAll("form[data-keep]")) {
  const says = form.querySelector("[data-keep-says]");
  const now = () => new URLSearchParams(new FormData(form)).toString();
  let kept = now();
  let timer = 0;
  let leaving = false;

  const keep = async () => {
    const body = now();
    if (leaving || body === kept) return;
    try {
      const reply = await fetch(form.action, {
        method: "POST", body: new URLSearchParams(body), headers: { "X-Keep": "1" }, keepalive: true,
        signal: AbortSignal.timeout?.(10000),
      });
      if (reply.status === 204) kept = body;
      const key = reply.status === 204 ? "kept" : reply.status === 503 ? "paused" : reply.ok || reply.status >= 500 ? "lost" : "refused";
      says.textContent = says.dataset[key];
    } catch {
      says.textContent = says.dataset.lost;
    }
  };
  const later = () => { clearTimeout(timer); says.textContent = ""; timer = setTimeout(keep, PAUSE); };

  form.addEventListener("input", later);
  form.addEventListener("submit", () => { leaving = true; clearTimeout(timer); });
  addEventListener("pagehide", keep);
  addEventListener("pageshow", () => { leaving = false; });
}

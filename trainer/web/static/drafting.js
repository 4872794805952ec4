// Checks a draft while it is typed: the region beside the text is fetched again when the typing rests. Without scripts
// the press Check does it.
for (const form of document.querySelectorAll("[data-drafting]")) {
  const text = form.querySelector("textarea");
  const region = document.querySelector("[data-checked]");
  const line = document.querySelector("[data-drafting-says]");
  const heading = document.querySelector("h1");
  let resting = 0;
  let latest = 0;

  const say = () => {
    const count = region.querySelectorAll("[data-line]").length;
    line.textContent = count === 0 ? line.dataset.none : count === 1 ? line.dataset.one : line.dataset.many.replace("{n}", count);
    heading.textContent = line.textContent;
  };
  const check = async () => {
    const mine = ++latest;
    try {
      const reply = await fetch(form.dataset.drafting, { method: "POST", body: new FormData(form), signal: AbortSignal.timeout?.(40000) });
      if (!reply.ok || reply.redirected) throw new Error("not the region");
      const fresh = await reply.text();
      if (mine === latest) { region.innerHTML = fresh; say(); }
    } catch {
      if (mine === latest) line.textContent = line.dataset.lost;
    }
  };
  text.addEventListener("input", () => { clearTimeout(resting); resting = setTimeout(check, 800); });

  region.addEventListener("click", (event) => {
    const link = event.target.closest("[data-line]");
    if (!link) return;
    event.preventDefault();
    const lines = text.value.split("\n");
    const at = Math.min(Number(link.dataset.line), lines.length) - 1;
    const start = lines.slice(0, at).reduce((sum, one) => sum + one.length + 1, 0);
    text.focus();
    text.setSelectionRange(start, start + lines[at].length);
    text.scrollTop = Math.max(0, (at - 3) * (text.scrollHeight / lines.length));
  });
}

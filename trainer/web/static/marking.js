// Marks beside the candidate: a press shows at once, whatever the network does. The outbox keeps and sends it; each press
// gets a key of its own, so that a changed mind is another mark and a press sent twice is one. Without scripts the page
// comes back at the same point after each press.
const fresh = () => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
const left = document.querySelector("[data-unmarked]");

for (const form of document.querySelectorAll("form[data-stay]")) {
  form.addEventListener("submit", (event) => {
    const presses = [...form.querySelectorAll("button[aria-pressed]")];
    const first = presses.every((press) => press.getAttribute("aria-pressed") === "false");
    for (const press of presses) press.setAttribute("aria-pressed", String(press === event.submitter));
    if (first && left) left.textContent = Number(left.textContent) - 1;
    // The outbox reads the form while this event is on its way; the next press is another one.
    setTimeout(() => { form.elements.key.value = fresh(); }, 0);
  });
}

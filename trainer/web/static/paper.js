// White paper, blueprint, or as the device has it. The choice stays on this device; without one the page keeps what the
// server wrote, which is what the person has chosen for every device.
const root = document.documentElement;
const read = () => { try { return localStorage.getItem("paper"); } catch { return null; } };
const set = (paper) => {
  if (paper === "white" || paper === "blue") root.dataset.paper = paper;
  else delete root.dataset.paper;
};
if (read()) set(read());

const begin = () => {
  const group = document.querySelector("[data-papers]");
  if (!group) return;
  const buttons = [...group.querySelectorAll("[data-paper-is]")];
  const show = () => buttons.forEach((b) => b.setAttribute("aria-pressed", String(b.dataset.paperIs === (root.dataset.paper ?? "system"))));
  buttons.forEach((button) => button.addEventListener("click", () => {
    set(button.dataset.paperIs);
    try { localStorage.setItem("paper", button.dataset.paperIs); } catch { /* the choice then lasts for this page */ }
    show();
  }));
  group.hidden = false;
  show();
};
if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin);
else begin();

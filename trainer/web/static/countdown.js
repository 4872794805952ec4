// Time left, counted from the seconds that the server gave with the page. The device's own hour does not matter, and a
// phone that slept goes on from the right place. The server judges by its own clock; this only shows.
const NEAR = 300;
const ANNOUNCED = [600, 300, 60];

for (const face of document.querySelectorAll("[data-countdown]")) {
  const end = Date.now() + 1000 * Number(face.dataset.countdown);
  const says = face.closest(".clock")?.querySelector("[data-countdown-says]");
  let last = Infinity;
  const minutes = (left) => {
    const n = Math.ceil(left / 60);
    return n === 1 ? face.dataset.one : face.dataset.many.replace("{n}", n);
  };
  const step = () => {
    const left = Math.max(0, Math.round((end - Date.now()) / 1000));
    face.textContent = left === 0 ? face.dataset.over
      : left < 60 ? `0:${String(left).padStart(2, "0")}`
      : left < NEAR ? `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`
      : minutes(left);
    face.closest(".clock")?.classList.toggle("near", left < NEAR);
    if (says && last !== Infinity) {
      const passed = ANNOUNCED.findLast((mark) => last > mark && left <= mark && left > 0);
      if (passed) says.textContent = minutes(passed);
      if (left === 0 && last > 0) says.textContent = face.dataset.over;
    }
    last = left;
    if (left === 0) clearInterval(timer);
  };
  const timer = setInterval(step, 1000);
  step();
  addEventListener("pageshow", step);
  document.addEventListener("visibilitychange", step);
}

// Narrows a list of drills while words are typed. Enter ticks the first that is left, or goes to its press.
// Without scripts the press Search does it on the server.
for (const list of document.querySelectorAll("[data-sift]")) {
  const field = list.querySelector("input[type=search]");
  const says = list.querySelector("[data-sift-says]");
  const ticked = document.querySelector("[data-sift-ticked]");
  const folds = [...list.querySelectorAll("details")];
  const before = folds.map((fold) => fold.open);
  list.querySelector("button[value=search]")?.closest(".actions").remove();
  list.querySelector("[data-sift-keys]")?.removeAttribute("hidden");
  // Enter in a field of the form is meant for its end: this press is none unless it is pressed.
  const begin = list.closest("form")?.querySelector("button[value=begin]");
  begin?.setAttribute("type", "button");
  begin?.addEventListener("click", () => { begin.type = "submit"; begin.form.requestSubmit(begin); }, { once: true });

  const say = (text) => { says.textContent = text; says.hidden = !text; };
  const sift = () => {
    const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const row of list.querySelectorAll("li[data-words]")) {
      if (ticked && row.querySelector("input:checked")) ticked.append(row);
      else row.hidden = !words.every((word) => row.dataset.words.includes(word));
    }
    folds.forEach((fold, at) => {
      const left = fold.querySelector("li:not([hidden])") !== null;
      fold.hidden = !left;
      fold.open = words.length ? left : before[at];
    });
    say(folds.every((fold) => fold.hidden) ? says.dataset.none : "");
  };
  field.addEventListener("input", sift);
  if (field.value) sift(); // typed before this script was there
  field.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    const row = field.value.trim() && list.querySelector("li[data-words]:not([hidden])");
    const box = row && row.querySelector("input[type=checkbox]");
    if (!box) return row && row.querySelector("button").focus();
    box.checked = true;
    field.value = "";
    sift();
    say(says.dataset.took.replace("{title}", row.querySelector("label").firstChild.textContent));
  });
}

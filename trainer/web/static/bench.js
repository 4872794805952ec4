// Beside the answer: units to press, a number pad, a strip to reckon on. All of it only types into the field what could be
// typed by hand: the field stays a plain field, and whoever types sees nothing move. Without this script none of it is there.
import { reckon, written } from "./reckoning.js";

const bench = document.querySelector("[data-bench]");
const field = document.getElementById("answer");
const comma = bench?.dataset.decimal === "comma";

// What is typed is a number and what stands behind it.
const parted = () => {
  const [, number, rest] = field.value.match(/^\s*([-+−]?[\d\s.,/]*(?:[eE][-+]?\d+)?)\s*(.*)$/s);
  return { number: number.trim(), rest: rest.trim() };
};
const put = (number, rest) => {
  field.value = [number, rest].filter(Boolean).join(" ");
  field.dispatchEvent(new Event("input", { bubbles: true }));
};
// A press must not take the caret out of the field, nor bring up the keyboard where it was not.
const keepFocus = (group) => group.addEventListener("pointerdown", (event) => {
  if (event.target.closest("button")) event.preventDefault();
});

const units = () => {
  const group = bench.querySelector("[data-units]");
  if (!group) return;
  const buttons = [...group.querySelectorAll("button")];
  const show = () => {
    const { rest } = parted();
    buttons.forEach((one) => one.setAttribute("aria-pressed", String(one.value === rest)));
  };
  buttons.forEach((one) => one.addEventListener("click", () => put(parted().number, one.value)));
  keepFocus(group);
  field.addEventListener("input", show);
  show();
};

const pad = () => {
  const box = bench.querySelector("[data-pad]");
  const usual = field.getAttribute("inputmode");
  box.addEventListener("toggle", () => {
    // with the pad open a phone's own keyboard stays away; a keyboard with keys types on as before
    if (box.open) field.setAttribute("inputmode", "none");
    else if (usual) field.setAttribute("inputmode", usual);
    else field.removeAttribute("inputmode");
  });
  box.querySelectorAll("button").forEach((key) => key.addEventListener("click", () => {
    const [from, to] = [field.selectionStart, field.selectionEnd];
    if (key.value) field.setRangeText(key.value, from, to, "end");
    else field.setRangeText("", from === to ? Math.max(0, from - 1) : from, to, "end");
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }));
  keepFocus(box);
};

const strip = (box) => {
  const [line, roll, says, kept] = ["input", "ol", "[role=status]", "textarea"].map((one) => box.querySelector(one));
  let before = NaN;
  const write = (sum, result) => {
    const row = document.createElement("li");
    const take = Object.assign(document.createElement("button"), { type: "button", textContent: result });
    take.setAttribute("aria-label", box.dataset.take.replace("{n}", result));
    take.addEventListener("click", () => { put(result, parted().rest); field.focus(); });
    row.append(`${sum} = `, take);
    roll.append(row);
    roll.scrollTop = roll.scrollHeight;
  };
  for (const old of kept.value.split("\n").filter((one) => one.includes(" = "))) {
    const [sum, result] = old.split(" = ");
    write(sum, result);
    before = reckon(result, { comma }) ?? NaN;
  }
  line.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    if (!line.value.trim()) return;
    const value = reckon(line.value, { comma, before });
    says.textContent = value === null ? box.dataset.wrong : `${line.value} = ${written(value, comma)}`;
    says.classList.toggle("fault", value === null);
    if (value === null) return;
    before = value;
    const sum = line.value.trim();
    write(sum, written(value, comma));
    kept.value = `${kept.value}${sum} = ${written(value, comma)}\n`.slice(-Number(box.dataset.most));
    line.value = "";
  });
};

if (bench && field) {
  units();
  pad();
  const roll = document.querySelector("[data-strip]");
  if (roll) strip(roll);
  document.querySelectorAll("[data-bench]").forEach((one) => { one.hidden = false; });
}

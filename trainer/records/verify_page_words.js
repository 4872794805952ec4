// The words of the page: everything is written in English and looked up in WORDS for the language that is read.

let reads = "en";
const N_ = (text) => text;

// A text of the file may be looked up too, so only what is really in a table counts.
function _(text, values = {}) {
  const words = WORDS[reads] ?? {};
  const said = Object.hasOwn(words, text) ? words[text] : text;
  return said.replace(/%\((\w+)\)s/g, (place, name) => (Object.hasOwn(values, name) ? values[name] : place));
}

// Each text of the page itself, as it was written.
function written() {
  const walker = document.createTreeWalker(document.documentElement, NodeFilter.SHOW_TEXT);
  const found = [];
  while (walker.nextNode()) {
    const text = walker.currentNode.data.trim().replace(/\s+/g, " ");
    if (text && walker.currentNode.parentElement.closest("main, title")) found.push([walker.currentNode, text]);
  }
  return found;
}

// A button for each language, that of the device pressed; `said` is told of every change.
function offerLanguages(said) {
  const texts = written();
  const place = document.getElementById("languages");
  const buttons = Object.entries(LANGUAGES).map(([tag, name]) => {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", lang: tag, textContent: name, onclick: () => read(tag) });
    return button;
  });
  function read(tag) {
    reads = document.documentElement.lang = tag;
    for (const [node, text] of texts) node.data = _(text);
    for (const button of buttons) button.setAttribute("aria-pressed", String(button.lang === tag));
    said();
  }
  place.replaceChildren(...buttons);
  const tag = navigator.language.slice(0, 2);
  read(tag in LANGUAGES ? tag : "en");
}

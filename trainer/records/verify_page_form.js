// The form of the page: reads the files that were chosen and says the verdict in words.

const SAYS = {
  valid: N_("Valid: genuine and unchanged"),
  altered: N_("Altered: do not rely on this file"),
  expired: N_("Expired: genuine, but no longer good"),
  revoked: N_("Revoked: the issuer has taken it back"),
  suspended: N_("Suspended: the issuer has put it on hold"),
  "not yet valid": N_("Not yet valid: genuine, but not good yet"),
  "unknown issuer": N_("Unknown issuer: the signer is not on the list of this page"),
  unreadable: N_("Unreadable: this is not a whole signed record"),
};
const FACTS = [
  [N_("Issuer"), "issuer"], [N_("About"), "subject"], [N_("Valid from"), "valid_from"], [N_("Good until"), "valid_until"],
  [N_("Status as of"), "status_as_of"],
];

function element(tag, text, place) {
  const made = document.createElement(tag);
  made.textContent = text;
  place.append(made);
  return made;
}

function show(outcome, name, on) {
  const place = document.getElementById("outcome");
  place.replaceChildren();
  const box = element("div", "", place);
  box.className = outcome.verdict === "valid" ? "verdict good" : "verdict";
  element("h2", _(SAYS[outcome.verdict]), box);
  for (const reason of outcome.reasons) element("p", reason, box);
  if (outcome.signatures.length) {
    element("h3", _("Signatures"), box);
    const signatures = element("ul", "", box);
    for (const one of outcome.signatures) {
      const line = element("li", `${one.says} `, signatures);
      if (!one.is_there) line.className = "missing";
      element("small", one.key, line);
    }
  }
  const facts = element("dl", "", box);
  const told = [[N_("File"), name], [N_("Judged for"), on], ...FACTS.map(([title, key]) => [title, outcome[key]])];
  for (const [title, fact] of told) {
    if (!fact) continue;
    element("dt", _(title), facts);
    element("dd", fact, facts);
  }
  element("p", _("A genuine record is not an opinion of the person's work. You decide."), box);
  place.focus();
}

function list(issuers) {
  const place = document.getElementById("issuers");
  place.replaceChildren();
  for (const one of issuers) {
    const first = one.valid_from && _("from %(first)s", { first: one.valid_from });
    const last = one.valid_to && _("until %(last)s", { last: one.valid_to });
    const days = [first, last].filter(Boolean).join(" ");
    const beside = one.beside_only ? `, ${_("beside an issuer only")}` : "";
    element("li", `${one.name}${days ? `, ${days}` : ""}${beside}: ${one.did}`, place);
  }
  if (!issuers.length) element("li", _("None. Every record will be of an unknown issuer."), place);
}

async function bytesOf(file) {
  return file.size > MAX_PDF_BYTES + 1 ? new Uint8Array(MAX_PDF_BYTES + 2) : new Uint8Array(await file.arrayBuffer());
}

async function answer(issuers) {
  const [file] = document.getElementById("record").files;
  const [status] = document.getElementById("status").files;
  const on = document.getElementById("on").value;
  if (!file) {
    document.getElementById("record").focus();
    document.getElementById("outcome").textContent = _("Choose the file of the record first.");
    return;
  }
  if (!globalThis.crypto?.subtle) {
    document.getElementById("outcome").textContent = _(
      "This browser cannot check signatures here. Open the page as a file from the disk in a current browser, or use trainer verify.",
    );
    return;
  }
  show(await verify(await bytesOf(file), issuers, on, status ? await bytesOf(status) : null), file.name, on);
}

function begin() {
  const issuers = JSON.parse(document.getElementById("pinned").textContent);
  const now = new Date();
  const day = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
  document.getElementById("on").value = day;
  document.getElementById("ask").addEventListener("submit", (event) => {
    event.preventDefault();
    answer(issuers);
  });
  offerLanguages(() => {
    list(issuers);
    if (document.getElementById("outcome").hasChildNodes()) answer(issuers);
  });
}

if (globalThis.document) begin();

// An answer typed while the network is away is kept on this device and sent once it returns, exactly once.
//
// Every form with data-outbox carries a hidden "key" that the server made. The answer is written to IndexedDB (durability
// strict: it outlives a killed browser) before it is sent, and taken out only when the server has said that it is stored.
// The server stores one answer a key, so that sending twice does no harm. Boxes are named by person: on a shared phone
// nobody sends another's answers. Without IndexedDB, or without this script, forms go the plain way.

const person = document.body.dataset.person;
const token = document.querySelector('meta[name="csrf-token"]')?.content;
const notice = document.getElementById("kept");
const PATIENCE = 1500;  // so long on its way, an answer is shown as not sent yet
const LONGEST = 15000;
const LONG_AWAY = 8000;  // so long a wait between two tries means that the network has been away for some time

const done = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

const open = () => {
  const request = indexedDB.open("outbox", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("answers", { keyPath: "key" });
  return done(request);
};

// Opened as soon as there is something to press: a form that is sent before it is open waits for it, else the page
// would be left by the plain way while later presses are still on theirs.
const box = globalThis.indexedDB ? open() : Promise.reject();
const opened = box.then(() => true, () => false);

const change = async (act) => {
  const deal = (await box).transaction("answers", "readwrite", { durability: "strict" });
  return new Promise((resolve, reject) => {
    act(deal.objectStore("answers"));
    deal.oncomplete = () => resolve();
    deal.onerror = deal.onabort = () => reject(deal.error);
  });
};

const waiting = async () => {
  const all = await done((await box).transaction("answers").objectStore("answers").getAll());
  return all.filter((one) => one.person === person).sort((a, b) => a.at - b.at);
};

const plainly = (form) => HTMLFormElement.prototype.submit.call(form);

// What became of one answer: stored (at an address), away (try again), signed-out, or refused.
const send = async (one) => {
  const body = new URLSearchParams(one.body);
  if (token) body.set("csrf_token", token);
  const limit = new AbortController();
  const timer = setTimeout(() => limit.abort(), 20000);
  try {
    const reply = await fetch(one.action, {
      method: "POST", body, credentials: "same-origin", cache: "no-store", signal: limit.signal,
      headers: { "Idempotency-Key": one.key },
    });
    if (reply.status === 401) return { is: "signed-out" };
    if (reply.ok) return { is: "stored", at: reply.headers.get("Location") ?? "" };
    if (reply.status === 409 || reply.status === 410) return { is: "stored", at: "" };
    if (reply.status >= 500 || reply.status === 408 || reply.status === 425 || reply.status === 429) return { is: "away" };
    return { is: "refused" };
  } catch {
    return { is: "away" };
  } finally {
    clearTimeout(timer);
  }
};

// What was typed, so that it can be written again elsewhere: a browser gives it to no other address.
const typed = (one) => new URLSearchParams(one.body).get("answer") ?? "";

const show = async (signedOut = false, long = false) => {
  const mine = await waiting();
  const refused = mine.filter((one) => one.refused);
  const count = mine.length - refused.length;
  notice.replaceChildren();
  const say = (text) => notice.append(Object.assign(document.createElement("p"), { textContent: text }));
  if (count && signedOut) say(notice.dataset.signIn);
  else if (count) say(count === 1 ? notice.dataset.one : notice.dataset.many.replace("{n}", count));
  if (count && long && !signedOut) {
    say(notice.dataset.moved.replace("{host}", location.host));
    for (const one of mine.filter((one) => !one.refused && typed(one))) say(`${one.label} ${typed(one)}`);
  }
  for (const one of refused) {
    say(notice.dataset.refused);
    const link = Object.assign(document.createElement("a"), { href: one.page, textContent: one.label });
    link.addEventListener("click", async (event) => {
      event.preventDefault();
      await change((answers) => answers.delete(one.key));
      location.assign(one.page);
    });
    notice.lastChild.append(" ", link);
  }
  notice.hidden = mine.length === 0;
};

const begin = () => {
  let wait = 1000;
  let timer = 0;
  let busy = false;
  let again = false;
  let submitted = null;

  const settle = async (one, fate) => {
    if (fate.is === "away" || fate.is === "signed-out") return;
    const here = submitted?.key === one.key;
    if (fate.is === "stored" || here) await change((answers) => answers.delete(one.key));
    else await change((answers) => answers.put({ ...one, refused: true }));
    // The page that sent it is still here: go where the server leads, or let the form itself show what the server says.
    // A form with data-stay shows its own press and is stayed on.
    if (here && fate.is === "stored" && fate.at) { if (!("stay" in submitted.form.dataset)) location.assign(fate.at); }
    else if (here) plainly(submitted.form);
  };

  const flush = async () => {
    if (!(await opened)) return;
    again = busy;
    if (busy) return;
    busy = true;
    clearTimeout(timer);
    let fate = { is: "stored" };
    try {
      for (const one of await waiting()) {
        if (one.refused) continue;
        fate = await send(one);
        await settle(one, fate);
        if (fate.is === "away" || fate.is === "signed-out") break;
      }
      await show(fate.is === "signed-out", fate.is === "away" && wait >= LONG_AWAY);
    } finally {
      busy = false;
    }
    if (again) return flush();
    if (fate.is === "away") {
      timer = setTimeout(flush, wait);
      wait = Math.min(2 * wait, LONGEST);
    } else {
      wait = 1000;
    }
  };
  const now = () => { wait = 1000; return flush(); };

  addEventListener("submit", async (event) => {
    const form = event.target.closest("form[data-outbox]");
    const key = form?.elements.key?.value;
    if (!key) return;
    event.preventDefault();
    const goes = new URL(form.getAttribute("action") || location.href, location.href);
    const one = {
      key, person, label: form.dataset.outbox || document.title, page: location.pathname + location.search,
      action: goes.pathname + goes.search, at: Date.now(),
      body: new URLSearchParams(new FormData(form, event.submitter)).toString(),
    };
    try {
      await change((answers) => answers.put(one));
    } catch {
      plainly(form);
      return;
    }
    submitted = { key, form };
    const slow = setTimeout(show, PATIENCE);
    await now();
    clearTimeout(slow);
  });
  addEventListener("online", now);
  addEventListener("pageshow", now);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) now(); });
  now();
};

if (person && notice) begin();

// The verifying itself, in the browser and without a network. The rules are those of verification.py and status.py;
// a test holds both to the same verdicts on every test record. Uses nobleEd25519 where the browser has no Ed25519.

const MAX_BYTES = 2_000_000;
const MAX_PDF_BYTES = 10_000_000;
const MAX_DEPTH = 60;
const MAX_SIGNATURES = 8;
const ROLES = [N_("examiner"), N_("Level III"), N_("employer")];
const MAX_LISTS = 8;
const PLACES = 131_072;
const MAX_PLACES = 16 * PLACES;
const KNOWN = ["type", "cryptosuite", "created", "expires", "verificationMethod", "proofPurpose", "@context"];

class Fault extends Error {
  constructor(verdict, says, values) {
    super(_(says, values));
    this.verdict = verdict;
  }
}
const unreadable = (says, values) => new Fault("unreadable", says, values);
const altered = (says, values) => new Fault("altered", says, values);
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
const isText = (value) => typeof value === "string";
const listed = (value) => (Array.isArray(value) ? value : [value]);

// ---- strict JSON -------------------------------------------------------------------------------------------------

const BLANKS = /[ \t\n\r]*/y;
const NUMBER = /-?(?:0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?/y;
const PLAIN = /[^"\\\u0000-\u001f]*/y;
const LONE = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/;
const ESCAPES = { '"': '"', "\\": "\\", "/": "/", b: "\b", f: "\f", n: "\n", r: "\r", t: "\t" };
const NOT_JSON = N_("The file is not complete JSON; it may be cut off or of another kind. Ask for a fresh copy.");
const TOO_DEEP = N_("The file is nested more than %(most)s deep; no record is.");

class Reader {
  constructor(text) {
    this.text = text;
    this.at = 0;
  }

  whole() {
    const value = this.value(0);
    this.match(BLANKS);
    if (this.at !== this.text.length) throw unreadable(NOT_JSON);
    return value;
  }

  match(pattern) {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text);
    if (found) this.at = pattern.lastIndex;
    return found;
  }

  take(sign) {
    this.match(BLANKS);
    if (this.text[this.at] !== sign) return false;
    this.at += 1;
    return true;
  }

  must(sign) {
    if (!this.take(sign)) throw unreadable(NOT_JSON);
  }

  value(depth) {
    if (this.take("{")) return this.object(depth + 1);
    if (this.take("[")) return this.array(depth + 1);
    if (this.take('"')) return this.string();
    for (const [word, value] of [["true", true], ["false", false], ["null", null]]) {
      if (this.text.startsWith(word, this.at)) {
        this.at += word.length;
        return value;
      }
    }
    return this.number();
  }

  object(depth) {
    if (depth > MAX_DEPTH) throw unreadable(TOO_DEEP, { most: MAX_DEPTH });
    const members = Object.create(null);
    if (this.take("}")) return members;
    do {
      this.must('"');
      const name = this.string();
      this.must(":");
      if (name in members) {
        throw unreadable(
          "The member %(name)s stands twice in one place, so the file can be read in two ways. Ask the issuer for a fresh copy.",
          { name: `'${name.slice(0, 60)}'` },
        );
      }
      members[name] = this.value(depth);
    } while (this.take(","));
    this.must("}");
    return members;
  }

  array(depth) {
    if (depth > MAX_DEPTH) throw unreadable(TOO_DEEP, { most: MAX_DEPTH });
    const items = [];
    if (this.take("]")) return items;
    do items.push(this.value(depth));
    while (this.take(","));
    this.must("]");
    return items;
  }

  string() {
    const parts = [];
    for (;;) {
      parts.push(this.match(PLAIN)[0]);
      const sign = this.text[this.at++];
      if (sign === '"') break;
      if (sign !== "\\") throw unreadable(NOT_JSON);
      parts.push(this.escape());
    }
    const text = parts.join("");
    if (LONE.test(text)) throw unreadable("A text in the file holds half a character (a lone surrogate).");
    return text;
  }

  escape() {
    const sign = this.text[this.at++];
    if (Object.hasOwn(ESCAPES, sign ?? "")) return ESCAPES[sign];
    const code = this.text.slice(this.at, this.at + 4);
    if (sign !== "u" || !/^[0-9a-fA-F]{4}$/.test(code)) throw unreadable(NOT_JSON);
    this.at += 4;
    return String.fromCharCode(parseInt(code, 16));
  }

  number() {
    const found = this.match(NUMBER);
    if (!found) throw unreadable(NOT_JSON);
    const number = Number(found[0]);
    const isWhole = found[1] === undefined && found[2] === undefined;
    if (!Number.isFinite(number) || (isWhole && !Number.isSafeInteger(number))) {
      throw unreadable("A number in the file has too many digits to be read alike everywhere.");
    }
    return number;
  }
}

function parse(bytes) {
  if (bytes.length > MAX_BYTES) throw unreadable("The file is larger than %(most)s MB; a record is never that long.", { most: MAX_BYTES / 1_000_000 });
  let text;
  try {
    text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw unreadable("The file is not UTF-8 text; take the record as it was exported, not a copy out of another program.");
  }
  return new Reader(text).whole();
}

// RFC 8785: members in the order of their UTF-16 units, numbers and texts as JavaScript writes them.
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (isObject(value)) {
    const names = Object.keys(value).sort();
    return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(",")}}`;
  }
  return JSON.stringify(value);
}

async function digest(value) {
  return new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(canonical(value))));
}

function without(value, name) {
  const rest = Object.assign(Object.create(null), value);
  delete rest[name];
  return rest;
}

// ---- keys and signatures -----------------------------------------------------------------------------------------

const ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz";

function fromMultibase(text) {
  if (!text.startsWith("z") || text.length > 200) return null;
  let number = 0n;
  for (const sign of text.slice(1)) {
    const digit = ALPHABET.indexOf(sign);
    if (digit < 0) return null;
    number = number * 58n + BigInt(digit);
  }
  const bytes = [];
  for (; number > 0n; number >>= 8n) bytes.unshift(Number(number & 255n));
  for (let place = 1; text[place] === "1"; place += 1) bytes.unshift(0);
  return Uint8Array.from(bytes);
}

function publicOf(did) {
  const raw = did.startsWith("did:key:") ? fromMultibase(did.slice(8)) : null;
  return raw && raw.length === 34 && raw[0] === 0xed && raw[1] === 0x01 ? raw.slice(2) : null;
}

const fromHex = (text) => Uint8Array.from(text.match(/../g), (pair) => parseInt(pair, 16));

async function byBrowser(signature, message, key) {
  const imported = await crypto.subtle.importKey("raw", key, { name: "Ed25519" }, false, ["verify"]);
  return crypto.subtle.verify({ name: "Ed25519" }, imported, signature, message);
}

const byNoble = (signature, message, key) => nobleEd25519.verifyAsync(signature, message, key, { zip215: false });

// RFC 8032 section 7.1 test 2: tells whether this browser knows Ed25519 itself.
async function choose() {
  const key = fromHex("3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c");
  const signature = fromHex(
    "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da" +
      "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
  );
  try {
    return (await byBrowser(signature, Uint8Array.of(0x72), key)) ? byBrowser : byNoble;
  } catch {
    return byNoble;
  }
}

let chosen = null;

async function isGenuine(signature, message, key) {
  chosen ??= choose();
  try {
    return await (await chosen)(signature, message, key);
  } catch {
    return false;
  }
}

const TIME = /^([0-9]{4}-[0-9]{2}-[0-9]{2})T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{1,9})?(?:Z|[+-][0-9]{2}:[0-9]{2})$/;

function isTime(value) {
  const found = isText(value) ? TIME.exec(value) : null;
  if (!found || found[1] < "0001") return false;
  const day = new Date(`${found[1]}T00:00:00Z`);
  return !Number.isNaN(day.getTime()) && day.toISOString().slice(0, 10) === found[1];
}

function dayOf(value, member) {
  if (!isTime(value)) throw unreadable("%(member)s is not written as a time such as 2026-03-02T09:15:00Z.", { member });
  return value.slice(0, 10);
}

async function signatures(document) {
  if (!("proof" in document)) {
    throw unreadable("The file bears no signature, so it proves nothing. Ask the issuer for the signed file.");
  }
  const proofs = listed(document.proof);
  if (proofs.length === 0 || proofs.length > MAX_SIGNATURES) {
    throw unreadable("A record bears 1 to %(most)s signatures; this file does not.", { most: MAX_SIGNATURES });
  }
  const contents = without(document, "proof");
  const hashed = await digest(contents);
  const found = [];
  for (const proof of proofs) {
    const one = await judged(proof, contents, hashed);
    const isTwice = !one.fault && found.some((other) => !other.fault && other.signer === one.signer);
    found.push(isTwice ? { ...one, fault: altered("The same key signed twice, which no record needs.") } : one);
  }
  return found;
}

// One signature, whether it fits or not: with a fault it does not.
async function judged(proof, contents, hashed) {
  try {
    return await checked(proof, contents, hashed);
  } catch (fault) {
    const method = isObject(proof) ? proof.verificationMethod : null;
    return { signer: isText(method) ? method.split("#")[0] : null, fault };
  }
}

function allGenuine(found) {
  for (const { fault } of found) if (fault) throw fault;
  return found;
}

async function checked(proof, contents, hashed) {
  if (!isObject(proof)) throw altered("A signature in the file is not in the form of one.");
  const options = without(proof, "proofValue");
  checkOptions(options, contents);
  const [signer, key] = signerOf(options.verificationMethod);
  const signature = isText(proof.proofValue) ? fromMultibase(proof.proofValue) : null;
  if (!signature || signature.length !== 64) throw altered("The signature is missing or cut.");
  const message = new Uint8Array(64);
  message.set(await digest(options), 0);
  message.set(hashed, 32);
  if (!(await isGenuine(signature, message, key))) {
    throw altered("The signature does not fit the contents: something was changed after signing.");
  }
  return { signer, created: options.created ?? null, expires: options.expires ?? null };
}

function checkOptions(options, contents) {
  const strange = Object.keys(options).find((name) => !KNOWN.includes(name));
  if (strange !== undefined) {
    throw altered("The signature holds a member that is not checked here: %(strange)s.", { strange: `'${strange.slice(0, 60)}'` });
  }
  if (options.type !== "DataIntegrityProof" || options.cryptosuite !== "eddsa-jcs-2022") {
    throw altered("The signature is of another kind than %(suite)s, which is the only one used here.", { suite: "eddsa-jcs-2022" });
  }
  if (options.proofPurpose !== "assertionMethod") throw altered("The signature was not made to assert a record.");
  for (const name of ["created", "expires"]) {
    if (name in options && !isTime(options[name])) {
      throw altered("The signature's time %(name)s is not written as a time.", { name: `'${name}'` });
    }
  }
  if ("@context" in options && (!("@context" in contents) || canonical(options["@context"]) !== canonical(contents["@context"]))) {
    throw altered("The context list of the file is not the one that was signed.");
  }
}

function signerOf(method) {
  const did = isText(method) ? method.split("#")[0] : "";
  const key = publicOf(did);
  if (!key || method !== `${did}#${did.slice(8)}`) throw altered("The signature does not name its key as it should.");
  return [did, key];
}

// ---- pinned issuers ----------------------------------------------------------------------------------------------

const find = (issuers, did) => issuers.find((one) => one.did === did) ?? null;
const wasInUse = (issuer, day) => (issuer.valid_from ?? "") <= day && day <= (issuer.valid_to ?? "9999-12-31");

function speaksFor(issuers, signer, did) {
  const seen = new Set();
  while (signer !== did) {
    const issuer = find(issuers, signer);
    if (!issuer?.introduced_by || seen.has(signer)) return false;
    seen.add(signer);
    signer = issuer.introduced_by;
  }
  return true;
}

// ---- the record --------------------------------------------------------------------------------------------------

async function verify(bytes, issuers, on, statusBytes) {
  const outcome = {
    verdict: "unreadable", reasons: [], issuer: null, subject: null, valid_from: null, valid_until: null,
    status_as_of: null, signatures: [],
  };
  let document, signed, claimed;
  try {
    document = await record(bytes);
    claimed = claims(document);
    signed = await signatures(document);
  } catch (fault) {
    return { ...outcome, reasons: [sentence(fault)] };
  }
  const { issuer_name, signers, ...facts } = claimed;
  Object.assign(outcome, facts);
  const findings = findingsOf(signed, claimed, issuers, on);
  if (findings[0]?.[0] !== "altered") outcome.signatures = told(claimed, signed, issuers);
  let remarks = [];
  if (!["altered", "unknown issuer"].includes(findings[0]?.[0])) {
    const status = await withdrawn(document, outcome, issuers, on, statusBytes);
    findings.unshift(...status.findings);
    outcome.status_as_of = status.asOf;
    remarks = status.remarks;
  }
  outcome.verdict = findings.length ? findings[0][0] : "valid";
  const issuer = find(issuers, outcome.issuer);
  const until = issuer?.valid_to ? " " + _("Its key was in use until %(day)s.", { day: issuer.valid_to }) : "";
  const praise = _("%(name)s signed this record and nothing has changed in it since.", { name: issuer?.name });
  outcome.reasons = [...(findings.length ? findings.map((one) => one[1]) : [praise + until]), ...remarks];
  return outcome;
}

function sentence(fault) {
  return fault instanceof Fault ? fault.message : _("The file cannot be read. Ask the issuer for a fresh copy.");
}

async function record(bytes) {
  const isPdf = String.fromCharCode(...bytes.subarray(0, 5)) === "%PDF-";
  const document = parse(isPdf ? await attached(bytes) : bytes);
  if (!isObject(document)) throw unreadable("The file is JSON, but not a record. Ask for the file that the issuer exported.");
  const kinds = document.type;
  if (!Array.isArray(kinds) || !kinds.every(isText)) {
    throw unreadable("The file does not say what it is; it is not a signed record.");
  }
  const isRecord = kinds.includes("OpenBadgeCredential") || kinds.includes("AchievementCredential");
  if (!kinds.includes("VerifiableCredential") || !isRecord) {
    throw unreadable("The file is signed for another purpose; it is not the record of a person.");
  }
  return document;
}

function claims(document) {
  const issuer = isObject(document.issuer) ? document.issuer.id : document.issuer;
  if (!isText(issuer)) throw unreadable("The record does not say who issued it.");
  const subject = document.credentialSubject;
  if (!isObject(subject)) throw unreadable("The record does not say whom it is about.");
  const validFrom = dayOf(document.validFrom, "validFrom");
  const validUntil = "validUntil" in document ? dayOf(document.validUntil, "validUntil") : null;
  const first = Array.isArray(subject.identifier) ? subject.identifier[0] : undefined;
  const named = isObject(first) ? first.identityHash : subject.id;
  const stated = isObject(document.issuer) ? document.issuer.name : null;
  return {
    issuer,
    issuer_name: isText(stated) ? stated : null,
    subject: isText(named) ? named : null,
    valid_from: validFrom,
    valid_until: validUntil,
    signers: signersIn(document, issuer),
  };
}

// Who is to sign beside the issuer, as the record names them.
function signersIn(document, issuer) {
  if (!("signers" in document)) return [];
  const fault = unreadable("The record's list of those who are to sign it cannot be read.");
  if (!Array.isArray(document.signers) || document.signers.length >= MAX_SIGNATURES) throw fault;
  const found = document.signers.map((one) => {
    const { id, name, role } = isObject(one) ? one : {};
    const isNamed = isText(name) && name && [...name].length <= 200;
    if (!isText(id) || !publicOf(id) || !isNamed || !ROLES.includes(role)) throw fault;
    return { did: id, name, role };
  });
  if (new Set([issuer, ...found.map((one) => one.did)]).size <= found.length) throw fault;
  return found;
}

function findingsOf(signed, claimed, issuers, on) {
  const findings = [];
  signed.forEach(({ signer, fault }, index) => {
    const whose = signed.length > 1 ? `${whoseOf(signer, claimed, index + 1)} ` : "";
    if (fault) findings.push(["altered", whose + _("%(fault)s Ask the issuer for a fresh copy.", { fault: sentence(fault) })]);
  });
  if (findings.length) return findings;
  if (!signed.some((one) => one.signer === claimed.issuer)) {
    return [["altered", _("The issuer that the record names did not sign it; somebody else's key did.")]];
  }
  const unknown = signed.map((one) => distrust(one, claimed, issuers)).filter(Boolean);
  if (unknown.length) return unknown.map((says) => ["unknown issuer", says]);
  return outOfTime(claimed, signed, on);
}

function whoseOf(key, claimed, place) {
  if (key === claimed.issuer) return _("Signature %(place)s, the issuer's:", { place });
  const signer = claimed.signers.find((one) => one.did === key);
  if (!signer) return _("Signature %(place)s:", { place });
  return _("Signature %(place)s, that of the %(role)s, %(name)s:", { place, role: _(signer.role), name: signer.name });
}

function distrust(signature, claimed, issuers) {
  const issuer = find(issuers, signature.signer);
  if (!issuer && claimed.signers.some((one) => one.did === signature.signer)) return null;
  if (!issuer) {
    return _(
      "The file is as it was signed, but the key %(signer)s is not on your list, so it proves nothing about who stands behind it. Ask the issuer by a way you already have, compare the key, then add it.",
      { signer: signature.signer },
    );
  }
  if (issuer.beside_only && signature.signer === claimed.issuer) {
    return _(
      "The key of %(name)s is on your list for signatures beside an issuer's only; records that it issues itself are not believed.",
      { name: issuer.name },
    );
  }
  const day = signature.created ? dayOf(signature.created, _("time of signing")) : claimed.valid_from;
  if (wasInUse(issuer, day)) return null;
  return _("It was signed on %(day)s, when this key was not in use by %(name)s according to your list.", { day, name: issuer.name });
}

// Each signature in words: the issuer's first, then those that are to sign, then any other.
function told(claimed, signed, issuers) {
  const named = new Map([[claimed.issuer, { name: claimed.issuer_name, role: N_("issuer") }]]);
  for (const { did, name, role } of claimed.signers) named.set(did, { name, role });
  for (const { signer } of signed) if (!named.has(signer)) named.set(signer, { name: null, role: null });
  return [...named].map(([key, { name, role }]) => {
    const there = signed.find((one) => one.signer === key);
    const pinned = find(issuers, key)?.name ?? null;
    const one = { key, name, role, is_there: Boolean(there), created: there?.created ?? null, pinned };
    return { ...one, says: says(one) };
  });
}

function says({ key, name, role, is_there: isThere, created, pinned }) {
  const named = { role: role && _(role), name: name ?? key };
  if (!isThere) return _("Not yet signed by the %(role)s, %(name)s.", named);
  const day = created ? created.slice(0, 10) : _("a day that is not stated");
  const signed = role
    ? _("Signed on %(day)s by the %(role)s, %(name)s.", { day, ...named })
    : _("Signed on %(day)s with a key to which the record gives no role.", { day });
  return `${signed} ${pin(role, pinned)}`;
}

function pin(role, pinned) {
  if (pinned !== null) return _("The key is on your list as %(pinned)s.", { pinned });
  if (ROLES.includes(role)) return _("The key is not on your list: that it is theirs is the issuer's word.");
  return _("The key is not on your list.");
}

function outOfTime(claimed, signed, on) {
  const findings = [];
  if (on < claimed.valid_from) findings.push(["not yet valid", _("The record is valid from %(day)s on.", { day: claimed.valid_from })]);
  if (claimed.valid_until && on > claimed.valid_until) {
    findings.push(["expired", _("The record was good until %(day)s.", { day: claimed.valid_until })]);
  }
  for (const one of signed) {
    if (one.expires && on > one.expires.slice(0, 10)) {
      findings.push(["expired", _("A signature was good until %(day)s.", { day: one.expires.slice(0, 10) })]);
    }
  }
  return findings;
}

// ---- status lists ------------------------------------------------------------------------------------------------

const WITHDRAWALS = [
  ["revoked", N_("revocation"), N_("The issuer has revoked this record, by its list of %(day)s.")],
  ["suspended", N_("suspension"), N_("The issuer has suspended this record, by its list of %(day)s.")],
];

async function withdrawn(document, claimed, issuers, on, bytes) {
  try {
    return await statusOf(document.credentialStatus ?? null, bytes, claimed.issuer, issuers, on);
  } catch (fault) {
    const verdict = fault instanceof Fault ? fault.verdict : "unreadable";
    const says =
      verdict === "altered"
        ? _("Status list: %(fault)s Ask the issuer for a fresh list.", { fault: sentence(fault) })
        : _("Status list: %(fault)s", { fault: sentence(fault) });
    return { findings: [[verdict, says]], asOf: null, remarks: [] };
  }
}

async function statusOf(places, bytes, issuer, issuers, on) {
  const entries = (places === null ? [] : listed(places)).map(placeOf);
  if (!bytes) {
    const says = entries.length
      ? _("No status list was given, so a withdrawal of this record cannot be seen.")
      : _("The record names no status list, so a withdrawal could not be seen.");
    return { findings: [], asOf: null, remarks: [says] };
  }
  const lists = await listsIn(bytes, issuer, issuers);
  if (!entries.length) {
    throw unreadable("a list was given, but the record names none; check that the two belong together.");
  }
  return lookedUp(entries, lists, on);
}

function lookedUp(entries, lists, on) {
  const withdrawnOn = {};
  const used = [];
  const remarks = [];
  for (const [listId, purpose, index] of entries) {
    const found = lists.find((one) => one.listId === listId && one.purpose === purpose);
    if (!found) {
      remarks.push(_("No list was given that tells a %(purpose)s of this record.", { purpose: _(purpose) }));
      continue;
    }
    used.push(found);
    if (index >= found.bits.length * 8) {
      throw unreadable("The status list has no place %(index)s; it is not the list of this record.", { index });
    }
    if (found.bits[index >> 3] & (0x80 >> (index & 7))) withdrawnOn[purpose] = found.asOf;
  }
  if (!used.length) throw unreadable("it is not the list that this record names; ask the issuer for the right one.");
  const asOf = used.map((one) => one.asOf).sort()[0];
  remarks.push(_("Status as of %(as_of)s; a later withdrawal cannot be seen offline.", { as_of: asOf }));
  if (used.some((one) => one.renewBy && one.renewBy < on)) {
    remarks.push(_("The status list was due to be renewed; ask the issuer for a newer one."));
  }
  const findings = WITHDRAWALS.filter(([, purpose]) => withdrawnOn[purpose])
    .map(([verdict, purpose, says]) => [verdict, _(says, { day: withdrawnOn[purpose] })]);
  return { findings, asOf, remarks };
}

async function listsIn(bytes, issuer, issuers) {
  const value = parse(bytes);
  const documents = value === null ? [] : listed(value);
  if (documents.length < 1 || documents.length > MAX_LISTS) {
    throw unreadable("the file must hold 1 to %(most)s status lists.", { most: MAX_LISTS });
  }
  const lists = [];
  for (const document of documents) {
    const one = await listOf(document);
    await checkSigners(document, one, issuer, issuers);
    if (lists.some((other) => other.listId === one.listId && other.purpose === one.purpose)) {
      throw unreadable("the same list stands in the file twice; keep the newest.");
    }
    lists.push(one);
  }
  return lists;
}

async function listOf(document) {
  const subject = isObject(document) ? document.credentialSubject : null;
  if (!isObject(subject) || !listed(document.type).includes("BitstringStatusListCredential")) {
    throw unreadable("the file is not a status list; give the one that came with the record.");
  }
  const { statusPurpose: purpose, encodedList } = subject;
  if (!isText(document.id) || !isText(encodedList) || !["revocation", "suspension"].includes(purpose)) {
    throw unreadable("the list lacks its id, its purpose or its contents.");
  }
  const renewBy = "validUntil" in document ? dayOf(document.validUntil, "validUntil") : null;
  const asOf = dayOf(document.validFrom, "validFrom");
  return { listId: document.id, purpose, bits: await expand(encodedList), asOf, renewBy };
}

async function checkSigners(document, one, issuer, issuers) {
  const named = isObject(document.issuer) ? document.issuer.id : document.issuer;
  for (const signature of allGenuine(await signatures(document))) {
    if (signature.signer !== named) throw new Fault("unknown issuer", "the list was not signed by the issuer that it names.");
    const pinned = find(issuers, signature.signer);
    if (!pinned || !speaksFor(issuers, signature.signer, issuer)) {
      throw new Fault("unknown issuer", "the list comes from another issuer than the record, so it says nothing about it.");
    }
    if (!wasInUse(pinned, one.asOf)) {
      throw new Fault("unknown issuer", "the list was signed on %(as_of)s, when its key was not in use.", { as_of: one.asOf });
    }
  }
}

function placeOf(place) {
  const { statusListCredential: listId, statusPurpose: purpose, statusListIndex: index } = isObject(place) ? place : {};
  if (![listId, purpose, index].every(isText) || !/^(?:0|[1-9][0-9]{0,9})$/.test(index)) {
    throw unreadable("the record's status cannot be read; it is of a kind that is not known here.");
  }
  return [listId, purpose, Number(index)];
}

async function expand(encoded) {
  if (!/^u[A-Za-z0-9_-]+$/.test(encoded)) {
    throw unreadable("The status list is not written as one: it must begin with u, without padding.");
  }
  let packed;
  try {
    packed = atob(encoded.slice(1).replace(/-/g, "+").replace(/_/g, "/"));
  } catch {
    throw unreadable("The status list cannot be unpacked; ask the issuer for a fresh copy.");
  }
  const bits = await inflate(Uint8Array.from(packed, (sign) => sign.charCodeAt(0)), "gzip", MAX_PLACES / 8);
  if (bits.length < PLACES / 8) throw unreadable("The status list has fewer than %(places)s places, which the standard forbids.", { places: PLACES });
  return bits;
}

async function inflate(bytes, kind, limit) {
  const reader = new Blob([bytes]).stream().pipeThrough(new DecompressionStream(kind)).getReader();
  const chunks = [];
  let length = 0;
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      length += value.length;
      if (length > limit) {
        await reader.cancel();
        break;
      }
      chunks.push(value);
    }
  } catch {
    throw unreadable("Something packed in the file cannot be unpacked; ask the issuer for a fresh copy.");
  }
  if (length > limit) throw unreadable("Something packed in the file is larger than it may be.");
  const whole = new Uint8Array(length);
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}

// ---- the record inside a certificate PDF --------------------------------------------------------------------------

async function attached(bytes) {
  if (bytes.length > MAX_PDF_BYTES) throw unreadable("The PDF is larger than 10 MB; no certificate of record is.");
  const text = new TextDecoder("latin1").decode(bytes);
  const found = [...text.matchAll(/<<([^<>]{0,200}\/Type\s*\/EmbeddedFile(?:[^<>]|<<[^<>]{0,300}>>|<[0-9A-Fa-f]*>){0,600})>>\s*stream\r?\n/g)];
  if (found.length !== 1) {
    throw unreadable("The PDF carries no signed record inside that this page can find; give the record file itself.");
  }
  const length = /\/Length\s+([0-9]{1,8})\b(?!\s+[0-9]+\s+R)/.exec(found[0][1]);
  if (!length) throw unreadable("The record inside the PDF cannot be taken out here; give the record file itself.");
  const start = found[0].index + found[0][0].length;
  const packed = bytes.subarray(start, start + Number(length[1]));
  return /\/FlateDecode/.test(found[0][1]) ? inflate(packed, "deflate", MAX_BYTES) : packed;
}

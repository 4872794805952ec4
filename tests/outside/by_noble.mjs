// Verifies with @noble/ed25519, @scure/base and canonicalize: the steps of eddsa-jcs-2022 by hand.
import { createHash } from "node:crypto";
import { verifyAsync } from "@noble/ed25519";
import { base58 } from "@scure/base";
import canonicalize from "canonicalize";
import { isTrusted, judgeAll, proofsOf } from "./cases.mjs";

const sha256 = (value) => createHash("sha256").update(canonicalize(value), "utf8").digest();

function publicKey(method) {
  const [did, fragment] = method.split("#");
  const raw = base58.decode(did.replace(/^did:key:z/, ""));
  if (`did:key:${fragment}` !== did || raw.length !== 34 || raw[0] !== 0xed || raw[1] !== 0x01) {
    throw new Error("no Ed25519 did:key");
  }
  return raw.slice(2);
}

async function fits(document, proof) {
  const { proofValue, ...options } = proof;
  const { proof: _, ...contents } = document;
  if (options.type !== "DataIntegrityProof" || options.cryptosuite !== "eddsa-jcs-2022") return false;
  if (options.proofPurpose !== "assertionMethod" || !proofValue.startsWith("z")) return false;
  const message = Buffer.concat([sha256(options), sha256(contents)]);
  return verifyAsync(base58.decode(proofValue.slice(1)), message, publicKey(options.verificationMethod), { zip215: false });
}

await judgeAll(async (one, issuers) => {
  try {
    const document = JSON.parse(one.document);
    for (const proof of proofsOf(document)) {
      if (!(await fits(document, proof))) return false;
    }
    return isTrusted(document, issuers);
  } catch {
    return false;
  }
});

// Reads the cases that the Python test wrote and prints one JSON object {name: outcome}.
import { readFileSync } from "node:fs";

export async function judgeAll(judge) {
  const { cases, issuers } = JSON.parse(readFileSync(process.argv[2], "utf8"));
  const outcomes = {};
  for (const one of cases) {
    outcomes[one.name] = await judge(one, issuers);
  }
  process.stdout.write(JSON.stringify(outcomes));
}

export function proofsOf(document) {
  return Array.isArray(document.proof) ? document.proof : [document.proof];
}

const KNOWN = ["type", "cryptosuite", "created", "expires", "verificationMethod", "proofPurpose", "@context", "proofValue"];

// The rules that the suite leaves to the reader: equal contexts, no strange member, no key twice, the issuer signed and
// is pinned for the day, and so is every other signer, or the record names it and it is not pinned at all.
export function isTrusted(document, issuers) {
  const proofs = proofsOf(document);
  const dids = proofs.map((proof) => proof.verificationMethod.split("#")[0]);
  const issuer = document.issuer?.id ?? document.issuer;
  const named = (document.signers ?? []).map((one) => one.id);
  const contexts = proofs.every(
    (proof) => !("@context" in proof) || JSON.stringify(proof["@context"]) === JSON.stringify(document["@context"]),
  );
  const known = proofs.every((proof) => Object.keys(proof).every((name) => KNOWN.includes(name)));
  const trusted = proofs.every((proof, place) => {
    const pin = issuers.find((one) => one.did === dids[place]);
    if (!pin) return dids[place] !== issuer && named.includes(dids[place]);
    const day = (proof.created ?? document.validFrom).slice(0, 10);
    const isFree = !(pin.beside_only && dids[place] === issuer);
    return isFree && (pin.valid_from ?? "") <= day && day <= (pin.valid_to ?? "9999");
  });
  return contexts && known && trusted && new Set(dids).size === dids.length && dids.includes(issuer);
}

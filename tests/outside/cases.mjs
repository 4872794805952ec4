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

// The rules that the suite leaves to the reader: equal contexts, the issuer signed, every signer is pinned for the day.
export function isTrusted(document, issuers) {
  const dids = proofsOf(document).map((proof) => proof.verificationMethod.split("#")[0]);
  const issuer = document.issuer?.id ?? document.issuer;
  const contexts = proofsOf(document).every(
    (proof) => !("@context" in proof) || JSON.stringify(proof["@context"]) === JSON.stringify(document["@context"]),
  );
  const pinned = proofsOf(document).every((proof, place) =>
    issuers.some((one) => {
      const day = (proof.created ?? document.validFrom).slice(0, 10);
      return one.did === dids[place] && (one.valid_from ?? "") <= day && day <= (one.valid_to ?? "9999");
    }),
  );
  return contexts && pinned && dids.includes(issuer);
}

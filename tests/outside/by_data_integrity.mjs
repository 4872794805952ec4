// Verifies with the @digitalbazaar packages: the whole Data Integrity stack, no network.
import { DataIntegrityProof } from "@digitalbazaar/data-integrity";
import * as Ed25519Multikey from "@digitalbazaar/ed25519-multikey";
import { createVerifyCryptosuite } from "@digitalbazaar/eddsa-jcs-2022-cryptosuite";
import jsigs from "jsonld-signatures";
import { isTrusted, judgeAll, proofsOf } from "./cases.mjs";

async function documentLoader(url) {
  const [did, fragment] = url.split("#");
  if (!did.startsWith("did:key:")) throw new Error(`not loaded: ${url}`);
  const multibase = did.slice("did:key:".length);
  if (fragment !== undefined && fragment !== multibase) throw new Error("another fragment");
  const method = {
    "@context": "https://w3id.org/security/multikey/v1",
    id: `${did}#${multibase}`,
    type: "Multikey",
    controller: did,
    publicKeyMultibase: multibase,
  };
  const controller = { "@context": "https://www.w3.org/ns/did/v1", id: did, assertionMethod: [method.id], verificationMethod: [method] };
  return { contextUrl: null, documentUrl: url, document: fragment === undefined ? controller : method };
}

async function fits(document, proof) {
  await Ed25519Multikey.from({ type: "Multikey", publicKeyMultibase: proof.verificationMethod.split("#")[1] });
  const suite = new DataIntegrityProof({ cryptosuite: createVerifyCryptosuite() });
  const outcome = await jsigs.verify(
    { ...document, proof },
    { suite, purpose: new jsigs.purposes.AssertionProofPurpose(), documentLoader },
  );
  return outcome.verified;
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

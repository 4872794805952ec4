// Runs the script of the verify page (no browser) on the cases; `noble` as second argument takes WebCrypto's Ed25519 away.
// A third argument is the language that is read.
import { readFileSync } from "node:fs";
import vm from "node:vm";

const { cases, issuers, page } = JSON.parse(readFileSync(process.argv[2], "utf8"));
const script = page.slice(page.lastIndexOf("<script>") + 8, page.lastIndexOf("</script>"));
const subtle = {
  digest: (kind, data) => crypto.subtle.digest(kind, data),
  importKey: (...given) => crypto.subtle.importKey(...given),
  verify: (...given) => crypto.subtle.verify(...given),
};
if (process.argv[3] === "noble") subtle.importKey = () => Promise.reject(new Error("no Ed25519 here"));
const world = { crypto: { subtle }, TextDecoder, TextEncoder, Blob, DecompressionStream, atob, Uint8Array, console };
vm.createContext(world);
vm.runInContext(`${script}\nreads = ${JSON.stringify(process.argv[4] ?? "en")}; globalThis.verify = verify; globalThis.choose = choose; globalThis.byNoble = byNoble;`, world);
const bytes = (hex) => (hex === null ? null : Uint8Array.from(Buffer.from(hex, "hex")));
const outcomes = { "by noble": (await world.choose()) === world.byNoble };
for (const one of cases) {
  outcomes[one.name] = await world.verify(bytes(one.document_hex), issuers, one.on, bytes(one.status_hex));
}
process.stdout.write(JSON.stringify(outcomes));

"""The published vectors of the signing standards; each file in vectors/ names its source and its status."""

from __future__ import annotations

import json
import struct
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from trainer.errors import Unreadable
from trainer.records import chain, jcs, keys, merkle, proof, statuslist
from trainer.records.keys import SigningKey

VECTORS = Path(__file__).parent / "vectors"


def read(name: str) -> Any:
    """One file of vectors."""
    return json.loads((VECTORS / name).read_text(encoding="utf-8"))


JCS = read("jcs.json")
SUITE = read("eddsa-jcs-2022.json")
TAMPER = SUITE["tamper_cases"]
DIDS = read("did-key.json")
MERKLE = read("merkle-rfc6962.json")
STATUS = read("bitstring-status-list.json")
CHAIN = read("hash-chain.json")
RFC8032 = read("ed25519-rfc8032.json")


@pytest.mark.parametrize("vector", RFC8032["vectors"], ids=lambda one: one["message_hex"] or "empty")
def test_rfc8032_signatures(vector: dict[str, str]) -> None:
    """RFC 8032 section 7.1 tests 1 to 3: same public key, same signature, and it verifies."""
    key = SigningKey(bytes.fromhex(vector["secret"]))
    message = bytes.fromhex(vector["message_hex"])
    assert key.public.hex() == vector["public"]
    assert key.sign(message).hex() == vector["signature"]
    assert keys.is_genuine(key.did, message, bytes.fromhex(vector["signature"]))


@pytest.mark.parametrize("vector", JCS["file_vectors"], ids=lambda one: one["name"])
def test_rfc8785_files(vector: dict[str, str]) -> None:
    """Reference data of RFC 8785: each input file has exactly the published canonical bytes."""
    written = jcs.canonical(jcs.parse(vector["input_utf8"].encode("utf-8")))
    assert written.hex() == vector["expected_canonical_hex"]
    assert sha256(written).hexdigest() == vector["expected_sha256"]


@pytest.mark.parametrize("vector", JCS["number_vectors_ieee754_hex"], ids=lambda one: one["hex"])
def test_rfc8785_numbers(vector: dict[str, str]) -> None:
    """RFC 8785 appendix B: each double is written as published."""
    number = struct.unpack(">d", bytes.fromhex(vector["hex"]))[0]
    assert jcs.canonical(number).decode() == vector["expected"]


@pytest.mark.parametrize("pair", JCS["same_canonical_form"])
def test_same_canonical_form(pair: list[str]) -> None:
    """Two ways of writing the same value have one canonical form."""
    first, second = (jcs.canonical(jcs.parse(text.encode())) for text in pair)
    assert first == second


@pytest.mark.parametrize("pair", JCS["different_canonical_form"], ids=lambda one: one[2][:30])
def test_different_canonical_form(pair: list[str]) -> None:
    """Values that only look alike stay different."""
    first, second = (jcs.canonical(jcs.parse(text.encode())) for text in pair[:2])
    assert first != second


def test_published_signature_is_reproduced() -> None:
    """W3C vc-di-eddsa test vector: our signature over the published document is the published one."""
    published = SUITE["published"]
    key = SigningKey.from_multibase(published["key_pair"]["privateKeyMultibase"])
    assert key.seed.hex() == published["seed_hex"]
    signed = proof.sign(published["unsigned_document"], key, published["proof_config"]["created"])
    assert signed == published["signed_document"]
    assert signed["proof"]["proofValue"] == published["proofValue"]


def test_published_signature_verifies() -> None:
    """W3C vc-di-eddsa test vector: the published signed document verifies and names its key."""
    published = SUITE["published"]
    found = proof.signatures(published["signed_document"])
    assert [one.signer for one in found] == ["did:key:" + published["key_pair"]["publicKeyMultibase"]]


def test_published_hashes() -> None:
    """W3C vc-di-eddsa test vector: both intermediate hashes are the published ones."""
    published = SUITE["published"]
    assert jcs.canonical(published["unsigned_document"]).decode() == published["canonical_document"]
    assert jcs.digest(published["unsigned_document"]).hex() == published["canonical_document_sha256"]
    assert jcs.digest(published["proof_config"]).hex() == published["proof_config_sha256"]


@pytest.mark.parametrize("case", TAMPER["cases"], ids=lambda one: one["name"])
def test_tamper_cases_of_the_suite(case: dict[str, Any]) -> None:
    """Our own tamper cases: what the record rules accept is what our signatures and issuer check accept."""
    try:
        signers = [one.signer for one in proof.signatures(case["document"])]
    except proof.NotGenuine:
        signers = []
    accepted = signers == [case["document"]["issuer"]["id"]] == [TAMPER["issuer_did"]]
    assert accepted is case["expect_accepted_with_pinned_issuer_and_strict_context"]


@pytest.mark.parametrize("vector", DIDS["spec_vectors"], ids=lambda one: one["seed_hex"][-2:])
def test_did_key_vectors(vector: dict[str, str]) -> None:
    """did:key method test vectors: seed to public key to did to verification method, and back."""
    key = SigningKey(bytes.fromhex(vector["seed_hex"]))
    assert key.public.hex() == vector["public_key_hex"]
    assert key.did == vector["did"]
    assert key.method == vector["verification_method"]
    assert keys.public_of(vector["did"]) == key.public


@pytest.mark.parametrize("pair", DIDS["multikey_pairs"], ids=lambda one: one["publicKeyMultibase"][-6:])
def test_multikey_pairs(pair: dict[str, str]) -> None:
    """W3C vc-di-eddsa key pairs: the secret multibase gives the seed and the public multibase."""
    key = SigningKey.from_multibase(pair["privateKeyMultibase"])
    assert key.seed.hex() == pair["seed_hex"]
    assert key.did == "did:key:" + pair["publicKeyMultibase"]


@pytest.mark.parametrize("bad", DIDS["must_reject"], ids=lambda one: one["why"])
def test_did_key_must_reject(bad: dict[str, str]) -> None:
    """Names of other codecs, lengths, alphabets and methods are refused with a sentence."""
    with pytest.raises(Unreadable, match="key"):
        keys.public_of(bad["did"])


TREE = [bytes.fromhex(leaf) for leaf in MERKLE["tree"]["leaves_hex"]]


def test_merkle_roots() -> None:
    """RFC 6962 test tree: the leaf hashes and all nine roots are the published ones."""
    assert [merkle.leaf_hash(leaf).hex() for leaf in TREE] == MERKLE["tree"]["leaf_hashes"]
    roots = [merkle.root(TREE[:size]).hex() for size in range(len(TREE) + 1)]
    assert roots == MERKLE["tree"]["roots_by_size"]


def test_merkle_proofs() -> None:
    """RFC 6962 test tree: all 36 inclusion and 36 consistency proofs are the published ones."""
    for case in MERKLE["tree"]["inclusion"]:
        made = merkle.inclusion_proof(TREE[: case["size"]], case["index"])
        assert [step.hex() for step in made] == case["proof"], case
    for case in MERKLE["tree"]["consistency"]:
        made = merkle.consistency_proof(TREE[: case["second"]], case["first"])
        assert [step.hex() for step in made] == case["proof"], case


@pytest.mark.parametrize("case", MERKLE["verify_cases"]["inclusion"], ids=lambda one: one["name"])
def test_merkle_inclusion_cases(case: dict[str, Any]) -> None:
    """Published verify cases of transparency-dev/merkle: inclusion is accepted only where they accept it."""
    steps = [bytes.fromhex(step) for step in case["proof"]]
    leaf, root = bytes.fromhex(case["leaf_hash"]), bytes.fromhex(case["root"])
    assert merkle.is_included(leaf, case["index"], case["size"], steps, root) is case["valid"]


@pytest.mark.parametrize("case", MERKLE["verify_cases"]["consistency"], ids=lambda one: one["name"])
def test_merkle_consistency_cases(case: dict[str, Any]) -> None:
    """Published verify cases of transparency-dev/merkle: consistency is accepted only where they accept it."""
    steps = [bytes.fromhex(step) for step in case["proof"]]
    roots = (bytes.fromhex(case["root1"]), bytes.fromhex(case["root2"]))
    assert merkle.is_consistent(case["first"], case["second"], *roots, steps) is case["valid"]


def test_published_status_list() -> None:
    """W3C Bitstring Status List example: it expands to 16,384 zero bytes."""
    bits = statuslist.expand(STATUS["published_all_zero"])
    assert len(bits) == STATUS["expanded_bytes"]
    assert sha256(bits).hexdigest() == STATUS["expanded_sha256"]


@pytest.mark.parametrize("vector", STATUS["own"], ids=lambda one: str(one["set_indices"]))
def test_status_lists(vector: dict[str, Any]) -> None:
    """Lists of our own: written and read back, exactly the named places are set."""
    for encoded in (vector["encodedList"], statuslist.encode(vector["set_indices"])):
        bits = statuslist.expand(encoded)
        assert sha256(bits).hexdigest() == vector["expanded_sha256"]
        assert bits[0] == vector["first_byte"]
        assert all(statuslist.is_set(bits, index) for index in vector["set_indices"])
        assert sum(byte.bit_count() for byte in bits) == len(vector["set_indices"])


def test_hash_chain() -> None:
    """Our own chain vector: every link has the written hash and the chain holds."""
    links = [chain.Link(**entry) for entry in CHAIN["entries"]]
    prev = chain.START
    for one in links:
        assert chain.link(one.seq, one.time, one.event, prev) == one
        prev = one.hash
    assert chain.walk(links) is None

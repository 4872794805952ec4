"""Turn bits of each kind of file that leaves the house over, cut it short: each is named, or harms nothing.

By hand: python -m tests.faults.exported [BITS] [SEED]; without a number every bit of every signed file is turned, and
20,000 of each packed one. Tables, calendars and histories bear no seal and are believed by nobody.
"""

from __future__ import annotations

import io
import json
import random
import shutil
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest import mock

from tests.records.record_cases import DAY, ISSUERS, PLACE, SHOP, make_list, make_signed
from tests.store.test_backup import MOMENT, instance_with
from trainer.errors import TrainerError
from trainer.records import certificate, chain, issuers, jcs, locked
from trainer.records.claims import record_in
from trainer.records.keys import SigningKey
from trainer.records.verification import verify
from trainer.store import backup

WORDS = "four words that nobody guesses"
TIME = "2026-03-02T09:15:00Z"
SOME = 20_000  # bits of a packed file, where none was asked for
CUTS = 200
Judge = Callable[[bytes], str]


@dataclass(frozen=True)
class Kind:
    """A kind of file: one of it, what the program makes of a spoilt one, and whether it is slow to open."""

    whole: bytes
    judge: Judge
    packed: bool = False


def kinds(folder: Path) -> dict[str, Kind]:
    """One of each."""
    record, revoked = make_signed(), make_list((PLACE.index,))
    head = chain.head_of([chain.link(0, TIME, {"kind": "training"}, chain.START)], TIME)
    signed_head = jcs.written(chain.signed_head(head, SHOP))
    new = SigningKey(bytes(range(9, 41)))
    introduction = issuers.introduction(SHOP, new, "Tarn Valley", "urn:uuid:1", TIME)
    packed = backup.make(instance_with(folder / "instance"), folder, MOMENT)
    sealed = io.BytesIO()
    locked.lock(io.BytesIO(record), sealed, WORDS, bytes(16))
    return {
        "record": Kind(record, _believed_as(record)),
        "certificate": Kind(certificate.pdf(record, MOMENT), _believed_as(record), packed=True),
        "status list": Kind(revoked, lambda data: _said(verify(record, ISSUERS, DAY, data).is_valid)),
        "head of the chain": Kind(
            signed_head, _same(lambda data: chain.read_head(data, SHOP.did), signed_head)
        ),
        "introduction of a key": Kind(
            jcs.written(introduction),
            _same(lambda data: issuers.accept(ISSUERS, data), jcs.written(introduction)),
        ),
        "backup": Kind(packed.read_bytes(), _unpacked(folder, packed.read_bytes()), packed=True),
        "locked file": Kind(sealed.getvalue(), _same(_unlocked, sealed.getvalue())),
    }


def spoilt(whole: bytes, bits: Iterable[int], cuts: Iterable[int]) -> Iterator[bytes]:
    """The file with each of these bits turned over, then cut off at each of these lengths."""
    for bit in bits:
        data = bytearray(whole)
        data[bit // 8] ^= 1 << bit % 8
        yield bytes(data)
    for length in cuts:
        yield whole[:length]


def outcomes(kind: Kind, bits: int, seed: int = 0) -> Counter[str]:
    """How often a spoilt file was named, harmless or believed; 0 bits are all of them, or SOME of a packed one."""
    chance, every = random.Random(seed), range(len(kind.whole) * 8)
    wanted = bits or (SOME if kind.packed else len(every))
    chosen = every if wanted >= len(every) else chance.sample(every, wanted)
    cuts = chance.sample(range(len(kind.whole)), min(CUTS, wanted, len(kind.whole)))
    return Counter(kind.judge(data) for data in spoilt(kind.whole, chosen, cuts))


def _said(believed: bool) -> str:
    return "believed" if believed else "named"


def _believed_as(record: bytes) -> Judge:
    """Valid, it must say exactly what was signed."""
    meant = json.loads(record)

    def judge(data: bytes) -> str:
        if not verify(data, ISSUERS, DAY).is_valid:
            return "named"
        return "harmless" if json.loads(record_in(data)) == meant else "believed"

    return judge


def _same(read: Callable[[bytes], object], whole: bytes) -> Judge:
    """Read, it must be what was written."""
    meant = read(whole)

    def judge(data: bytes) -> str:
        try:
            return "harmless" if read(data) == meant else "believed"
        except TrainerError:
            return "named"

    return judge


def _unlocked(data: bytes) -> bytes:
    out = io.BytesIO()
    locked.unlock(io.BytesIO(data), out, WORDS)
    return out.getvalue()


def _unpacked(folder: Path, whole: bytes) -> Judge:
    """Each file of a backup, with its bytes."""
    file, there = folder / "spoilt.tar.gz", folder / "there"

    def read(data: bytes) -> dict[str, bytes]:
        shutil.rmtree(there, ignore_errors=True)
        there.mkdir()
        file.write_bytes(data)
        contents = backup.unpack(file, there)
        return {name: (there / name).read_bytes() for name in contents.files}

    return _same(read, whole)


def main() -> None:
    """Say for each kind what became of it."""
    bits, seed = (int(sys.argv[n]) if len(sys.argv) > n else 0 for n in (1, 2))
    once = lru_cache(maxsize=64)(
        locked.stretched
    )  # as slow as it is meant to be, it is asked for the same again
    with TemporaryDirectory(prefix="exported-") as folder, mock.patch.object(locked, "stretched", once):
        for name, kind in kinds(Path(folder)).items():
            print(f"{name}: {dict(outcomes(kind, bits, seed))}", flush=True)


if __name__ == "__main__":
    main()

"""A pack with its leads as the shop writes it down: rated current, duty, period, size and length of the leads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from trainer.drills.validity import holds
from trainer.errors import Refused
from trainer.shopwork.part import Part, read_values
from trainer.shopwork.power import lead_size
from trainer.shopwork.reading import ReadPower

PLATE = ("rated", "duty", "period")
LEADS = ("lead", "distance")
SHOT = ("current", "on", "start")
RESERVED = frozenset({*PLATE, *LEADS, *SHOT, "find", "unit", "pack", "technique"})  # names of other fields


@dataclass(frozen=True, slots=True)
class Pack:
    """What is known of a pack and its leads, in the units of power.yaml; ``lead`` is a size by name or empty."""

    name: str
    values: dict[str, float]
    lead: str = ""


@dataclass(slots=True)
class TypedPack:
    """A pack as typed, with the faults by the name of their field."""

    pack: Pack
    faults: dict[str, str] = field(default_factory=dict)


def read_pack(read: ReadPower, texts: Mapping[str, str], name: str = "", decimal: str = "point") -> TypedPack:
    """Read plate and leads of a pack as typed; what is left empty is not known."""
    part = Part()
    lead = " ".join(texts.get("lead", "").split())[:40]
    wanted = {s: read.power.quantities[s] for s in (*PLATE, *LEADS) if s in read.power.quantities}
    read_values(part, wanted, texts, decimal)
    _check_sound(read, part)
    if lead:
        try:
            lead_size(read.power, lead)
        except Refused as refused:
            part.faults["lead"] = str(refused)
    return TypedPack(Pack(name, part.values, lead), part.faults)


def read_shot(read: ReadPower, texts: Mapping[str, str], decimal: str = "point") -> Part:
    """Read the current that will be set, how long one shot lasts, and from which temperature the leads start."""
    part = Part()
    read_values(part, {s: read.power.quantities[s] for s in SHOT}, texts, decimal)
    _check_sound(read, part)
    return part


def known_of(read: ReadPower, pack: Pack) -> dict[str, float]:
    """Return every value that a pack gives to the questions, those of its size of lead among them."""
    return pack.values | (lead_size(read.power, pack.lead) if pack.lead else {})


def _check_sound(read: ReadPower, part: Part) -> None:
    for one in read.sound:
        if holds(one.test, part.values) is False:
            part.faults.setdefault(one.symbols[0], one.says)

"""An authority of this installation's own, and a certificate from it for the addresses that it is reached by.

No public authority vouches for an address of a classroom. So the installation has one that may speak for private
addresses and this machine's own names only (RFC 5280, section 4.2.1.10): a device that trusts it is no easier to
deceive about anything else.
"""

from __future__ import annotations

import ipaddress
import socket
import ssl
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from trainer import private_files

FOLDER = "tls"
AUTHORITY, AUTHORITY_KEY = "authority.pem", "authority.key"
OWN, OWN_KEY = "own.pem", "own.key"
AUTHORITY_DAYS, OWN_DAYS = 3650, 397  # phones believe a certificate for 398 days at most (from memory)
EARLY = timedelta(days=1)  # clocks of phones are off
RENEWED_BEFORE = timedelta(days=30)
NETWORKS = tuple(
    map(
        ipaddress.ip_network,
        (
            "10.0.0.0/8",
            "172.16.0.0/12",
            "192.168.0.0/16",
            "169.254.0.0/16",
            "127.0.0.0/8",
            "::1/128",
            "fc00::/7",
        ),
    )
)
"""RFC 1918, RFC 3927, this machine itself, RFC 4193."""


def context(instance: Path, hosts: Sequence[str], now: datetime) -> ssl.SSLContext:
    """What a server needs to answer by https for these host names and addresses; made anew at each start.

    Public ones are left out: one name that the authority may not speak for would spoil the whole certificate.
    """
    folder = instance / FOLDER
    folder.mkdir(mode=0o700, exist_ok=True)
    authority, key = _authority(folder, now)
    _make_own(folder, [host for host in hosts if _is_private(host)], authority, key, now)
    made = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    made.minimum_version = ssl.TLSVersion.TLSv1_2
    made.load_cert_chain(folder / OWN, folder / OWN_KEY)
    return made


def fingerprint(instance: Path) -> str:
    """SHA-256 of the authority's certificate in pairs, to be compared with what a device shows before it trusts it."""
    held = x509.load_pem_x509_certificate((instance / FOLDER / AUTHORITY).read_bytes())
    return held.fingerprint(hashes.SHA256()).hex(":").upper()


def _authority(folder: Path, now: datetime) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    try:
        held = x509.load_pem_x509_certificate((folder / AUTHORITY).read_bytes())
        key = serialization.load_pem_private_key((folder / AUTHORITY_KEY).read_bytes(), None)
    except (FileNotFoundError, ValueError):
        return _make_authority(folder, now)
    if not isinstance(key, ec.EllipticCurvePrivateKey) or held.public_key() != key.public_key():
        return _make_authority(folder, now)
    if held.not_valid_after_utc < now + RENEWED_BEFORE:
        return _make_authority(folder, now)
    return held, key


def _make_authority(folder: Path, now: datetime) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    key = ec.generate_private_key(ec.SECP256R1())
    name = _name("MT trainer, authority of this installation")
    may = [*map(x509.DNSName, _names()), *map(x509.IPAddress, NETWORKS)]
    made = (
        _begun(name, name, key.public_key(), now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(x509.NameConstraints(may, None), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .sign(key, hashes.SHA256())
    )
    private_files.replace(folder / AUTHORITY_KEY, _private(key))
    private_files.replace(folder / AUTHORITY, made.public_bytes(serialization.Encoding.PEM))
    return made, key


def _make_own(
    folder: Path,
    hosts: Sequence[str],
    authority: x509.Certificate,
    key: ec.EllipticCurvePrivateKey,
    now: datetime,
) -> None:
    own = ec.generate_private_key(ec.SECP256R1())
    made = (
        _begun(_name("MT trainer"), authority.subject, own.public_key(), now, OWN_DAYS)
        .add_extension(x509.SubjectAlternativeName([_general(host) for host in hosts]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    private_files.replace(folder / OWN_KEY, _private(own))
    private_files.replace(folder / OWN, made.public_bytes(serialization.Encoding.PEM))


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, now: datetime, days: int
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLY)
        .not_valid_after(now + timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
    )


def _usage(signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs, key_cert_sign=signs, crl_sign=signs, content_commitment=False,
        key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _general(host: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(host.strip("[]")))
    except ValueError:
        return x509.DNSName(host)


def _names() -> tuple[str, ...]:
    """This machine by name, and the names that machines of a network without a server of names give each other."""
    return "localhost", "local", socket.gethostname().lower()


def _is_private(host: str) -> bool:
    try:
        address = ipaddress.ip_address(host.strip("[]"))
    except ValueError:
        return any(host == name or host.endswith(f".{name}") for name in _names())
    return any(address in network for network in NETWORKS)


def _private(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )

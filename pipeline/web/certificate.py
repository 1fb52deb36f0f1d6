"""A certificate of one's own, made on the spot, so that a phone lets the page use its microphone."""

from __future__ import annotations

import datetime
import ipaddress
import os
from pathlib import Path

from pipeline.errors import OutputError


def certificate(folder: Path, hosts: frozenset[str], now: datetime.datetime) -> tuple[Path, Path]:
    """Paths of certificate and key (0600) for these names; made anew where names are missing or it ends this week."""
    cert, key = folder / "page.crt", folder / "page.key"
    if cert.is_file() and key.is_file() and _serves(cert, hosts, now):
        return cert, key
    made, private = make(hosts, now)
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        _write_private(key, private)
        _write_private(cert, made)
    except OSError as error:
        raise OutputError(f"{folder}: the certificate cannot be written ({error.strerror})") from error
    return cert, key


def make(hosts: frozenset[str], now: datetime.datetime) -> tuple[bytes, bytes]:
    """Certificate and key in PEM: P-256, 90 days, a leaf that can sign no other certificate."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

    private = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "tallywalk on this computer")])
    names: list[x509.GeneralName] = []
    for host in sorted(hosts):
        try:
            names.append(x509.IPAddress(ipaddress.ip_address(host)))
        except ValueError:
            names.append(x509.DNSName(host))
    day = datetime.timedelta(days=1)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(private.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - day)
        .not_valid_after(now + 90 * day)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(private, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    form = serialization.PrivateFormat.PKCS8
    return made.public_bytes(pem), private.private_bytes(pem, form, serialization.NoEncryption())


def fingerprint(cert: Path) -> str:
    """SHA-256 of the certificate, as browsers show it: pairs of hex digits."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes

    return x509.load_pem_x509_certificate(cert.read_bytes()).fingerprint(hashes.SHA256()).hex(" ").upper()


def _serves(cert: Path, hosts: frozenset[str], now: datetime.datetime) -> bool:
    from cryptography import x509

    try:
        old = x509.load_pem_x509_certificate(cert.read_bytes())
        names = old.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (OSError, ValueError, x509.ExtensionNotFound):
        return False
    have = {str(n.value) for n in names}
    week = datetime.timedelta(days=7)
    return hosts <= have and old.not_valid_before_utc <= now and old.not_valid_after_utc > now + week


def _write_private(path: Path, data: bytes) -> None:
    part = path.with_name(f".{path.name}.{os.getpid()}")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
    os.replace(part, path)

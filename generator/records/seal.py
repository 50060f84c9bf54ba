"""A record's seal: facts signed with the site's own key, as a text that stands in a QR code.

The text is ``SEATWORK-RECORD-1:`` and base32 (RFC 4648) of 4 bytes that tell the key, 64 bytes of Ed25519 signature
(RFC 8032) and the facts as JSON. All its characters are of a QR code's alphanumeric kind and none is a space, so it
can be read off a phone, sent and typed without harm. Signed are the facts with a line before them that says what they
are: nothing else that the key may ever sign is taken for a record.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
    load_pem_public_key,
)  # fmt: skip

from generator.book.qr import qr_svg
from generator.source.problem import Refusal

PREFIX = "SEATWORK-RECORD-1:"
PRIVATE, PUBLIC = "key.pem", "key.pub"
FOLDER = "register"
MOST = 4296  # characters that the largest QR code holds of this kind (ISO/IEC 18004)
_SIGNED_AS = b"seatwork record 1\n"
_KEY, _SIGNATURE = 4, 64


class NoKey(Refusal):
    """There is no key where one is needed, or what is there is none."""

    code = "no-key"


class KeyStands(Refusal):
    """A site has its key already."""

    code = "key-stands"


class NotSealed(Refusal):
    """A text is no seal, or not one made with this key."""

    code = "not-sealed"


# --- keys -----------------------------------------------------------------------------------


def new_key(folder: Path) -> Path:
    """Make a site's key, for good: ``FOLDER/register/key.pem`` (PKCS#8, only its owner may read it) and ``key.pub``.

    Returns the place of the public one. Raises KeyStands where there is one already, OSError where it cannot be written.
    """
    place = folder / FOLDER
    for name in (PRIVATE, PUBLIC):
        if os.path.lexists(place / name):
            raise KeyStands(f"{place / name}: the site has its key", "keep it: records sealed with it could not be checked by another")
    place.mkdir(parents=True, exist_ok=True)
    private = Ed25519PrivateKey.generate()
    secret = private.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    _new_file(place / PRIVATE, secret, 0o600)
    _new_file(place / PUBLIC, _pem(private.public_key()), 0o644)
    return place / PUBLIC


def _new_file(path: Path, data: bytes, mode: int) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode)
    with os.fdopen(handle, "wb") as f:
        f.write(data)
        f.flush()
        os.fsync(f.fileno())


def _pem(public: Ed25519PublicKey) -> bytes:
    return public.public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo)


def private_key(folder: Path) -> Ed25519PrivateKey | None:
    """The site's key; None where it has none. Raises NoKey where its file is none."""
    path = folder / FOLDER / PRIVATE
    try:
        found = load_pem_private_key(path.read_bytes(), None)
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError, UnsupportedAlgorithm):
        found = None
    if not isinstance(found, Ed25519PrivateKey):
        raise NoKey(f"{path}: this is no key for records", "put back the file that --new-key wrote")
    return found


def public_key(path: Path) -> Ed25519PublicKey:
    """The key in a file as ``key.pub`` is. Raises NoKey."""
    try:
        found = load_pem_public_key(path.read_bytes())
    except FileNotFoundError:
        raise NoKey(f"{path}: there is no such file", "name the site's key.pub with --key") from None
    except (OSError, ValueError, TypeError, UnsupportedAlgorithm):
        found = None
    if not isinstance(found, Ed25519PublicKey):
        raise NoKey(f"{path}: this is no public key for records", "name the site's key.pub with --key")
    return found


def _raw(public: Ed25519PublicKey) -> bytes:
    return public.public_bytes(Encoding.Raw, PublicFormat.Raw)


def fingerprint(public: Ed25519PublicKey) -> str:
    """What a key is told by on paper: the first 16 hex digits of its SHA-256, in groups of four."""
    digits = hashlib.sha256(_raw(public)).hexdigest()[:16]
    return " ".join(digits[i : i + 4] for i in range(0, 16, 4))


# --- the seal -------------------------------------------------------------------------------


def seal(private: Ed25519PrivateKey, facts: Mapping[str, Any]) -> str:
    """The text of the seal on some facts. The same facts and key give the same text."""
    said = json.dumps(facts, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode("utf-8")
    key = hashlib.sha256(_raw(private.public_key())).digest()[:_KEY]
    signature = private.sign(_SIGNED_AS + said)
    return PREFIX + base64.b32encode(key + signature + said).decode("ascii").rstrip("=")


def check(text: str, public: Ed25519PublicKey) -> dict[str, Any]:
    """The facts of a seal, if the holder of this key signed them and nothing was changed since. Raises NotSealed.

    Spaces and line ends in the text are left out, and small letters are as good as large ones.
    """
    plain = "".join(text.split()).upper()
    if not plain.startswith(PREFIX):
        raise NotSealed(f"this is no record's seal, which begins with {PREFIX}", "read the QR code again, whole")
    body = plain.removeprefix(PREFIX)
    try:
        if len(plain) > MOST:
            raise ValueError
        data = base64.b32decode(body + "=" * (-len(body) % 8))
    except (binascii.Error, ValueError):
        data = b""
    key, signature, said = data[:_KEY], data[_KEY : _KEY + _SIGNATURE], data[_KEY + _SIGNATURE :]
    if not said:
        raise NotSealed("the seal is cut off or holds other signs", "read the QR code again, whole")
    if key != hashlib.sha256(_raw(public)).digest()[:_KEY]:
        raise NotSealed(f"it was not signed with this key ({fingerprint(public)})", "ask the site named on the page for its key.pub")
    try:
        public.verify(signature, _SIGNED_AS + said)
        facts = json.loads(said)
    except (InvalidSignature, ValueError):
        facts = None
    if not isinstance(facts, dict):
        raise NotSealed("the signature does not fit: the text was changed, or misread", "read the QR code again; else do not rely on it")
    return facts


def picture(text: str, title: str) -> str:
    """The QR code of a text as SVG, dark on light with the quiet edge it needs; it scales with its frame."""
    return qr_svg(text, title, mends="m")

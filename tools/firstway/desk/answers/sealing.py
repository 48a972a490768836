"""Desk: opening answers that were sealed for the tutor. The only importer of cryptography.

The page seals with the browser's own WebCrypto: a fresh AES-256-GCM key, wrapped for the tutor's
RSA-OAEP public key of 3072 bits with SHA-256. Sealing hides answers from other learners; it proves
nothing about who wrote them.
"""

from __future__ import annotations

import base64
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from firstway.desk.answers.answer_files import Unseal
from firstway.files.disk import bytes_of_file, put_new
from firstway.problems import Problem

_BITS = 3072
LONGEST_FIELD = 512 * 1024


def private_key(path: Path, make: bool = False) -> tuple[Any, list[Problem]]:
    """The tutor's private key from a PEM file; with `make` a new one is written where there is
    none.
    """
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric import rsa

    name = path.as_posix()
    try:
        problems: list[Problem] = []
        if make and not os.path.lexists(path):
            fresh = rsa.generate_private_key(public_exponent=65537, key_size=_BITS)
            text = fresh.private_bytes(
                serialization.Encoding.PEM,
                serialization.PrivateFormat.PKCS8,
                serialization.NoEncryption(),
            )
            problems = put_new(path, text, 0o600)
        content, found = bytes_of_file(path) if not problems else (b"", problems)
        if found:
            return None, found
        key = serialization.load_pem_private_key(content, password=None)
    except (ValueError, TypeError):
        return None, [
            Problem(name, 0, "this is no private key", "name the PEM file that `paper --key` wrote")
        ]
    if not isinstance(key, rsa.RSAPrivateKey) or key.key_size < _BITS:
        return None, [
            Problem(
                name,
                0,
                "this is no RSA key of 3072 bits or more",
                "name the PEM file that `paper --key` wrote",
            )
        ]
    return key, []


def public_jwk(key: Any) -> dict[str, Any]:
    """The public half as a JSON Web Key (RFC 7517), as a page gives it to WebCrypto."""
    numbers = key.public_key().public_numbers()
    word = lambda value: (
        base64.urlsafe_b64encode(value.to_bytes((value.bit_length() + 7) // 8, "big"))
        .rstrip(b"=")
        .decode()
    )
    return {
        "kty": "RSA",
        "alg": "RSA-OAEP-256",
        "n": word(numbers.n),
        "e": word(numbers.e),
        "ext": True,
        "key_ops": ["encrypt"],
    }


def unsealer(key: Any) -> Unseal:
    """Opens sealed answers with the private key; gives the reason as text where they stay shut."""
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import padding
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    def unseal(data: Mapping[str, Any]) -> bytes | str:
        try:
            wrapped, start, sealed = (_bytes(data.get(name)) for name in ("key", "iv", "sealed"))
        except ValueError:
            return "damaged: the sealed part is not whole"
        try:
            inner = key.decrypt(
                wrapped, padding.OAEP(padding.MGF1(hashes.SHA256()), hashes.SHA256(), None)
            )
            return AESGCM(inner).decrypt(start, sealed, None)
        except InvalidTag:
            return "altered: the sealed answers were changed after they were sealed"
        except ValueError:
            return "sealed for another key, or damaged"

    return unseal


def _bytes(value: Any) -> bytes:
    if not isinstance(value, str) or len(value) > LONGEST_FIELD:
        raise ValueError
    return base64.b64decode(value, validate=True)

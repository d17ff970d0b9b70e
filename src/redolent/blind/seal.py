"""A sealed key: what is printed beforehand proves later that nobody changed the key."""

import hashlib
import hmac
import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

NONCE_BYTES = 32


@dataclass(frozen=True, slots=True)
class Seal:
    """A commitment, to be shown beforehand, and the nonce that opens it, to be kept until the end.

    Attributes
    ----------
    commitment : str
        SHA-256, 64 hexadecimal digits.
    nonce : str
        256 random bits, 64 hexadecimal digits; left out of the ``repr``, so that no notebook shows it.
    """

    commitment: str
    nonce: str = field(repr=False)


def seal(key: Mapping[str, Any], nonce: str | None = None) -> Seal:
    """Seal a key with a secret nonce.

    The few keys of a small tasting could all be tried out against a bare hash; against a hash with the nonce
    in it they cannot.

    Parameters
    ----------
    key : mapping
        Anything that JSON can write; a tuple counts as a list.
    nonce : str, optional
        For tests only; drawn from `secrets` where it is not given.

    Raises
    ------
    ValueError
        Where JSON cannot write the key.
    """
    nonce = secrets.token_hex(NONCE_BYTES) if nonce is None else nonce
    return Seal(_commitment(key, nonce), nonce)


def verify(key: Mapping[str, Any], seal: Seal) -> bool:
    """Tell whether `key`, with the nonce of `seal`, is the one that was sealed; in constant time."""
    return hmac.compare_digest(_bytes(_commitment(key, seal.nonce)), _bytes(seal.commitment))


def _commitment(key: Mapping[str, Any], nonce: str) -> str:
    return hashlib.sha256(_bytes(_canonical({"key": key, "nonce": nonce}))).hexdigest()


def _canonical(value: Mapping[str, Any]) -> str:
    try:
        return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    except (TypeError, ValueError) as error:
        raise ValueError(f"This key cannot be sealed, since JSON cannot write it: {error}.") from error


def _bytes(text: str) -> bytes:
    # A name that somebody typed may hold a lone surrogate; strict UTF-8 would refuse to seal it.
    return text.encode("utf-8", "surrogatepass")

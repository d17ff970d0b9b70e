"""Blinding: codes that say nothing, and a key that is sealed before the first cup."""

from redolent.blind.codes import draw_codes
from redolent.blind.seal import Seal, seal, verify

__all__ = ["Seal", "draw_codes", "seal", "verify"]

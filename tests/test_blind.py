"""Codes that say nothing, and seals that open with one nonce only."""

import hashlib
import hmac
import itertools
import json

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from redolent.blind import Seal, draw_codes, seal, verify
from redolent.blind.codes import CODES

RUNS = {"1234567890"[i : i + 3] for i in range(7)} | {"9876543210"[i : i + 3] for i in range(8)}
REPEATS = {str(111 * digit) for digit in range(1, 10)}
HUNDREDS = {str(100 * digit) for digit in range(1, 10)}
KNOWN = {"101", "112", "212", "360", "404", "420", "666", "747", "911", "999"}
TELLING = RUNS | REPEATS | HUNDREDS | KNOWN

KEY = {"507": "washed", "238": "natural", "862": "honey", "941": "washed again"}


@settings(max_examples=60, deadline=None)
@given(n=st.integers(0, 120), seed=st.integers(0, 2**32), taken=st.sets(st.sampled_from(CODES), max_size=300))
def test_codes_are_fresh_and_say_nothing(n, seed, taken):
    codes = draw_codes(n, seed, taken)
    assert len(set(codes)) == len(codes) == n
    assert not set(codes) & (TELLING | taken)
    assert all(len(code) == 3 and code.isascii() and code.isdecimal() and code[0] != "0" for code in codes)


def test_every_other_code_can_be_drawn():
    drawn = draw_codes(len(CODES), 1)
    assert sorted(drawn) == sorted(CODES)
    assert drawn != sorted(drawn)
    assert len(CODES) > 780  # 900 less 9 repeats, 9 hundreds, 15 runs and the list of known numbers
    assert {"507", "238", "862", "941", "120", "990"} <= set(CODES)


def test_the_generator_decides():
    assert draw_codes(12, 5) == draw_codes(12, np.random.default_rng(5))
    assert draw_codes(12, 5) != draw_codes(12, 6)


def test_codes_run_out():
    with pytest.raises(ValueError, match=r"2 codes are wanted and 1 are left"):
        draw_codes(2, 1, taken=CODES[1:])
    with pytest.raises(ValueError, match=r"is -1; it must be 0 or more"):
        draw_codes(-1, 1)


def test_commitment_is_sha256_of_canonical_json():
    written = '{"key":{"a":["ABA","café"],"b":1},"nonce":"0f"}'.encode()
    assert seal({"b": 1, "a": ("ABA", "café")}, nonce="0f").commitment == hashlib.sha256(written).hexdigest()


def test_a_seal_opens_with_its_nonce_and_key_only():
    sealed = seal(KEY)
    assert verify(dict(reversed(KEY.items())), sealed)
    assert not verify(KEY, Seal(sealed.commitment, seal(KEY).nonce))
    assert not verify(KEY, Seal(sealed.commitment, ""))
    assert not verify(KEY | {"507": "natural", "238": "washed"}, sealed)
    assert not verify(KEY, Seal("é" + sealed.commitment[1:], sealed.nonce))


def test_nonces_are_long_secret_and_never_the_same():
    seals = [seal(KEY) for _ in range(50)]
    assert len({s.nonce for s in seals}) == len({s.commitment for s in seals}) == 50
    assert all(len(bytes.fromhex(s.nonce)) == 32 for s in seals)
    assert not any(s.nonce in repr(s) for s in seals)


def test_trying_out_all_mappings_finds_nothing_without_the_nonce():
    def matches(commitment):
        keys = [dict(zip(KEY, order, strict=True)) for order in itertools.permutations(KEY.values())]
        assert len(keys) == 24
        guesses = itertools.chain.from_iterable((k, {"key": k}, {"key": k, "nonce": ""}) for k in keys)
        texts = (json.dumps(g, sort_keys=True, separators=(",", ":")) for g in guesses)
        return [text for text in texts if hashlib.sha256(text.encode()).hexdigest() == commitment]

    bare = hashlib.sha256(json.dumps(KEY, sort_keys=True, separators=(",", ":")).encode()).hexdigest()
    assert len(matches(bare)) == 1  # so the attack works where there is no nonce
    assert matches(seal(KEY).commitment) == []


def test_comparison_takes_constant_time(monkeypatch):
    compared = []
    honest = hmac.compare_digest
    monkeypatch.setattr(hmac, "compare_digest", lambda a, b: compared.append((a, b)) or honest(a, b))
    sealed = seal(KEY)
    assert verify(KEY, sealed)
    assert compared == [(sealed.commitment.encode(), sealed.commitment.encode())]


def test_hostile_text_is_sealed_as_it_is():
    names = ["\ud800", "\x00", "\u202eabc", "<img onerror=x>", "😀", "é", "e\u0301"]
    assert len({seal({"507": name}, nonce="0f").commitment for name in names}) == len(names)
    assert all(verify({"507": name}, seal({"507": name})) for name in names)


@pytest.mark.parametrize("key", [{"a": {1, 2}}, {"a": float("nan")}, {"a": b"x"}])
def test_what_json_cannot_write_is_refused(key):
    with pytest.raises(ValueError, match=r"cannot be sealed, since JSON cannot write it"):
        seal(key)

"""A hundred draws of homework numbers by a program of its own: SHA-256 of hashlib and ChaCha20 as RFC 8439 writes it.

Compares with tests/homework/draws.toml, which the library's test reads; `--write` writes that file.
"""

import hashlib
import struct
import sys
from pathlib import Path

FILE = Path(__file__).resolve().parent.parent / "homework" / "draws.toml"
LETTERS = "23456789BCDFGHJKMNPQRSTVWXYZ"


def quarter(state, a, b, c, d):
    for to, by, turned, bits in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
        state[to] = (state[to] + state[by]) & 0xFFFFFFFF
        mixed = state[turned] ^ state[to]
        state[turned] = ((mixed << bits) | (mixed >> (32 - bits))) & 0xFFFFFFFF


def block(key, counter, nonce):
    """RFC 8439, section 2.3."""
    start = list(struct.unpack("<4I", b"expand 32-byte k")) + list(struct.unpack("<8I", key))
    start += [counter] + list(struct.unpack("<3I", nonce))
    state = list(start)
    for _ in range(10):
        for column in range(4):
            quarter(state, column, 4 + column, 8 + column, 12 + column)
        for column in range(4):
            quarter(state, column, 4 + (column + 1) % 4, 8 + (column + 2) % 4, 12 + (column + 3) % 4)
    return struct.pack("<16I", *((one + other) & 0xFFFFFFFF for one, other in zip(state, start)))


def check_the_standards_example():
    """RFC 8439, section 2.3.2."""
    found = block(bytes(range(32)), 1, bytes.fromhex("000000090000004a00000000"))
    wanted = (
        "10f1e7e4d13b5915500fdd1fa32071c4c7d1f4c733c068030422aa9ac3d46c4e"
        "d2826446079faa0914c2d705d98b02a2b5129cd1de164eb9cbd083e8a2503c4e"
    )
    assert found == bytes.fromhex(wanted), found.hex()


def draw(key, item, field, code, attempt, count):
    text = "\n".join(["fieldcoil draw 1", key, item, field, code, str(attempt)])
    seed = hashlib.sha256(text.encode("utf-8")).digest()
    word = int.from_bytes(block(seed, 0, bytes(12))[:8], "little")
    return word * count >> 64


def cases():
    keys = ["quillmoor-autumn-26", "a", "Schlüssel für den Herbst", "k" * 200]
    items = ["drop-of-a-run", "inside-a-battery", "x"]
    fields = ["current_a", "run_out_m", "conductor_size", "light_voltage_v"]
    counts = [2, 3, 7, 20, 21, 101, 10_000, 2**31 + 11, 2**62]
    for index in range(100):
        chosen = hashlib.sha256(b"case %d" % index).digest()
        code = "".join(LETTERS[byte % len(LETTERS)] for byte in chosen[:7]) if index % 10 else "practice"
        yield {
            "key": keys[index % len(keys)],
            "item": items[index % len(items)],
            "field": fields[chosen[8] % len(fields)],
            "code": code,
            "attempt": 0 if index % 3 else chosen[9],
            "count": counts[index % len(counts)],
        }


def text():
    lines = ["# A hundred draws of version 1, worked by tests/reference/draws.py and not by the library.", ""]
    for case in cases():
        lines.append("[[draw]]")
        for name, value in case.items():
            lines.append(f'{name} = "{value}"' if isinstance(value, str) else f"{name} = {value}")
        lines += [f"drawn = {draw(**case)}", ""]
    return "\n".join(lines)


def main():
    check_the_standards_example()
    if sys.argv[1:] == ["--write"]:
        FILE.write_text(text(), encoding="utf-8")
    same = FILE.read_text(encoding="utf-8") == text()
    print(f"draws: 100 numbers by hashlib and RFC 8439's ChaCha20: {'same' if same else 'DIFFERENT'}")
    sys.exit(not same)


main()

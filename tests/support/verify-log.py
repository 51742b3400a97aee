"""Verifies exported logs by FORMAT.md alone, with the standard library and the openssl command: none of the program's code.

Usage: python3 verify-log.py LOG.json...   One line for each; exit status 1 when one does not verify.
"""

import base64
import hashlib
import json
import subprocess
import sys
import tempfile

# DER of the SubjectPublicKeyInfo of a P-256 key, up to its 64 bytes of coordinates (RFC 5480).
P256_PREFIX = bytes.fromhex("3059301306072a8648ce3d020106082a8648ce3d030107034200") + b"\x04"


def number(value):
    """A JSON number as ECMAScript writes it (RFC 8785, 3.2.2.3)."""
    if isinstance(value, int):
        value = float(value)
    if value == 0:
        return "0"
    sign, value = ("-", -value) if value < 0 else ("", value)
    # repr gives the shortest digits that read back as the same double, as ECMAScript requires.
    mantissa, _, exponent = repr(value).partition("e")
    whole, _, fraction = mantissa.partition(".")
    fraction = "" if fraction == "0" else fraction
    point = len(whole) + int(exponent or 0)
    digits = whole + fraction
    point -= len(digits) - len(digits.lstrip("0"))
    digits = digits.strip("0")
    count = len(digits)
    if count <= point <= 21:
        text = digits + "0" * (point - count)
    elif 0 < point <= 21:
        text = digits[:point] + "." + digits[point:]
    elif -6 < point <= 0:
        text = "0." + "0" * -point + digits
    else:
        rest = "." + digits[1:] if count > 1 else ""
        text = f"{digits[0]}{rest}e{'+' if point > 0 else '-'}{abs(point - 1)}"
    return sign + text


def canonical(value):
    if value is None or isinstance(value, bool):
        return json.dumps(value)
    if isinstance(value, (int, float)):
        return number(value)
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, list):
        return "[" + ",".join(map(canonical, value)) + "]"
    names = sorted(value, key=lambda name: name.encode("utf-16-be"))
    return "{" + ",".join(canonical(name) + ":" + canonical(value[name]) for name in names) + "}"


def digest(value):
    return hashlib.sha256(canonical(value).encode("utf-8")).hexdigest()


def integer(raw):
    raw = raw.lstrip(b"\0") or b"\0"
    raw = b"\0" + raw if raw[0] & 0x80 else raw
    return b"\x02" + bytes([len(raw)]) + raw


def signed_by(key, message, signature):
    def coordinate(text):
        return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))

    raw = bytes.fromhex(signature)
    body = integer(raw[:32]) + integer(raw[32:])
    with tempfile.TemporaryDirectory() as folder:
        paths = {name: f"{folder}/{name}" for name in ("key", "pem", "signature", "message")}
        contents = {
            "key": P256_PREFIX + coordinate(key["x"]) + coordinate(key["y"]),
            "signature": b"\x30" + bytes([len(body)]) + body,
            "message": message,
        }
        for name, content in contents.items():
            with open(paths[name], "wb") as file:
                file.write(content)
        convert = ["openssl", "pkey", "-pubin", "-inform", "DER", "-in", paths["key"], "-out", paths["pem"]]
        verify = ["openssl", "dgst", "-sha256", "-verify", paths["pem"], "-signature", paths["signature"], paths["message"]]
        return all(subprocess.run(command, capture_output=True).returncode == 0 for command in (convert, verify))


def trouble(log):
    """What is wrong with a log, or None."""
    header, entries = log["header"], log["entries"]
    if header["format"] != "two-needles-log" or header["version"] != 1:
        return "not a log of version 1"
    previous = digest(header)
    sealed = False
    for place, entry in enumerate(entries):
        body = {name: entry[name] for name in ("index", "previous", "event")}
        event = entry["event"]
        if entry["index"] != place or entry["previous"] != previous or entry["digest"] != digest(body):
            return f"entry {place} breaks the chain"
        late = event["type"] in ("remark", "countersigned")
        if late != sealed:
            return f"entry {place} is on the wrong side of the seal"
        if event["type"] == "seal":
            sealed = True
            if event["count"] != place or event["head"] != previous:
                return "the seal is over something else"
        if late or event["type"] == "seal":
            key = event["key"] if late else header["device"]
            if not signed_by(key, canonical(body).encode("utf-8"), entry["signature"]):
                return f"the signature of entry {place} is wrong"
        previous = entry["digest"]
    if not sealed:
        return "no seal"
    if log["end"] != {"count": len(entries), "head": previous}:
        return "the file was cut"
    return None


def main(paths):
    status = 0
    for path in paths:
        with open(path, encoding="utf-8") as file:
            found = trouble(json.load(file))
        print(f"{path}: {found or 'verified'}")
        status = status if found is None else 1
    return status


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Verifies exported logs by FORMAT.md alone, with the standard library and the openssl command: none of the program's code.

Usage: python3 verify-log.py [--keys KEYS.json] (LOG.json | ZIP)...
One line for each, then one for each contradiction or gap in the checks of a device; exit status 1 when something does not verify.
"""

import base64
import hashlib
import io
import json
import re
import subprocess
import sys
import tempfile
import zipfile

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


def unique(pairs):
    names = [name for name, _ in pairs]
    if len(names) != len(set(names)):
        raise ValueError("an object has two members of one name")
    return dict(pairs)


def read_json(raw):
    return json.loads(raw.decode("utf-8-sig"), object_pairs_hook=unique)


def chained(event):
    number, last = event.get("number"), event.get("last")
    return isinstance(number, int) and number >= 1 and (number == 1) == (last is None)


def trouble(log):
    """What is wrong with a log, or None."""
    header, entries = log["header"], log["entries"]
    if header["format"] != "two-needles-log" or header["version"] not in (1, 2, 3):
        return "not a log of version 1, 2 or 3"
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
        if (event["type"] == "start") != (place == 0):
            return f"entry {place} is a start in the wrong place, or none"
        if event.get("at", 0) < 0 or event.get("end", event.get("at", 0)) < event.get("at", 0):
            return f"entry {place} has a time that cannot be"
        if event["type"] == "seal":
            sealed = True
            if event["count"] != place or event["head"] != previous:
                return "the seal is over something else"
            if header["version"] != 1 and not chained(event):
                return "the seal does not say which of its device's it is"
        if late or event["type"] == "seal":
            key = event["key"] if late else header["device"]
            if not signed_by(key, canonical(body).encode("utf-8"), entry["signature"]):
                return f"the signature of entry {place} is wrong"
        own = event.get("own") if late else None
        if own is not None:
            unsigned = {name: value for name, value in own.items() if name != "signature"}
            body = {**body, "event": {**event, "own": unsigned}}
            if not signed_by(own["key"], canonical(body).encode("utf-8"), own["signature"]):
                return f"the officer's signature of entry {place} is wrong"
        previous = entry["digest"]
    if not sealed:
        return "no seal"
    if log["end"] != {"count": len(entries), "head": previous}:
        return "the file was cut"
    return None


CLIP = re.compile(r"(?:clips/(\d{4,6})\.wav|photos/(\d{4,6})\.jpg)")
OF_SYSTEMS = re.compile(r"(^|/)(\.[^/]*|__MACOSX/.*|Thumbs\.db|desktop\.ini)$")


def trouble_beside(log, files, known):
    """What is wrong with the files beside a log, or None."""
    loose = {}
    for name, raw in files.items():
        clip = CLIP.fullmatch(name)
        place = int(clip[1] or clip[2]) if clip else -1
        event = log["entries"][place]["event"] if 0 <= place < len(log["entries"]) else {}
        photo = event.get("type") == "photo"
        if clip and name == (f"photos/{place:04}.jpg" if photo else f"clips/{place:04}.wav"):
            if event.get("clipDigest") != hashlib.sha256(raw).hexdigest():
                return f"{name} is not {'the photo that was taken' if photo else 'the sound that was heard'}"
        elif not OF_SYSTEMS.search(name):
            loose[name] = raw
    raw_manifest = loose.pop("manifest.json", None)
    if log["header"]["version"] == 1 and raw_manifest is None:
        return None
    if raw_manifest is None:
        return f"{sorted(loose)[0]} is bound by nothing" if loose else None
    manifest = read_json(raw_manifest)
    body = {name: value for name, value in manifest.items() if name != "signature"}
    if not signed_by(manifest["key"], canonical(body).encode("utf-8"), manifest["signature"]):
        return "the signature of the manifest is wrong"
    if {"check": manifest["check"], "count": manifest["count"], "head": manifest["head"]} != {
        "check": log["header"]["check"],
        **log["end"],
    }:
        return "the manifest is another log's"
    if manifest["key"] != log["header"]["device"] and manifest["key"] not in (known or []):
        return "the manifest is signed with a key that is not known"
    for name, raw in sorted(loose.items()):
        if manifest["files"].get(name) != hashlib.sha256(raw).hexdigest():
            return f"{name} is not what was sealed"
    return None


def logs_in(path, raw):
    """Every log in a file, with the files beside it."""
    if not raw.startswith(b"PK"):
        yield path, read_json(raw), {}
        return
    archive = zipfile.ZipFile(io.BytesIO(raw))
    names = archive.namelist()
    if len({name.lower() for name in names}) != len(names):
        raise ValueError("two files of one name")
    for name in names:
        if name.endswith(".zip"):
            yield from logs_in(f"{path}, {name}", archive.read(name))
    if "log.json" in names:
        beside = {n: archive.read(n) for n in names if n != "log.json" and not n.endswith(("/", ".zip"))}
        yield f"{path}, log.json", read_json(archive.read("log.json")), beside


def contradictions(seals):
    """What the seals of one device show of each other."""
    said = []
    before = None
    for where, number, last, own in sorted(seals, key=lambda seal: seal[1]):
        if before and number == before[1] and own != before[3]:
            said.append(f"{before[0]} and {where} are both number {number}")
        elif before and number == before[1] + 1 and last != before[3]:
            said.append(f"{where} does not follow {before[0]}")
        elif number > (before[1] if before else 0) + 1:
            said.append(f"missing: {(before[1] if before else 0) + 1} to {number - 1}")
        before = (where, number, last, own)
    return said


def main(arguments):
    known = None
    if arguments[:1] == ["--keys"]:
        with open(arguments[1], "rb") as file:
            known = [each["key"] for each in read_json(file.read())["keys"]]
        arguments = arguments[2:]
    status = 0
    devices = {}
    for path in arguments:
        with open(path, "rb") as file:
            raw = file.read()
        try:
            for where, log, files in logs_in(path, raw):
                found = trouble(log) or trouble_beside(log, files, known)
                key = log["header"]["device"]
                if found is None and known is not None and key not in known:
                    found = "sealed with an unknown key"
                seal = next((entry for entry in log["entries"] if entry["event"]["type"] == "seal"), None)
                if found is None and "number" in seal["event"]:
                    event = seal["event"]
                    placed = (where, event["number"], event.get("last"), seal["digest"])
                    devices.setdefault(key["x"], set()).add(placed)
                print(f"{where}: {found or 'verified'}")
                status = status if found is None else 1
        except (ValueError, KeyError, TypeError) as error:
            print(f"{path}: {error}")
            status = 1
    for seals in devices.values():
        for said in contradictions(seals) if len(seals) > 1 else []:
            print(said)
            status = status if said.startswith("missing") else 1
    return status


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Verify a bundle without the program that wrote it.

    python3 scripts/verify_by_hand.py BUNDLE.zip PUBLIC-KEY

It uses Python's standard library and the openssl command, and follows
docs/record-format.md. It checks the seals and their roots (RFC 6962, section
2.1), the manifest and every sum in it, and the commitments of what is kept
beside the record. Keys other than the one given are trusted if a rotation
signed by both leads to them. It prints one line per check; exit code 1 if one
does not hold.
"""
import base64
import hashlib
import json
import subprocess
import sys
import tempfile
import zipfile

# The DER header of an Ed25519 public key (RFC 8410, section 4).
SPKI = bytes.fromhex("302a300506032b6570032100")
failed = 0


def check(name, ok):
    global failed
    failed += not ok
    print("ok   " if ok else "WRONG", name)


def key_of(vkey):
    """name+hash+base64(algorithm byte, 32 bytes of key): C2SP signed-note."""
    name, digits, data = vkey.split("+", 2)
    raw = base64.b64decode(data)
    expect = hashlib.sha256(name.encode() + b"\n" + raw).hexdigest()[:8]
    if raw[0] != 1 or digits != expect:
        raise SystemExit("not a public key: " + vkey)
    return name, bytes.fromhex(digits), raw[1:]


def signed(note, vkey):
    """The note's text if vkey signed it, else None."""
    text, signatures = note.rsplit("\n\n", 1)
    text += "\n"
    name, key_id, public = key_of(vkey)
    for line in signatures.splitlines():
        _, who, data = line.split(" ")
        data = base64.b64decode(data)
        if who == name and data[:4] == key_id and ed25519(public, text.encode(), data[4:]):
            return text
    return None


def ed25519(public, message, signature):
    with tempfile.TemporaryDirectory() as d:
        for name, data in {"key": SPKI + public, "text": message, "sig": signature}.items():
            with open(d + "/" + name, "wb") as f:
                f.write(data)
        return subprocess.run(
            ["openssl", "pkeyutl", "-verify", "-rawin", "-pubin", "-keyform", "DER",
             "-inkey", d + "/key", "-in", d + "/text", "-sigfile", d + "/sig"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0


def root(lines):
    """Merkle tree hash of RFC 6962, section 2.1."""
    if not lines:
        return hashlib.sha256(b"").digest()
    if len(lines) == 1:
        return hashlib.sha256(b"\0" + lines[0]).digest()
    k = 1
    while 2 * k < len(lines):
        k *= 2
    return hashlib.sha256(b"\1" + root(lines[:k]) + root(lines[k:])).digest()


def trusted_keys(chain, given):
    """The keys that rotations lead to from the given one, both ways."""
    keys = chain["keys"]
    if given not in keys:
        return []
    joined = [signed(r, a) is not None and signed(r, b) is not None and a in r and b in r
              for r, a, b in zip(chain["rotations"], keys, keys[1:])]
    check("key chain", len(joined) == len(keys) - 1 and all(joined))
    return keys if all(joined) else [given]


def main(path, given):
    z = zipfile.ZipFile(path)
    files = {i.filename: z.read(i) for i in z.infolist()}
    check("no file twice", len(files) == len(z.infolist()))
    keys = trusted_keys(json.loads(files["keys/chain"]), given)
    check("the key given is one of the workshop's", bool(keys))

    text = signed(files["manifest"].decode(), keys[-1] if keys else given)
    check("manifest", text is not None)
    listed = {}
    for line in (text or "").splitlines()[2:]:
        part = line.split(" ")
        if len(part) == 3:
            listed[part[2]] = part[:2]
    check("manifest lists every file", sorted(listed) == sorted(set(files) - {"manifest"}))
    for name, (digest, size) in sorted(listed.items()):
        data = files.get(name, b"")
        check(name, hashlib.sha256(data).hexdigest() == digest and len(data) == int(size))

    lines = files["entries.jsonl"].split(b"\n")[:-1]
    for number, line in enumerate(lines, 1):
        e = json.loads(line)
        if e["seq"] != number:
            check("entry %d" % number, False)
        if e["kind"] != "seal":
            continue
        vkey, note = e["body"]["key"], e["body"]["note"]
        text = signed(note, vkey) if vkey in keys else None
        origin, size, digest = (text or "\n0\n\n").split("\n")[:3]
        subject = e["subject"].removeprefix("job/")
        check("seal over entries 1 to %s" % size, text is not None
              and origin == key_of(vkey)[0] + "/" + subject and int(size) == number - 1
              and base64.b64decode(digest) == root(lines[:number - 1]))
    for name in files:
        if name.startswith("blobs/") and not name.endswith(".salt"):
            whole = files[name + ".salt"] + files[name]
            check("commitment " + name, hashlib.sha256(whole).hexdigest() == name[6:]
                  and b'"blob:' + name[6:].encode() + b'"' in files["entries.jsonl"])
    return 1 if failed else 0


if __name__ == "__main__":
    if len(sys.argv) != 3:
        raise SystemExit(__doc__)
    sys.exit(main(sys.argv[1], sys.argv[2]))

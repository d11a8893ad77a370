#!/usr/bin/env python3
"""Checks the golden vectors with other people's libraries.

cbor2 decodes and re-encodes canonically, pycose verifies and signs, cddl-verifier checks the
schema. Usage: cross_check.py FOLDER_OF_VECTORS SCHEMA.cddl; writes what was checked to standard error and,
to standard output, a JSON object with a record that pycose signed: {"network": name, "record": hex}.
"""
import hashlib
import json
import pathlib
import sys

import cbor2
from cddl_verifier import Validator
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from pycose.algorithms import EdDSA
from pycose.headers import KID, Algorithm
from pycose.keys import OKPKey
from pycose.keys.curves import Ed25519
from pycose.messages import Sign1Message

# What only the prose of the specification refuses.
PROSE = {
    "null under an ignorable key",
    "null deep under an ignorable key",
    "cultivar not in NFC",
    "cultivar with a bidirectional override",
    "cultivar with a zero-width space",
    "cultivar with a line break",
    "rotation without the consent of the new key",
    "rotation to a key of small order",
    "vouch for a key of small order",
}
TYPE = "application/vnd.propagule.record+cbor"


def say(text):
    print(text, file=sys.stderr)


def plain(value):
    """The JSON view of the vectors."""
    if isinstance(value, bytes):
        return {"$hex": value.hex()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    return value


def context(network_name):
    network = hashlib.sha256(b"propagule-network/1" + network_name.encode()).digest()
    return b"propagule-record" + network


def tagged(record):
    """pycose wants the tag 18 that our records leave out."""
    return b"\xd2" + record


def check_record(vector, aad):
    record = bytes.fromhex(vector["record"])
    parts = cbor2.loads(record)
    assert isinstance(parts, list) and len(parts) == 4
    header, unprotected, payload, signature = parts
    assert cbor2.loads(header) == {1: -8, 4: bytes.fromhex(vector["author"]), 16: TYPE}
    assert unprotected == {}
    body = cbor2.loads(payload)
    assert plain(body) == vector["body"]
    assert cbor2.dumps(body, canonical=True) == payload, "cbor2 writes another canonical form"
    message = Sign1Message.decode(tagged(record))
    message.external_aad = aad
    message.key = OKPKey(crv=Ed25519, x=bytes.fromhex(vector["author"]))
    assert message.verify_signature(), "pycose refuses the signature"
    structure = cbor2.dumps(["Signature1", header, aad, payload])
    assert structure.hex() == vector["sig_structure"]
    assert hashlib.sha256(b"propagule-id/1" + structure).hexdigest() == vector["id"]
    assert signature.hex() == vector["signature"]


def check_schema(schema, vector):
    result = schema.validate(bytes.fromhex(vector["record"]), root_type="record")
    assert result.valid, "; ".join(f"{d.path_text}: {d.message}" for d in result.diagnostics)


def refuses(schema, vector):
    return not schema.validate(bytes.fromhex(vector["record"]), root_type="record").valid


def sign_one(vector, aad):
    """A record that pycose signs over the body of a vector."""
    seed = bytes([9] * 32)
    private = Ed25519PrivateKey.from_private_bytes(seed)
    public = private.public_key().public_bytes(serialization.Encoding.Raw, serialization.PublicFormat.Raw)
    payload = bytes.fromhex(vector["payload"])
    message = Sign1Message(phdr={Algorithm: EdDSA, KID: public, 16: TYPE}, uhdr={}, payload=payload)
    message.external_aad = aad
    message.key = OKPKey(crv=Ed25519, x=public, d=seed)
    return message.encode(tag=False)


def main(folder, cddl):
    files = [json.loads(path.read_text()) for path in sorted(pathlib.Path(folder).glob("*.json"))]
    schema = Validator(pathlib.Path(cddl))
    valid = held = caught = 0
    signed = None
    for file in files:
        aad = context(file["network"])
        for vector in file.get("valid", []):
            try:
                check_record(vector, aad)
                check_schema(schema, vector)
            except Exception as error:
                raise SystemExit(f"{vector['name']}: {type(error).__name__}: {error}")
            valid += 1
            signed = signed or {"network": file["network"], "record": sign_one(vector, aad).hex()}
        for vector in file.get("held", []):
            check_record(vector, aad)
            held += 1
        broken = [v for v in file.get("invalid", []) if v["reason"] == "broken schema"]
        missed = {v["name"] for v in broken if not refuses(schema, v)}
        assert missed <= PROSE, f"the CDDL should refuse: {sorted(missed - PROSE)}"
        caught += len(broken) - len(missed)
    assert valid and held and caught
    say(f"cross-check: {valid} valid and {held} held records agree, the CDDL refuses {caught} broken ones")
    print(json.dumps(signed))


if __name__ == "__main__":
    main(*sys.argv[1:])

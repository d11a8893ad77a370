"""Holds JSON documents against the schema of their format, by the jsonschema package (JSON Schema, draft 2020-12).

Called with the folder of schemas. Each line of the input is {"schema": name, "document": ...}; each line of the output is
a list of what is wrong, empty where nothing is. The schemas allow fields that a later version adds; here they are closed,
so that a field that no type has is found.
"""

import json
import pathlib
import sys

from jsonschema import Draft202012Validator

IN_PLACE = ("oneOf", "anyOf", "allOf", "$ref")
MARK = "(closed)"


def closed(schema, is_whole):
    """The same without room for fields that it does not name; `is_whole` where nothing beside it names any."""
    if not isinstance(schema, dict):
        return schema
    mixed = "properties" in schema and any(key in schema for key in IN_PLACE)
    out = {key: part(key, value, is_whole and not mixed) for key, value in schema.items()}
    if is_whole and mixed:
        out["unevaluatedProperties"] = False
    elif is_whole and "properties" in schema:
        out.setdefault("additionalProperties", False)
    return out


def part(key, value, is_whole):
    if key in ("properties", "patternProperties"):
        return {name: closed(schema, True) for name, schema in value.items()}
    if key in ("items", "additionalProperties"):
        return closed(value, True)
    if key == "prefixItems":
        return [closed(schema, True) for schema in value]
    if key in ("oneOf", "anyOf", "allOf"):
        return [closed(schema, is_whole and key != "allOf") for schema in value]
    if key == "$ref" and is_whole:
        return value + MARK
    if key == "$defs":
        both = {name: closed(schema, False) for name, schema in value.items()}
        both.update({name + MARK: closed(schema, True) for name, schema in value.items()})
        return both
    return value


def validator(path):
    schema = json.loads(path.read_text())
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(closed(schema, True))


def main():
    validators = {}
    for line in sys.stdin:
        asked = json.loads(line)
        name = asked["schema"]
        if name not in validators:
            validators[name] = validator(pathlib.Path(sys.argv[1]) / f"{name}.json")
        wrong = [f"{error.json_path}: {error.message[:400]}" for error in validators[name].iter_errors(asked["document"])]
        print(json.dumps(wrong[:5]), flush=True)


if __name__ == "__main__":
    main()

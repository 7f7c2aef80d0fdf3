#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Hold reports in JSON against doc/report.schema.json.

usage: validate.py TEST_SHOW [INWARD DESIGN...]
TEST_SHOW is the program made of test_show.c, which prints reports made by hand; INWARD checks the design files.
"""
import copy
import json
import subprocess
import sys

import jsonschema

passed = failed = 0


def check(what, good):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    if not good:
        print("FAIL", what)


def refuse(token):
    raise ValueError(token + " is not JSON")


def report_of(command):
    out = subprocess.run(command, stdout=subprocess.PIPE, check=False).stdout
    return json.loads(out, parse_constant=refuse)  # NaN and Infinity are not JSON, though Python would take them


def errors(validator, report):
    return [f"{list(e.absolute_path)}: {e.message}" for e in validator.iter_errors(report)]


def must_hold(validator, name, report):
    found = errors(validator, report)
    check(f"{name}: {found[:3]}", not found)


def must_break(validator, name, report, spoil):
    spoilt = copy.deepcopy(report)
    spoil(spoilt)
    check(f"the schema does not notice: {name}", errors(validator, spoilt))


def main():
    with open("doc/report.schema.json", encoding="utf-8") as f:
        schema = json.load(f)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for name in ("plain", "many", "blank", "dimensions"):
        must_hold(validator, name, report_of([sys.argv[1], "--json", name]))
    for design in sys.argv[3:]:
        must_hold(validator, design, report_of([sys.argv[2], "check", design, "--json"]))
    plain = report_of([sys.argv[1], "--json", "plain"])
    must_break(validator, "a verdict without its value", plain, lambda r: r["verdicts"][1].pop("value_Pa"))
    must_break(validator, "a value under another unit", plain, lambda r: r["verdicts"][1].update(value_K=1.0))
    must_break(validator, "a word that is none of ours", plain, lambda r: r.update(overall="fine"))
    must_break(validator, "a name nobody documented", plain, lambda r: r["states"][0].update(mood=1.0))
    must_break(validator, "a number as text", plain, lambda r: r["states"][0].update(plate_W="52"))
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())

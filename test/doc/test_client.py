#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The client in doc/example_client.c, linked to the shared library, says what the program says.

usage: test_client.py CLIENT INWARD DESIGN...
The outside it is held against is the program's JSON: the same ids, words and exit status, and sentences without braces.
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile

client, inward, *designs = sys.argv[1:]
passed = failed = 0


def check(good, what):
    global passed, failed
    passed += bool(good)
    failed += not good
    if not good:
        print("FAIL", what)


def run(*command):
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, timeout=300)
    return done.returncode, done.stdout, done.stderr


for design in designs:
    status, out, err = run(client, design)
    wanted, report, _ = run(inward, "check", "--json", design)
    check(status == wanted, f"{design}: exit status {status}, the program has {wanted}: {err}")
    said = re.findall(r"^(\S.*): (meets|in doubt|misses|cannot tell|stated) \(.*, job (.*)\)$", out, re.M)
    verdicts = json.loads(report)["verdicts"]
    check(said == [(v["id"], v["word"], v["job"]) for v in verdicts], f"{design}: other verdicts than the program's\n{out}")
    changes = re.findall(r"^    (.*)$", out, re.M)
    check(changes == [v["change"] for v in verdicts if v["change"]], f"{design}: other advice than the program's\n{out}")
    check("{{" not in out, f"{design}: a sentence with braces\n{out}")

with tempfile.TemporaryDirectory() as folder:
    wrong = pathlib.Path(folder) / "wrong.yaml"
    wrong.write_text("inward: 1\nrooms: []\n")
    status, out, err = run(client, str(wrong))
    check(status == 2 and not out and re.search(r"wrong\.yaml:\d+:\d+: error: ", err), f"a wrong design: {status} {err}")
    status, out, err = run(client, folder + "/none.yaml")
    check(status == run(inward, "check", folder + "/none.yaml")[0] and not out and err, f"no such design: {status} {err}")
    check(run(client)[0] == 2, "no design named")
print(f"{passed} passed, {failed} failed")
sys.exit(bool(failed) or not passed)

#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Lint: links and paths written in the documents exist, and each ./dev verb they name is one."""
import pathlib
import re
import subprocess
import sys

root = pathlib.Path(__file__).resolve().parent.parent
TOP = ("src", "include", "catalog", "examples", "doc", "test", "bench", "tools")
help_text = subprocess.run(["bash", str(root / "dev"), "help"], capture_output=True, text=True, check=True).stdout
verbs = set(re.findall(r"^  (\S+)", help_text, re.M))
passed, bad = 0, []


def check(good, place, what):
    global passed
    if good:
        passed += 1
    else:
        bad.append(f"{place}: {what}")


def anchors(path):
    heads = re.findall(r"^#+\s+(.*)$", path.read_text(), re.M)
    return {re.sub(r"[^\w\- ]", "", h.lower()).replace(" ", "-") for h in heads}


for path in sorted([*root.glob("*.md"), *root.glob("doc/**/*.md")]):
    for number, line in enumerate(path.read_text().splitlines(), 1):
        place = f"{path.relative_to(root)}:{number}"
        for target in re.findall(r"\]\(([^)\s]+)\)", line):
            if re.match(r"[a-z]+:", target):
                continue
            name, _, anchor = target.partition("#")
            file = (path.parent / name) if name else path
            check(file.exists(), place, f"link to {target}: no such file")
            if anchor and file.exists():
                check(anchor in anchors(file), place, f"link to {target}: no such heading")
        for name in re.findall(r"(?<![\w./-])((?:%s)/[\w./*{},-]*[\w/*}])" % "|".join(TOP), line):
            variants = [name]
            brace = re.search(r"\{([^}]*)\}", name)
            if brace:
                variants = [name.replace(brace.group(0), part) for part in brace.group(1).split(",")]
            for variant in variants:
                check(any(root.glob(variant.rstrip("/"))), place, f"{variant}: no such file")
        for verb in re.findall(r"\./dev ([a-z][a-z-]*)", line):
            check(verb in verbs, place, f"./dev {verb}: no such verb")
print(*bad, sep="\n", end="\n" if bad else "")
print(f"{passed} passed, {len(bad)} failed")
sys.exit(bool(bad))

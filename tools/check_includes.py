#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Lint: which room may include which, and which system headers the pure rooms may use (CONTRIBUTING.md, "Rooms")."""
import pathlib
import re
import sys

ROOMS = {
    "base": {"base"},
    "physics": {"base", "physics"},
    "design": {"base", "design"},
    "model": {"base", "physics", "design", "model"},
    "solve": {"base", "physics", "design", "model", "solve"},
    "judge": {"base", "physics", "design", "model", "solve", "judge"},
    "check": {"base", "physics", "design", "model", "solve", "judge", "check"},
    "show": {"base", "design", "judge", "show"}, # judge: verdicts and sentences, no numbers of its own
    "serve": {"base", "design", "show", "serve"},
    "cli": {"base", "cli", "serve"},
}
ROOMS_WITHOUT_IO = {"physics", "model", "solve"}
PURE_HEADERS = {"assert.h", "float.h", "limits.h", "math.h", "stdbool.h", "stddef.h", "stdint.h", "string.h"}
# A library lives in one place only: the folder or file that wraps it.
LIBRARIES = {"yaml.h": ("design/",), "jansson.h": ("show/", "serve/"), "cairo": ("show/",), "microhttpd.h": ("serve/http.c",), "nlopt.h": ("solve/optimum.c",)}

root = pathlib.Path(__file__).resolve().parent.parent
passed, bad = 0, []
for path in sorted([*root.glob("src/*/*.[ch]"), *root.glob("include/inward/*.h")]):
    room = path.parent.name
    for number, line in enumerate(path.read_text().splitlines(), 1):
        found = re.match(r'\s*#\s*include\s*(["<])([^">]+)[">]', line)
        if not found:
            continue
        quote, name = found.groups()
        first = name.split("/")[0]
        why = None
        if quote == '"' and room == "inward" and path.parts[-3] == "include":
            why = "a public header includes nothing of ours"
        elif quote == '"' and first != "inward" and first not in ROOMS.get(room, ()):
            why = f"{room}/ may include {', '.join(sorted(ROOMS.get(room, ())))}"
        elif quote == "<" and room in ROOMS_WITHOUT_IO and name not in PURE_HEADERS and name not in LIBRARIES:
            why = f"{room}/ does no I/O and knows no clock: <{name}> is not on its list"
        elif quote == "<":
            why = next((f"<{name}> belongs in src/{' and '.join(homes)}" for lib, homes in LIBRARIES.items()
                        if name.startswith(lib) and not any(f"/{home}" in str(path) for home in homes)), None)
        if why:
            bad.append(f"{path.relative_to(root)}:{number}: {line.strip()}: {why}")
        else:
            passed += 1
print(*bad, sep="\n", end="\n" if bad else "")
print(f"{passed} passed, {len(bad)} failed")
sys.exit(bool(bad))

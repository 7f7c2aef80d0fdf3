#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Lint: each source, test, catalog file and example is listed in a meson.build (they are listed by hand, so that none is
built by accident; this check is what keeps one from being forgotten), and each C file opens with its SPDX line."""
import os
import pathlib
import sys

root = pathlib.Path(__file__).resolve().parent.parent
WHERE = {  # pattern of files -> the meson.build that must name them
    "src/*/*.c": "src", "test/*/*.c": "test", "test/*/*.py": "test",
    "catalog/*.yaml": "catalog", "examples/*.yaml": "examples", "bench/*.c": "bench", "tools/*.c": "catalog",
}
passed, bad = 0, []
for pattern, folder in WHERE.items():
    listing = (root / folder / "meson.build")
    text = listing.read_text() if listing.exists() else ""
    for path in sorted(root.glob(pattern)):
        name, held, own = os.path.relpath(path, root / folder), text, path.parent / "meson.build"
        if own.exists() and own != listing:  # a room that is built only in part has a list of its own
            name, held = path.name, own.read_text()
        if f"'{name}'" in held or f"'{name.rsplit('.', 1)[0]}'" in held:
            passed += 1
        else:
            bad.append(f"{path.relative_to(root)}: not listed in {folder}/meson.build")
for path in sorted(p for folder in ("src", "include", "test", "bench", "tools") for p in (root / folder).rglob("*.[ch]")):
    if "SPDX-License-Identifier: MIT" in path.read_text().split("\n", 1)[0]:
        passed += 1
    else:
        bad.append(f"{path.relative_to(root)}: the first line is not the SPDX line")
print(*bad, sep="\n", end="\n" if bad else "")
print(f"{passed} passed, {len(bad)} failed")
sys.exit(bool(bad))

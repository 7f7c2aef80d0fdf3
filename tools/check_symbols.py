#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Lint on object files: physics, model and solve call the maths library, mem*, their own layers, and nothing else.

usage: check_symbols.py BUILD_DIR    (a build without sanitizers, which call run-time functions of their own)
Also: the shared library exports exactly the functions that include/inward/inward.h declares.
"""
import pathlib
import re
import subprocess
import sys

# A room may call itself and what stands to its right here. Base hands out arena memory; nothing of it does I/O.
MAY_CALL = {
    "physics": {"physics"},
    "model": {"model", "physics", "design", "base"},
    "solve": {"solve", "model", "physics", "design", "base"},
}
MATHS = set("""acos acosh asin asinh atan atan2 atanh cbrt ceil copysign cos cosh erf erfc exp exp2 expm1 fabs fdim
    floor fma fmax fmin fmod frexp hypot ldexp lgamma log log10 log1p log2 lround modf nan nearbyint pow remainder rint
    round sin sincos sinh sqrt tan tanh tgamma trunc""".split())
PLAIN = {"memcpy", "memmove", "memset", "memcmp", "memchr", "strcmp", "strncmp", "strlen", "__assert_fail",
         "_GLOBAL_OFFSET_TABLE_", "__stack_chk_fail"}

root = pathlib.Path(__file__).resolve().parent.parent
build = pathlib.Path(sys.argv[1])


def symbols(path, *flags):
    out = subprocess.run(["nm", *flags, str(path)], check=True, capture_output=True, text=True).stdout
    return {line.split()[-1].split("@")[0] for line in out.splitlines() if line.strip() and not line.endswith(":")}


objects = {}
for o in sorted(build.glob("src/libinward.a.p/*.c.o")):
    room = o.name.split("_")[0]
    objects.setdefault(room, []).append(o)
passed, bad = 0, []
owner = {s: room for room, files in objects.items() for o in files for s in symbols(o, "-g", "--defined-only")}
for room, friends in MAY_CALL.items():
    for o in objects.get(room, []):
        for s in sorted(symbols(o, "-u")):
            if s in MATHS or s in PLAIN or owner.get(s) in friends or (s.startswith("nlopt_") and o.name == "solve_optimum.c.o"):
                passed += 1
            else:
                bad.append(f"{o.name}: calls {s}" + (f", which lives in {owner[s]}/" if s in owner else ""))
    if not objects.get(room) and any(root.glob(f"src/{room}/*.c")):
        bad.append(f"no object files of src/{room} under {build}")

shared = build / "src" / "libinward.so"
header = re.sub(r"/\*.*?\*/", "", (root / "include/inward/inward.h").read_text(), flags=re.S)
declared = set(re.findall(r"\b(inw_\w+)\s*\([^;{]*\)[^;{]*;", header))
declared |= set(re.findall(r"\bextern const [\w ]+\b(inw_\w+)\[\w*\];", header))  # a table
exported = symbols(shared, "-D", "--defined-only")
for name in sorted(declared | exported):
    if name in declared and name in exported:
        passed += 1
    elif name in declared:
        bad.append(f"{shared.name}: {name} is declared in inward.h but not exported")
    else:
        bad.append(f"{shared.name}: {name} is exported but not declared in inward.h")
print(*bad, sep="\n", end="\n" if bad else "")
print(f"{passed} passed, {len(bad)} failed")
sys.exit(bool(bad))

#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""embed.py OUT.c FILE...: compiles tools/embed.c and runs it, for a build by hand; meson builds with embed.c itself."""
import os
import pathlib
import subprocess
import sys
import tempfile

root = pathlib.Path(__file__).resolve().parent.parent
with tempfile.TemporaryDirectory() as folder:
    program = os.path.join(folder, "embed")
    sources = [root / name for name in ("tools/embed.c", "src/base/arena.c", "src/base/diag.c", "src/design/node.c")]
    subprocess.run([os.environ.get("CC", "cc"), "-std=c17", f"-I{root}/include", f"-I{root}/src", *sources, "-lyaml", "-o", program],
                   check=True)
    sys.exit(subprocess.run([program, *sys.argv[1:]]).returncode)

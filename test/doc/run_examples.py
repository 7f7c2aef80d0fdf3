#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The documents' examples run and print what they say.

usage: run_examples.py INWARD [file.md ...]     (README.md and doc/*.md when none is named)

A fenced ```yaml block that begins with a line "# NAME.yaml" is written to that file first, so that a guide can build up a
design. In a fenced ```console block, a line "$ inward ..." (or "$ ./build/inward ...") is run in a scratch copy of examples/;
the lines up to the next "$" are what it prints (standard output and error together). "..." within a line stands for any
text, alone on a line for any lines. A last line "(exit N)" gives the exit status; without it 0 or 1 are both fine,
since 1 only means that not all is met. Other commands ("$ ./dev demo") are not run here.
"""
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

root = pathlib.Path(__file__).resolve().parent.parent.parent


def commands(path):
    """(line number, command, lines that follow)"""
    block, out = False, []
    for number, line in enumerate(path.read_text().splitlines(), 1):
        if re.match(r"\s*```", line):
            block = line.strip() == "```console"
        elif block and line.startswith("$ "):
            out.append((number, line[2:], []))
        elif block and out:
            out[-1][2].append(line)
    return out


def files_of(path):
    """(name, text) of the yaml blocks that name a file"""
    for block in re.findall(r"^```yaml\n(.*?)^```", path.read_text(), re.M | re.S):
        if name := re.match(r"# ([\w-]+\.yaml)\n", block):
            yield name[1], block


def pattern(lines):
    parts = []
    for line in lines:
        if line.strip() == "...":
            parts.append(r"(?:.*\n)*?")
        else:
            parts.append(r".*".join(re.escape(p) for p in line.rstrip().split("...")) + r"[ \t]*\n")
    return re.compile("".join(parts))


def first_difference(want, got):
    for i in range(len(want), 0, -1):
        if pattern(want[:i]).match(got):
            return want[i] if i < len(want) else "(end of output)"
    return want[0] if want else "(no output)"


inward = pathlib.Path(sys.argv[1]).resolve()
files = [pathlib.Path(f) for f in sys.argv[2:]] or [root / "README.md", *sorted(root.glob("doc/**/*.md"))]
passed = failed = 0
with tempfile.TemporaryDirectory() as scratch:
    shutil.copytree(root / "examples", scratch + "/examples")
    if (root / "catalog").is_dir():
        shutil.copytree(root / "catalog", scratch + "/catalog")
    (pathlib.Path(scratch) / "inward").symlink_to(inward)
    for path in files:
        for name, text in files_of(path):
            (pathlib.Path(scratch) / name).write_text(text)
        for number, command, want in commands(path):
            if not re.match(r"(\./build/)?inward\b", command):
                continue
            allowed = (0, 1)
            while want and not want[-1].strip():
                want.pop()
            if want and (status := re.fullmatch(r"\(exit (\d+)\)", want[-1])):
                allowed = (int(status[1]),)
                want.pop()
            shell = re.sub(r"^(\./build/)?inward\b", "./inward", command)
            shell = re.sub(r"([|;&]\s*)(\./build/)?inward\b", r"\1./inward", shell)
            done = subprocess.run(["bash", "-c", shell], cwd=scratch, stdin=subprocess.DEVNULL, text=True, timeout=300,
                                  stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
            fault = None
            if done.returncode not in allowed:
                fault = f"exit status {done.returncode}, not {' or '.join(map(str, allowed))}"
            elif want and not pattern(want).fullmatch(done.stdout):
                fault = f"the output leaves the document at: {first_difference(want, done.stdout)}"
            if fault:
                failed += 1
                print(f"FAIL {path.name}:{number}: $ {command}\n  {fault}")
                print("\n".join("  | " + line for line in done.stdout.splitlines()[:40]))
            else:
                passed += 1
print(f"{passed} passed, {failed} failed")
sys.exit(bool(failed) or not passed)

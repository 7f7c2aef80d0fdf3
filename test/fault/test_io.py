#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Input and output that fail: each is said on standard error with the file's name, ends with its own exit status (the
man page's: 2 bad input, 3 trouble of the machine), and leaves no half file behind.

usage: test_io.py INWARD
"""
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

inward = str(pathlib.Path(sys.argv[1]).resolve())
root = pathlib.Path(__file__).resolve().parent.parent.parent
example = str(root / "examples" / "splint-night.yaml")
passed = failed = 0
BAD, TROUBLE = 2, 3
# another user, since root may read and write everything
other = {"user": 65534, "group": 65534, "extra_groups": []} if os.geteuid() == 0 else {}


def run(*arguments, stdout=subprocess.PIPE, **more):
    return subprocess.run([inward, *map(str, arguments)], stdout=stdout, stderr=subprocess.PIPE, stdin=subprocess.DEVNULL,
                          timeout=300, cwd="/", **more)


def check(what, good, done=None):
    global passed, failed
    if good:
        passed += 1
        return
    failed += 1
    print(f"FAIL {what}" + (f": exit {done.returncode}, stderr {done.stderr.decode(errors='replace')!r}" if done else ""))


def refused(what, name, status, done):
    check(f"{what}: exit status {status}", done.returncode == status, done)
    check(f"{what}: names the file", str(name).encode() in done.stderr, done)


def unread(what, name, status, done):
    refused(what, name, status, done)
    check(f"{what}: prints no result", not done.stdout, done)


def inputs(here, reachable):
    missing = here / "missing.yaml"
    unread("missing file", missing, TROUBLE, run("check", missing))
    unread("folder for a file", here, TROUBLE, run("check", here))
    empty = here / "empty.yaml"
    empty.touch()
    unread("empty file", empty, BAD, run("check", empty))
    large = here / "large.yaml"
    large.write_bytes(b"# a comment that does not end\n" * 100000)
    unread("file over the ceiling", large, BAD, run("check", large))
    done = run("check", "/dev/zero")
    check("device that never ends: refused", done.returncode in (BAD, TROUBLE) and b"/dev/zero" in done.stderr, done)
    locked = here / "locked.yaml"
    shutil.copy(example, locked)
    locked.chmod(0)
    if reachable:
        unread("unreadable file", locked, TROUBLE, run("check", locked, **other))
    for name in ("empty.yaml", "large.yaml", "locked.yaml"):
        (here / name).unlink()


def outputs():
    """A full disk: the result did not arrive, so the run did not go well, whatever the verdicts are."""
    for arguments in (["check", example], ["check", "--json", example], ["help"], ["version"]):
        with open("/dev/full", "wb") as full:
            done = run(*arguments, stdout=full)
        check(f"{arguments} to a full disk: exit status", done.returncode == TROUBLE, done)
        check(f"{arguments} to a full disk: says so", b"write" in done.stderr, done)
    closed = subprocess.run(["bash", "-c", '"$0" check "$1" >&-', inward, example], capture_output=True, timeout=300)
    check("closed standard output: exit status", closed.returncode == TROUBLE, closed)
    piped = subprocess.run(["bash", "-c", '"$0" check "$1" | true; exit ${PIPESTATUS[0]}', inward, example],
                           capture_output=True, timeout=300)
    check("reader that left early: its own exit status or the verdict's", piped.returncode in (0, 1, TROUBLE), piped)


def pictures(here, reachable):
    """Whole or not at all. The report is printed all the same."""
    for ending in ("svg", "pdf", "png"):
        gone = here / "no such folder" / f"box.{ending}"
        refused(f"{ending} into a missing folder", gone, TROUBLE, run("check", example, "--picture", gone))
        taken = here / f"taken.{ending}"
        taken.mkdir()
        refused(f"{ending} over a folder", taken, TROUBLE, run("check", example, "--picture", taken))
        fine = here / f"fine.{ending}"
        fine.write_text("an older picture")
        done = run("check", example, "--picture", fine)
        check(f"{ending} is drawn over an older one", fine.stat().st_size > 500, done)
    refused("unknown ending", "box.bmp", BAD, run("check", example, "--picture", here / "box.bmp"))
    if reachable:
        shut = here / "shut"
        shut.mkdir()
        shut.chmod(0o555)
        refused("folder without write permission", shut / "box.svg", TROUBLE,
                run("check", example, "--picture", shut / "box.svg", **other))
    left = sorted(p.name for p in here.rglob("*") if p.is_file())
    check(f"no half files are left: {left}", left == ["fine.pdf", "fine.png", "fine.svg"])


def before_the_work(here):
    """What cannot be written at the end of long work is said before it begins: no sample is drawn, nothing told."""
    for arguments, name, status in ((["--keep", here / "none" / "kept"], here / "none" / "kept", TROUBLE), (["--keep", here], here, TROUBLE),
                                    (["--picture", "odds.gif"], "odds.gif", BAD), (["--picture", here / "none" / "o.svg"], here / "none" / "o.svg", TROUBLE)):
        unread(f"odds {arguments[0]}", name, status, run("odds", example, "--samples", "64", *arguments))


with tempfile.TemporaryDirectory() as scratch:
    folder = pathlib.Path(scratch)
    folder.chmod(0o755)
    # the build may stand in a folder that the other user may not enter
    there = not other or subprocess.run(["test", "-x", inward, "-a", "-r", example], **other).returncode == 0
    if not there:
        print("the other user cannot reach the program: two permission checks are left out")
    inputs(folder, there)
    outputs()
    pictures(folder, there)
    before_the_work(folder)

print(f"{passed} passed, {failed} failed")
sys.exit(bool(failed))

#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""`inward begin` from outside: answers from a file, from standard input and at a terminal; what it must refuse.

usage: test_begin.py INWARD
"""
import errno
import json
import os
import pathlib
import pty
import select
import signal
import subprocess
import sys
import tempfile
import time

inward = str(pathlib.Path(sys.argv[1]).resolve())
passed = failed = 0
WAIT_S = 120  # sanitizers are slow
# a built box the size of a fist around a printer and a heater: no blower cools it below where the laws end
TOO_HOT = {"box": "built", "width": "50 mm", "depth": "110 mm", "height": "50 mm", "panel": "acrylic", "heater": "yes", "blower": "axial 120 mm"}
QUICK = {"material": "PLA", "panel": "acrylic", "blower": "radial 97 mm", "people": ["works"], "appliance": "none"}


def check(what, good, more=""):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print(f"FAIL {what}: {str(more)[:600]}")


def run(folder, *arguments, text=None):
    return subprocess.run([inward, *arguments], cwd=folder, capture_output=True, text=True, timeout=WAIT_S,
                          **({"input": text} if text is not None else {"stdin": subprocess.DEVNULL}))


def left(folder):
    return sorted(p.name for p in folder.iterdir())


def files(folder):
    (folder / "answers.json").write_text(json.dumps(QUICK))
    r = run(folder, "begin", "a.yaml", "--answers", "answers.json")
    check("from a file", r.returncode == 0 and r.stdout.startswith("Verdict: ") and "inward check a.yaml" in r.stdout and not r.stderr, r)
    text = (folder / "a.yaml").read_text()
    check("gaps of what is not built are aims: in the file, in the verdict, in check",
          "planned: yes" in text and "an aim, not measured" in text and "Planned: the gaps are aims, not measurements" in r.stdout
          and "Planned: the gaps are aims" in run(folder, "check", "a.yaml").stdout, r.stdout)
    (folder / "built.yaml").write_text(text.replace("  planned: yes", "  # built"))
    check("till the line is struck", "Planned:" not in run(folder, "check", "built.yaml").stdout)
    (folder / "built.yaml").unlink()
    check("it says what was said", "material: PLA " in text and "radial 97 mm" in text and "# you said" in text, text)
    c = run(folder, "check", "a.yaml")
    check("it reads without a word, and the verdict shown is that of check", c.stderr == "" and c.stdout.startswith(r.stdout.split("\n\n")[0]), c)
    r = run(folder, "begin", "b.yaml", text=json.dumps(QUICK))
    check("from standard input: the same bytes", r.returncode == 0 and (folder / "b.yaml").read_text() == text, r)
    r = run(folder, "begin", "u.yaml", "--answers=-", "--units", "us", text="material: PLA\npanel: acrylic\nblower: 97x33\nwidth: 500 mm\n")
    check("US units, YAML", r.returncode == 0 and "inside: {width: 24 in," in (folder / "u.yaml").read_text(), (folder / "u.yaml").read_text())
    r = run(folder, "begin", "a.yaml", "--answers", "answers.json")
    check("a file that is there stays", r.returncode == 2 and "is there already" in r.stderr and (folder / "a.yaml").read_text() == text, r)
    (folder / "nowhere").symlink_to("gone.yaml")
    check("a link too", run(folder, "begin", "nowhere", "--answers", "answers.json").returncode == 2 and not (folder / "gone.yaml").exists())
    r = run(folder, "begin", "h.yaml", text=json.dumps(TOO_HOT))
    check("what cannot be solved is written, said and no success", r.returncode == 1 and "cannot be solved in" in r.stderr and "hotter than 200 degC" in r.stderr
          and "Next: " in r.stdout and (folder / "h.yaml").exists(), r)
    c = run(folder, "check", "h.yaml")
    check("check reads it, and it is as was said", c.returncode == 1 and c.stderr == "" and "No steady state was found" in c.stdout, c)
    (folder / "h.yaml").unlink()
    r = run(folder, "begin", "no/c.yaml", "--answers", "answers.json")
    check("no such folder", r.returncode == 3 and "no/c.yaml" in r.stderr, r)
    r = run(folder, "begin", "c.yaml", "--answers", "missing.json")
    check("no such answers", r.returncode == 3 and "missing.json" in r.stderr, r)
    for what, answers, says in [("a wrong word", '{"material":\n "PLS"}', "answers:2:2: error: material: there is no 'PLS'; did you mean 'PLA'?"),
                                ("a wrong id", '{"materiel": "PLA"}', "did you mean 'material'?"), ("no unit", '{"width": "500"}', "has no unit"),
                                ("no mapping", "[1]", "mapping"), ("nothing", "", "answers are a JSON object"), ("no JSON", "{", "broken")]:
        r = run(folder, "begin", "c.yaml", text=answers)
        check(what, r.returncode == 2 and says in r.stderr and not r.stdout, r)
    r = run(folder, "begin", "c.yaml", text="title: '" + "x" * (1 << 21) + "'")
    check("too much", r.returncode == 2, r.stderr[:200])
    check("--json is not for it", run(folder, "begin", "c.yaml", "--json").returncode == 2)
    if os.path.exists("/dev/full"):
        with open("/dev/full", "w") as full:
            r = subprocess.run([inward, "begin", "f.yaml", "--answers", "answers.json"], cwd=folder, stdout=full, stderr=subprocess.PIPE, text=True, timeout=WAIT_S)
        check("standard output full: the file is whole all the same", r.returncode == 3 and (folder / "f.yaml").read_text() == text, r)
    check("no half file is left", left(folder) == ["a.yaml", "answers.json", "b.yaml", "f.yaml", "nowhere", "u.yaml"], left(folder))


class Terminal:
    """A talk at a pseudo-terminal."""

    def __init__(self, folder, *arguments):
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.chdir(folder)
            signal.signal(signal.SIGINT, signal.SIG_DFL)  # whoever runs the tests in the background ignores it
            os.execv(inward, [inward, *arguments])
        self.seen, self.last, self.wait = "", "", WAIT_S

    def read(self, until):
        """Whatever comes until `until` stands at its end; None when it is over."""
        self.last, end = "", time.monotonic() + self.wait
        while time.monotonic() < end:
            if not select.select([self.fd], [], [], 0.5)[0]:
                continue
            try:
                piece = os.read(self.fd, 65536)
            except OSError as e:
                if e.errno != errno.EIO:
                    raise
                return None
            if not piece:
                return None
            self.last += piece.decode()
            self.seen += piece.decode()
            if until and self.last.endswith(until):
                return self.last
        return None

    def say(self, text):
        os.write(self.fd, text.encode())

    def end(self, wait=WAIT_S):
        self.wait = wait
        self.read(None)
        for _ in range(20):
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                break
            time.sleep(0.05)
        else:
            os.kill(self.pid, signal.SIGKILL)
            status = os.waitpid(self.pid, 0)[1]
        os.close(self.fd)
        return os.waitstatus_to_exitcode(status)


def talk(folder):
    answers = {"What stands in the box?": "1", "Which material does it work with?": "1, PETG", "How wide is it?": "500", "What are its walls": "acrylic",
               "Who is there, and when?": "1,4", "What burns gas": "1", "Which blower do you have?": "radial 97 mm", "Where can air go?": "window"}
    t = Terminal(folder, "begin", "t.yaml")
    asked, back = [], False
    while (text := t.read("> ")) is not None and len(asked) < 80:
        question = next((q for q in answers if q in text), None)
        asked.append(text)
        if "has no unit" in text:
            t.say("500 mm\n")
        elif "How deep is it?" in text and not back:
            back = True
            t.say("back\n")
        else:
            t.say(answers.get(question, "") + "\n")
    status = t.end()
    made = (folder / "t.yaml").read_text() if (folder / "t.yaml").exists() else ""
    check("a talk at a terminal ends in a file and a verdict", status == 0 and "Verdict: " in t.seen and "Next: " in t.seen, t.seen[-800:])
    check("numbers and words were understood", "material: PETG" in made and "name: child" in made and "width: 600 mm" in made and "exhaust: {to: outdoors" in made, made)
    check("a wrong answer is asked again", any("has no unit" in a for a in asked))
    check("'back' goes back", sum("How wide is it?" in a for a in asked) == 4, len(asked))
    check("only fitting materials are offered", not any("laser acrylic" in a for a in asked))
    check("what depends on another answer is asked only then", any("How long is the way outdoors?" in a for a in asked) and
          not any("How large is the medium" in a for a in asked))
    check("every question says what Enter means", all("Enter alone: " in a for a in asked))
    for what, sent, ends in [("Ctrl-D", "\x04", 3), ("Ctrl-C", "\x03", -signal.SIGINT)]:
        t = Terminal(folder, "begin", "stopped.yaml")
        t.read("> ")
        t.say(sent)
        status = t.end(20)
        check(f"{what} ends it, and nothing is written", status == ends and not (folder / "stopped.yaml").exists(), (status, t.seen[-200:]))
    t = Terminal(folder, "begin", "long.yaml")
    t.read("> ")
    t.say("x" * 3000 + "\n")
    text = t.read("> ")
    check("a line that is too long is refused", text is not None and "there is no 'xxx" in text, text)
    t.say("\x04")
    t.end(20)


with tempfile.TemporaryDirectory() as scratch:
    files(pathlib.Path(scratch))
with tempfile.TemporaryDirectory() as scratch:
    talk(pathlib.Path(scratch))
print(f"{passed} passed, {failed} failed")
sys.exit(bool(failed))

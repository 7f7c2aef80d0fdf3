#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The report on paper, read back with pdftotext: everything that the report has stands in it, inside the margins of its pages,
whatever the names; the same bytes each time; no file when it could not be written.

usage: test_paper.py INWARD EXAMPLE...
"""
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

inward, examples = str(pathlib.Path(sys.argv[1]).resolve()), [pathlib.Path(a).resolve() for a in sys.argv[2:]]
passed = failed = 0
LEFT, RIGHT, TOP, BOTTOM = 54, 36, 40, 18  # as in src/show/leaf.h; the foot's lowest line is 18 above the edge


def check(what, good, more=""):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print(f"FAIL {what}: {str(more)[:400]}")


def run(*arguments):
    return subprocess.run([inward, *map(str, arguments)], capture_output=True, text=True, timeout=300)


def squeezed(text):
    """Without what wrapping moves: spaces and line ends; units as they are typed."""
    for printed, typed in {"\u00b0": "deg", "\u00b5": "u", "\u00b2": "2", "\u00b3": "3"}.items():
        text = text.replace(printed, typed)
    return re.sub(r"\s+", "", text)


def body(pdf):
    """The text without the feet of its pages, which may fall into the middle of a sentence."""
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", subprocess.run(["pdfinfo", pdf], capture_output=True, text=True).stdout)
    height = int(float(size[2])) - 50
    return subprocess.run(["pdftotext", "-raw", "-x", "0", "-y", "0", "-W", "700", "-H", str(height), pdf, "-"], capture_output=True, text=True).stdout


def inside(name, pdf):
    boxes = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True).stdout
    pages = re.findall(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', boxes, re.S)
    for number, (w, h, words) in enumerate(pages, 1):
        out = [m[4] for m in re.findall(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<', words)
               if not (float(m[0]) >= LEFT - 1 and float(m[1]) >= TOP - 8 and float(m[2]) <= float(w) - RIGHT + 1 and float(m[3]) <= float(h) - BOTTOM)]
        check(f"{name}: page {number} keeps its margins", not out, out)
        check(f"{name}: page {number} says so", f">{number}</word>" in words and f">{len(pages)}</word>" in words)
    return len(pages)


def everything(file, folder, units):
    name, pdf = f"{file.stem} {units}", folder / "paper.pdf"
    done, judged = run("report", file, "--to", pdf, "--units", units), run("check", file, "--json")
    check(f"{name}: exit status of the check", done.returncode == judged.returncode and not done.stderr, done.stderr)
    report, text = json.loads(judged.stdout), squeezed(body(pdf))
    check(f"{name}: several pages", inside(name, pdf) > 3)
    wanted = [report["title"], report["disclaimer"], *[q["path"] for q in report["assumed"]], *[q["source"] for q in report["assumed"]],
              *[g["name"] for g in report["states"][0]["gaps"]], *[s["job"] for s in report["states"]]]
    if units == "si":
        wanted += [v["title"] for v in report["verdicts"]] + report["cautions"] + report["notes"] + \
                  [v["limit_source"] for v in report["verdicts"] if v["limit_source"] and v["sense"] != "no limit"] + \
                  [v["change"] for v in report["verdicts"] if v["change"]]
    for item in wanted:
        check(f"{name}: has {item[:60]!r}", squeezed(item) in text)
    check(f"{name}: nothing is shortened", "\u2026" not in text)
    check(f"{name}: is no promise", not re.search(r"\b(is|are) safe\b|certified", body(pdf), re.I))
    before = pdf.read_bytes()
    run("report", file, "--to", pdf, "--units", units)
    check(f"{name}: the same bytes again", pdf.read_bytes() == before)


def waits(file, folder):
    """After a job the day's wait is printed where it is the longer, never the box's own air alone; `more than` where it cannot tell."""
    pdf = folder / "wait.pdf"
    run("report", file, "--to", pdf)
    day = " ".join(run("day", file).stdout.split())
    said = re.findall(r"blower on for (more than )?([\d.]+ \w+) after it", " ".join(body(pdf).split()))
    for wait in re.findall(r"Wait ([\d.]+ \w+) with the blower running: the door may", day):
        check(f"{file.stem}: the door waits {wait} as the day says", ("", wait) in said, said)
    if "How long to wait, this day cannot tell" in day:
        check(f"{file.stem}: a day that cannot tell gives no wait that is enough", any(more for more, _ in said), said)


def long_names(folder):
    text = next(e for e in examples if e.stem == "splint-night").read_text()
    word, words = "Unbreakable" * 7, "a name of many words W " * 3
    text = text.replace("name: lid seam", f'name: "{words}"').replace("name: door seam", f"name: {word}").replace("title: Splint", f"title: {word} {words} Splint")
    file, pdf = folder / "long.yaml", folder / "long.pdf"
    file.write_text(text)
    done = run("report", file, "--to", pdf, "--dated", "the 29th of February")
    check("long names: written", pdf.exists(), done.stderr)
    inside("long names", pdf)
    got = squeezed(body(pdf))
    for item in (word, words, "the 29th of February"):
        check(f"long names: {item[:30]!r} is whole", squeezed(item) in got)


def options(folder):
    file = next(e for e in examples if e.stem == "splint-night-mended")
    sizes = {}
    for arguments in ([], ["--units", "us"], ["--paper", "letter"], ["--units", "us", "--paper", "a4"]):
        run("report", file, "--to", folder / "size.pdf", *arguments)
        sizes[tuple(arguments)] = re.search(r"Page size:\s+(.*)", subprocess.run(["pdfinfo", folder / "size.pdf"], capture_output=True, text=True).stdout)[1]
    check("paper goes with the units", ["letter" in s for s in sizes.values()] == [False, True, True, False], sizes)
    done = run("report", file, "--to", folder / "life.pdf", "--life")
    answer = re.search(r"Change: (.*?)\n\S", run("life", file).stdout, re.S)[1]
    check("--life prints the answer of 'inward life'", squeezed(answer) in squeezed(body(folder / "life.pdf")), done.stderr)
    check("without it the paper says how to get it", "inwardlife" in squeezed(body(folder / "size.pdf")))


def failures(folder):
    file = examples[0]
    for what, status, arguments in [("no --to", 2, [file]), ("another ending", 2, [file, "--to", folder / "x.svg"]), ("a size that is none", 2, [file, "--to", folder / "x.pdf", "--paper", "a5"]),
                                    ("no such folder", 3, [file, "--to", folder / "none" / "x.pdf"]), ("no such design", 3, [folder / "none.yaml", "--to", folder / "x.pdf"])]:
        done = run("report", *arguments)
        check(f"{what}: exit status {status}", done.returncode == status and done.stderr, (done.returncode, done.stderr))
    check("no file is left", not list(folder.iterdir()), list(folder.iterdir()))


if not shutil.which("pdftotext"):
    print("pdftotext is not installed: nothing could be read back\n0 passed, 1 failed")
    sys.exit(1)
with tempfile.TemporaryDirectory() as scratch:
    here = pathlib.Path(scratch)
    failures(here)
    for example in examples:
        for system in ("si", "us"):
            everything(example, here, system)
        waits(example, here)
    long_names(here)
    options(here)
print(f"{passed} passed, {failed} failed")
sys.exit(bool(failed))

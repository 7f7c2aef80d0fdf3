#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Lint: in src/physics every number that is not plain arithmetic has a comment on its line, or stands in a function
(or table) whose comments name where its numbers come from. For a #define any comment on it or right above it will do."""
import pathlib
import re
import sys

# what algebra itself brings: signs, halves, squares, cubes, quarters; and powers of ten that only scale
PLAIN = {"0", "1", "2", "3", "4", "0.0", "1.0", "2.0", "3.0", "4.0", "0.5", "0.25", "0.", "1.", "2.", "6", "10", "10.0",
         "3.14159265358979323846"}
SOURCED = re.compile(r"\b(1[89]|20)\d\d\b|\bmemory\b|common practice|\bexact\b|by definition|\bCODATA\b|\bISO\b|\bASTM\b|"
                     r"\beq\.|\btable\b|\bhandbook\b|\bsource:", re.I)
LITERAL = re.compile(r"(?<![\w.])(?:\d+\.\d*|\.\d+|\d+)(?:[eE][+-]?\d+)?(?![\w.])")

root = pathlib.Path(__file__).resolve().parent.parent
passed, bad = 0, []


def split_comments(text):
    """(code, comment) of each line, strings blanked; the comment of a line that only ends one is " "."""
    out, inside = [], False
    for line in text.splitlines():
        code, comment = "", " " if inside else ""
        i = 0
        while i < len(line):
            if inside:
                end = line.find("*/", i)
                comment += line[i:] if end < 0 else line[i:end]
                inside = end < 0
                i = len(line) if end < 0 else end + 2
            elif line.startswith("/*", i):
                inside, i = True, i + 2
            elif line.startswith("//", i):
                comment += line[i + 2:]
                i = len(line)
            elif line[i] == '"':
                end = i + 1
                while end < len(line) and line[end] != '"':
                    end += 2 if line[end] == "\\" else 1
                i = end + 1
                code += '""'
            else:
                code += line[i]
                i += 1
        out.append((code, comment))
    return out


for path in sorted(root.glob("src/physics/*.[ch]")):
    sourced = False      # the item at hand (comment block above it included) has named a source
    fresh = True         # the next comment starts a new item
    counts = set(re.findall(r"\[([A-Z_]+)\]", path.read_text()))  # lengths of arrays are no physics
    depth = 0
    above = False        # the line before was (the end of) a comment
    for number, (code, comment) in enumerate(split_comments(path.read_text()), 1):
        if depth == 0 and not code.strip() and not comment:
            fresh = True
        if (comment or code.strip()) and fresh and depth == 0:
            sourced, fresh = False, False
        sourced = sourced or bool(comment and SOURCED.search(comment))
        named = re.match(r"#define (\w+) \d+$", code.strip())
        if not code.lstrip().startswith("#include") and not (named and named[1] in counts):
            for literal in LITERAL.findall(re.sub(r"\[[^\]]*\]", "", code)):
                if literal in PLAIN or comment.strip() or sourced or (above and code.startswith("#define")):
                    passed += 1
                else:
                    bad.append(f"{path.relative_to(root)}:{number}: {literal}: where does it come from?  {code.strip()[:80]}")
        above = bool(comment) and not code.strip()
        depth += code.count("{") - code.count("}")
print(*bad, sep="\n", end="\n" if bad else "")
print(f"{passed} passed, {len(bad)} failed")
sys.exit(bool(bad))

#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""How fast `inward serve` answers on loopback. Prints "NAME VALUE UNIT" for bench/run.py.

usage: bench_serve.py INWARD DESIGN LOAD    (LOAD: the program of bench/load.c)

  serve_check_kept          the file's check asked again and again: read, hashed, and answered from what is kept
  serve_check_draft_kept    a draft's check asked again: parsed as JSON, hashed, kept
  serve_check_cold          every request another text: read, solved, judged, written
  serve_set_to_verdicts     one number moved to all verdicts in words, as the page does it (median and 95th percentile)
"""
import http.client
import json
import pathlib
import re
import statistics
import subprocess
import sys
import tempfile
import time

inward, design, load = (str(pathlib.Path(a).resolve()) for a in sys.argv[1:4])
JSON = {"Content-Type": "application/json"}


def loaded(port, path, folder, bodies, seconds):
    """Requests a second by 8 connections; `bodies`: one or many, sent in turn."""
    arguments = [load, str(port), path, "8", str(seconds)]
    for i, body in enumerate(bodies):
        file = pathlib.Path(folder) / f"body{i}"
        file.write_text(body)
        arguments.append(str(file))
    done = subprocess.run(arguments, capture_output=True, text=True, check=True)
    return float(done.stdout.split()[0])


with tempfile.TemporaryDirectory() as folder:
    text = pathlib.Path(design).read_text()
    (pathlib.Path(folder) / "box.yaml").write_text(text)
    server = subprocess.Popen([inward, "serve", "box.yaml", "--port", "0"], cwd=folder, stdout=subprocess.PIPE, text=True)
    try:
        port = int(re.search(r":(\d+)/", server.stdout.readline())[1])
        print(f"serve_check_kept {loaded(port, '/api/check', folder, [], 3):.0f} 1/s")
        print(f"serve_check_draft_kept {loaded(port, '/api/check', folder, [json.dumps({'text': text})], 3):.0f} 1/s")
        drafts = [json.dumps({"text": f"{text}# {i}\n"}) for i in range(600)]  # more than are kept, so none comes back in time
        print(f"serve_check_cold {loaded(port, '/api/check', folder, drafts, 5):.3g} 1/s")
        took = []
        c = http.client.HTTPConnection("127.0.0.1", port)
        for i in range(60):
            began = time.perf_counter()
            c.request("POST", "/api/set?check=no", json.dumps({"set": [{"path": "cleaner.split.flap.position", "value": 0.2 + 0.01 * i}]}), JSON)
            made = json.loads(c.getresponse().read())
            c.request("POST", "/api/verdicts", json.dumps({"text": made["text"]}), JSON)
            json.loads(c.getresponse().read())
            took.append(1e3 * (time.perf_counter() - began))
        print(f"serve_set_to_verdicts {statistics.median(took):.3g} ms")
        print(f"serve_set_to_verdicts_p95 {sorted(took)[int(0.95 * len(took))]:.3g} ms")
    finally:
        server.terminate()
        server.wait()

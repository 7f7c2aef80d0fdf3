#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Hold reports in JSON against doc/report.schema.json, days against doc/day.schema.json, months against doc/life.schema.json,
comparisons against doc/compare.schema.json, maps against doc/map.schema.json, odds against doc/odds.schema.json.

usage: validate.py TEST_SHOW TEST_DAY_SHOW TEST_LIFE_SHOW [INWARD DESIGN...]
TEST_SHOW and its like are the programs made of test_show.c and so on, which print reports made by hand; INWARD checks the
design files, runs their days and the life of their carbon.
"""
import copy
import json
import os
import subprocess
import sys
import tempfile

import jsonschema

passed = failed = 0
inward, designs = (sys.argv[4:] or [None])[0], sys.argv[5:]


def check(what, good):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    if not good:
        print("FAIL", what)


def refuse(token):
    raise ValueError(token + " is not JSON")


def report_of(command):
    out = subprocess.run(command, stdout=subprocess.PIPE, check=False).stdout
    return json.loads(out, parse_constant=refuse)  # NaN and Infinity are not JSON, though Python would take them


def errors(validator, report):
    return [f"{list(e.absolute_path)}: {e.message}" for e in validator.iter_errors(report)]


def must_hold(validator, name, report):
    found = errors(validator, report)
    check(f"{name}: {found[:3]}", not found)


def must_break(validator, name, report, spoil):
    spoilt = copy.deepcopy(report)
    spoil(spoilt)
    check(f"the schema does not notice: {name}", errors(validator, spoilt))


def check_reports(validator):
    for name in ("plain", "many", "blank", "dimensions"):
        must_hold(validator, name, report_of([sys.argv[1], "--json", name]))
    for design in designs:
        must_hold(validator, design, report_of([inward, "check", design, "--json"]))
    plain = report_of([sys.argv[1], "--json", "plain"])
    must_break(validator, "a verdict without its value", plain, lambda r: r["verdicts"][1].pop("value_Pa"))
    must_break(validator, "a value under another unit", plain, lambda r: r["verdicts"][1].update(value_K=1.0))
    must_break(validator, "a word that is none of ours", plain, lambda r: r.update(overall="fine"))
    must_break(validator, "a name nobody documented", plain, lambda r: r["states"][0].update(mood=1.0))
    must_break(validator, "a number as text", plain, lambda r: r["states"][0].update(plate_W="52"))


def check_days(validator):
    for name in ("plain", "blank", "dimensions"):
        must_hold(validator, "day " + name, report_of([sys.argv[2], "--json", name]))
    for design in designs:
        must_hold(validator, "day of " + design, report_of([inward, "day", design, "--json"]))
    plain = report_of([sys.argv[2], "--json", "plain"])
    columns = plain["series"]["columns"]
    at = next(i for i, c in enumerate(columns) if c["name"] == "box.inward_pressure")
    check("each column has a number or null for every row",
          all(len(v) == plain["series"]["rows"] for c in columns for k, v in c.items() if k.startswith("values")))
    must_break(validator, "a verdict without its value", plain, lambda r: r["verdicts"][0].pop("value_Pa"))
    must_break(validator, "a column under another unit", plain,
               lambda r: r["series"]["columns"][at].update(values_K=r["series"]["columns"][at].pop("values_Pa")))
    must_break(validator, "a number as text", plain, lambda r: r["series"]["columns"][at]["values_Pa"].append("1"))
    must_break(validator, "a name nobody documented", plain, lambda r: r.update(mood=1.0))
    must_break(validator, "a bed without its depth", plain, lambda r: r["beds"][0].pop("depth_m"))
    must_break(validator, "a loading that is no list of lists", plain,
               lambda r: r["beds"][0]["substances"][0].update(loading_kgkg=[1.0]))
    check("a bed has a row of slices for each of its moments",
          all(len(s["loading_kgkg"]) == len(b["times_s"]) and {len(v) for v in s["loading_kgkg"]} == {b["slices"]}
              for b in plain["beds"] for s in b["substances"]))
    must_break(validator, "a moment without its time", plain, lambda r: r["moments"][0].pop("time_s"))


def check_months(validator):
    for name in ("plain", "blank", "dimensions"):
        must_hold(validator, "months " + name, report_of([sys.argv[3], "--json", name]))
    for design in designs:
        must_hold(validator, "months of " + design, report_of([inward, "life", design, "--json"]))
    plain = report_of([sys.argv[3], "--json", "plain"])
    must_break(validator, "months without a gas's mass", plain, lambda r: r["gases"][0].pop("on_carbon_kg"))
    must_break(validator, "a limit of no kind", plain, lambda r: r["gases"][0]["limits"][0].update(kind="at_sea"))
    must_break(validator, "a life as text", plain, lambda r: r.update(spent_s="10 weeks"))
    must_break(validator, "a name nobody documented", plain, lambda r: r.update(mood=1.0))
    must_break(validator, "a column under another unit", plain,
               lambda r: r["series"]["columns"][0].update(values_K=r["series"]["columns"][0].pop("values_s")))
    must_break(validator, "a bed without its depth", plain, lambda r: r["beds"][0].pop("depth_m"))


def check_comparisons(validator):
    if not inward:
        return
    for pair in zip(designs, designs[1:] + designs[:1]):
        must_hold(validator, "comparison of " + " and ".join(pair), report_of([inward, "compare", *pair, "--json"]))
    plain = report_of([inward, "compare", *designs[:3], "--json"])
    must_hold(validator, "comparison of three", plain)
    check("a comparison has an item for each design",
          all(len(d["in_designs"]) == 3 for d in plain["differences"] + plain["verdicts"]))
    must_break(validator, "a verdict better than nothing", plain, lambda r: r["verdicts"][0].update(against_first=["fine"]))
    must_break(validator, "a design without its tally", plain, lambda r: r["designs"][0].pop("meets"))
    must_break(validator, "a difference that is neither word nor number", plain, lambda r: r["differences"][0].update(kind="mood"))
    must_break(validator, "a name nobody documented", plain, lambda r: r.update(mood=1.0))


def check_maps(validator):
    for design in designs:
        for more in (["site.outdoor.temperature=-10..20 degC", "--sure"], ["box.inside.height", "site.gust", "--points", "7"]):
            found = report_of([inward, "map", design, *more, "--json"])
            must_hold(validator, f"map of {design} {more}", found)
            check("a map has a number or null for each point",
                  all(len(v) == found["points"] for o in [*found["verdicts"], {"values": found["least"]}] for k, v in o.items()
                      if k.startswith(("values", "margins", "words"))))
    if not inward:
        return
    plain = report_of([inward, "map", designs[0], "site.outdoor.temperature", "--json"])
    must_break(validator, "a verdict without its margins", plain, lambda r: [r["verdicts"][0].pop(k) for k in list(r["verdicts"][0]) if k.startswith("margins")])
    must_break(validator, "a quantity under another unit", plain, lambda r: r["quantities"][0].update(at_Pa=r["quantities"][0].pop("at_K")))
    must_break(validator, "a name nobody documented", plain, lambda r: r.update(mood=1.0))


def check_choices(validator):
    if not inward:
        return
    section = """choose:
  least: [noise, money]
  free:
    - {what: "cleaner.stages[3 blower].speed", from: 30 %, to: 100 %}
    - {what: "box.gaps[lid seam].width", from: 0.05 mm, to: 0.5 mm, halving: 3}
"""
    with open("examples/splint-night-mended.yaml", encoding="utf-8") as f:
        text = f.read()
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "choose.yaml")
        for name, whole in (("found", text + section), ("not found", text.replace("noise: 45 dB", "noise: 10 dB") + section)):
            with open(path, "w", encoding="utf-8") as f:
                f.write(whole)
            found = report_of([inward, "choose", path, "--json"])
            must_hold(validator, f"choices, {name}", found)
            check(f"choices are {name}", found["found"] == (name == "found") and (found["conflict"] is None) == found["found"])
            if name == "found":
                plain = found
    must_break(validator, "a design that may hold or not", plain, lambda r: r["chosen"][0].update(holds="maybe"))
    must_break(validator, "a pick without what was there", plain, lambda r: r["chosen"][0]["picks"][0].pop("was"))
    must_break(validator, "a name nobody documented", plain, lambda r: r.update(mood=1.0))


def check_odds(validator):
    if not inward:
        return
    mended = "examples/splint-night-mended.yaml"
    must_hold(validator, "odds", report_of([inward, "odds", mended, "--samples", "64", "--json"]))
    with tempfile.TemporaryDirectory() as folder: # of this material data are missing
        unknown = os.path.join(folder, "unknown.yaml")
        with open(mended, encoding="utf-8") as f, open(unknown, "w", encoding="utf-8") as g:
            g.write(f.read().replace("material: PA splint, rate", "material: PA, rate"))
        for name, untold, status in (mended, 0, 0), (unknown, 8, 1):
            run = subprocess.run([inward, "odds", name, "--samples", "256", "--json"], stdout=subprocess.PIPE, check=False)
            odds = json.loads(run.stdout)
            must_hold(validator, f"odds of {name}", odds)
            check(f"missing data are counted and no pass, {name}", odds["untold"] == untold and run.returncode == status and odds["all"]["met"] > 0.97)
            check(f"all that is required is counted, {name}", odds["requirements"] == sum(v["met"] is not None for v in odds["verdicts"]))
    plain = report_of([inward, "odds", mended, "--life", "--samples", "16", "--json"])
    must_hold(validator, "odds of lives", plain)
    life = next(v for v in plain["verdicts"] if v["id"] == "life_calendar")
    check("what outlasts the horizon is more than it and nothing else",
          life["median_s"] is None and life["median_more_than_s"] == 2 * 365 * 86400 and life["more_than"] == 1 and life["matters"] == [])
    must_break(validator, "a share above one", plain, lambda r: r["verdicts"][0].update(more_than=2))
    must_break(validator, "a bound under another name", plain, lambda r: r["verdicts"][0].update(median_about_s=1.0))
    must_break(validator, "a name nobody documented", plain, lambda r: r.update(mood=1.0))


def main():
    schema = {}
    for name in ("report.schema.json", "day.schema.json", "life.schema.json", "compare.schema.json", "map.schema.json", "choose.schema.json", "odds.schema.json"):
        with open("doc/" + name, encoding="utf-8") as f:
            schema[name] = json.load(f)
        jsonschema.Draft202012Validator.check_schema(schema[name])
    # a day refers to the verdict of a report, months to the beds of a day; all stand side by side in doc/
    resolver = jsonschema.RefResolver("day.schema.json", schema["day.schema.json"], store=schema)
    months = jsonschema.RefResolver("life.schema.json", schema["life.schema.json"], store=schema)
    check_reports(jsonschema.Draft202012Validator(schema["report.schema.json"]))
    check_days(jsonschema.Draft202012Validator(schema["day.schema.json"], resolver=resolver))
    check_months(jsonschema.Draft202012Validator(schema["life.schema.json"], resolver=months))
    beside = jsonschema.RefResolver("compare.schema.json", schema["compare.schema.json"], store=schema)
    check_comparisons(jsonschema.Draft202012Validator(schema["compare.schema.json"], resolver=beside))
    check_maps(jsonschema.Draft202012Validator(schema["map.schema.json"]))
    check_odds(jsonschema.Draft202012Validator(schema["odds.schema.json"]))
    choices = jsonschema.RefResolver("choose.schema.json", schema["choose.schema.json"], store=schema)
    check_choices(jsonschema.Draft202012Validator(schema["choose.schema.json"], resolver=choices))
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())

# results.py PROGRAM DOCS SCRATCH - tables for machines are what docs/results.md and its JSON Schema say. The judge of the schema is
# python3-jsonschema, of JSON Python's own reader, of CSV Python's reader of RFC 4180.
# SPDX-License-Identifier: GPL-3.0-or-later
import csv
import json
import os
import re
import subprocess
import sys

import jsonschema

program, docs, scratch = sys.argv[1:]
os.makedirs(scratch + "/out", exist_ok=True)
os.chdir(scratch)
schema = json.load(open(docs + "/results.schema.json"))
jsonschema.Draft7Validator.check_schema(schema)
judge = jsonschema.Draft7Validator(schema)


def strict(text):
    """One JSON value; names that are there twice and words like NaN, which JSON does not have, are refused."""
    def once(pairs):
        assert len(pairs) == len(dict(pairs)), "a name is there twice: %s" % pairs
        return dict(pairs)

    def no_word(word):
        raise AssertionError(word + " is no JSON")
    return json.loads(text, object_pairs_hook=once, parse_constant=no_word)


def check(table):
    judge.validate(table)
    names = [column["name"] for column in table["columns"]]
    assert len(names) == len(set(names)), names
    for row in table["rows"]:
        assert list(row) == names, "a row has %s, the columns are %s" % (list(row), names)
    for column in table["columns"]:
        assert "within" not in column or column["error"] == "mesh" and "mesh_error" in table, column
    return table


def run(script, *words, name="table.lua"):
    open(name, "w").write(script)
    cut = words.index("--") if "--" in words else len(words)
    done = subprocess.run([program, "run", "--quiet", *words[:cut], name, *words[cut + 1:]], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


def tables(*words, **name):
    return [check(strict(line)) for line in run(*words, **name).splitlines()]


def alike(a, b, path=""):
    """Equal but for the last digits of numbers, which may change with the mesh, and for the hash."""
    if isinstance(a, dict) and isinstance(b, dict):
        assert list(a) == list(b), "%s: %s, on the page %s" % (path, list(a), list(b))
        for key in a:
            alike(a[key], b[key], path + "." + key)
    elif isinstance(a, list) and isinstance(b, list):
        assert len(a) == len(b), path
        for i, (x, y) in enumerate(zip(a, b)):
            alike(x, y, "%s[%d]" % (path, i))
    elif isinstance(a, float) or isinstance(b, float):
        most = 0.5 if path.endswith(("mesh_error", "within")) else 1e-3
        assert abs(a - b) <= most * abs(b), "%s: %s, on the page %s" % (path, a, b)
    elif path.endswith("hash"):
        assert re.fullmatch("[0-9a-f]{16}", a), a
    else:
        shape = [re.sub(r"\d+(\.\d+)?", "N", x) if isinstance(x, str) and ".notes" in path else x for x in (a, b)]
        assert shape[0] == shape[1], "%s: %s, on the page %s" % (path, a, b)


def the_page_shows_what_is_printed():
    page = open(docs + "/results.md").read()
    script = re.search("```lua\n(.*?)\n```", page, re.S).group(1)
    shown = check(strict(re.search("```json\n(.*?)\n```", page, re.S).group(1)))
    printed = tables(script, "--format", "json", "--", "d=5", name="two.lua")
    assert len(printed) == 1
    alike(printed[0], shown)
    for member in schema["properties"]:
        assert "| `%s` |" % member in page, "the page does not say what '%s' is" % member


def the_judge_finds_faults():
    good = tables('ll.table{ columns = {"a"}, rows = {{a = 1}} }:print()', "--format", "json")[0]
    for fault in ({"schema": "lodeloom table 2"}, {"mesh_error": 0.1}, {"rows": [{"a": [1]}]}, {"more": 1},
                  {"columns": [{"name": "a"}]}, {"stamp": {"script": "x"}}):
        assert not judge.is_valid({**good, **fault}), fault


MANY = """
local rod = ll.rod{ diameter = 5, length = 17, at = {0, 0, -8.5}, material = "AlNiCo 5", north = "+z", name = 'a "rod", plain' }
local coil = ll.coil{ turns = 8000, opening = {6, 6}, build = 4, height = 9, at = {0, 0, -6}, wire = ll.awg(42) }
local p = ll.pickup{ parts = { rod }, coils = { coil } }
p:field{ points = { {0, 0, 3}, {0, 0, 30} } }:print()
p:field{ points = { {0, 0, 300} } }:print()
p:winding():print()
p:impedance{ f = {100, 1000} }:print()
p:sensitivity{ strings = ll.string{ note = "D3", gauge = 0.66, x = 0, gap = 2.5 } }:print()
p:pull{ strings = ll.string{ note = "D3", gauge = 0.66, x = 0, gap = 2.5 } }:print()
local n = ll.network{ from = { p }, volume = 250e3, cable = 500 * ll.pf }
n:response{ f = {100, 1000} }:print()
ll.network{ from = { ll.lumped{ r = 7500, l = 2.5, c = 110 * ll.pf } } }:peak():print()
ll.sweep{ vary = { {"gap", {2, 3}} }, build = function() return p end, read = function(q, v)
    return { bz_mt = q:field{ points = { {0, 0, v.gap} } }.bz_mt } end }:print()
ll.table{ columns = { "text", "number", "truth", "nothing" }, rows = { { text = 'tab\\t "quoted" \\u{e9}', number = 1e-300, truth = true },
    { text = "", number = -0.0, truth = false } } }:print()
ll.columns("poles"):print()
"""


def every_table_keeps_to_the_schema():
    many = tables(MANY, "--format", "json")
    assert len(many) == 11, len(many)
    with_mesh = [table for table in many if "mesh_error" in table]
    assert len(with_mesh) >= 7 and "mesh_error" not in many[7] and "mesh_error" not in many[9]
    for table in with_mesh:
        assert table["mesh_error_met"] is True and table["mesh_error"] <= 0.005


def within_is_the_error_of_the_largest_value():
    near, far = tables(MANY, "--format", "json")[:2]
    for table, least in ((near, 0.0), (far, 5.0)):  # fields below 5 mT are set against 5 mT
        largest = max(abs(row[name]) for row in table["rows"] for name in ("bx_mt", "by_mt", "bz_mt"))
        for column in table["columns"]:
            if column["unit"] == "mT":
                wanted = table["mesh_error"] * max(largest, least)
                assert abs(column["within"] - wanted) <= 0.11 * wanted, (column, wanted)
    assert far["mesh_error_of"].startswith("5 mT")
    # The error holds: a field on a finer mesh differs by less. By convergence; nothing outside is needed for that.
    finer = tables(MANY.replace("coils = { coil } }", "coils = { coil }, accuracy = 0.05 }", 1).split("p:winding")[0], "--format", "json")
    for table, other in zip((near, far), finer):
        for name in ("bx_mt", "by_mt", "bz_mt"):
            column = [c for c in table["columns"] if c["name"] == name][0]
            for row, fine in zip(table["rows"], other["rows"]):
                assert abs(row[name] - fine[name]) <= column["within"], (name, row[name], fine[name], column["within"])


def an_error_that_is_missed_says_so():
    script = """local steel = ll.block{ size = {3, 3, 15}, at = {0, 0, -8}, material = "steel 1010" }
local bar = ll.block{ size = {12, 12, 3}, at = {0, 0, -18}, material = "ferrite C5", north = "+z" }
ll.pickup{ parts = { steel, bar }, accuracy = 0.05 }:field{ points = { {1.52, 1.52, -0.48} } }:print()"""
    table = tables(script, "--format", "json")[0]
    assert table["mesh_error_met"] is False and table["mesh_error"] > 5e-4, table
    rows = list(csv.DictReader(run(script, "--format", "csv", "--stamp").splitlines()))
    assert rows[0]["mesh_error_met"] == "false" and "more than was asked for" in rows[0]["warning"], rows


def the_stamp_tells_runs_apart():
    script = 'local x = given.a; ll.table{ columns = {"a"}, rows = {{a = 1}} }:print()'
    one = tables(script, "--format", "json", "--", "b=x", "a=1", name="one.lua")[0]["stamp"]
    assert one["script"] == "one.lua" and one["values"] == {"a": "1", "b": "x"}, one
    other = tables(script + " -- more", "--format", "json", name="one.lua")[0]["stamp"]
    assert other["hash"] != one["hash"] and "values" not in other
    version = subprocess.run([program, "--version"], capture_output=True, text=True).stdout.split()[1]
    assert one["lodeloom"] == version


def csv_has_error_and_stamp_when_asked():
    script = MANY.split("p:winding")[0].replace(":print()", ":save('near.csv')", 1)
    plain = list(csv.DictReader(run(script, "--format", "csv", "--out", "out").splitlines()))
    assert "stamp" not in plain[0] and "mesh_error" not in open("out/near.csv").read()
    run(script, "--stamp", "--out", "out", "--", "d=5")
    rows = list(csv.DictReader(open("out/near.csv", newline="")))
    assert len(rows) == 2
    for row in rows:
        assert row["mesh_error_of"] == "the largest value" and row["mesh_error_met"] == "true" and 0 < float(row["mesh_error"]) < 0.005
        assert re.fullmatch(r"lodeloom [\d.]+, table\.lua [0-9a-f]{16}, with d=5", row["stamp"]), row["stamp"]
    for kind in ("txt", "md"):
        run(script.replace("near.csv", "near." + kind), "--stamp", "--out", "out")
        assert re.search(r"\nstamp: lodeloom .*, no values given\n$", open("out/near." + kind).read()), kind


SWEEP = """ll.sweep{ vary = { {"d", {4, 5, 6}} }, file = "rods.%s", build = function(v)
    return ll.pickup{ parts = { ll.rod{ diameter = v.d, length = 17, at = {0, 0, -8.5}, material = "AlNiCo 5", north = "+z" } } } end,
    read = function(p) return { bz_mt = p:field{ points = { {0, 0, 3} } }.bz_mt } end }"""


def shares_give_the_same_bytes():
    for kind in ("json", "csv"):
        script, file = SWEEP % kind, "out/rods." + kind
        for old in os.listdir("out"):
            os.remove("out/" + old)
        run(script, "--stamp", "--out", "out")
        whole = open(file).read()
        os.remove(file)
        for part in ("1/2", "2/2"):
            run(script, "--stamp", "--out", "out", "--part", part)
        subprocess.run([program, "join", "--stamp", file], check=True, capture_output=True)
        assert open(file).read() == whole and "sweep" in whole, whole
        if kind == "json":
            assert "sweep" in check(strict(whole))["stamp"]


for test in (the_judge_finds_faults, the_page_shows_what_is_printed, every_table_keeps_to_the_schema,
             within_is_the_error_of_the_largest_value, an_error_that_is_missed_says_so, the_stamp_tells_runs_apart,
             csv_has_error_and_stamp_when_asked, shares_give_the_same_bytes):
    test()

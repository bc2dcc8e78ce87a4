#!/usr/bin/python3
"""What Halfcell writes, read by programs that are not Halfcell's: the workbook by openpyxl, the calendar by icalendar,
the tables by Python's csv, the record by Python's json. The cells of the workbook must be those of the CSV tables, with
their types; the tables, written anew in another spreadsheet's way, must be known already when they come back.

usage: independent_readers.py HALFCELL_CLI
Exit code 77 where the readers are not installed (Debian: python3-openpyxl, python3-icalendar).
"""

import csv
import datetime
import json
import pathlib
import subprocess
import sys
import tempfile

try:
    import icalendar
    import openpyxl
except ImportError as missing:
    print(f"{missing}: install python3-openpyxl and python3-icalendar")
    sys.exit(77)

UTC = datetime.timezone.utc
failed = 0


def expect(true, what):
    global failed
    if not true:
        failed += 1
        if failed <= 20:
            print("FAILED:", what)


class Program:
    def __init__(self, path, folder):
        self.path, self.folder, self.book = path, folder, folder / "plant.halfcell"

    def __call__(self, verb, *words, codes=(0, 1)):
        done = subprocess.run([self.path, verb, "--book", str(self.book), *map(str, words)], capture_output=True, text=True)
        if done.returncode not in codes:
            sys.exit(f"{verb} {words}: exit code {done.returncode}\n{done.stdout}{done.stderr}")
        return done.stdout


def cells_agree(cell, text):
    """A cell of the workbook says what the CSV table says, with its own type."""
    value = cell.value
    if value is None:
        return text == ""
    if isinstance(value, bool):
        return False
    if isinstance(value, (int, float)):
        try:
            return float(text) == float(value)
        except ValueError:
            return False
    if isinstance(value, datetime.datetime):
        shown = value.replace(microsecond=0) + datetime.timedelta(seconds=1 if value.microsecond >= 500000 else 0)
        if len(text) == 10:
            return shown == datetime.datetime.strptime(text, "%Y-%m-%d")
        return text.endswith("Z") and shown == datetime.datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ")
    return value == text


def read_table(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def check_workbook(program):
    program("export", "--to", program.folder / "tables")
    program("export", "--to", program.folder / "book.xlsx")
    book = openpyxl.load_workbook(program.folder / "book.xlsx")
    tables = {path.stem: read_table(path) for path in sorted((program.folder / "tables").glob("*.csv"))}
    expect(set(book.sheetnames) == set(tables), f"sheets {book.sheetnames} for tables {sorted(tables)}")
    counts = {"cells": 0, "numbers": 0, "times": 0, "units": 0}
    for name, rows in tables.items():
        sheet = book[name]
        expect(sheet.freeze_panes == "A2", f"{name}: the line of names is not frozen")
        expect([cell.value for cell in sheet[1]] == rows[0], f"{name}: names differ")
        expect(sheet.max_row == len(rows), f"{name}: {sheet.max_row} lines for {len(rows)}")
        for line, (cells, texts) in enumerate(zip(sheet.iter_rows(min_row=2), rows[1:]), start=2):
            for cell, text in zip(cells, texts):
                expect(cells_agree(cell, text), f"{name} line {line} {cell.coordinate}: {cell.value!r} for {text!r}")
                counts["cells"] += 1
                counts["numbers"] += isinstance(cell.value, (int, float))
                counts["times"] += isinstance(cell.value, datetime.datetime)
                counts["units"] += '"' in cell.number_format
    for of, least in (("numbers", 1000), ("times", 1000), ("units", 1000)):
        expect(counts[of] >= least, f"{counts[of]} {of}")
    print("workbook:", ", ".join(f"{n} {of}" for of, n in counts.items()))
    return tables


def read_calendar(path):
    calendar = icalendar.Calendar.from_ical(path.read_bytes())
    found = {}
    for work in calendar.walk("VTODO"):
        uid = str(work["UID"])
        expect(uid not in found, f"{uid} twice")
        expect("DTSTAMP" in work and "SUMMARY" in work, f"{uid} lacks DTSTAMP or SUMMARY")
        due = work["DUE"].dt
        # DUE must lie behind DTSTART (RFC 5545, 3.8.2.3): work of one day has no DTSTART.
        start = work["DTSTART"].dt if "DTSTART" in work else None
        expect(start is None or start < due, f"{uid}: due {due}, its start {start}")
        found[uid] = (str(work["SUMMARY"]), start, due)
    return found


def check_calendar(program):
    at = ("--as-of", "2026-03-02", "--until", "2026-03-31")
    program("export", "--to", program.folder / "due.ics", *at)
    program("export", "--to", program.folder / "again.ics", *at)
    first, again = read_calendar(program.folder / "due.ics"), read_calendar(program.folder / "again.ics")
    tasks = json.loads(program("due", "--json", *at))["tasks"]
    expect(len(first) == len(tasks), f"{len(first)} entries for {len(tasks)} tasks")
    expect(first == again, "a second export has other entries")
    for line in (program.folder / "due.ics").read_bytes().split(b"\r\n"):
        expect(len(line) <= 75 and b"\n" not in line, f"a line of {len(line)} octets")
    latest = sorted(task["latest"] for task in tasks)
    expect(sorted(due.isoformat() for _, _, due in first.values()) == latest, "latest days differ")
    print(f"calendar: {len(first)} tasks")


def check_record(program, tables):
    serials = [row[tables["visits"][0].index("serial")] for row in tables["visits"][1:]]
    serial = max(sorted(set(serials)), key=serials.count)
    program("export", "--serial", serial, "--to", program.folder / "record.json")
    record = json.loads((program.folder / "record.json").read_text(encoding="utf-8"))
    visits = record["visits"]
    expect(len(visits) == serials.count(serial), f"{serial}: {len(visits)} visits for {serials.count(serial)}")
    at = {name: i for i, name in enumerate(tables["readings"][0])}
    rows = [row for row in tables["readings"][1:] if row[at["serial"]] == serial]
    readings = [reading for visit in visits for reading in visit.get("readings", [])]
    expect(len(readings) == len(rows), f"{serial}: {len(readings)} readings for {len(rows)}")
    typed = sorted(float(row[at["mv"]]) for row in rows if row[at["mv"]])
    expect(sorted(float(r["mv"]) for r in readings if r.get("mv") is not None) == typed, f"{serial}: millivolts differ")
    print(f"record: {serial}, {len(visits)} visits, {len(readings)} readings")


def check_coming_back(program, tables):
    """Written by Python's csv with every field quoted and a byte order mark: all rows are known."""
    folder = program.folder / "quoted"
    folder.mkdir()
    for name, rows in tables.items():
        with open(folder / f"{name}.csv", "w", encoding="utf-8-sig", newline="") as file:
            csv.writer(file, quoting=csv.QUOTE_ALL).writerows(rows)
    said = json.loads(program("import", "--json", folder))
    expect(said["taken"] == 0 and not said["refused"], f"{said['taken']} rows taken anew, {len(said['refused'])} refused")
    expect(said["unchanged"] == sum(len(rows) - 1 for rows in tables.values()), f"{said['unchanged']} rows known")
    print(f"tables: {said['unchanged']} rows known, {said['taken']} new")


def main():
    with tempfile.TemporaryDirectory(prefix="halfcell-readers-") as name:
        program = Program(sys.argv[1], pathlib.Path(name))
        program("demo", "--sensors", 40, "--years", 1, "--seed", 3, "--until", "2026-03-02")
        tables = check_workbook(program)
        check_calendar(program)
        check_record(program, tables)
        check_coming_back(program, tables)
    print(f"{failed} differences")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

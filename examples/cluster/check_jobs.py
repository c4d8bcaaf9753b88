"""Checks a folder of jobs on a cluster: an existing engine (PySpark) hands each worker a share of the jobs, a worker feeds them to
`pintle check -`, and the lines come back in the order of the jobs, as one run over the folder would write them.

    python check_jobs.py JOBS --out report.jsonl [--packs PLACE ...] [--today DAY] [--shares 8] [--master local[4]]
                         [--punch-list FILE] [--pins FILE] [--unfinished]

Needs PySpark (PyPI) with Java 17, and `pintle` on every worker's path, or named with --program. Jobs, packs, punch list and pins must
lie at the same place on every worker. Exits as `pintle check` does: with the worst of all shares.

What is wrong with the punch list is told once. What the pins have against a pack is told by every share, each with its own number of
jobs. An entry of the list whose job is gone is not told, since no share knows all jobs: run `pintle check` over the folder for that.

A check of what was written down against the packs named, not a certificate; the local authority and licensed practice decide.
"""

import argparse
import datetime
import json
import os
import re
import subprocess
import sys

# Recordings that a job may name: plain paths below its own folder.
RECORDING = re.compile(r"[\w./-]+\.csv\b")


def job_files(folder):
    """The YAML files below a folder, in the order in which `pintle check` takes them: by name, folder by folder."""
    for entry in sorted(os.scandir(folder), key=lambda entry: os.fsencode(entry.name)):
        if entry.name.startswith("."):
            continue
        if entry.is_dir(follow_symlinks=False):
            yield from job_files(entry.path)
        elif entry.name.lower().endswith((".yaml", ".yml")) and entry.is_file():
            yield entry.path


def recordings(path, text):
    """The texts of the recordings that a job names, which lie in its folder or below."""
    found = {}
    for name in sorted(set(RECORDING.findall(text))):
        place = os.path.join(os.path.dirname(path), name)
        if ".." not in name.split("/") and os.path.isfile(place) and not os.path.islink(place):
            with open(place, encoding="utf-8", errors="replace") as file:
                found[name] = file.read()
    return found


def checker(call, here):
    """What a worker does with its share: the jobs go in as JSON lines, the report comes out as lines. Paths count from `here`."""

    def check(paths):
        paths = list(paths)
        if not paths:
            return []
        records = []
        for path in paths:
            with open(os.path.join(here, path), encoding="utf-8", errors="surrogateescape") as file:
                text = file.read()
            records.append(json.dumps({"name": path, "text": text, "beside": recordings(os.path.join(here, path), text)}))
        sent = ("\n".join(records) + "\n").encode("utf-8", errors="replace")
        done = subprocess.run(call, input=sent, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=here, check=False)
        if done.returncode not in (0, 1, 2):
            raise RuntimeError(f"{call[0]} ended with {done.returncode}: {done.stderr.decode(errors='replace')}")
        lines = done.stdout.decode("utf-8").splitlines()
        end = json.loads(lines[-1]) if lines else {}
        # Without its last line a report is not whole.
        if end.get("kind") != "end":
            raise RuntimeError(f"{call[0]} wrote no whole report: {done.stderr.decode(errors='replace')}")
        return [(lines[0], lines[1:-1], end)]

    return check


def add_up(sums, counts):
    """Adds the counts of a share to those of the others."""
    for word, number in counts.items():
        sums[word] = sums.get(word, 0) + number


def once(line, told, lists):
    """Whether a line is to be written: of what is wrong with a punch list or with pins every share says the same."""
    if '"kind":"slip"' not in line or json.loads(line)["file"] not in lists:
        return True
    if line in told:
        return False
    told.add(line)
    return True


def arguments():
    parser = argparse.ArgumentParser(description="Checks a folder of jobs on a cluster.")
    parser.add_argument("jobs", help="folder of job files, which every worker can read")
    parser.add_argument("--out", required=True, help="where the report goes: JSON lines")
    parser.add_argument("--packs", action="append", default=[], help="a pack, or a folder of packs (may be repeated)")
    # One day for all workers, whatever their clocks say.
    parser.add_argument("--today", default=datetime.date.today().isoformat(), help="the day of judging")
    parser.add_argument("--shares", type=int, default=8, help="how many shares the jobs are cut into")
    parser.add_argument("--master", default=None, help="where the cluster is; without it, what the surroundings say")
    parser.add_argument("--punch-list", help="findings that were agreed to wait")
    parser.add_argument("--pins", help="the texts of packs that jobs may be judged by")
    parser.add_argument("--unfinished", action="store_true", help="let open verdicts pass")
    parser.add_argument("--program", default="pintle", help="the program, on the workers")
    return parser.parse_args()


def main():
    from pyspark.sql import SparkSession

    asked = arguments()
    files = list(job_files(asked.jobs))
    if not files:
        sys.exit(f"no job in {asked.jobs}")
    call = [asked.program, "check", "-", "--as", "lines", "--threads", "1", "--today", asked.today]
    for place in asked.packs:
        call += ["--packs", place]
    lists = [place for place in (asked.punch_list, asked.pins) if place]
    for option, place in (("--punch-list", asked.punch_list), ("--pins", asked.pins)):
        call += [option, place] if place else []
    call += ["--unfinished"] if asked.unfinished else []
    builder = SparkSession.builder.appName("pintle")
    session = (builder.master(asked.master) if asked.master else builder).getOrCreate()
    try:
        shares = session.sparkContext.parallelize(files, min(asked.shares, len(files))).mapPartitions(checker(call, os.getcwd()))
        sums, told = {"kind": "end", "jobs": 0, "outcomes": {}, "packs": {}, "troubles": 0, "exit": 0}, set()
        part = f"{asked.out}.part"
        with open(part, "w", encoding="utf-8", newline="\n") as report:
            # Share by share, so that only one of them is held here at a time.
            for number, (head, lines, end) in enumerate(shares.toLocalIterator()):
                if number == 0:
                    report.write(head + "\n")
                for line in lines:
                    if once(line, told, lists):
                        report.write(line + "\n")
                    elif not json.loads(line)["harmless"]:
                        sums["troubles"] -= 1
                add_up(sums["outcomes"], end["outcomes"])
                add_up(sums["packs"], end["packs"])
                sums["jobs"] += end["jobs"]
                sums["troubles"] += end["troubles"]
                sums["exit"] = max(sums["exit"], end["exit"])
            report.write(json.dumps(sums, separators=(",", ":")) + "\n")
        os.replace(part, asked.out)
    finally:
        session.stop()
    sys.exit(sums["exit"])


if __name__ == "__main__":
    main()

#!/bin/sh
# One step of a build: judges a folder of jobs, keeps the reports that build servers show, and fails on trouble that nobody agreed to.
#
#   sh step.sh JOBS [REPORTS]
#
# A punch list `punch-list.yaml` and pins `pins.yaml` beside the jobs' folder are used where they are there. The exit code is that of
# the worst run: 1 a mandatory clause fails or is in doubt, 2 something could not be judged or a report could not be written.
set -u
jobs=${1:?the folder of jobs}
reports=${2:-reports}
mkdir -p "$reports" || exit 2

beside=$(dirname "$jobs")
set --
if [ -f "$beside/punch-list.yaml" ]; then set -- "$@" --punch-list "$beside/punch-list.yaml"; fi
if [ -f "$beside/pins.yaml" ]; then set -- "$@" --pins "$beside/pins.yaml"; fi
# One day for every report, even over midnight; a build that is run again on another day can be told the day.
set -- "$@" --today "${PINTLE_TODAY:-$(date +%Y-%m-%d)}"
# A folder that the server keeps from build to build: what has not changed since is not judged again.
kept=${PINTLE_KEPT:-}
if [ -n "$kept" ]; then mkdir -p "$kept" || exit 2; fi

worst=0
for report in plain=gates.txt test-xml=gates.xml sarif=gates.sarif summary=gates.md; do
  code=0
  view=${report%%=*}
  pintle check "$jobs" "$@" --as "$view" ${kept:+--reuse "$kept/$view.kept"} --out "$reports/${report#*=}" || code=$?
  if [ "$code" -gt "$worst" ]; then worst=$code; fi
done

cat "$reports/gates.txt" || worst=2
exit "$worst"

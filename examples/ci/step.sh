#!/bin/sh
# One step of a build: judges a folder of jobs, keeps the reports that build servers show, and fails on trouble that nobody agreed to.
#
#   sh step.sh JOBS [REPORTS]
#
# A punch list `punch-list.yaml` and pins `pins.yaml` beside the jobs' folder are used where they are there. The exit code is that of
# the worst run, and what is to be done about it is told last. README.md beside this file says more.
#
# PINTLE        the program, where it is not on the path
# PINTLE_TODAY  the day of judging, where it is not today
# PINTLE_KEPT   a folder that the server keeps from build to build: what has not changed since is not judged again
set -u
jobs=${1:?the folder of jobs}
reports=${2:-reports}
program=${PINTLE:-pintle}
if ! command -v "$program" >/dev/null; then
  echo "step.sh: no $program here; install.sh installs it, and PINTLE names it where it is not on the path" >&2
  exit 2
fi
mkdir -p "$reports" || exit 2

beside=$(dirname "$jobs")
set --
if [ -f "$beside/punch-list.yaml" ]; then set -- "$@" --punch-list "$beside/punch-list.yaml"; fi
if [ -f "$beside/pins.yaml" ]; then set -- "$@" --pins "$beside/pins.yaml"; fi
# One day for every report, even over midnight; a build that is run again on another day can be told the day.
set -- "$@" --today "${PINTLE_TODAY:-$(date +%Y-%m-%d)}"
kept=${PINTLE_KEPT:-}
if [ -n "$kept" ]; then mkdir -p "$kept" || exit 2; fi

# Reports of an earlier build would be taken for those of this one.
rm -f "$reports/gates.txt" "$reports/gates.xml" "$reports/gates.sarif" "$reports/gates.md"
worst=0
for report in plain=gates.txt test-xml=gates.xml sarif=gates.sarif summary=gates.md; do
  code=0
  view=${report%%=*}
  "$program" check "$jobs" "$@" --as "$view" ${kept:+--reuse "$kept/$view.kept"} --out "$reports/${report#*=}" || code=$?
  if [ "$code" -gt "$worst" ]; then worst=$code; fi
done

cat "$reports/gates.txt" || worst=2
case $worst in
0) ;;
1) echo "step.sh: exit 1: a mandatory clause is not met, marginal or open. Put the job right, or agree with \`pintle punch-list\` that it may wait." >&2 ;;
2) echo "step.sh: exit 2: something could not be judged or written, so nothing here is a pass. Put right what is named \`slip\` or stands above." >&2 ;;
*) echo "step.sh: exit $worst: the program failed or was stopped. Keep the job and the reports, and tell whoever looks after it." >&2 ;;
esac
exit "$worst"

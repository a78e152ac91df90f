#!/bin/sh
# Maps the files of a campaign folder as an array job, and writes the report when all of it is done.
#
#   slurm-array.sh <campaign folder> <folder for the records> <report folder> [tasks, default 8]
#
# The folders must be seen by every node, and `ceteris` found there. Options of the report, such as --margin, go into
# CETERIS_REPORT_OPTIONS, the processors for it into CETERIS_REPORT_CPUS (default 2). Files with errors do not stop the
# rest: the report lists them. A task that fails does: Slurm then cancels the report, and the logs say why.
set -eu

# Exit code 1 says that some inputs have errors; these are in the records and in the report.
with_errors_in_inputs() {
  "$@" || [ $? -eq 1 ]
}

case "${1-}" in
map)
  with_errors_in_inputs ceteris batch map "$2" --root "$2" \
    --part "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT" --out "$3/map-$SLURM_ARRAY_TASK_ID.jsonl"
  exit
  ;;
reduce)
  # shellcheck disable=SC2086 # several options
  with_errors_in_inputs ceteris batch reduce "$3"/map-*.jsonl --root "$2" --out "$4" \
    --jobs "${SLURM_CPUS_PER_TASK-1}" ${CETERIS_REPORT_OPTIONS-}
  exit
  ;;
esac

[ $# -ge 3 ] || { sed -n '2,8s/^# \{0,1\}//p' "$0"; exit 2; }
folder=$(realpath "$1")
mkdir -p "$2"
records=$(realpath "$2")
report=$(realpath -m "$3")
tasks=${4-8}
rm -f "$records"/map-*.jsonl

map=$(sbatch --parsable --job-name=ceteris-map --array="1-$tasks" --cpus-per-task=1 \
  --output="$records/map-%a.log" "$0" map "$folder" "$records")
reduce=$(sbatch --parsable --job-name=ceteris-reduce --dependency="afterok:$map" \
  --kill-on-invalid-dep=yes --cpus-per-task="${CETERIS_REPORT_CPUS-2}" --output="$records/reduce.log" "$0" reduce "$folder" "$records" "$report")
echo "array job $map, then job $reduce; what they say is in $records/*.log"

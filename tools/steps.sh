# Sourced by run and the scripts in tools/: says what is being done, keeps its output, shows it where it failed.

logs=${WITNESSLINE_LOGS:-build/logs}

say() { printf '== %s\n' "$*"; }

# work WHAT COMMAND...: runs the command; its output goes to a log. Every ten seconds a line tells how far it is.
# When it fails: the end of the log, the command, and the command's exit status.
work() {
  local what=$1 began=$SECONDS pid status=0
  shift
  mkdir -p "$logs"
  last_log=$logs/$(tr -cs 'a-zA-Z0-9\n' '_' <<<"$what").txt
  say "$what"
  "$@" >"$last_log" 2>&1 </dev/null &
  pid=$!
  trap 'kill "$pid" 2>/dev/null; trap - INT TERM; exit 130' INT TERM
  for ((tenths = 0; ; tenths++)); do
    kill -0 "$pid" 2>/dev/null || break
    sleep 0.1
    if ((tenths % 100 == 99)); then
      printf '   %4d s  %s\n' $((SECONDS - began)) "$(tr '\r' '\n' <"$last_log" | grep -v '^ *$' | tail -n 1 | cut -c 1-110)"
    fi
  done
  wait "$pid" || status=$?
  trap - INT TERM
  if ((status != 0)); then
    tail -n 60 "$last_log"
    printf '\nFAILED: %s\n  command: %s\n  exit status %d; all its output: %s\n' "$what" "$*" "$status" "$last_log" >&2
    return "$status"
  fi
  printf '   done in %d s\n' $((SECONDS - began))
}

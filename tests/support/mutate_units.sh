# shellcheck shell=sh disable=SC2154
# Breaks a part of the daemon in many small ways, one at a time, and shows which of its unit tests
# notice. Read by tests/io/mutate and tests/daemon/mutate, which set what mutate.sh wants, and
#   folder  of the tests, which has the lists: mutants, survivors
# and hand over their arguments.
list=$folder/mutants
# shellcheck disable=SC2034 # read by mutate.sh, as what follows
survivors=$folder/survivors
wants_all=no
case ${1:-} in
--help)
    echo "usage: $folder/mutate [--all] [NAME ...]"
    echo "Makes every edit of $folder/mutants (or those named) in a copy of the sources, links the"
    echo "unit tests of the part with it, and runs them until one notices; with --all the others, too."
    echo "Fails if an edit survives that $folder/survivors does not explain. JOBS=2: at a time."
    exit 0
    ;;
--all)
    # shellcheck disable=SC2034
    wants_all=yes
    shift
    ;;
-*)
    echo "usage: $folder/mutate [--all] [NAME ...]" >&2
    exit 64
    ;;
esac
# shellcheck source=tests/support/mutate.sh
. tests/support/mutate.sh

limit_of() { # test
    echo 60
}

# First those of the same kind: link_turn.c has test_io_link*.
kind_of() { # file
    kind=${1##*/}
    kind=${kind%.c}
    echo "${kind%%_*}"
}

who_notices() { # job's folder, name, file
    tests=$scratch/first-$(kind_of "$3")
    [ -e "$tests" ] || tests=$scratch/targets
    failing "$1" "$tests"
}

mutate_build
grep -v '^#' "$list" | while read -r name file edit; do
    kind=$(kind_of "$file")
    { grep "^test_${part}_$kind" "$scratch/targets" || true
      grep -v "^test_${part}_$kind" "$scratch/targets" || true; } >"$scratch/first-$kind"
done
mutate_all "$@"
mutate_judge

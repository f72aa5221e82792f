# shellcheck shell=sh disable=SC2154
# Breaks a part of the daemon in many small ways, one at a time, and shows which tests notice. Read by
# tests/prove/mutate and tests/support/mutate_units.sh, which set
#   part       the library: core, io, daemon
#   sources    the folder of its files; daemon/ and the part unless set
#   list       ways to break it, one a line: a name, the file, and a sed edit that must change it
#   survivors  edits that no test can notice, one a line: the name, and why
#   pattern    of the names of the test programs
# and define
#   limit_of TEST             prints the seconds after which a test that hangs has noticed
#   who_notices JOB NAME FILE  prints who notices an edit, or nothing; `failing` does most of it
top=$PWD
scratch=$top/.build/mutate-$part
tree=$scratch/tree
build=$scratch/build
jobs=${JOBS:-$(nproc)}
wants_all=${wants_all:-no}
sources=${sources:-daemon/$part}

# All is built once, unbroken, from a copy: somebody may go on writing meanwhile.
mutate_build() {
    rm -rf "$scratch"
    mkdir -p "$tree"
    git ls-files -co --exclude-standard | tar -cf - -T - | tar -xf - -C "$tree"
    cmake -S "$tree" -B "$build" -DCMAKE_BUILD_TYPE=None "-DCMAKE_C_FLAGS=-w -O1" >/dev/null
    cmake --build "$build" --target help | sed -n 's/^\.\.\. //p' |
        grep -E "$pattern" >"$scratch/targets"
    # shellcheck disable=SC2046 # a list of targets
    cmake --build "$build" -j "$jobs" --target $(cat "$scratch/targets") >"$scratch/log" 2>&1 ||
        { tail -n 5 "$scratch/log"; exit 1; }
    flags=$(sed -n 's/^C_[A-Z]* = //p' "$build/CMakeFiles/$part.dir/flags.make" | tr '\n' ' ')
}

# One broken source in the place of the sound one, in a library of the job's own. Flags are as a
# shell takes them: a definition may have quotes.
break_part() { # job's folder, file
    cp "$build/lib$part.a" "$1/lib$part.a"
    eval "cc $flags" '-c "$1/$2" -o "$1/$2.o"' && ar r "$1/lib$part.a" "$1/$2.o"
}

# By the line that CMake wrote for it, but with the job's library and in the job's folder.
link_test() { # job's folder, test
    sed "s| \.\./lib$part\.a | $1/lib$part.a |g; s| -o $2 | -o $1/$2 |" \
        "$build/tests/CMakeFiles/$2.dir/link.txt" >"$1/link"
    (cd "$build/tests" && sh "$1/link")
}

# Prints what a prover said is broken.
broken_words() { # its output
    sed -n 's/^  broken: /: /p' "$1" | head -n 1
}

# Prints the names of those tests that fail; the first alone unless all are wanted.
failing() { # job's folder, file of tests
    while read -r test; do
        link_test "$1" "$test" >>"$1/log" 2>&1 || { echo "DOES NOT LINK"; return; }
        if ! timeout "$(limit_of "$test")" "$1/$test" >"$1/out" 2>&1 </dev/null; then
            printf '%s%s; ' "${test#test_}" "$(broken_words "$1/out")"
            [ "$wants_all" = yes ] || return 0
        fi
    done <"$2"
}

try() { # job's folder, name, file in its room, edit
    broken=$1/${3##*/}
    sed "$4" "$tree/$sources/$3" >"$broken"
    if cmp -s "$tree/$sources/$3" "$broken"; then
        noticed="EDIT CHANGES NOTHING"
    elif ! break_part "$1" "${3##*/}" >"$1/log" 2>&1; then
        noticed="DOES NOT BUILD"
    else
        noticed=$(who_notices "$1" "$2" "$3")
    fi
    printf '%s\t%s\n' "$2" "${noticed:-SURVIVES}" >>"$scratch/results"
    echo "$2: ${noticed:-SURVIVES}"
}

work() { # number of the job
    mkdir -p "$scratch/$1"
    count=0
    while read -r name file edit; do
        count=$((count + 1))
        [ $((count % jobs)) -eq "$1" ] || continue
        try "$scratch/$1" "$name" "$file" "$edit"
    done <"$scratch/list"
}

# Tries every edit of the list, or those named, several at a time.
mutate_all() { # names
    grep -v '^#' "$list" >"$scratch/all"
    cp "$scratch/all" "$scratch/list"
    if [ $# -gt 0 ]; then
        : >"$scratch/list"
        for name in "$@"; do
            grep "^$name " "$scratch/all" >>"$scratch/list"
        done
    fi
    : >"$scratch/results"
    mkdir "$scratch/sound"
    cp "$build/lib$part.a" "$scratch/sound"
    unbroken=$(who_notices "$scratch/sound" unbroken unbroken.c)
    if [ -n "$unbroken" ]; then
        echo "the unbroken $part fails: $unbroken"
        exit 1
    fi
    job=0
    while [ "$job" -lt "$jobs" ]; do
        work "$job" &
        job=$((job + 1))
    done
    wait
}

# Returns whether all were tried, and each survivor is explained; says which are not.
mutate_judge() {
    judged=0
    total=$(grep -c . "$scratch/list")
    tried=$(grep -c . "$scratch/results")
    survivors_found=$(sed -n 's/\tSURVIVES$//p' "$scratch/results" | sort)
    echo
    echo "$tried of $total edits tried; $(echo "$survivors_found" | grep -c . || true) survive"
    [ "$tried" -eq "$total" ] || judged=1
    if grep -E 'CHANGES NOTHING|DOES NOT' "$scratch/results"; then
        judged=1
    fi
    for name in $survivors_found; do
        why=$(sed -n "s/^$name //p" "$survivors")
        echo "survives: $name: ${why:-NOT EXPLAINED}"
        [ -n "$why" ] || judged=1
    done
    return "$judged"
}

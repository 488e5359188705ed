# Recording while calls of the operating system fail. Sourced; the folder it runs in is the caller's, the program is
# FOCI_PROGRAM, the hook FOCI_FAILING_CALLS. Each attempt is judged: it did nothing at all, byte for byte, with one line
# that says why, or it did all; a second attempt without faults then does all.
runs=0
refused=0

fail() {
    echo "$*"
    exit 1
}

# The surveys: one that is recorded already, and the same stops under another season.
make_surveys() {
    "$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson" \
        --hits infected --checked checked --threshold 10 --cell 8 --season 2026 --quiet --out first || exit 1
    mkdir second
    cp first/survey.gpkg second/
    sed 's/"season": "2026"/"season": "2027"/' first/survey.json >second/survey.json
    "$FOCI_PROGRAM" record first --history one.gpkg --quiet || exit 1
}

whole() { # HISTORY SURVEYS
    python3 "$FOCI_SOURCE/tests/support/history_whole.py" "$1" "$2" || fail "after: $title"
}

no_leftovers() { # FOLDER
    local left
    left=$(find "$1" -mindepth 1 ! -name history.gpkg)
    [[ -z $left ]] || fail "$title: left behind: $left"
}

judge() { # STATUS FOLDER SURVEYS-BEFORE
    local status=$1 file=$2/history.gpkg before=$3
    runs=$((runs + 1))
    if ((status == 0)); then
        whole "$file" $((before + 1))
    else
        refused=$((refused + 1))
        [[ $status == 1 && $(wc -l <said) == 1 ]] || fail "$title: status $status, $(cat said)"
        if ((before)); then
            cmp -s one.gpkg "$file" || fail "$title: the history is not what it was: $(cat said)"
        else
            [[ ! -e $file ]] || fail "$title: a history is there: $(cat said)"
        fi
    fi
    no_leftovers "$2"
}

again() { # FOLDER SURVEYS: without faults
    "$FOCI_PROGRAM" record second --history "$1/history.gpkg" --quiet 2>said || fail "$title, then again: $(cat said)"
    whole "$1/history.gpkg" "$2"
}

# CALL N FROM: the n-th such call fails, and all later ones where FROM is "on"; over a history of one survey, and over
# none. Status 1 where no n-th call was made by either.
fault() {
    local before status met=0
    for before in 1 0; do
        title="$1 $2 failing${3:+, and all later ones}, $before surveys before"
        rm -rf disk mark
        mkdir disk
        ((before)) && cp one.gpkg disk/history.gpkg
        env LD_PRELOAD="$FOCI_FAILING_CALLS" FAILING_CALL="$1" FAILING_AT="$2" ${3:+FAILING_FROM="$3"} \
            FAILING_BELOW="$PWD/disk" FAILING_MARK="$PWD/mark" \
            "$FOCI_PROGRAM" record second --history "$PWD/disk/history.gpkg" --quiet >/dev/null 2>said
        status=$?
        [[ -e mark ]] || continue
        met=1
        judge "$status" disk "$before"
        again disk $((before + 1))
    done
    ((met))
}

# The n-th, the n-th after that, ... call of each kind fails, until none is left.
faults() { # STEP-FOR-WRITES STEP-FOR-OPENS
    local call from n step
    for call in write fsync open rename; do
        step=1
        [[ $call == write ]] && step=$1
        [[ $call == open ]] && step=$2
        for from in "" on; do
            for ((n = 1;; n += step)); do
                fault "$call" "$n" "$from" || break
            done
            ((n > 1)) || fail "the hook met no $call"
        done
    done
}

#!/usr/bin/env bash
# Plays a journey of keys into the real window on a display without a screen, and checks its words against what the
# window tells its text log. Usage: replay.sh PROGRAM JOURNEY.keys [PICTURES]. Status 77: the tools are missing.
set -u
program=$1 journey=$2 pictures=${3:-}
for tool in Xvfb xdotool; do
    command -v "$tool" >/dev/null || { echo "replay: $tool is not here"; exit 77; }
done

folder=$(mktemp -d) || exit 1
log=$folder/log display= app= server=
finish() {
    [ -n "$app" ] && kill "$app" 2>/dev/null && wait "$app" 2>/dev/null
    [ -n "$server" ] && kill "$server" 2>/dev/null
    rm -rf "$folder"
}
trap finish EXIT

fail() {
    echo "replay: $(basename "$journey"):$line: $1"
    tail -40 "$log"
    exit 1
}

mkfifo "$folder/display"
Xvfb -displayfd 3 -screen 0 1280x800x24 -nolisten tcp 3>"$folder/display" 2>/dev/null &
server=$!
read -r display <"$folder/display"
export DISPLAY=:$display SDL_VIDEODRIVER=x11 SDL_AUDIODRIVER=dummy
export XDG_CONFIG_HOME=$folder/config XDG_DATA_HOME=$folder/data
mkdir -p "$folder/config/evenkeel"
echo "tour_seen = on" >"$folder/config/evenkeel/settings"

name=$(sed -n 's/^# case: //p' "$journey" | head -1)
source=$(cd "$(dirname "$0")/../.." && pwd)
case_file=("$source/scenarios/$name.yaml")
[ "$name" = list ] && case_file=() # from the list of cases
"$program" "${case_file[@]}" --size 1280x800 --text-log "$log" &
app=$!
line=0
for _ in $(seq 100); do
    grep -q "^screen\|screen:" "$log" 2>/dev/null && break
    sleep 0.1
done
grep -q "screen:" "$log" || fail "no window after 10 s"
xdotool search --sync --onlyvisible --name Evenkeel windowfocus >/dev/null 2>&1

# The name xdotool has for one of our keys.
key() {
    case $1 in
    Enter) echo Return ;;
    Esc) echo Escape ;;
    PageUp) echo Prior ;;
    PageDown) echo Next ;;
    Backspace) echo BackSpace ;;
    Space) echo space ;;
    Plus) echo plus ;;
    Minus) echo minus ;;
    Comma) echo comma ;;
    Period | .) echo period ;;
    , ) echo comma ;;
    '?') echo question ;;
    Shift+*) echo "shift+$(key "${1#Shift+}")" ;;
    Ctrl+*) echo "ctrl+$(key "${1#Ctrl+}")" ;;
    Alt+*) echo "alt+$(key "${1#Alt+}")" ;;
    *) echo "$1" ;;
    esac
}

# What the screen says now: asked for with V (Alt and V also where letters are switched off).
screen() {
    local from
    from=$(wc -l <"$log")
    xdotool key alt+v
    for _ in $(seq 50); do
        sleep 0.1
        tail -n +$((from + 1)) "$log" | sed -n '/^[-0-9:]* screen: /,/^\.$/p' >"$folder/screen"
        grep -qx '\.' "$folder/screen" && break
    done
    # the last one told, as one line in small letters
    awk '/^[-0-9:]* screen: /{text=""} {text=text " " $0} END{print tolower(text)}' "$folder/screen" | tr -s ' '
}

# On a card V is a letter like others: then the last screen that was told is the one on show.
says() {
    screen >"$folder/words"
    [ -s "$folder/screen" ] || awk '/^[-0-9:]* screen: /{text=""} {text=text " " $0} END{print tolower(text)}' "$log" |
        tr -s ' ' >"$folder/words"
    grep -qF -- "$(echo "$1" | tr '[:upper:]' '[:lower:]')" "$folder/words"
}

while IFS= read -r text || [ -n "$text" ]; do
    line=$((line + 1))
    kill -0 "$app" 2>/dev/null || fail "the window has gone"
    word=${text%% *} rest=${text#* }
    case $word in
    '' | '#'*) ;;
    press)
        set -f
        for name in $rest; do
            times=1
            [[ $name == ?*\** ]] && times=${name##*\*} name=${name%\**}
            for _ in $(seq "$times"); do
                xdotool key "$(key "$name")"
                sleep 0.12
            done
        done
        set +f
        sleep 0.2
        ;;
    type) xdotool type --delay 60 "$rest" ;;
    wait) sleep "$rest" ;;
    work) sleep "$rest" ;;
    expect) says "$rest" || says "$rest" || fail "the screen does not say '$rest'" ;;
    refuse) says "$rest" && says "$rest" && fail "the screen says '$rest'" ;;
    shot) [ -n "$pictures" ] && import -window root "$pictures/$rest.png" ;;
    until) echo "replay: only without a window: $text" && exit 77 ;;
    *) fail "not an act: $text" ;;
    esac
done <"$journey"
kill -0 "$app" 2>/dev/null || fail "the window has gone"
exit 0

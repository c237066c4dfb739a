#!/usr/bin/env bash
# The debrief's page in a real browser, at two sizes and on paper: nothing wider than the window, no message on the
# console, nothing asked of anybody else, every section there, and pages when printed.
#   debrief_page.sh PROGRAM      exit 77: there is no Chromium here
set -euo pipefail
program=$1
browser=$(command -v chromium || command -v chromium-browser || true)
if [ -z "$browser" ]; then
    echo "debrief_page: no Chromium here (Debian: apt-get install chromium); the page is not looked at"
    exit 77
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export HOME=$work XDG_DATA_HOME=$work/data XDG_CONFIG_HOME=$work/config

fail() {
    echo "debrief_page: $*" >&2
    exit 1
}

browse() { # SIZE ARGUMENTS...: the browser, cut off from every network
    local size=$1
    shift
    timeout 120 "$browser" --headless --no-sandbox --disable-gpu --disable-dev-shm-usage --hide-scrollbars \
        --user-data-dir="$work/profile" --window-size="$size" --host-resolver-rules='MAP * ~NOTFOUND' \
        --disable-background-networking --disable-component-update --no-first-run --enable-logging=stderr --v=0 "$@"
}

# A night with an order, two calls, a look and a prediction, left before its end.
"$program" run clot-behind-right-heart --until 50min --save "$work/a.night" --csv /dev/null \
    --order '3min speed 8200' --order '12min look four_chamber' \
    --order '18min call right_failure confidence 60 kind right_heart plan milrinone' \
    --order '20min predict milrinone 0.375 : cvp down, art_mean up, pump_flow up, sure 3' \
    --order '30min call clot_right confidence 80 plan re-open the chest' --order '31min reopen_chest' > "$work/run.txt"
printf 'evenkeel words 1\nfelt 0 0 Everything fell at once & I waited <too long>.\n' > "$work/a.night.words"
"$program" debrief "$work/a.night" --html "$work/page.html" --whatif --variants 2

# The page itself: no message on the console; its text as the browser understands it.
browse 1280,900 --dump-dom "file://$work/page.html" > "$work/dom.html" 2> "$work/log.txt"
! grep -q CONSOLE "$work/log.txt" || fail "the console says: $(grep CONSOLE "$work/log.txt" | head -3)"
for section in 'In your own words' 'What went well' 'From trouble to answer' 'Score' 'The course' 'What you did' \
    'What could be seen, and when' 'how sure you were, and what it was' 'What you called' \
    'The heart at the turning points' 'What you expected' 'Time inside target' 'Alarms' 'What if' \
    'Talk it through' 'Teaching points'; do
    grep -Eq "<h2>[^<]*$section" "$work/dom.html" || fail "no section \"$section\""
done
grep -q 'Training only' "$work/dom.html" || fail "the caution is missing"
grep -q '&lt;too long&gt;' "$work/dom.html" || fail "the trainee's words are not there as they were written"
hearts=$(grep -o 'aria-label="The heart at' "$work/dom.html" | wc -l)
[ "$hearts" -ge 3 ] || fail "only $hearts hearts"
! grep -Eq '<script|<link|<iframe|<img|src=|@import|url\((["'"'"'])?http' "$work/page.html" || fail "something from elsewhere"

# Measured from within, in a copy that asks the browser: width, what was requested, what is drawn.
sed 's#</body>#<script>document.body.setAttribute("data-measured",[document.documentElement.scrollWidth,window.innerWidth,performance.getEntriesByType("resource").length,[...document.querySelectorAll("svg")].filter(s=>s.getBoundingClientRect().width<50).length].join(" "))</script></body>#' \
    "$work/page.html" > "$work/measured.html"
for size in 1280,900 640,900; do
    measured=$(browse "$size" --dump-dom "file://$work/measured.html" 2> /dev/null |
        sed -n 's/.*data-measured="\([0-9. ]*\)".*/\1/p' | head -1)
    read -r wide window requests small <<< "$measured" || fail "$size: nothing was measured"
    [ "$wide" -le "$window" ] || fail "$size: the page is $wide px wide in a window of $window"
    [ "$requests" -eq 0 ] || fail "$size: $requests requests"
    [ "$small" -eq 0 ] || fail "$size: $small pictures have no room"
    browse "$size" --screenshot="$work/$size.png" "file://$work/page.html" > /dev/null 2>&1
    [ -s "$work/$size.png" ] || fail "$size: no picture"
    echo "debrief_page: $size: $wide of $window px"
done

browse 1280,900 --print-to-pdf="$work/page.pdf" "file://$work/page.html" > /dev/null 2>&1
pages=$(grep -aoE '/Type ?/Page([^s]|$)' "$work/page.pdf" | wc -l)
[ "$pages" -ge 2 ] || fail "printed, it has $pages pages"
echo "debrief_page: $pages pages printed, $hearts hearts"
if [ -n "${EVENKEEL_KEEP:-}" ]; then cp "$work"/*.png "$work/page.html" "$work/page.pdf" "$EVENKEEL_KEEP"; fi

# Both files: "engine size wall cpu result", the first ours; seconds as ">limit" where given up.
function compare(mine, other, size, bar,    key, wall, cpu, bound, ratio, verdict, pair) {
    key = mine " " size
    wall = $3
    cpu = $4
    sub(/^>/, "", wall)
    bound = sub(/^>/, "", cpu)
    ratio = cpu / ours[key]
    verdict = ratio >= bar ? "met" : (bound ? "not shown" : "short")
    if (verdict != "met") {
        failed++
        missed = missed sprintf("; %s: %s by %s at %d, bar %d", verdict, mine, other, size, bar)
    }
    pair = mine " by " other
    if (!(pair in said)) { order[++pairs] = pair }
    said[pair] = said[pair] sprintf(" %s%.0f", bound ? ">" : "", ratio)
    printf "%-11s %6d: %9.3f ms, %-12s %s%10.1f ms, %s%.0f times (bar %d: %s); by the clock %.3f and %.1f ms, %.0f times\n",
        mine, size, 1000 * ours[key], other, bound ? ">" : " ", 1000 * cpu, bound ? "more than " : "", ratio, bar, verdict,
        1000 * clock[key], 1000 * wall, wall / clock[key]
}
NR == FNR { clock[$1 " " $2] = $3; ours[$1 " " $2] = $4; found[$1 " " $2] = $5; next }
$1 == "glmer" { compare("default", $1, $2, 20); compare("maximum", $1, $2, 20) }
$1 == "jags" { compare("default", $1, $2, $2 >= 300 ? 1000 : 200) }
$1 == "jags-network" {
    compare("network", "jags", $2, 20)
    count = split(found["network " $2], a, ",")
    if (NF < 5) {
        # A run that was cut off has found nothing to differ from.
        print "network: log odds ratios are not compared, JAGS was cut off"
    } else if (split($5, b, ",") != count) {
        failed++
        missed = missed "; JAGS found another number of log odds ratios"
    } else {
        for (k = 2; k <= count; k++) { far = a[k] - b[k]; if (far < 0) far = -far; if (far > worst) worst = far }
        printf "network: log odds ratios differ from JAGS by at most %.3f (tolerance 0.05)\n", worst
        if (worst > 0.05) {
            failed++
            missed = missed sprintf("; log odds ratios differ by %.3f", worst)
        }
    }
}
END {
    printf "speed: times quicker at each size:"
    for (k = 1; k <= pairs; k++) { printf "%s %s%s", (k > 1 ? "," : ""), order[k], said[order[k]] }
    printf "%s\n", missed
    exit failed > 0
}

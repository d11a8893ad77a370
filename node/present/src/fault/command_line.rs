//! Words of faults.

use super::{FaultWords, words};

/// Hints that depend on the case.
pub(super) const HINTS: &[(&str, &str)] = &[
    ("use-digits", "use digits for a whole number, such as 12"),
    ("see-what-it-takes", "see what it takes: {command} --help"),
    ("order-of-days", "add --date-order day-first or --date-order month-first"),
    ("order-of-months", "add --date-order month-first or --date-order day-first"),
    ("year-of-days", "add the year: --year 2026"),
    ("order-and-year-of-days", "add both: --date-order day-first (or month-first) and --year 2026"),
    ("today-or-a-week-ago", "{option} today, or {option} 'a week ago'"),
    ("write-the-day-as-an-option", "write the day as in {option} 2026-06-05"),
    ("chance-in-per-cent", "write --sure {sure}%"),
    ("chance-of-80-per-cent", "write --sure 80%"),
    ("another-name-for-evidence", "choose another name for --save-results"),
];

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "output-unwritable",
        "cannot write the answer",
        &["look at where the output goes: whether that disk is full, or may be written to"],
    ),
    words(
        "answer-unreadable",
        "cannot read the answer",
        &["answer at a terminal, or pipe in one line for each question"],
    ),
    words("answer-unreadable-say-yes", "cannot read the answer", &["use --yes instead of an answer"]),
    words(
        "answer-of-another-kind",
        "the running Propagule gave an answer of another kind",
        &["stop it with Ctrl-C and start it again: propagule serve"],
    ),
    words(
        "vouch-needs-yes",
        "nothing was published: it needs your yes",
        &["propagule trust vouch {grower:paste} --yes"],
    ),
    words(
        "nothing-counted-in-table",
        "cannot compare {trial}: {file} has no row of it counted as {outcome} at {stage}",
        &["add that row, or ask for another count with --stage and --outcome"],
    ),
    words(
        "half-zone-malformed",
        "{error}",
        &["or give the coldest night of a normal winter: propagule site --zone '15 F' --hemisphere north"],
    ),
    words(
        "winter-without-unit",
        "--zone {text}: a zone ends in a or b, and the coldest night of a normal winter in F or C",
        &[
            "{text} F is zone {by_fahrenheit}, {text} C is zone {by_celsius}: write which, such as --zone '{text} F'",
        ],
    ),
    words(
        "zone-or-celsius",
        "--zone {text}: a zone ends in a or b, and a night in °C has a space before its C",
        &["write --zone {number}a or --zone {number}b, or the coldest night as --zone '{number} C'"],
    ),
    words(
        "winter-out-of-range",
        "--zone {text}: no winter is that cold or that mild",
        &["look at the sign and the unit, such as --zone '15 F' or --zone '-9 C'"],
    ),
    words(
        "too-few-open-files",
        "this computer lets Propagule open only {limit} files at a time, and {fewest} are needed",
        &["ulimit -n 256, in the same terminal, and then: propagule serve"],
    ),
    words(
        "network-stopped-at-start",
        "the network part of Propagule has stopped",
        &["start it again: propagule serve"],
    ),
    words("day-not-understood", "{option} \"{text}\": {question:date}", &[]),
    words(
        "table-needs-folder",
        "--table writes into a folder, not into an archive",
        &["propagule export FOLDER --table; an archive holds the same table"],
    ),
    words(
        "keys-need-archive",
        "--with-keys goes with an archive only",
        &["propagule export FILE.zip --with-keys"],
    ),
    words(
        "entry-number-malformed",
        "\"{entry}\" is no number of an entry",
        &["write last, or a number of its history: propagule trial history {trial:paste}"],
    ),
    words("undo-needs-yes", "nothing was undone: it needs your yes", &["propagule undo --yes"]),
    words(
        "network-name-malformed",
        "\"{name}\" cannot be the name of a network",
        &["use 1 to 40 small letters, digits and hyphens, such as my-group"],
    ),
    words(
        "home-of-another-network",
        "the data folder {path} belongs to the network \"{network_name}\" for ever, not to \"{asked}\"",
        &["make another data folder for it: propagule --home FOLDER init --network {asked:paste}"],
    ),
    words("piped-input-unreadable", "cannot read what is piped in", &["save the table and name its file"]),
    words(
        "table-too-large",
        "{path} has more than {most} MiB, too much for a table",
        &["split it, with the line of column names above each part"],
    ),
    words("rotate-needs-yes", "nothing was changed: it needs your yes", &["propagule key replace --yes"]),
    words(
        "rotate-fresh-needs-yes",
        "nothing was changed: it needs your yes",
        &["propagule key replace --unlinked --yes"],
    ),
    words(
        "revoke-needs-yes",
        "nothing was cancelled: it needs your yes",
        &["propagule key cancel --from {from} --yes"],
    ),
    words(
        "revoke-key-needs-yes",
        "nothing was cancelled: it needs your yes",
        &["propagule key cancel --key {key:paste} --from {from} --yes"],
    ),
    words(
        "revoke-by-sheet-needs-yes",
        "nothing was cancelled: it needs your yes",
        &["propagule key cancel --sheet {file:paste} --yes"],
    ),
    words(
        "leaving-not-a-number",
        "\"{text}\" does not end in a whole number",
        &["say where and how many, such as: propagule sell {trial:paste} A=6"],
    ),
    words(
        "country-malformed",
        "\"{text}\" is not a country code",
        &["write its two letters, such as: propagule settings country US"],
    ),
    words("check-all-with-option", "check {option}: {why}", &["propagule check {option} {ok}"]),
    words(
        "look-range-malformed",
        "--checks \"{text}\" is no number of an entry, and no first and last",
        &["write the numbers that the answer named, such as: propagule undo --checks 12-51"],
    ),
    words(
        "clock-variable-malformed",
        "the variable PROPAGULE_CLOCK is not a timestamp",
        &["unset it, or write a timestamp such as 2026-09-12T10:00:00Z"],
    ),
    words(
        "program-cannot-start",
        "the program cannot start",
        &["the system is short of memory or threads: close something and try again"],
    ),
    words(
        "file-exists",
        "{path} is there already; it was left alone",
        &["choose another name, or add --force to write over it"],
    ),
    words(
        "invite-too-long-for-code",
        "the invite does not fit into a QR code",
        &["send it as text: propagule peers invite"],
    ),
    words(
        "latitude-out-of-range",
        "--latitude {degrees} is not from -90 to 90",
        &["write degrees with a point, south negative, such as --latitude 52.1"],
    ),
    words(
        "latitude-contradicts-hemisphere",
        "--latitude {latitude} is not in the hemisphere that --hemisphere says",
        &["southern latitudes are negative, such as --latitude -35"],
    ),
    words(
        "hemisphere-missing",
        "a site needs its hemisphere, which sets the season",
        &["add --hemisphere north or --hemisphere south"],
    ),
    words(
        "unit-not-understood",
        "--{option}: \"{text}\" is not a number with a unit that is understood",
        &["temperatures are °C or end in F; rain is mm or ends in `in`"],
    ),
    words(
        "six-values-needed",
        "--six has {len|number|numbers}, six are needed",
        &[
            "coldest month, hottest month, rain of a year, its share in the warm half, driest month of the warm and of the cold half: --six 5,18,800,45%,50,55",
        ],
    ),
    words(
        "twelve-months-needed",
        "--{what} has {given}, twelve are needed, from January to December",
        &["leave both --temperature and --rain out if you only know the zone"],
    ),
    words("chance-out-of-range", "cannot plan with --sure {sure}: a chance lies between 0 and 0.999", &[]),
    words(
        "cost-out-of-range",
        "cannot plan with {option} {amount}: it lies outside 0 to 1000000",
        &["give it for one cutting, such as {option} 0.40"],
    ),
    words("own-rows-missing", "{file}, column \"grower\": no counted row of {own}", &[])
        .otherwise("name a grower of the table, such as --own {first:paste}"),
    words("facets-none", "--effects=none asks for no detail at all", &["leave --effects out"]),
    words(
        "facets-path",
        "--effects=path: a move is not a detail of a method",
        &["split by it with --by path"],
    ),
    words(
        "publish-needs-yes",
        "nothing was published: it needs your yes",
        &["propagule publish {trial:paste} --yes"],
    ),
    words(
        "archive-too-large",
        "cannot restore {name}: it is larger than {most} MB",
        &["take a file that propagule export wrote; nothing was written"],
    ),
    words(
        "listen-address-malformed",
        "\"{text}\" is not an address to listen on",
        &["for this computer only: propagule serve --listen /ip4/127.0.0.1/tcp/0"],
    ),
    words("signals-unavailable", "Propagule cannot wait for Ctrl-C", &["start it again: propagule serve"]),
    words("care-option-malformed", "--{care} \"{text}\": {why:care}", &["{ways:or}"]),
    words(
        "flag-not-for-tables",
        "{flag} chooses published results; a table has no such mark",
        &["leave {flag} out, or leave --from out"],
    ),
    words(
        "plan-number-out-of-range",
        "cannot plan with {option} {number}: it lies outside {least} to {most}",
        &["write a whole number such as {option} 12"],
    ),
    words("subcommand-unknown", "unrecognized subcommand '{typed}'", &[]),
    words("option-unknown", "unexpected argument '{typed}' found", &[]),
    words("arguments-missing", "the following required arguments were not provided: {missing:list}", &[]),
    words("value-not-listed", "invalid value '{typed}' for '{option}' [possible values: {values:list}]", &[]),
    words("value-malformed", "invalid value '{typed}' for '{option}'", &[]),
    words("value-not-whole", "{option}: \"{typed}\" is not a whole number", &[]),
    words(
        "leaving-without-place",
        "trial \"{trial}\" has several pots or treatments; of which did {left} leave?",
        &["write one of {places} and how many: propagule {command} {trial:paste} {first}={left}"],
    ),
    words("command-line-malformed", "the command line is not understood", &[]),
    words(
        "files-damaged",
        "the files of this data folder are damaged",
        &["salvage what is whole: propagule store repair"],
    ),
    words(
        "records-lost",
        "published results are lost and have not come back",
        &["run Propagule until it has met computers that have them: propagule serve"],
    ),
    words(
        "withdraw-needs-yes",
        "nothing was withdrawn: it needs your yes",
        &["propagule withdraw {trial:paste} --yes"],
    ),
    words(
        "walk-without-json",
        "--walk asks at a terminal and has no JSON",
        &["give the numbers behind the code: propagule check M8 11 11 12 10 --json"],
    ),
    words(
        "walk-stopped",
        "stopped: nothing was saved",
        &["begin again: propagule check {trial:paste} --walk"],
    ),
    words(
        "save-needs-yes",
        "nothing was saved: it needs your yes",
        &["the same in one line: propagule check {trial:paste} {cells}"],
    ),
    words("bundle-refused", "{path}: {error}", &[]),
    words(
        "bundle-interrupted",
        "{path}: interrupted; what is in stays",
        &["run the same command again: what is known is passed over, and the rest follows"],
    ),
    words(
        "file-name-taken",
        "cannot make {path}: there is a {what} of that name",
        &["choose another name: an existing file is never overwritten"],
    ),
    words("interrupted", "interrupted: no file was made", &["run the same command again"]),
    words(
        "close-asleep-needs-yes",
        "nothing was closed: it needs your yes",
        &["propagule trial close --asleep{words} --yes"],
    ),
    words("relabel-without-equals", "--relabel \"{text}\" has no `=`", &["--relabel P3=P9"]),
    words("row-not-a-line", "--row {line}={what}: \"{line}\" is no line", &["such as --row 12=total"]),
    words("option-without-equals", "{option} \"{text}\" has no `=`", &["such as {option} {example}"]),
    words(
        "import-has-questions",
        "{open|question is|questions are} open; nothing was saved",
        &["answer with the same command and what stands in brackets above"],
    ),
    words("import-saved-nothing", "nothing was saved", &["look at the lines above"]),
    words(
        "import-left-lines-out",
        "{left_out|line was|lines were} left out: {lines:list}; the others are saved",
        &["correct them and read the table again: what is saved is then the same"],
    ),
    words("shared-pots-malformed", "--shared-pots \"{text}\" is not pots x places", &["--shared-pots 16x3"]),
];

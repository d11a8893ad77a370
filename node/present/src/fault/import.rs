//! Words of what is wrong with, or open in, a grower's table of trials.

use super::table::{AS_CSV, AS_UTF8};
use super::{FaultWords, words};

const BOTH_DATES: &[&str] = &["look at the year of both dates"];
const SHARE: &[&str] =
    &["a share must come to a whole number of those started: look for a slip in either, or write the count"];
const ADD_UP: &[&str] = &["give each row a label or a pot of its own, or add the counts up"];
const NAME_POTS: &[&str] = &["name a pot in every row, 50 at most"];
const TAGGED: &[&str] = &["name its pots as they are tagged: propagule trial show {trial:paste}"];
const EITHER_CELL: &[&str] = &["look for a slip in either cell"];
const ENTERED: &[&str] = &["see what was entered: propagule trial history {trial:paste}"];
const SUM_ALL_THE_SAME: &[&str] = &["correct it, or say that it is one all the same: --row {line}=total"];
const SUM_OR_PLANTS: &[&str] = &["say it: --row {line}=total or --row {line}=plants"];
const CHECKS: &[&str] = &["say it: --checks alive, dead, dead-so-far or rooted"];
const OLDER: &[&str] =
    &["counts of a table that an older version read stay as they are; enter the stage anew by hand"];

/// Hints that depend on the case.
pub(super) const HINTS: &[(&str, &str)] = &[
    ("fill-in-or-leave-out-of-import", "fill the cell in, or leave the row out with --leave-out"),
    (
        "look-for-a-slip-in-the-counts",
        "look for a slip in this count or in an earlier one of the row: each plant has one fate",
    ),
    ("say-what-went-or-look-for-a-slip", "say what died or left since, or look for a slip in either count"),
    ("rest-of-a-table", "say what became of the rest: --rest dead, alive or not-known"),
    ("columns-of-the-others", "give those {kind:with}, dead or lost a column of their own"),
    (
        "dates-of-the-table",
        "add --date-order day-first or --date-order month-first: it holds for the whole table",
    ),
    ("year-of-the-table", "add --year: it holds for the whole table"),
    ("dates-and-year-of-the-table", "add --date-order day-first (or month-first) and --year"),
];

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "trials-table-empty",
        "the file is empty",
        &["the first line names the columns, such as trial,species,started,started_on,lift_on,lift_rooted"],
    ),
    words("table-utf16", "the text is UTF-16", AS_UTF8),
    words("table-with-zero-bytes", "it holds zero bytes: that is UTF-16 text, or no text at all", AS_UTF8),
    words(
        "table-of-too-many-cells",
        "{rows} rows of up to {cells} cells, too much for a table",
        &["keep to {most_rows} rows and {most_columns} columns: split it"],
    ),
    words(
        "text-without-sheets",
        "there is no sheet \"{sheet}\": the file is text, and has only one",
        &["leave out --sheet"],
    ),
    words("workbook-too-large", "the workbook unfolds to more than {most} MiB, too much for a table", AS_CSV),
    words("archive-without-workbook", "a ZIP archive that holds no spreadsheet (XLSX or ODS)", AS_CSV),
    words("workbook-unreadable", "the {format} workbook cannot be read", AS_CSV),
    words("sheet-not-in-workbook", "there is no sheet \"{sheet}\"", &["it has {sheets:quoted}"]),
    words("workbook-empty", "the file is empty", &["no sheet of it that is shown holds anything"]),
    words(
        "workbook-of-several-sheets",
        "{count} sheets hold something: {sheets:quoted}; which one?",
        &["say it: --sheet {first:paste}"],
    ),
    words(
        "workbook-cell-too-far-off",
        "a cell stands in row {row}, column {column}: too far off",
        &["a table has up to {most_rows} rows and {most_columns} columns; clear what is beyond"],
    ),
    words(
        "table-column-read-twice",
        "it and \"{first}\" both stand for {column}",
        &["rename one of them, or leave it out: --map '{heading}=unused'"],
    ),
    words(
        "table-quote-open",
        "a quote opens in column {column} and never closes; the line was read to its end",
        &["close the quote, or take it out"],
    ),
    words(
        "table-formula-without-value",
        "the cell holds a formula of which no value is stored",
        &["open the file in the spreadsheet, let it work out the formula, and save it; or write the number"],
    ),
    words(
        "table-line-of-other-length",
        "{cells|cell|cells} under {headings} headings",
        &["look for a missing or an extra comma; put text that holds one in double quotes"],
    ),
    words(
        "table-needed-column-missing",
        "the column is missing: nothing says {column:needed}",
        &[
            "name the heading that holds it: --map '{heading}={column}', or say it for all rows: --set {column}=…",
        ],
    ),
    words(
        "table-blanks-below-a-value",
        "{lines:lines_have} no {heading}: the same as line {above}?",
        &["if so: --fill {heading:paste}"],
    ),
    words("table-line-waits", "the line cannot be read yet", &["answer what is asked"]),
    words("table-without-row-to-take", "no row can be taken in", &["see what became of each line above"]),
    words(
        "table-line-of-trial-refused",
        "line {line} of the same trial is refused, and a trial is taken in whole",
        &["correct that line first"],
    ),
    words(
        "table-code-malformed",
        "a code has 1 to {most} characters and does not begin with a hyphen",
        &["use a short code, such as M1"],
    ),
    words("table-plant-needs-yes", "{said}", &["if it is {taxon}, write it so in the table"]),
    words("table-plant-not-understood", "{said}", &[])
        .otherwise("write genus and species, such as Morus nigra; a cultivar in single quotes"),
    words("table-facet-left-open", "\"{cell}\": {missing:left_open}", &[])
        .otherwise("leave the cell blank if you do not know"),
    words("table-facet-word-unknown", "\"{cell}\": {why}", &[])
        .otherwise("leave the cell blank if you do not know"),
    words(
        "table-neither-yes-nor-no",
        "\"{cell}\" is neither yes nor no",
        &["write yes or no, or leave the cell blank"],
    ),
    words(
        "table-number-put-in-missing",
        "the number started is missing",
        &["a share without the number started cannot be counted: fill it in, or leave the row out \
                 with --leave-out"],
    ),
    words(
        "table-pieces-out-of-range",
        "{count} started; a treatment has 1 to {most}",
        &["leave out a treatment that was never started; split a larger one"],
    ),
    words("table-count-too-large", "{cell} is too many", &["look for two numbers in one cell"]),
    words("share-out-of-range", "{share}% is not a share from 0 to 100%", SHARE),
    words(
        "share-of-no-whole-number",
        "{share}% of {started} is no whole number: {below} would be {share_below}%, {above} would be \
             {share_above}%",
        SHARE,
    ),
    words(
        "share-of-several-numbers",
        "{share}% of {started} fits {fit|number|numbers}: {numbers:either}; write the number",
        SHARE,
    ),
    words(
        "table-word-without-meaning",
        "\"{cell}\" is not a whole number: what does the word mean?",
        &["say it: --word {answer:paste} ({meanings:list})"],
    ),
    words("table-day-yet-to-come", "{day} is yet to come by this computer's clock", &["look at the year"]),
    words("table-day-not-understood", "\"{cell}\" {day:date}", &[]),
    words(
        "table-cell-not-a-day",
        "\"{cell}\" is not a date: {day:date}",
        &["write year-month-day, such as 2026-06-05"],
    ),
    words("table-day-before-start", "{day} is before the day of starting ({started_on})", BOTH_DATES),
    words("table-day-before-earlier-stage", "{day} is before the {stage} count ({before})", BOTH_DATES),
    words("table-count-without-day", "there are counts but no date", &["fill in the day of the count"]),
    words(
        "table-stage-without-day",
        "the column is missing: there are counts but no date of the {stage} count",
        &["say it for all rows: --set {column}=2026-09-12, or name its heading: --map 'HEADING={column}'"],
    ),
    words(
        "table-check-without-day",
        "a check needs its day in the heading",
        &["write the day into the heading, such as 14 June"],
    ),
    words(
        "table-deaths-of-which-days",
        "{headings:list}: dead since the check before, or dead so far?",
        &["say it: --checks dead or --checks dead-so-far"],
    ),
    words(
        "table-checks-never-rise",
        "{headings:list}: numbers never rise along a row: alive on that day?",
        CHECKS,
    ),
    words("table-checks-never-fall", "{headings:list}: numbers never fall along a row: dead so far?", CHECKS),
    words(
        "table-checks-of-what",
        "{headings:list}: alive on that day, dead since the check before, dead so far, or rooted?",
        CHECKS,
    ),
    words("table-total-wrong", "{first} says {value}, the rows add to {sum}", SUM_ALL_THE_SAME),
    words("table-average-wrong", "{first} says {value}, the mean of the rows is {mean}", SUM_ALL_THE_SAME),
    words(
        "table-row-of-sums",
        "its numbers are the sums of the rows above: a row of totals, or plants?",
        SUM_OR_PLANTS,
    ),
    words(
        "table-row-of-means",
        "its numbers are the means of the rows above: a row of totals, or plants?",
        SUM_OR_PLANTS,
    ),
    words(
        "table-says-otherwise",
        "{lines:lines_say} something else than is known",
        &["if the table is right: --update; what is known stays in the history"],
    ),
    words(
        "trial-of-too-many-arms",
        "trial \"{trial}\" has {arms} treatments; a published result carries {most}",
        &["split it into trials with codes of their own"],
    ),
    words("table-pot-twice", "pot \"{pot}\" of trial \"{trial}\" stands in an earlier row already", ADD_UP),
    words(
        "table-arm-twice",
        "treatment \"{arm}\" of trial \"{trial}\" stands in an earlier row already",
        ADD_UP,
    ),
    words(
        "table-arm-with-and-without-pots",
        "some rows of treatment \"{arm}\" name a pot, and some do not",
        NAME_POTS,
    ),
    words(
        "table-arm-of-too-many-pots",
        "treatment \"{arm}\" has {pots} pots; a treatment has 1 to {most}",
        NAME_POTS,
    ),
    words(
        "table-arm-of-too-many-pieces",
        "{pieces} started; a treatment has 1 to {most}",
        &["split it into trials"],
    ),
    words(
        "table-rows-of-trial-differ",
        "differs from an earlier row of trial \"{trial}\" (row {first})",
        &["rows of one trial share plant, site and days; use another trial code otherwise"],
    ),
    words(
        "table-arm-not-of-trial",
        "trial \"{trial}\" has no treatment \"{arm}\"",
        &["new ones are a new trial with a code of its own"],
    ),
    words("table-pot-not-of-arm", "treatment \"{arm}\" of trial \"{trial}\" has pots, but no {pot}", TAGGED),
    words(
        "table-row-without-pot",
        "treatment \"{arm}\" of trial \"{trial}\" has pots, and this row names none",
        TAGGED,
    ),
    words(
        "table-changes-what-is-fixed",
        "was {was} when trial \"{trial}\" was entered, and is fixed from then on",
        &["put the earlier value back: those that died or were lost have columns of their own. To \
                 correct a slip: propagule trial edit"],
    ),
    words(
        "table-of-trial-only-set-up",
        "trial \"{trial}\" is set up, but not started yet",
        &["say that it was: propagule {kind:start_command} {trial:paste}"],
    ),
    words("table-contradicts-season", "trial \"{trial}\": {fault:season}", ENTERED),
    words(
        "table-contradicts-entry",
        "trial \"{trial}\": entry {number} could then not be: {fault:season}",
        ENTERED,
    ),
    words(
        "older-table-says-otherwise",
        "{count:state} is {now}, but the table that was read before says {was}",
        OLDER,
    ),
    words(
        "older-table-says-nothing",
        "{count:state} is {now}, but the table that was read before says nothing",
        OLDER,
    ),
    words("table-more-left-than-alive", "{fault:fate}", &["only plants that were alive can leave"]),
    words("table-count-impossible", "{stage:at} {on}: {fault:fate}", &[]),
    words(
        "table-more-than-put-in",
        "{count} {what:state}, but only {started} were {kind:started}",
        &["the number started is fixed on that day; look for a slip in either cell"],
    ),
    words(
        "table-more-than-alive",
        "{part} {what:state}, but only {alive} alive",
        &["alive includes those {kind:with} too"],
    ),
    words(
        "table-fates-do-not-add-up",
        "alive, dead, lost and gone as finished add up to {sum}, but {started} were {kind:started}",
        &["each plant has one fate; leave a cell blank if it was not counted"],
    ),
    words("table-more-finished-than-taken", "finished {plants}, but only {taken} {kind:lead}", EITHER_CELL),
];

//! Words of what is wrong with tables of results and of sites, and with any table.

use super::{FaultWords, words};

pub(super) const AS_CSV: &[&str] =
    &["open it, choose \"save as\" or \"export\", CSV with UTF-8, and give that file"];
pub(super) const AS_UTF8: &[&str] = &["save the table as CSV, UTF-8, and try again"];

/// Hints that depend on the case.
pub(super) const HINTS: &[(&str, &str)] = &[
    (
        "close-the-quote-of-this-row",
        "a double quote opens in this row and is not closed there: close it, or take it out",
    ),
    ("look-for-a-comma", "look for a missing or an extra comma; put text that holds one in double quotes"),
    (
        "blank-number-put-in",
        "a rate without the number started cannot be pooled; fill it in or leave the row out",
    ),
    ("blank-word", "write unknown where nobody knows"),
    ("blank-outcome", "blank is not zero: write 0 if none rooted, leave the row out if nobody counted"),
    ("fill-in-or-leave-out", "fill the cell in, or leave the row out"),
    ("stages-of-a-table", "use lift, season, spring or final"),
    ("outcomes-of-a-table", "use rooted, alive, callused, established or final"),
    ("label-of-its-own", "give each treatment of a trial its own label, or add the two rows up"),
    (
        "label-of-its-own-or-species",
        "give each treatment its own label; if the file holds several species, add a column \"species\"",
    ),
];

pub(super) const WORDS: &[FaultWords] = &[
    words("evidence-table-refused", "cannot read the results: {file}", &[]),
    words("sites-table-refused", "cannot read the sites: {file}", &[]),
    words("printed-table-refused", "cannot use the printed trials: {file}", &[]),
    words("trials-table-refused", "cannot import the trials: {file}", &[]),
    words(
        "table-is-a-spreadsheet",
        "that is a spreadsheet's own file (XLSX or ODS), which is not read",
        AS_CSV,
    ),
    words("table-not-utf8", "not UTF-8 text", AS_UTF8),
    words("table-row-unreadable", "the row cannot be read", AS_UTF8),
    words("table-empty", "the file is empty", &["the first line names the columns: {columns}"]),
    words(
        "table-without-rows",
        "there is no row below the header",
        &["write one row for each treatment below the line of column names"],
    ),
    words("table-column-twice", "two columns have this name", &["rename one of them, or take it out"]),
    words(
        "table-column-missing",
        "the column is missing",
        &["the header has {there:quoted}; rename the column that holds it, or add it"],
    ),
    words("table-row-of-other-length", "{found|cell|cells} where the header has {expected}", &[]),
    words("table-cell-with-control-character", "the cell holds a control character ({character})", AS_UTF8),
    words(
        "table-cell-too-long",
        "the cell has {characters} characters, the most is {most}",
        &["look for a double quote that is not closed, or shorten the text"],
    ),
    words("table-cell-blank", "the cell is blank", &[]),
    words("table-count-negative", "{cell} is negative", &["counts are 0 or more"]),
    words(
        "table-count-in-per-cent",
        "\"{cell}\" is a percentage, not a count",
        &["write the count; a percentage hides how many there were"],
    ),
    words("table-count-not-whole", "\"{cell}\" is not a whole number", &["write digits only"]),
    words(
        "table-number-read-two-ways",
        "\"{cell}\" can be read two ways",
        &["write thousands without a comma, and decimals with a point"],
    ),
    words("table-cell-not-a-number", "\"{cell}\" is not a number", &["write digits only, without a unit"]),
    words("table-word-unknown", "\"{cell}\" is not one of its words", &[]),
    words("row-of-nothing-put-in", "nothing was started", &["leave out treatments that were never stuck"]),
    words(
        "row-of-too-many-put-in",
        "{stuck} are more than one treatment can have",
        &["one row is one treatment of at most 100,000"],
    ),
    words(
        "row-more-rooted-than-stuck",
        "{rooted} rooted of {stuck} stuck",
        &["rooted is a part of stuck; check whether the columns are swapped"],
    ),
    words(
        "row-fewer-alive-than-rooted",
        "{alive} alive but {rooted} rooted",
        &["alive counts all that live, the rooted ones included"],
    ),
    words(
        "row-more-fates-than-stuck",
        "{counted} {living} + dead or lost {failed} is more than {stuck} stuck",
        &["each plant is alive, dead or lost once; alive includes the rooted ones"],
    ),
    words(
        "row-fewer-fates-than-stuck",
        "alive {living} + dead or lost {failed} leaves {left} of {stuck}",
        &["count those that nobody counted as lost, or leave the column out"],
    ),
    words(
        "row-of-an-arm-twice",
        "grower {grower}, trial {trial}, treatment {arm} stands in row {first} already",
        &[],
    ),
    words(
        "printed-arm-twice",
        "source {source}, trial {trial}, treatment {arm} stands in row {first} already",
        &["give each treatment of a trial its own label"],
    ),
    words(
        "printed-genus-alone",
        "\"{name}\" names no species",
        &["a genus alone answers nothing; leave the row out"],
    ),
    words("printed-plant-malformed", "{why}", &["write genus and species, as in Morus nigra"]),
    words(
        "printed-more-rooted-than-put-in",
        "{rooted} rooted of {started} started",
        &["started counts all of them, rooted those of them that rooted, took or germinated"],
    ),
    words("printed-word-unknown", "\"{cell}\" is not one of its words", &["use {words:list}"]),
    words("printed-number-too-large", "{number} is too large", &["write a number from 0 to {most}"]),
    words(
        "printed-source-missing",
        "no table of sources has \"{source}\"",
        &["add a table with the columns source_id and citation beside it, with a row for each source"],
    ),
    words("printed-word-not-listed", "\"{cell}\": {why}", &[])
        .otherwise("leave the cell blank and put the printed word into other_facets"),
    words("printed-strength-malformed", "\"{cell}\" is not a strength", &["write digits only, in mg/L"]),
    words("grower-with-two-sites", "grower {grower} has a site already", &["keep one row for each grower"]),
    words("site-without-such-rain", "nowhere has {rain} mm a year", &["give the year's rain in mm, above 0"]),
    words(
        "site-without-such-mean",
        "nowhere has a yearly mean of {temp}",
        &["give the yearly mean in °C, not °F"],
    ),
    words(
        "table-of-several-species",
        "cannot choose a species: {file}, column \"species\": it holds {species:list}",
        &["name one of them: propagule pool {first:paste} --from {file:paste}"],
    ),
    words("species-not-in-table", "nothing to pool: {file}, column \"species\": no row for {asked}", &[])
        .otherwise("the column \"species\" holds no name that can be read"),
    words("trial-not-in-table", "cannot compare {asked}: {file} has no such trial", &[])
        .otherwise("the table names no trial"),
    words("facet-not-to-group-by", "cannot split by \"{name}\": there is no such detail", &[])
        .otherwise("the details are {names:list}"),
    words(
        "filter-without-equals",
        "cannot pick by \"{text}\": it has no \"=\"",
        &["write it as --where humidity=fog"],
    ),
];

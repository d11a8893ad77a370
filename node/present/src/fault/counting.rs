//! Words of faults of what is counted.

use super::{FaultWords, words};

const CELL: &[&str] = &["{kind:cell}"];
const STAGE_CELL: &[&str] = &["{kind:stage_cell}"];
const SUCKERS: &[&str] = &["write TREATMENT=how many, such as A=3"];
const PUT_IN: &[&str] = &["write POT=how many or TREATMENT=how many, such as P3=4"];
const SUM: &[&str] = &["the first number is those alive now; dead and lost are those since the last look"];
const PLACES: &[&str] = &["begin with one of {places:places} and a colon"];

/// Hints that depend on the case.
pub(super) const HINTS: &[(&str, &str)] = &[
    ("mark-in-words", "or write none, some or most"),
    (
        "alive-counts-rooted-too",
        "alive counts those {kind:with} too; the others are {kind:typed_waiting}: \
         {place}:{kind:lead}={rooted},{kind:typed_waiting}={alive}",
    ),
    (
        "dead-and-lost-since-last-count",
        "dead and lost count only those since the last count; alive all that live",
    ),
    (
        "say-what-became-of-the-rest",
        "say what became of the rest: --rest alive, --rest dead or --rest not-seen",
    ),
    (
        "others-beside-green",
        "those {kind:with} as well: {place}:{kind:lead}={others},{kind:typed_waiting}={green}; or what became of \
         them: dead, lost, not-seen",
    ),
    ("say-what-went", "correct an earlier count, or say what went, such as {place}:dead={short}"),
    ("see-history", "see what is known: propagule trial history {trial:paste}"),
    ("meant-a-day-that-has-been", "did you mean {day}? an entry says what has happened"),
    ("meant-a-day-of-this-century", "did you mean {day}?"),
    ("look-at-the-year", "look at the year: an entry says what has happened"),
    ("end-privacy", "to end that: propagule trial private {code:paste} {back}"),
    ("see-what-would-leave", "see what would leave: propagule publish {code:paste} --preview"),
];

pub(super) const WORDS: &[FaultWords] = &[
    words("cell-without-number", "{kind:said}\"{text}\": it begins with no whole number", CELL),
    words("cell-letter-unknown", "{kind:said}\"{text}\": `{letter}` is no letter of a count", CELL),
    words("cell-letter-without-number", "{kind:said}\"{text}\": after a letter comes a whole number", CELL),
    words("cell-letter-twice", "{kind:said}\"{text}\": `{letter}` stands in it twice", CELL),
    words(
        "cell-slashed-at-check",
        "{kind:said}\"{text}\": at a check the first number is how many are alive",
        CELL,
    ),
    words("cell-slashed-too-long", "{kind:said}\"{text}\": more than four numbers for one line", STAGE_CELL),
    words(
        "cell-as-before-at-stage",
        "{kind:said}\"{text}\": at a stage everything is counted: `=` says nothing",
        STAGE_CELL,
    ),
    words(
        "cell-roots-at-stage",
        "{kind:said}\"{text}\": the first number says how many succeeded already",
        STAGE_CELL,
    ),
    words(
        "cell-found-at-stage",
        "{kind:said}\"{text}\": at a stage it is written out how many are alive again",
        &["found-alive=1 behind the pot, such as P2:alive=4,found-alive=1"],
    ),
    words(
        "count-given-twice",
        "{kind:said}\"{text}\": it is counted twice",
        &["write each count of a pot or treatment once"],
    ),
    words(
        "count-without-equals",
        "{kind:said}\"{text}\": it has no `=`",
        &["write what=how many, such as dead=1"],
    ),
    words(
        "count-not-a-number",
        "{kind:said}\"{text}\": it is not a whole number from 0 to 10,000",
        &["give a count, not a percentage"],
    ),
    words(
        "count-quote-open",
        "{kind:said}\"{text}\": its quotes do not end where it ends",
        &["a quote within quotes is doubled, such as cause=\"5\"\" pots, all\""],
    ),
    words("count-empty", "{kind:said}\"{text}\": nothing is counted", &["count one of {kind:states}"]),
    words("count-word-unknown", "{kind:said}\"{text}\": it is not something that is counted", &[])
        .otherwise("count {kind:states}; or mark {kind:marks}"),
    words(
        "count-without-place",
        "{kind:said}\"{text}\": it does not say which pot or treatment is meant",
        PLACES,
    ),
    words("place-not-said", "{kind:said}it does not say which pot or treatment is meant", PLACES),
    words(
        "tag-check-character",
        "{kind:said}\"{text}\": its check character does not fit: a slip, or another tag",
        &["look at the tag again; perhaps {meant}"],
    ),
    words(
        "count-place-unknown",
        "{kind:said}\"{text}\": trial \"{trial}\" has no such pot or treatment",
        &[],
    )
    .otherwise("it has {places:places}"),
    words(
        "place-gone",
        "trial \"{trial}\" has no pot or treatment \"{text}\" any more",
        &["see what it has: propagule trial pots {trial:paste}"],
    ),
    words(
        "arm-counted-by-pot",
        "{kind:said}\"{text}\": this treatment is counted pot by pot",
        &["give a count for each of {codes}"],
    ),
    words(
        "row-of-other-length",
        "{trial} has {places|pot|pots} ({codes}), {came|number|numbers} came",
        &["one for each in that order, `.` for one that was not checked; see how they stand: \
                 propagule trial pots {trial:paste}"],
    ),
    words(
        "row-of-other-places",
        "{trial} has {places|place|places} ({codes}), {came|number|numbers} came",
        &["one for each in that order, `.` for one that was not checked; see how they stand: \
                 propagule trial pots {trial:paste}"],
    ),
    words(
        "sheet-of-other-length",
        "{kind:said}\"{text}\": {came|number|numbers} for {lines|line|lines} of the sheet",
        &["one for each line, `-` for none; the order is {order}"],
    ),
    words(
        "counts-in-two-orders",
        "{kind:said}counts came in two orders",
        &["give them behind the code in the order of the tags, or with --from-sheet in that of the sheet"],
    ),
    words(
        "nothing-looked-at",
        "{kind:said}no pot of {trial} was checked",
        &["`.` is one that was not checked, `=` one that is as before"],
    ),
    words(
        "counted-twice",
        "{kind:said}{place} is counted twice",
        &["write all counts of a pot or treatment in one go, parted by commas"],
    ),
    words(
        "nothing-counted",
        "{stage} of trial \"{trial}\": nothing was counted; --rest speaks only of what is left beside a count",
        &["see how counts are written: propagule {stage} --help"],
    ),
    words(
        "alive-more-than-put-in",
        "{place} had {before} alive and {dead} dead: {alive} are more than the {started} started",
        &["correct the number; if there were more: propagule trial edit {trial:paste} --started \
             {place:paste}={alive}"],
    ),
    words("alive-no-sum", "{place} had {base} left: {alive:sum} is {sum}", SUM),
    words("alive-no-sum-meant", "{place} had {base} left: {alive:sum} is {sum}. Did you mean {meant}?", SUM),
    words(
        "alive-perhaps-found",
        "{place} {base} \u{2192} {alive}: {found|that was counted dead is alive|that were counted dead are alive}?",
        &["write {alive}! if so, or correct the number"],
    ),
    words(
        "alive-more-than-left",
        "{place} {base} \u{2192} {alive}: only {base} were left, and {dead} counted dead",
        &["see what is known: propagule trial history {trial:paste}"],
    ),
    words(
        "counts-contradict-season",
        "{kind:said}{place}: {fault:fate}; of {started} started, {base} were left at the last count \
             ({dead} dead, {lost} lost before)",
        &[],
    ),
    words(
        "entry-contradicts-season",
        "this contradicts what is known of trial \"{trial}\": {fault:season}",
        &["see what was entered: propagule trial history {trial:paste}"],
    ),
    words(
        "entry-contradicts-later",
        "entry {number} ({what} on {on}) could then not be: {fault:season}",
        &["correct that one first: propagule fix {trial:paste} {number}"],
    ),
    words(
        "entry-not-correctable",
        "entry {number} cannot be corrected so: {fault:season}",
        &["propagule trial history {trial:paste}"],
    ),
    words(
        "day-before-last-entry",
        "{on} is before the last entry of {trial} (entry {number}, {what:entered} on {last}): is the day right?",
        &["if it is, add --yes; else correct the day with --on"],
    ),
    words("gone-at-once", "{gone:gone}", &["if it is so, add --yes; else correct the number"]),
    words(
        "only-note-is-new",
        "{on} is in already (entry {number}), and only its note is new",
        &["keep the note by itself: propagule note {subject:paste} 'what you saw' --on {on}"],
    ),
    words(
        "day-is-in-already",
        "{on} is in already (entry {number}): {differences:differences}",
        &["correct that one: add --instead", "it is a second one of that day: add --again"],
    ),
    words("suckers-without-equals", "suckers: \"{text}\": it has no `=`", SUCKERS),
    words("suckers-arm-unknown", "suckers: \"{text}\": the trial has no such treatment", SUCKERS),
    words("suckers-not-a-number", "suckers: \"{text}\": it is not a whole number", SUCKERS),
    words("put-in-without-equals", "cannot start it: \"{text}\": it has no `=`", PUT_IN),
    words(
        "put-in-not-a-number",
        "cannot start it: \"{text}\": it is not a whole number from 1 to 10,000",
        PUT_IN,
    ),
    words(
        "put-in-place-unknown",
        "cannot start it: \"{text}\": the trial has no such pot or treatment",
        PUT_IN,
    ),
    words("put-in-arm-of-pots", "cannot start it: \"{text}\": this treatment is counted pot by pot", PUT_IN),
    words("walk-first-pot", "this is the first pot", &["answer it, or stop with q"]),
    words(
        "walk-more-than-left",
        "{pot} had {left} left, and that is {sum}",
        &["write {count}! if some counted dead are alive"],
    ),
];

#[cfg(test)]
mod tests {
    use propagule_bench::{Difference, Gone, State};
    use propagule_files::fault::Fault;

    use crate::fault::{hints, what};

    #[test]
    fn what_is_typed_wrongly_is_said_in_the_words_of_the_kind() {
        let fault = Fault::user("cell-letter-unknown").with("text", "P1 11x2").with("letter", 'x');
        assert_eq!(what(&fault), "check: \"P1 11x2\": `x` is no letter of a count");
        assert!(hints(&fault)[0].contains("11r3 (3 of them succeeded),"));
        let lift = fault.with("kind", "graft").with("stage", "lift");
        assert!(what(&lift).starts_with("take count: "));
        assert!(hints(&lift)[0].contains("11r3 (3 of them taken)"));
        assert_eq!(what(&lift.with("command", "")), "\"P1 11x2\": `x` is no letter of a count");
    }

    #[test]
    fn what_cannot_be_is_said_with_its_numbers() {
        let found = |found: u16| {
            let fault = Fault::user("alive-perhaps-found").with("place", "P2").with("base", 10);
            what(&fault.with("alive", 10 + found).with("found", found))
        };
        assert_eq!(found(1), "P2 10 \u{2192} 11: 1 that was counted dead is alive?");
        assert_eq!(found(2), "P2 10 \u{2192} 12: 2 that were counted dead are alive?");
        let sum = Fault::user("alive-no-sum-meant").with("place", "P4").with("base", 10).with("alive", 10);
        let sum =
            sum.with("dead", 0).with("lost", 2).with("not_known", 0).with("sum", 12).with("meant", "8l2");
        assert_eq!(what(&sum), "P4 had 10 left: 10 alive + 2 lost is 12. Did you mean 8l2?");
        let row = |places: u16, came: u16| {
            let fault = Fault::usage("row-of-other-length").with("trial", "M8").with("codes", "P1");
            what(&fault.with("places", places).with("came", came))
        };
        assert_eq!(row(1, 0), "M8 has 1 pot (P1), 0 numbers came");
        assert_eq!(row(2, 1), "M8 has 2 pots (P1), 1 number came");
    }

    #[test]
    fn what_went_at_once_and_what_differs_are_data_until_they_are_said() {
        let gone = |after, died, lost| Gone { place: "P3".to_owned(), before: 12, after, died, lost };
        let all = [gone(2, 10, 0), gone(0, 0, 12), gone(9, 2, 1)];
        let fault =
            Fault::user("gone-at-once").with("gone", serde_json::to_string(&all).expect("plain data"));
        assert_eq!(
            what(&fault),
            "P3 12 \u{2192} 2: 10 died at once?; P3 12 \u{2192} 0: 12 lost at once?; P3 12 \u{2192} 9: 2 died and 1 \
             lost at once?"
        );
        let count =
            Difference::Count { place: "P2".to_owned(), of: State::Alive, then: Some(11), now: Some(10) };
        let all = serde_json::to_string(&[count, Difference::NoFit]).expect("plain data");
        let fault = Fault::user("day-is-in-already").with("on", "2026-06-22").with("number", 2);
        assert_eq!(
            what(&fault.with("differences", all)),
            "2026-06-22 is in already (entry 2): P2: 11 then, 10 now; the numbers do not fit what was left then"
        );
    }

    #[test]
    fn hints_of_counts_can_be_typed_as_they_stand() {
        let fault = Fault::user("counts-contradict-season").with("place", "P1");
        let rooted = fault.clone().with("kind", "graft").with("rooted", 2).with("alive", 4);
        assert_eq!(
            hints(&rooted.hint_named("alive-counts-rooted-too")),
            ["alive counts those taken too; the others are undecided: P1:taken=2,undecided=4"]
        );
        let green = fault.with("kind", "seed").with("others", 3).with("green", 1);
        assert_eq!(
            hints(&green.hint_named("others-beside-green")),
            [
                "those germinated as well: P1:germinated=3,waiting=1; or what became of them: dead, lost, not-seen"
            ]
        );
    }
}

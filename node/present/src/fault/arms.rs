//! Words of faults in arms, facets and pots as they are given.

use super::{FaultWords, words};

const DONE_BY: &[&str] = &["write who and which pots, such as --done-by 'R: P1,P2'"];

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "arm-without-label",
        "{what}: \"{text}\": an arm begins with its label and a colon",
        &["such as 'A: auxin=none; leaves=halved'"],
    ),
    words(
        "arm-label-malformed",
        "{what}: \"{label}\" cannot be the label of an arm",
        &["use 1 to {most} letters, digits and signs that fit on a tag, without `=`, `,` and `;`"],
    ),
    words(
        "arm-label-twice",
        "{what}: \"{label}\": two arms have this label",
        &["give each arm a label of its own"],
    ),
    words("arm-key-unknown", "{what}: \"{name}\": it is not something an arm can have", &[])
        .otherwise("for what no facet holds write differs=\u{2026}"),
    words(
        "arm-part-without-equals",
        "{what}: \"{text}\": it has no `=`",
        &["write what=how many, such as dead=1"],
    ),
    words(
        "arm-number-malformed",
        "{what}: \"{text}\": it is not a whole number from 0 to 10,000",
        &["count pieces, not per cent"],
    ),
    words("facet-words-unknown", "{what}: \"{facet}={words}\": {why}", &[])
        .otherwise("leave it out if you do not know"),
    words("facet-asks-which", "{what}: \"{facet}={words}\" can mean several things", &[])
        .otherwise("say which"),
    words("facet-asks-strength", "{what}: \"{facet}={words}\": how strong is it?", &[
        "write the strength on the label, such as 'IBA powder 0.3 %': the same number means another strength with each maker",
    ])
    .otherwise("where nobody knows, write 'strength unknown'"),
    words(
        "facet-asks-dip-or-soak",
        "{what}: \"{facet}={words}\": were they dipped, or did they soak?",
        &[],
    )
    .otherwise("add dip or soak"),
    words("facet-asks-heat", "{what}: \"{facet}={words}\": how warm was it below?", &[
        "write the temperature, such as bottom_heat='22 C'",
    ]),
    words("facet-asks-per-cent", "{what}: \"{facet}={words}\": how many per cent?", &[
        "write light='40 % shade', or light='60 % light'",
    ]),
    words("facet-asks-years", "{what}: \"{facet}={words}\": how many years?", &[
        "write the age, such as stock_age='8 years'",
    ]),
    words("facet-asks-nodes", "{what}: \"{facet}={words}\": how many nodes were taken off?", &[]),
    words("facet-asks-date", "{what}: \"{facet}={words}\" is no stage of growth", &[
        "write the day they were stuck as the date, or the number of the growth stage (BBCH, 0 to 99)",
    ]),
    words("facet-unknown", "{what}: \"{named}\" is the name of no facet", &["it can have {names}"]),
    words("facet-not-of-this", "{what}: {other} does not belong there", &["it can have {names}"]),
    words("facet-of-arm", "{what}: \"{with}\" belongs to an arm", &["it can have {names}"]),
    words(
        "arms-too-many",
        "{what}: {arms} arms; a trial has at most {most}",
        &["split it into trials with codes of their own"],
    ),
    words(
        "pots-out-of-range",
        "{what}: \"{label}\": {pots} pots; an arm has 1 to {most}",
        &["count a tray or row as one pot"],
    ),
    words(
        "pieces-missing",
        "{what}: \"{label}\": how many pieces are put in?",
        &["add --pieces 12, or pieces=12 to the arm"],
    ),
    words(
        "shared-pots-too-small",
        "{what}: \"{pots}x{places}\": shared pots hold a piece of each arm at least",
        &["1 to {most} pots, with {arms} places or more in each"],
    ),
    words("done-by-without-colon", "{what}: \"{text}\": it has no `:`", DONE_BY),
    words("done-by-empty", "{what}: \"{said}\": it names nobody, or no pots", DONE_BY),
    words("done-by-twice", "{what}: \"{said}\": {place} is named twice", DONE_BY),
    words("done-by-unknown-pot", "{what}: \"{said}\": there is no pot or arm {place}", DONE_BY),
];

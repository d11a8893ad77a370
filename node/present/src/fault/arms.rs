//! Words of faults in arms, facets and pots as they are given.

use super::{FaultWords, words};

const DONE_BY: &[&str] = &["write who and which pots, such as --done-by 'R: P1,P2'"];

/// Hints that depend on what was left open.
pub(super) const HINTS: &[(&str, &str)] = &[
    (
        "strength-of-the-label",
        "write the strength on the label, such as 'IBA powder 0.3%': the same number means another \
             strength with each maker",
    ),
    ("degrees-of-bottom-heat", "write the temperature, such as bottom_heat='22 C'"),
    ("per-cent-of-light", "write light='40% shade', or light='60% light'"),
    ("years-of-the-stock-plant", "write the age, such as stock_age='8 years'"),
    (
        "day-or-growth-stage",
        "write the day they were stuck as the date, or the number of the growth stage (BBCH, 0 to 99)",
    ),
];

pub(super) const WORDS: &[FaultWords] = &[
    words(
        "arm-without-label",
        "{what:doing}: \"{text}\": a treatment begins with its label and a colon",
        &["such as 'A: hormone=none; leaves=halved'"],
    ),
    words(
        "arm-label-malformed",
        "{what:doing}: \"{label}\" cannot be the label of a treatment",
        &["use 1 to {most} letters, digits and signs that fit on a tag, without `=`, `,` and `;`"],
    ),
    words(
        "arm-label-twice",
        "{what:doing}: \"{label}\": two treatments have this label",
        &["give each treatment a label of its own"],
    ),
    words("arm-key-unknown", "{what:doing}: \"{name}\" is not a detail of a treatment", &[])
        .otherwise("for anything else that differs write differs=\u{2026}"),
    words(
        "arm-part-without-equals",
        "{what:doing}: \"{text}\": it has no `=`",
        &["write a detail and what it is, such as wood=softwood"],
    ),
    words(
        "arm-number-malformed",
        "{what:doing}: \"{text}\": it is not a whole number from 0 to 10,000",
        &["give a count, not a percentage"],
    ),
    words("facet-words-unknown", "{what:doing}: \"{facet:detail}={words}\": {why}", &[])
        .otherwise("leave it out if you do not know"),
    words("facet-left-open", "{what:doing}: \"{facet:detail}={words}\": {missing:left_open}", &[]),
    words("facet-unknown", "{what:doing}: \"{named}\" is not a detail of a method", &["it can have {names}"]),
    words("facet-not-of-this", "{what:doing}: {other} does not belong there", &["it can have {names}"]),
    words("facet-of-arm", "{what:doing}: \"{with}\" belongs to a treatment", &["it can have {names}"]),
    words(
        "arms-too-many",
        "{what:doing}: {arms} treatments; a trial has at most {most}",
        &["split it into trials with codes of their own"],
    ),
    words(
        "pots-out-of-range",
        "{what:doing}: \"{label}\": {pots} pots; a treatment has 1 to {most}",
        &["count a tray or row as one pot"],
    ),
    words(
        "pieces-missing",
        "{what:doing}: \"{label}\": how many are started?",
        &["add --per-pot 4 (with --pots 3), or --count 12 without pots"],
    ),
    words(
        "shared-pots-too-small",
        "{what:doing}: \"{pots}x{places}\": shared pots have one of each treatment at least",
        &["1 to {most} pots, with {arms} positions or more in each"],
    ),
    words("done-by-without-colon", "{what:doing}: \"{text}\": it has no `:`", DONE_BY),
    words("done-by-empty", "{what:doing}: \"{said}\": it names nobody, or no pots", DONE_BY),
    words("done-by-twice", "{what:doing}: \"{said}\": {place} is named twice", DONE_BY),
    words("done-by-unknown-pot", "{what:doing}: \"{said}\": there is no pot or treatment {place}", DONE_BY),
];

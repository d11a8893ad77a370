//! Words of faults.

use super::{FaultWords, words};

/// Hints that depend on the case.
pub(super) const HINTS: &[(&str, &str)] = &[
    ("say-the-order-below", "say below which comes first, the day or the month"),
    ("say-the-year-below", "say the year, there or below"),
    ("say-order-and-year-below", "say below which comes first, and the year"),
    ("write-the-day", "write the day as in 2026-06-05"),
];

pub(super) const WORDS: &[FaultWords] = &[
    words("zone-malformed", "{error}", &["a zone is a number from 1 to 13 and a or b, such as 8b"]),
    words("page-word-unknown", "“{text}” is no word for {name}", &["choose one of those in the form"]),
    words("page-day-not-understood", "the day “{text}”: {question:date}", &[]),
    words("page-not-a-whole-number", "“{text}” is not a whole number", &["write it in digits, such as 4"]),
    words(
        "page-method-not-allowed",
        "this address cannot be used in that way",
        &["go back, and use the buttons of the page"],
    ),
    words(
        "page-address-malformed",
        "this address cannot be read",
        &["look at what follows the ? in it, or go there by a link of the page"],
    ),
    words(
        "page-not-found",
        "there is nothing at this address",
        &["look at its spelling, or begin at Today and go on by links"],
    ),
    words(
        "page-answer-of-another-kind",
        "Propagule gave an answer of another kind",
        &["stop it with Ctrl-C and start it again: propagule serve"],
    ),
    words(
        "page-no-free-port",
        "no port is free for the page at {ip}",
        &["serve without it: propagule serve --no-page"],
    ),
    words(
        "page-port-refused",
        "the page cannot be served at {ip}",
        &["serve without it: propagule serve --no-page"],
    ),
    words(
        "no-local-network",
        "this computer is in no local network, so no phone can reach it",
        &["join the Wi-Fi first, or serve to this computer only: propagule serve"],
    ),
    words(
        "page-address-used",
        "this address lets a browser in once, and has done so already",
        &[
            "in the browser that it let in: open Today",
            "in another one: open the address that `propagule serve` printed last in its terminal",
        ],
    ),
    words(
        "pairing-code-refused",
        "this code lets no phone in: mistyped, used, too old, or tried too often",
        &["look at Phones at the computer, in Share; make another code there if this one is gone"],
    ),
    words(
        "page-hemisphere-missing",
        "a site needs its hemisphere, which sets the season",
        &["choose north or south of the equator"],
    ),
    words("page-chance-out-of-range", "a chance is above 0", &["80 is 80 times in 100"]),
    words(
        "page-form-without-button",
        "the form does not say what to do",
        &["go back and press one of its buttons"],
    ),
    words("page-plant-ambiguous", "“{text}” is not one plant", &["choose one of them in What works"]),
    words(
        "page-entry-unknown",
        "trial \"{trial}\" has no entry {number}, or it is undone",
        &["choose it in the trial's history"],
    ),
    words(
        "page-trial-not-started",
        "trial \"{code}\" has not been started yet",
        &["open the trial and start it first"],
    ),
    words(
        "page-nothing-counted",
        "{place}: nothing was counted",
        &["write at least one number; what is left blank is not counted"],
    ),
    words("page-no-arm-chosen", "no treatment was chosen to move", &["tick one at least"]),
    words(
        "page-leaving-count-missing",
        "how many left is not said",
        &["write how many were sold, given or planted out"],
    ),
    words(
        "page-move-without-place",
        "where they go is not said",
        &["write the bench or the conditions, such as: unheated house"],
    ),
    words("page-upload-damaged", "the file came damaged: {e}", &["choose it again"]),
    words(
        "page-shared-pots-incomplete",
        "shared pots need both: how many, and how many positions in each",
        &["fill in both numbers, or leave both blank for pots of one treatment each"],
    ),
    words(
        "page-arm-without-label",
        "treatment {number} has no label",
        &["give it a short one, such as A or \"no hormone\""],
    ),
    words(
        "page-treatments-too-few",
        "a comparison needs two treatments at least",
        &["say what this one gets, or choose a plain batch in the step before"],
    ),
    words(
        "page-seed-malformed",
        "the seed “{text}” is not a whole number",
        &["leave it empty for one by chance"],
    ),
    words("page-no-random-seed", "the system gives no random numbers", &["name a seed yourself"]),
    words("page-sheet-empty", "the sheet is empty", &["type what was counted in one row at least"]),
    words("page-spot-unknown", "there is no such bench", &["choose one under Benches, or describe it there"]),
    words("page-care-malformed", "{care} “{text}”: {why:care}", &["write {ways:list}"]),
    words("page-care-unknown", "there is nothing of the kind {care} to log", &["choose one of {kinds:list}"]),
    words(
        "page-whole-number-out-of-range",
        "“{text}” is no whole number from {least} to {most}",
        &["write it in digits, such as 12"],
    ),
    words(
        "page-amount-out-of-range",
        "“{text}” is no number from 0 to {most}",
        &["write it in digits, such as 0.40"],
    ),
    words(
        "page-nothing-placed",
        "nothing is named that stands there",
        &["write codes of trials, or TRIAL:POT, with commas between them"],
    ),
    words(
        "page-trial-started-already",
        "trial \"{trial}\" was started on {started_on} already",
        &["a wrong day or number is corrected under Mend: Correct the description"],
    ),
    words("page-wrong-host", "this page answers to its own address only", &["open http://{web}/"]),
    words(
        "page-cross-site",
        "nothing was saved: that did not come from this page",
        &["go back to the form and send it from there"],
    ),
    words(
        "page-form-outdated",
        "nothing was saved: this form is from an earlier visit",
        &["open the page anew and enter it again"],
    ),
    words(
        "page-not-a-form",
        "nothing was saved: that was not sent by a form of this page",
        &["open the page anew, and use its form"],
    ),
    words(
        "page-upload-too-large",
        "nothing was saved: more than {_} MB were sent",
        &["bring a long table in by parts"],
    ),
    words(
        "page-form-too-large",
        "nothing was saved: more than {most} KB were sent",
        &["shorten the notes, or save the page in two parts"],
    ),
    words(
        "page-length-not-said",
        "nothing was saved: the browser did not say how much it sends",
        &["open the page anew, and use its form"],
    ),
    words(
        "page-reading-files",
        "nothing was saved: other files are being read",
        &["wait until they are read, and send this one again"],
    ),
    words(
        "page-body-too-slow",
        "nothing was saved: what was sent came too slowly",
        &["send it again nearer to the computer, or by parts"],
    ),
    words("page-body-broken", "nothing was saved: the connection broke off", &["send it again"]),
    words(
        "page-field-too-long",
        "nothing was saved: the field {name} holds more than {text_characters} characters",
        &["go back and shorten it, or split it into two notes"],
    ),
    words(
        "page-closed",
        "this page is closed to this browser",
        &["open the address beginning with `page` that `propagule serve` printed last in its terminal"],
    ),
    words(
        "page-closed-to-phone",
        "this page is closed to this browser",
        &["ask for a code at the computer (Share, Phones), then let this phone in: /pair"],
    ),
    words("page-no-random-numbers", "the system gives no random numbers", &["try again"]),
];

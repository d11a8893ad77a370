//! Why something was not counted, as it is said behind a number.

use propagule_evidence::WhyLeftOut;

/// `trials of growers you ignore`.
pub(super) const fn left_out(why: WhyLeftOut) -> &'static str {
    match why {
        WhyLeftOut::Muted => "trials of growers you ignore",
        WhyLeftOut::Outside => "trials of growers you have not chosen",
        WhyLeftOut::Transcribed => "trials from a printed source",
        WhyLeftOut::NotOpened => "trials not announced before their first count, or lowered later",
        WhyLeftOut::WorkedAgain => "grafted again on the same rootstocks",
        WhyLeftOut::PerhapsTheSame => "trials that look like one counted already",
        WhyLeftOut::OtherCultivar => "treatments of another cultivar, or of one not named",
        WhyLeftOut::OutcomeNotCounted => "treatments where this was not counted",
        WhyLeftOut::OtherCount => "treatments counted at another stage, or for something else",
        WhyLeftOut::NotAdmitted => "treatments without what you asked for",
        WhyLeftOut::WordNotKnown => "treatments with a word this version does not know",
        WhyLeftOut::NotCountedYet => "trials not counted at this stage yet",
        WhyLeftOut::OtherKind => "treatments of another kind",
        WhyLeftOut::MovedBefore => "treatments moved before the count",
        WhyLeftOut::OneReplicate => "treatments in one pot, tray or row",
    }
}

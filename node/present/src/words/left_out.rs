//! Why something was not counted, as it is said behind a number.

use propagule_evidence::WhyLeftOut;

/// `trials of growers you muted`.
pub(super) const fn left_out(why: WhyLeftOut) -> &'static str {
    match why {
        WhyLeftOut::Muted => "trials of growers you muted",
        WhyLeftOut::Outside => "trials of growers outside those asked for",
        WhyLeftOut::Transcribed => "trials transcribed from print",
        WhyLeftOut::NotOpened => "trials not opened before their first counts, or lowered later",
        WhyLeftOut::WorkedAgain => "worked again on the same stock",
        WhyLeftOut::PerhapsTheSame => "trials that are perhaps the same as one counted",
        WhyLeftOut::OtherCultivar => "arms of another cultivar, or of one not named",
        WhyLeftOut::OutcomeNotCounted => "arms where this outcome was not counted",
        WhyLeftOut::OtherCount => "arms counted at another stage or for another outcome",
        WhyLeftOut::NotAdmitted => "arms that the filter does not admit",
        WhyLeftOut::WordNotKnown => "arms with a word that this version does not know",
        WhyLeftOut::NotCountedYet => "trials not counted at this stage yet",
        WhyLeftOut::OtherKind => "arms of another kind",
        WhyLeftOut::MovedBefore => "arms moved before the count",
        WhyLeftOut::OneReplicate => "arms in one pot, tray or row",
    }
}

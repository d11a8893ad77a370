//! The pots of a trial, one line each: what the command lists, at the head of the trial's page.

use maud::{Markup, html};

use super::kind_words;
use propagule_app::viewed::{PotStands, TrialView};
use propagule_present::kind::KindWords;
use propagule_present::words::pots as words;

/// Pots that are shown at once; the list of more is folded, so that what can be done stays in sight on a phone.
const SHOWN: usize = 6;

/// The pots with what each holds; nothing where the trial is a single one, which its arm tells.
pub(super) fn table(view: &TrialView) -> Markup {
    let said = kind_words(view);
    html! {
        @if view.pots.len() > 1 {
            details open[view.pots.len() <= SHOWN] {
                summary { "Pots: " (view.pots.len()) }
                table class="thirds" {
                    caption { "In the order of their tags" }
                    thead { tr { th scope="col" { "Pot" } th scope="col" { "Of" } th scope="col" { "Holds" } } }
                    tbody { @for pot in &view.pots { (row(pot, &said)) } }
                }
            }
        }
    }
}

fn row(pot: &PotStands, said: &KindWords) -> Markup {
    html! {
        tr {
            th scope="row" { (pot.code) }
            td { (words::belongs(&pot.code, &pot.arm, pot.block.as_deref(), pot.stock_plant.as_deref())) }
            td { (words::holds(&pot.row, said)) br; span class="soft" { @match pot.last_look { Some(day) => { "checked " (day) }, None => "not checked yet" } } }
        }
    }
}

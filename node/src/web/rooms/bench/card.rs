//! The card of one place: a stepper for each count, its day and note, and one button to save it.

use maud::{Markup, html};

use super::count::Asked;
use super::kind_words;
use super::tallied::{Count, counted};
use crate::web::chips::Chip;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form, once, token};
use crate::web::link;
use crate::web::visit::Visit;
use propagule_app::viewed::{PlaceView, TrialView};
use propagule_bench::{Row, Stage};
use propagule_present::chart::changing;
use propagule_present::outcome as present;
use propagule_present::pages::tray;
use propagule_present::words::forms::{DAY, NOTE, NOTE_HELP};
use propagule_present::words::tasks::{REST, counting};
use propagule_present::words::today as words;

pub(super) fn card(
    visit: &Visit,
    view: &TrialView,
    place: &PlaceView,
    asked: &Asked,
    is_open: bool,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Markup {
    let is_sent = bad.is_some() && fields.get("place") == place.code;
    let none = Fields::default();
    let form = Form {
        fields: if is_sent { fields } else { &none },
        bad: bad.filter(|_| is_sent),
        scope: &place.code,
    };
    let is_counted = asked.stage.is_some_and(|stage| place.counted.contains(&stage));
    let base = place.standing.base();
    let word = asked.stage.map_or("check", Stage::word);
    // A lot has a single place, which goes by the name of the lot.
    let is_whole = view.places.len() == 1 && place.code == place.arm;
    let name = if is_whole { &view.trial.code } else { &place.code };
    let on = fields.owned("on").unwrap_or_else(|| visit.today().to_string());
    html! {
        details class={ "place" @if is_counted { " done" } } name="places" open[is_open] id={ "place-" (place.code) } {
            summary { span class="where" { (name) @if !asked.is_blind && place.code != place.arm { " · " (place.arm) } }
                span class="how" { @if is_counted { (counting::counted(short(&present::entry::standing(place.started, &place.standing, &kind_words(view))))) } @else { (counting::left_of(base, place.started)) } }
                @if place.standing.fates.sum() > 0 { span class="mini" { (tray(&Row::of(place.started, &place.standing), &kind_words(view)).small()) } } }
            @if base == 0 { p { (counting::NOTHING_LEFT) } }
            @else {
                form method="post" action=(link::trial(&view.trial.code, &format!("/count/{word}"))) data-keep=(place.code) data-base=(base) {
                    (form.problem())
                    (token(visit)) (once(form.fields))
                    input type="hidden" name="place" value=(place.code);
                    @if asked.is_blind { input type="hidden" name="blind" value="yes"; }
                    @let counts = counted(view, place, asked.stage);
                    @let filled: Vec<_> = counts.iter().map(|count| (count.mark, u32::from(count.from))).collect();
                    (changing::changing(u32::from(base), &filled))
                    @for (index, count) in counts.iter().enumerate() { (stepper(&form, count, index == usize::from(asked.stage.is_none()))) }
                    p class="sum" aria-live="polite" data-sum {}
                    div class="causes" data-causes { (form.chips("cause", words::CAUSE, "", &causes(), &[])) }
                    details { summary { (counting::MORE) }
                        (form.day("on", DAY, "", &on))
                        (form.suggested("own-cause", words::OWN_CAUSE, "", "", &propagule_protocol::vocab::LOSS_CAUSES.map(|cause| cause)))
                        (form.text("more", counting::MORE_COUNTS, kind_words(view).more_counts(), ""))
                        @if asked.stage.is_some() { (form.choice("rest", REST, "", "", &counting::RESTS)) }
                        (form.lines("note", NOTE, NOTE_HELP, ""))
                    }
                    button class="lead" { (counting::save(name)) }
                }
            }
        }
    }
}

/// Why some died or were lost, as far as a tap can say it.
fn causes() -> Vec<Chip> {
    words::CAUSES.iter().map(|(kept, words)| Chip::new(*kept, *words)).collect()
}

/// How a place stands, without the number started.
fn short(words: &str) -> &str {
    words.split_once(": ").map_or(words, |(_, rest)| rest)
}

/// A number with its mark; `is_usual` is the one that most taps are for.
fn stepper(form: &Form<'_>, count: &Count, is_usual: bool) -> Markup {
    let id = form.id(count.name);
    let from = count.from.to_string();
    html! {
        div.step.plainly.first[is_usual] data-step=(count.mark.name()) data-key=[count.name.get(..1)] {
            label for=(id) { (changing::key(count.mark)) (count.words) }
            span.hint.soft aria-hidden="true" { (words::key_adds(&count.name[..1])) }
            input id=(id) name=(count.name) value=(form.value(count.name, &from)) data-from=(from) data-rest[count.is_remainder]
                aria-invalid=[form.wrong(count.name).map(|_| "true")] inputmode="numeric" pattern="[0-9]*" autocomplete="off";
        }
    }
}

//! What each step shows.

use maud::{Markup, html};
use propagule_bench::kind::Kind;
use propagule_present::kind::KindWords;
use propagule_present::pages::new_trial as pages;
use propagule_present::words::new_trial::{self as words, FieldWords, SetUpStep};
use propagule_protocol::Facet;

use super::choose::{controls, named};
use super::factor::{self, Factor, of, rows};
use super::heard::Of;
use super::{SAVE, Shown, hiding};
use crate::web::chips::Chip;
use crate::web::form::Form;
use crate::web::icons;
use propagule_present::html::render;
use propagule_present::outcome::said;

/// Plants that are offered without typing.
const PLANTS: usize = 6;
/// Kinds that stand as cards.
const CARDS: [Kind; 7] =
    [Kind::Cutting, Kind::Graft, Kind::Bud, Kind::Seed, Kind::Layer, Kind::Division, Kind::Micropropagation];

/// Where one is, and what is asked; the size is asked under what it can show.
pub(super) fn head(shown: &Shown<'_>, step: SetUpStep) -> Markup {
    let is_batch = Factor::chosen(shown.form.fields).is_empty();
    let size = shown.facts.filter(|_| step == SetUpStep::Size).map(|facts| pages::size(facts).title);
    html! {
        p class="steps" aria-hidden="true" { @for one in SetUpStep::ALL { span class=[(one <= step).then_some("done")] {} } }
        p.soft.tight { (step.here()) }
        @if step == SetUpStep::Plant && shown.form.fields.is_empty() { p data-begun hidden { a.button.quiet href="/bench/new" { (words::GO_ON) } } }
        h1 { @match size { Some(title) => (title), None => (step.asks(is_batch)) } }
    }
}

/// The button that goes on. The hidden one stands first, so that Enter presses it and no other.
pub(super) fn forward(step: SetUpStep, is_hidden: bool) -> Markup {
    let hidden = is_hidden.then_some("-1");
    let class = if is_hidden { "unseen" } else { "lead" };
    let go = if step == SetUpStep::Check { SAVE } else { "next" };
    html! { button class=(class) tabindex=[hidden] aria-hidden=[hidden.map(|_| "true")] name="go" value=(go) { (step.next()) } }
}

/// What a step asks.
pub(super) fn asked(shown: &Shown<'_>, step: SetUpStep) -> Markup {
    match step {
        SetUpStep::Plant => plant(shown),
        SetUpStep::Differs => differs(&shown.form),
        SetUpStep::Treatments => treatments(shown),
        SetUpStep::Size => size(shown),
        SetUpStep::Check => check(shown),
    }
}

fn plant(shown: &Shown<'_>) -> Markup {
    let Shown { form, names, .. } = shown;
    let FieldWords { label, help } = words::PLANT;
    let others: Vec<Chip> = Facet::Kind
        .words()
        .into_iter()
        .filter(|word| CARDS.iter().all(|card| card.usual_word() != Some(word)))
        .map(Chip::named)
        .collect();
    let stock: Vec<Chip> =
        std::iter::once(Chip::new("", words::NOT_SAID)).chain(named(&names.stock)).collect();
    let chosen = form.fields.get("kind");
    let id = form.id("kind");
    html! {
        (form.suggested("species", label, help, "", &names.species))
        @if !names.species.is_empty() {
            div.chips.given role="group" aria-label=(words::YOUR_PLANTS) {
                @for plant in names.species.iter().rev().take(PLANTS) { button class="quiet" name="take" value=(plant) { i { (plant) } } }
            }
        }
        fieldset.plain.kinds id=(id) tabindex="-1" {
            legend { (words::KIND.label) }
            div class="cards" { @for kind in CARDS {
                @let word = kind.usual_word().unwrap_or_default();
                @let (title, means) = words::kind_card(kind);
                label class="chip" { input type="radio" name="kind" value=(word) checked[word == chosen || (chosen.is_empty() && kind == Kind::Cutting)];
                    span { (icons::kind(kind)) strong { (title) } span class="soft" { (means) } } }
            } }
            details class="others" open[others.iter().any(|chip| chip.value == chosen)] {
                summary { (words::MORE_KINDS) }
                div class="chips" { @for Chip { value, words } in &others {
                    label class="chip" { input type="radio" name="kind" value=(value) checked[*value == chosen]; span { (words) } }
                } }
            }
        }
        @if !names.stock.is_empty() || form.wrong("stock").is_some() { (form.chips("stock", words::FROM.label, words::FROM.help, &stock, &[])) }
    }
}

fn differs(form: &Form<'_>) -> Markup {
    let kind = factor::kind(form.fields);
    let (first, others) = Factor::offered(kind);
    let chip = |factor: &Factor| Chip::new(factor.name(), factor.label(kind));
    let nothing = Chip::new("", words::NOTHING);
    let shown: Vec<Chip> = first.iter().map(chip).chain([nothing]).collect();
    let more: Vec<Chip> = others.iter().map(chip).collect();
    let also: Vec<&str> = form.fields.each("also").collect();
    html! {
        (form.chips("compared", words::DIFFERS.label, words::DIFFERS.help, &shown, &more))
        details class="others" open[!also.is_empty()] {
            summary { (words::ALSO.label) }
            p class="help" { (words::ALSO.help) }
            div class="chips" role="group" aria-label=(words::ALSO.label) { @for factor in first.iter().chain(&others) {
                label class="chip" { input type="checkbox" name="also" value=(factor.name()) checked[also.contains(&factor.name())]; span { (factor.label(kind)) } }
            } }
        }
    }
}

fn treatments(shown: &Shown<'_>) -> Markup {
    let Shown { form, names, .. } = shown;
    let compared = Factor::chosen(form.fields);
    let rows = rows(form.fields);
    let most = *rows.end();
    html! {
        @if compared.len() > 1 { p class="caution" { (words::CONFOUNDED) } }
        @if compared.is_empty() { (same(shown, &compared)) } @else {
            div class="panes" {
                div {
                    @for number in rows { (treatment(form, names, &compared, number, most)) }
                    @if most < factor::MOST { button class="add" name="go" value="add" { (words::ADD) } }
                }
                div { (same(shown, &compared)) }
            }
        }
    }
}

fn treatment(
    form: &Form<'_>,
    names: &super::Names,
    compared: &[Factor],
    number: usize,
    most: usize,
) -> Markup {
    let FieldWords { label, help } = words::LABEL;
    let named = of("label", number);
    html! {
        fieldset class="treatment" {
            legend { (icons::treatment(number)) " " (words::treatment(number)) }
            @for factor in compared { (controls(form, names, *factor, Of::Treatment(number))) }
            details class="others" open[form.fields.given(&named).is_some() || form.wrong(&named).is_some()] {
                summary { (words::NAME_OF_TREATMENT) }
                (form.text(&named, label, help, ""))
                @if most > 2 {
                    label class="tick" { input type="radio" name="control" value=(number) checked[form.fields.get("control") == number.to_string()]; span { (words::CONTROL) } }
                    button class="quiet" name="go" value={ "drop-" (number) } { (words::take_away(number)) }
                }
            }
        }
    }
}

/// What is the same for all: what a grower of the kind says first, then everything else. Beside treatments it is folded,
/// with what was said of it.
fn same(shown: &Shown<'_>, compared: &[Factor]) -> Markup {
    let Shown { form, names, .. } = shown;
    let kind = factor::kind(form.fields);
    let (first, others) = Factor::offered(kind);
    let is_of_method = |factor: &&Factor| matches!(factor, Factor::Facet(_)) && !compared.contains(factor);
    let said = |factor: &Factor| super::heard::heard(*factor, Of::All, form.fields);
    let is_wrong = |factor: &Factor| form.wrong(factor.name()).is_some();
    let (first, others): (Vec<&Factor>, Vec<&Factor>) =
        (first.iter().filter(is_of_method).collect(), others.iter().filter(is_of_method).collect());
    let all: Vec<String> = first.iter().chain(&others).filter_map(|factor| said(factor)).collect();
    let is_open = compared.is_empty() || first.iter().chain(&others).any(|factor| is_wrong(factor));
    html! {
        section class="card" {
            details class="others" open[is_open] {
                summary { h2 { (words::SAME.label) } @if !all.is_empty() { span class="soft" { (all.join(", ")) } } }
                @for factor in first { (controls(form, names, *factor, Of::All)) }
                details class="others" open[others.iter().any(|factor| said(factor).is_some() || is_wrong(factor))] {
                    summary { (words::SOMETHING_ELSE) }
                    @for factor in others { (controls(form, names, *factor, Of::All)) }
                }
            }
        }
    }
}

fn size(shown: &Shown<'_>) -> Markup {
    let Shown { form, .. } = shown;
    let compared = Factor::chosen(form.fields);
    let kind_words = KindWords::of(factor::kind(form.fields));
    let pots = if compared.is_empty() { words::POTS_OF_BATCH } else { words::POTS };
    let per_pot = words::pieces_per_pot(&kind_words);
    let layouts = ["shared", "shared_places", "single", "stock_plants"];
    let rows: Vec<usize> = if compared.is_empty() { Vec::new() } else { rows(form.fields).collect() };
    let is_said = |name: &str| form.fields.given(name).is_some() || form.wrong(name).is_some();
    let has_own = rows.iter().any(|row| is_said(&of("pots", *row)) || is_said(&of("pieces", *row)));
    html! {
        div class="panes" {
            div {
                div class="pair" { (form.stepper("pots", pots.label, pots.help)) (form.stepper("pieces", &per_pot, "")) }
                button class="quiet" name="go" value="look" { (words::LOOK) }
                details class="others" open[has_own || layouts.iter().any(|name| is_said(name))] {
                    summary { (words::OTHER_LAYOUTS) }
                    @if !compared.is_empty() {
                        (form.tick("single", words::SINGLE, false))
                        div class="pair" {
                            (form.number("shared", words::SHARED.label, words::SHARED.help, ""))
                            (form.number("shared_places", words::SHARED_PLACES.label, words::SHARED_PLACES.help, ""))
                        }
                        @for row in rows { div class="pair" {
                            (form.number(&of("pots", row), &words::own_pots(row), "", ""))
                            (form.number(&of("pieces", row), &words::own_pieces(&kind_words, row), "", ""))
                        } }
                    }
                    (form.number("stock_plants", words::STOCK_PLANTS.label, words::STOCK_PLANTS.help, ""))
                }
            }
            div data-shows {
                @if let Some(facts) = shown.facts {
                    @let size = pages::size(facts);
                    section class="card" { (render(&size.chances)) }
                    section class="card" { (render(&pages::trays(facts))) }
                    (render(&size.more))
                }
            }
        }
    }
}

fn check(shown: &Shown<'_>) -> Markup {
    let Shown { form, names, .. } = shown;
    let kind_words = KindWords::of(factor::kind(form.fields));
    let rarer = ["question", "place", "parent", "entered_for", "rooted_rule", "grade", "note"];
    let is_open = rarer.iter().any(|name| form.fields.given(name).is_some() || form.wrong(name).is_some());
    let not_said = || std::iter::once(Chip::new("", words::NOT_SAID));
    let spots: Vec<Chip> = not_said().chain(named(&names.spots)).collect();
    let places: Vec<(&str, &str)> = std::iter::once(("", words::NOT_SAID))
        .chain(names.places.iter().map(|name| (name.as_str(), name.as_str())))
        .collect();
    let text = |name: &str, FieldWords { label, help }: FieldWords| form.text(name, label, help, "");
    html! {
        div class="panes" {
            div {
                (text("code", words::CODE))
                (form.day("on", &words::day(&kind_words), "", ""))
                (form.day("lift", &words::lift_day(&kind_words), "", ""))
                @if (!names.spots.is_empty() || form.wrong("spot").is_some()) && !Factor::chosen(form.fields).contains(&Factor::Spot) {
                    (form.chips("spot", words::BENCH.label, words::BENCH.help, &spots, &[]))
                }
                details class="others" open[is_open] {
                    summary { (words::RARER) }
                    @if !Factor::chosen(form.fields).is_empty() { (text("question", words::QUESTION)) }
                    @if !names.places.is_empty() { (form.choice("place", words::SITE.label, words::SITE.help, "", &places)) }
                    (form.suggested("parent", words::FOLLOWS.label, words::FOLLOWS.help, "", &names.trials))
                    (form.choice("relation", words::RELATION.label, words::RELATION.help, "", &words::RELATIONS))
                    (text("entered_for", words::ENTERED_FOR))
                    (form.text("rooted_rule", &words::rule(&kind_words), kind_words.rule_example(), ""))
                    (text("grade", words::GRADE))
                    (form.lines("note", words::NOTE.label, words::NOTE.help, ""))
                }
            }
            @if let Some(facts) = shown.facts {
                div { section class="card" { (render(&pages::checked(facts))) } p class="soft" { (words::NOT_SAVED) } }
            }
        }
    }
}

/// Hazards of its methods, each with the button that hides it for a season.
pub(super) fn cautions(shown: &Shown<'_>) -> Markup {
    let all = shown.facts.map(|facts| facts.cautions.as_slice()).unwrap_or_default();
    html! {
        @if !all.is_empty() {
            details class="cautions" {
                summary { (words::cautions(all.len())) }
                @for caution in all {
                    @let line = said::line(&caution.line);
                    div class="caution" { p class="tight" { (line) } (hiding(shown.visit, shown.form.fields, &caution.id, &line)) }
                }
            }
        }
    }
}

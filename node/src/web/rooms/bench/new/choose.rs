//! The controls of a factor: chips of its vocabulary, and a field where a number or own words may be needed.

use maud::{Markup, html};
use propagule_bench::kind::Kind;
use propagule_present::words::new_trial::{self as words, FieldWords, Piece};
use propagule_protocol::Facet;
use propagule_protocol::vocab::{self, USUAL_STRENGTHS};

use super::factor::{self, Factor};
use super::heard::Of;
use crate::web::chips::Chip;
use crate::web::form::Form;
use propagule_app::viewed::Names;

/// Words that are shown at once where a vocabulary is long.
const SHOWN: usize = 8;
/// Hormones that are shown at once.
const HORMONES: usize = 4;
/// Measures of a strength on a label.
const UNITS: [&str; 3] = ["ppm", "%", "g/L"];
/// Media that records state no more because they say too little.
const VAGUE: [&str; 2] = ["plug", "compost"];

/// The controls of one factor, of one treatment or of all.
pub(super) fn controls(form: &Form<'_>, names: &Names, factor: Factor, of: Of) -> Markup {
    let kind = factor::kind(form.fields);
    let name = of.named(factor.name());
    let label = factor.label(kind);
    match factor {
        Factor::Stock => form.chips(&name, &label, "", &named(&names.stock), &[]),
        Factor::Spot => form.chips(&name, &label, "", &named(&names.spots), &[]),
        Factor::Operator | Factor::Differs => form.text(&name, &label, "", ""),
        Factor::Facet(facet) => facet_controls(form, names, (facet, kind), of, &label),
    }
}

fn facet_controls(
    form: &Form<'_>,
    names: &Names,
    (facet, kind): (Facet, Kind),
    of: Of,
    label: &str,
) -> Markup {
    let name = of.named(facet.name());
    match facet {
        Facet::Auxin => hormone(form, of, label),
        Facet::Stratification => html! {
            fieldset class="plain" { legend { (label) } div class="pair" {
                (number(form, of, "warm", Piece::Warm)) (number(form, of, "cold", Piece::Cold))
            } }
        },
        Facet::Bbch | Facet::TipNodesRemoved => form.number(&name, label, "", ""),
        Facet::Rootstock => form.suggested(&name, label, words::PLANT.help, "", &names.species),
        Facet::Cultivar => form.text(&name, label, "", ""),
        Facet::BottomHeat => html! {
            (chips(form, of, facet, label, &facet.words()))
            (typed(form, of, "bottom_heat_at", Piece::Degrees))
        },
        Facet::Medium => html! {
            @let media: Vec<&str> = facet.words().into_iter().filter(|word| !VAGUE.contains(word)).collect();
            (chips(form, of, facet, label, &media))
            (typed(form, of, "medium_own", Piece::Mix))
        },
        Facet::Form => {
            let own = kind.forms();
            let others = facet.words().into_iter().filter(|word| !own.contains(word));
            let all: Vec<&str> = own.iter().copied().chain(others).collect();
            split(form, of, facet, label, &all, own.len().clamp(3, SHOWN))
        }
        _ => chips(form, of, facet, label, &facet.words()),
    }
}

/// How a hormone is bought and used: what it is, how strong its label says it is, how it was thinned.
fn hormone(form: &Form<'_>, of: Of, label: &str) -> Markup {
    let forms =
        vocab::auxin_forms().into_iter().filter(|form| *form != "none").map(Chip::named).collect::<Vec<_>>();
    let doses = USUAL_STRENGTHS.map(|dose| Chip::new(format!("{dose} {}", UNITS[0]), words::dose(dose)));
    let hormones = || Facet::Auxin.words().into_iter().filter(|word| *word != "none").map(Chip::named);
    let unsaid = if matches!(of, Of::All) { words::NOT_SAID } else { words::NOT_KNOWN };
    let substances: Vec<Chip> = std::iter::once(Chip::named("none"))
        .chain(hormones().take(HORMONES))
        .chain([Chip::new("", unsaid)])
        .collect();
    let rarer: Vec<Chip> = hormones().skip(HORMONES).collect();
    let second: Vec<(&str, &str)> = std::iter::once(("", words::NOT_SAID))
        .chain(Facet::Auxin.words().into_iter().filter(|word| *word != "none").map(|word| (word, word)))
        .collect();
    let units: Vec<(&str, &str)> = UNITS.map(|unit| (unit, unit)).to_vec();
    let at = |name: &str| of.named(name);
    html! {
        div class="hormone" {
            (form.chips(&at(Facet::Auxin.name()), label, "", &substances, &rarer))
            div class="used" {
                (chosen(form, of, "auxin_form", Piece::HormoneForm, &forms))
                (chosen(form, of, "dose", Piece::Dose, &doses))
                details class="others" open[["strength", "dilution", "seconds", "auxin_second"].iter().any(|name| form.fields.given(&at(name)).is_some() || form.wrong(&at(name)).is_some())] {
                    summary { (words::AS_BOUGHT) }
                    div class="pair" {
                        (typed(form, of, "strength", Piece::Strength))
                        (form.choice(&at("unit"), words::piece(Piece::Unit).label, "", "ppm", &units))
                    }
                    div class="pair" { (number(form, of, "dilution", Piece::Dilution)) (number(form, of, "seconds", Piece::Seconds)) }
                    div class="pair" {
                        (form.choice(&at("auxin_second"), words::piece(Piece::Second).label, "", "", &second))
                        (typed(form, of, "strength_second", Piece::SecondStrength))
                    }
                }
            }
        }
    }
}

fn chosen(form: &Form<'_>, of: Of, name: &str, piece: Piece, options: &[Chip]) -> Markup {
    let FieldWords { label, help } = words::piece(piece);
    form.chips(&of.named(name), label, help, options, &[])
}

fn typed(form: &Form<'_>, of: Of, name: &str, piece: Piece) -> Markup {
    let FieldWords { label, help } = words::piece(piece);
    form.text(&of.named(name), label, help, "")
}

fn number(form: &Form<'_>, of: Of, name: &str, piece: Piece) -> Markup {
    let FieldWords { label, help } = words::piece(piece);
    form.number(&of.named(name), label, help, "")
}

fn chips(form: &Form<'_>, of: Of, facet: Facet, label: &str, all: &[&str]) -> Markup {
    split(form, of, facet, label, all, if all.len() > SHOWN + 2 { SHOWN } else { all.len() })
}

/// Chips of words, the first ones shown at once. What is the same for all may stay unsaid.
fn split(form: &Form<'_>, of: Of, facet: Facet, label: &str, all: &[&str], shown: usize) -> Markup {
    let unsaid = matches!(of, Of::All).then(|| Chip::new("", words::NOT_SAID));
    let chip = |word: &&str| Chip::new(*word, words::choice(facet, word));
    let (first, more) = all.split_at(shown.min(all.len()));
    let first: Vec<Chip> = unsaid.into_iter().chain(first.iter().map(chip)).collect();
    form.chips(&of.named(facet.name()), label, "", &first, &more.iter().map(chip).collect::<Vec<_>>())
}

/// Names that are sent as they are read.
pub(super) fn named(names: &[String]) -> Vec<Chip> {
    names.iter().map(|name| Chip::named(name)).collect()
}

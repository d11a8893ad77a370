//! Parts of forms: every field has a label, its help and its error tied to it.

use maud::{Markup, html};
use propagule_protocol::Facet;

use super::fields::{Fields, TABLE, TEXT_CHARACTERS};
use super::problem;
use super::visit::Visit;
use propagule_app::{ArmFacts, Common, Hearing, Repeat, give_facet};
use propagule_bench::dates;
use propagule_bench::dates::{DateQuestion, DayOrder, Reading, When};
use propagule_bench::given::FacetsGiven;
use propagule_files::fault::Fault;
use propagule_present::words::forms as words;

/// What was wrong with a form, and with which field of it.
#[derive(Clone, Debug)]
pub(super) struct Bad {
    pub(super) failure: Fault,
    pub(super) field: Option<String>,
}

impl From<Fault> for Bad {
    fn from(failure: Fault) -> Self {
        let field = failure.field.clone();
        Self { failure, field }
    }
}

impl Bad {
    /// A fault of one field.
    pub(super) fn field(name: &str, failure: Fault) -> Self {
        Self { failure, field: Some(name.to_owned()) }
    }

    /// The same fault, put down to a field where none is known.
    #[must_use]
    pub(super) fn or_field(mut self, name: &str) -> Self {
        self.field.get_or_insert_with(|| name.to_owned());
        self
    }
}

/// The secret that says that a form is ours.
pub(super) fn token(visit: &Visit) -> Markup {
    html! { input type="hidden" name="token" value=(visit.session.token); }
}

/// Links to the parts of a long list.
pub(super) fn page_links(address: &str, page: usize, pages: usize, of: &str) -> Markup {
    let joint = if address.contains('?') { "&" } else { "?" };
    html! {
        @if pages > 1 {
            nav aria-label=(of) class="acts" {
                @for number in 1..=pages {
                    a.button.quiet href={ (address) (joint) "page=" (number) } aria-current=[(number == page).then_some("page")] { (number) }
                }
            }
        }
    }
}

/// A form being written, with what was sent before and what was wrong with it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Form<'a> {
    pub(super) fields: &'a Fields,
    pub(super) bad: Option<&'a Bad>,
    /// Begins every id, so that forms can stand beside each other.
    pub(super) scope: &'a str,
}

impl<'a> Form<'a> {
    /// A form of its own on a page.
    pub(super) fn new(fields: &'a Fields, bad: Option<&'a Bad>) -> Self {
        Self { fields, bad, scope: "f" }
    }

    /// What was sent, else what is proposed.
    pub(super) fn value<'b>(&'b self, name: &str, proposed: &'b str) -> &'b str {
        if self.fields.is_empty() { proposed } else { self.fields.get(name) }
    }

    /// The fault of the whole, above the form.
    pub(super) fn problem(&self) -> Markup {
        html! {
            @if let Some(bad) = self.bad {
                (problem::notice(&bad.failure))
                @if let Some(field) = &bad.field { p { a href={ "#" (self.id(field)) } { (words::TO_FIELD) } } }
            }
        }
    }

    /// The id of a field.
    pub(super) fn id(&self, name: &str) -> String {
        format!("{}-{}", self.scope, name.replace(|c: char| !c.is_ascii_alphanumeric(), "_"))
    }

    /// What was wrong with a field.
    pub(super) fn wrong(&self, name: &str) -> Option<&'a Fault> {
        self.bad.filter(|bad| bad.field.as_deref() == Some(name)).map(|bad| &bad.failure)
    }

    /// Label, help and error around a control.
    fn around(&self, name: &str, label: &str, help: &str, control: impl FnOnce(Control) -> Markup) -> Markup {
        let id = self.id(name);
        let wrong = self.wrong(name);
        let described: Vec<String> = [(!help.is_empty(), "help"), (wrong.is_some(), "wrong")]
            .into_iter()
            .filter(|(is_there, _)| *is_there)
            .map(|(_, part)| format!("{id}-{part}"))
            .collect();
        let described_by = (!described.is_empty()).then(|| described.join(" "));
        html! {
            div class="field" {
                label for=(id) { (label) }
                @if !help.is_empty() { span class="help" id={ (id) "-help" } { (help) } }
                (control(Control { id: id.clone(), described_by, invalid: wrong.map(|_| "true") }))
                @if let Some(failure) = wrong { span class="wrong" id={ (id) "-wrong" } { (problem::sentence(failure)) } }
            }
        }
    }

    /// A line of text.
    pub(super) fn text(&self, name: &str, label: &str, help: &str, proposed: &str) -> Markup {
        self.suggested(name, label, help, proposed, &[""; 0])
    }

    /// A line of text with suggestions.
    pub(super) fn suggested(
        &self,
        name: &str,
        label: &str,
        help: &str,
        proposed: &str,
        words: &[impl AsRef<str>],
    ) -> Markup {
        let value = self.value(name, proposed);
        self.around(name, label, help, |c| {
            let list = (!words.is_empty()).then(|| format!("{}-list", c.id));
            html! {
                input id=(c.id) name=(name) value=(value) list=[list.as_ref()] autocomplete="off"
                    aria-describedby=[c.described_by] aria-invalid=[c.invalid];
                @if let Some(list) = &list {
                    datalist id=(list) { @for word in words { option value=(word.as_ref()) {} } }
                }
            }
        })
    }

    /// A whole number, by the number pad.
    pub(super) fn number(&self, name: &str, label: &str, help: &str, proposed: &str) -> Markup {
        let value = self.value(name, proposed);
        self.around(name, label, help, |c| {
            html! {
                input class="short" id=(c.id) name=(name) value=(value) inputmode="numeric" autocomplete="off"
                    aria-describedby=[c.described_by] aria-invalid=[c.invalid];
            }
        })
    }

    /// A small whole number that is changed by taps where scripts run, and typed where none do.
    pub(super) fn stepper(&self, name: &str, label: &str, help: &str) -> Markup {
        let value = self.value(name, "");
        let field = self.around(name, label, help, |c| {
            html! {
                input id=(c.id) name=(name) value=(value) inputmode="numeric" autocomplete="off"
                    aria-describedby=[c.described_by] aria-invalid=[c.invalid];
            }
        });
        html! { div data-number { (field) } }
    }

    /// Several lines.
    pub(super) fn lines(&self, name: &str, label: &str, help: &str, proposed: &str) -> Markup {
        let value = if self.fields.is_empty() { proposed } else { self.fields.raw(name) };
        self.around(name, label, help, |c| html! {
            textarea id=(c.id) name=(name) maxlength=[(name != TABLE).then_some(TEXT_CHARACTERS)] aria-describedby=[c.described_by] aria-invalid=[c.invalid] { "\n" (value) }
        })
    }

    /// One of several: value and words.
    pub(super) fn choice(
        &self,
        name: &str,
        label: &str,
        help: &str,
        proposed: &str,
        options: &[(impl AsRef<str>, impl AsRef<str>)],
    ) -> Markup {
        let chosen = self.value(name, proposed);
        self.around(name, label, help, |c| {
            html! {
                select id=(c.id) name=(name) aria-describedby=[c.described_by] aria-invalid=[c.invalid] {
                    @for (value, words) in options {
                        option value=(value.as_ref()) selected[value.as_ref() == chosen] { (words.as_ref()) }
                    }
                }
            }
        })
    }

    /// A box to tick.
    pub(super) fn tick(&self, name: &str, label: &str, proposed: bool) -> Markup {
        let is_on = if self.fields.is_empty() { proposed } else { self.fields.is_on(name) };
        let id = self.id(name);
        html! {
            label class="tick" for=(id) { input type="checkbox" id=(id) name=(name) value="yes" checked[is_on]; span { (label) } }
        }
    }

    /// A day; where it could not be read, what is missing is asked for below it.
    pub(super) fn day(&self, name: &str, label: &str, help: &str, proposed: &str) -> Markup {
        let is_asked = self.wrong(name).is_some() || self.fields.given("dates").is_some();
        html! {
            (self.text(name, label, &words::day_help(help), proposed))
            @if is_asked {
                (self.choice("dates", words::ORDER, words::ORDER_HELP, "", &words::ORDERS))
                (self.number("year", words::YEAR, "", ""))
            }
        }
    }

    /// Day and private note of an entry, and the name by which it arrives once.
    pub(super) fn common(&self, visit: &Visit) -> Markup {
        html! {
            (self.day("on", words::DAY, "", &visit.today().to_string()))
            (self.lines("note", words::NOTE, words::NOTE_HELP, ""))
            (once(self.fields))
        }
    }
}

/// The name by which an entry arrives once, however often its form is sent.
pub(super) fn once(fields: &Fields) -> Markup {
    let name = fields.owned("once").unwrap_or_else(|| super::guard::secret().unwrap_or_default());
    html! { input type="hidden" name="once" value=(name); }
}

struct Control {
    id: String,
    described_by: Option<String>,
    invalid: Option<&'static str>,
}

/// What was said of how to read days.
pub(super) fn reading(fields: &Fields) -> Reading {
    let order = match fields.get("dates") {
        "day" => Some(DayOrder::DayFirst),
        "month" => Some(DayOrder::MonthFirst),
        _ => None,
    };
    Reading { order, year: fields.get("year").parse().ok().filter(|year| (1900..=2199).contains(year)) }
}

/// The day in a field; none where it is empty.
pub(super) fn day(fields: &Fields, name: &str) -> Result<Option<When>, Bad> {
    let Some(text) = fields.given(name) else { return Ok(None) };
    dates::read(text, reading(fields)).map(Some).map_err(|question| {
        let failure =
            Fault::user("page-day-not-understood").with("text", text).with_data("question", &question);
        let hint = match question {
            DateQuestion::TwoReadings(..) => "say-the-order-below",
            DateQuestion::NeedsYear(_) => "say-the-year-below",
            DateQuestion::NeedsOrderAndYear(..) => "say-order-and-year-below",
            _ => "write-the-day",
        };
        Bad::field(name, failure.hint_named(hint))
    })
}

/// Day, note and name of an entry; without a day it is today's.
pub(super) fn common(visit: &Visit, fields: &Fields) -> Result<Common, Bad> {
    let on = day(fields, "on")?.unwrap_or_else(|| When::day(visit.today()));
    // What was kept on a device while there was no connection comes when nobody is there to be asked.
    let is_kept = fields.is_on("kept");
    let answer = fields.get("answer");
    let repeat = match fields.given("repeat").unwrap_or(answer) {
        "instead" => Some(Repeat::Instead),
        "again" => Some(Repeat::Again),
        _ => is_kept.then_some(Repeat::Again),
    };
    let is_sure = is_kept || answer == "yes" || fields.is_on("sure");
    let (note, once) = (fields.owned("note"), fields.owned("once"));
    Ok(Common { note, once, is_sure, repeat, ..Common::on(on) })
}

/// A whole number in a field; none where it is empty.
pub(super) fn number(fields: &Fields, name: &str) -> Result<Option<u16>, Bad> {
    let Some(text) = fields.given(name) else { return Ok(None) };
    text.parse()
        .map(Some)
        .map_err(|_| Bad::field(name, Fault::user("page-not-a-whole-number").with("text", text)))
}

/// Gives a facet the words of a field, where it has some.
pub(super) fn facet(
    given: &mut FacetsGiven,
    hearing: Hearing,
    facet: Facet,
    fields: &Fields,
    name: &str,
) -> Result<(), Bad> {
    let Some(words) = fields.given(name) else { return Ok(()) };
    give_facet(given, hearing, facet, words).map_err(|failure| Bad::field(name, failure))?;
    Ok(())
}

/// The same for an arm, which keeps what no facet holds.
pub(super) fn facet_of_arm(
    facts: &mut ArmFacts,
    hearing: Hearing,
    facet: Facet,
    fields: &Fields,
    name: &str,
) -> Result<(), Bad> {
    let Some(words) = fields.given(name) else { return Ok(()) };
    facts.hear(hearing, facet, words).map_err(|failure| Bad::field(name, failure))
}

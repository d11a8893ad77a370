//! A plan: the number first, then each method, what to try next, what a trial would show.

use crate::chart::{Behind, Outcomes};
use crate::document::{Action, Column, Document, List, Phrase, Role, Table};
use crate::words::InWords;

use super::common::{data_words, family_of, left_out, said, shared_family, stands_behind, warnings};
use super::labels;
use crate::words::cautions::caution;
use crate::words::{self, ApartCells, percent, percent_range, percent_with_range};
use propagule_answer::plan::{GrowersOrPieces, MethodPlan, PlanAnswer, TellApart};
use propagule_answer::said::Wording;
use propagule_app::cautions::for_plant;
use propagule_protocol::Taxon;

/// Methods told on a page.
const MOST_METHODS: usize = 16;
/// Where a page finds what it does not show.
const OTHERS: &str = "in the file of the plan";

/// The plan; `next` is where a page goes from it.
pub fn plan(answer: &PlanAnswer, next: impl IntoIterator<Item = Action>) -> Document {
    let families = answer.methods.iter().filter_map(|method| family_of(&method.sentence));
    let question = words::question_words(Wording::new(shared_family(families), answer.outcome), answer.stage);
    let title = format!(": a plan for {} {question}", answer.want);
    let document = Document::new().title(Phrase::new().name(answer.species.as_str()).then(title));
    let document = stands_behind(document, answer.behind.as_ref(), true);
    let document = said(document, Role::Main, &answer.sentence.words());
    let document = stands_behind(document, answer.behind.as_ref(), false);
    let document = methods(document, answer)
        .each(&answer.against, |document, against| {
            let tries = List::ranked(answer.next.iter().map(|line| line.sentence.words()));
            document.section("What to try next", |section| {
                section.say(against.sentence.words()).when(!answer.next.is_empty(), |section| {
                    section.list(tries.at_most(usize::MAX, MOST_METHODS, OTHERS))
                })
            })
        })
        .when(!answer.methods.is_empty(), |document| {
            growers(apart(document, answer), &answer.growers_or_pieces)
        });
    let document = document.each(&answer.learnt, |document, learnt| {
        let said = learnt.sentence.words();
        document.when(!said.is_empty(), |document| document.note(said))
    });
    let document = left_out(document, &answer.left_out);
    let tried = answer.methods.iter().map(|method| (&method.method, &method.facets));
    let never_tried = answer.next.iter().filter(|line| line.never_tried);
    let named = tried.chain(never_tried.map(|line| (&line.method, &line.facets)));
    let document = labels::in_our_words(document, named);
    cautions(warnings(document, &answer.warnings, Some(&answer.sentence)), answer)
        .each(next, Document::action)
        .caveat(data_words(answer.data_until.as_deref(), answer.source, answer.whose))
}

/// What to mind with the plant, whatever the method; without what the grower hid.
fn cautions(document: Document, answer: &PlanAnswer) -> Document {
    let mut hazards = Taxon::parse(&answer.species).map(|taxon| for_plant(&taxon)).unwrap_or_default();
    hazards.retain(|hazard| !answer.hidden_cautions.iter().any(|hidden| hidden == hazard.id()));
    let lines = hazards.iter().map(|hazard| caution(*hazard));
    document.when(!hazards.is_empty(), |document| {
        document.section("Cautions with this plant", |section| section.list(List::points(lines)))
    })
}

/// What is in use first, then methods in the order in which they are worth a try; those without a number last.
fn in_order(answer: &PlanAnswer) -> Vec<&MethodPlan> {
    let ranked = || answer.against.iter().chain(&answer.next);
    let place = |method: &MethodPlan| ranked().position(|next| next.method == method.method);
    let mut methods: Vec<&MethodPlan> = answer.methods.iter().collect();
    methods.sort_by_key(|method| (method.stick.is_none(), place(method).unwrap_or(usize::MAX)));
    methods
}

/// Each method with its number and what that rests on; what a bold arm could show where nothing succeeded.
fn methods(document: Document, answer: &PlanAnswer) -> Document {
    let bold = |document: Document| {
        document.each(&answer.bold_arm, |document, bold| document.main(bold.sentence.words()))
    };
    let heading = |document: Document| document.on_page(|page| page.heading(2, "How many to start"));
    match in_order(answer).as_slice() {
        [] => bold(document),
        [only] => {
            let drawn = outcomes(only, answer.want).is_some();
            let document = document.when(drawn, |document| {
                heading(document).on_page(|page| page.heading(3, only.method.as_str()))
            });
            bold(number(document, only, answer.want))
        }
        several => {
            let (first, more) = several.split_at(several.len().min(MOST_METHODS));
            let section = |document: Document, method: &&MethodPlan| {
                document.section_at(3, method.method.as_str(), |section| {
                    number(section.say(method.sentence.words()), method, answer.want)
                })
            };
            heading(bold(document)).each(first, section).in_text(|text| text.each(more, section)).when(
                !more.is_empty(),
                |document| {
                    document.on_page(|page| page.note(format!("And {} more methods {OTHERS}.", more.len())))
                },
            )
        }
    }
}

/// What that number of pieces may bring, and what it rests on.
fn number(document: Document, method: &MethodPlan, want: u32) -> Document {
    document
        .each(outcomes(method, want), |document, (chart, caption)| {
            document.on_page(|page| page.figure(chart, caption))
        })
        .aside(basis(method))
}

/// Equally likely outcomes with what their dots mean; nothing where there is no number.
fn outcomes(method: &MethodPlan, want: u32) -> Option<(Outcomes, String)> {
    let (stick, outcomes, chance) = (method.stick?, method.outcomes.as_ref()?, method.chance?);
    let (all, reached) = (outcomes.len(), outcomes.iter().filter(|number| **number >= want).count());
    let chart = Outcomes {
        said: format!(
            "Of {all} equally likely outcomes of starting {stick}, {reached} bring {want} successes or more"
        ),
        outcomes: outcomes.clone(),
        want,
        counted: "successes".to_owned(),
        groups: [format!("{} below {want}", all - reached), format!("{reached} with {want} or more")],
        head: "Outcomes".to_owned(),
        behind: Behind::new(format!("{all} equally likely outcomes, from few to many")),
    };
    let caption = format!(
        "Each dot is one of {all} equally likely outcomes of starting {stick}; filled ones reach \
             {want}. The chance of that is {}%.",
        percent(chance)
    );
    Some((chart, caption))
}

/// What the number rests on, so that it does not stand alone.
fn basis(method: &MethodPlan) -> String {
    let counts = format!(
        "{} of {} in {} by {}",
        method.rooted,
        method.started,
        words::counted(method.trials, "trial", "trials"),
        words::counted(method.growers, "grower", "growers"),
    );
    if method.rooted == 0 {
        return counts;
    }
    let fit = &method.fit;
    let [low, _, high] = fit.new_grower_rate_q;
    format!(
        "{counts}; average {}, your next trial {}",
        percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q),
        percent_range(low, high)
    )
}

fn apart(document: Document, answer: &PlanAnswer) -> Document {
    let (named, general): (Vec<&TellApart>, Vec<&TellApart>) =
        answer.tell_apart.iter().partition(|row| row.first.is_some());
    document
        .when(!named.is_empty(), |document| {
            document.section("To tell methods apart in one trial", |section| {
                section.each(named, |section, row| section.say(row.sentence.words()))
            })
        })
        .when(!general.is_empty(), |document| {
            let rows: Vec<ApartCells> = general.iter().map(|row| words::apart_cells(row)).collect();
            document.fold("Telling two methods apart", |fold| true_rates(fold, &rows, &percent(answer.sure)))
        })
}

fn true_rates(fold: Document, rows: &[ApartCells], sure: &str) -> Document {
    let is_in_pots = rows.iter().any(|row| row.shown_without_pots.is_some());
    let columns = [
        Some(Column::words("True rates").at_least(11)),
        Some(Column::numbers("Each treatment")),
        Some(Column::words("Shown in 100").said("", " in 100")),
        is_in_pots.then(|| Column::words("If pots never differed").joined(" (", ")")),
        Some(Column::words("Needed").joined(", needs ", "")),
    ];
    let row = |row: &ApartCells| {
        let bare = is_in_pots.then(|| row.shown_without_pots.as_deref().unwrap_or_default());
        let cells =
            [Some(row.rates.as_str()), Some(&row.each_arm), Some(&row.shown), bare, Some(&row.needed)];
        cells.into_iter().flatten().map(Phrase::from).collect()
    };
    let caption = format!("Two treatments; \u{201c}needed\u{201d} is for {sure} times in 100");
    let brackets = if is_in_pots { "In brackets: if pots never differed. " } else { "" };
    fold.table(Table::new(caption, columns.into_iter().flatten()).rows(rows.iter().map(row)).bare_in_text())
        .in_text(|text| text.say(format!("{brackets}\"Needs\" is for {sure} times in 100.")))
}

fn growers(document: Document, rows: &[GrowersOrPieces]) -> Document {
    let spread = |row: &GrowersOrPieces| {
        let growers = words::counted(row.growers as usize, "grower", "growers");
        let each = if row.growers > 1 { " each" } else { "" };
        let [low, high] = row.typical_rate_range;
        vec![format!("{growers} with {}{each}", row.pieces_each).into(), percent_range(low, high).into()]
    };
    document.each(rows.first(), |document, first| {
        let columns = [Column::words("Growers"), Column::words("Rate pinned down to")];
        let table = Table::new(first.method.as_str(), columns).rows(rows.iter().map(spread)).bare_in_text();
        document.fold(format!("More growers or larger trials ({})", first.method), |fold| {
            fold.table(table).note(words::PINNED_DOWN)
        })
    })
}

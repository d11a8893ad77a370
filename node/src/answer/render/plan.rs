//! A plan as text: the number first, then each method, what a trial would show, what to try next.

use super::wrap::{columns, pad_left, pad_right, push_line, usable_width, wrap};
use crate::answer::Source;
use crate::answer::plan::{GrowersOrPieces, MethodPlan, PlanAnswer, TellApart};
use crate::answer::words;
use crate::answer::words::{ApartCells, Family, Wording, percent, percent_range, percent_with_range};

/// The plan in lines of at most `width` columns, 60 to 120.
pub fn plan_text(answer: &PlanAnswer, width: usize) -> String {
    let width = usable_width(width);
    let mut out = String::new();
    let question = words::question_words(Wording::new(Family::Mixed, answer.outcome), answer.stage);
    let aim = format!("{}: a plan for {} {question}", answer.species, answer.want);
    wrap(&mut out, &aim, width, "");
    out.push('\n');
    wrap(&mut out, &answer.sentence, width, "");
    if !answer.methods.is_empty() {
        methods(&mut out, answer, width);
    }
    if let Some(bold) = &answer.bold_arm {
        out.push('\n');
        wrap(&mut out, &bold.sentence, width, "");
    }
    if !answer.next.is_empty() {
        out.push_str("\nWhat to try next\n");
        for line in &answer.next {
            wrap(&mut out, &line.sentence, width, "  ");
        }
    }
    if !answer.methods.is_empty() {
        apart(&mut out, answer, width);
        growers(&mut out, &answer.growers_or_pieces, width);
    }
    foot(&mut out, answer, width);
    out
}

/// Label, number to start, and the rates it rests on.
fn methods(out: &mut String, answer: &PlanAnswer, width: usize) {
    if answer.methods.len() > 1 {
        for method in &answer.methods {
            out.push('\n');
            wrap(out, &method.method, width, "");
            wrap(out, &method.sentence, width, "  ");
            wrap(out, &basis(method), width, "  ");
        }
    } else if let [only] = answer.methods.as_slice() {
        wrap(out, &basis(only), width, "");
    }
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
        return format!("({counts})");
    }
    let fit = &method.fit;
    let [low, _, high] = fit.new_grower_rate_q;
    format!(
        "({counts}; average grower {}, a new grower {})",
        percent_with_range(fit.average_grower_rate_mean, fit.average_grower_rate_q),
        percent_range(low, high)
    )
}

fn apart(out: &mut String, answer: &PlanAnswer, width: usize) {
    let (named, general): (Vec<&TellApart>, Vec<&TellApart>) =
        answer.tell_apart.iter().partition(|row| row.first.is_some());
    if !named.is_empty() {
        out.push_str("\nTo tell methods apart in one trial\n");
        for row in named {
            wrap(out, &row.sentence, width, "  ");
        }
    }
    if general.is_empty() {
        return;
    }
    out.push_str("\nTo tell two true rates apart, in each of two arms\n");
    let rows: Vec<ApartCells> = general.iter().map(|row| words::apart_cells(row)).collect();
    let widest = rows.iter().map(|row| columns(&row.each_arm)).max().unwrap_or(0);
    for row in &rows {
        let bare = row.shown_without_pots.as_ref().map_or_else(String::new, |bare| format!(" ({bare})"));
        let size = pad_left(&row.each_arm, widest);
        let line = format!(
            "{}  {size}  {} in 100{bare}, needs {}",
            pad_right(&row.rates, 11),
            row.shown,
            row.needed
        );
        wrap(out, &line, width, "  ");
    }
    let brackets = rows.iter().any(|row| row.shown_without_pots.is_some());
    let brackets = if brackets { "In brackets: if pots never differed. " } else { "" };
    wrap(out, &format!("{brackets}\"Needs\" is for {} times in 100.", percent(answer.sure)), width, "  ");
}

fn growers(out: &mut String, rows: &[GrowersOrPieces], width: usize) {
    let Some(first) = rows.first() else { return };
    out.push('\n');
    wrap(out, &format!("More growers or more pieces ({})", first.method), width, "");
    let spread = |row: &GrowersOrPieces| {
        let growers = words::counted(row.growers as usize, "grower", "growers");
        let each = if row.growers > 1 { " each" } else { "" };
        format!("{growers} with {}{each}", row.pieces_each)
    };
    let widest = rows.iter().map(|row| columns(&spread(row))).max().unwrap_or(0);
    for row in rows {
        let [low, high] = row.typical_rate_range;
        push_line(out, "  ", &format!("{}  {}", pad_right(&spread(row), widest), percent_range(low, high)));
    }
    wrap(out, words::PINNED_DOWN, width, "  ");
}

fn foot(out: &mut String, answer: &PlanAnswer, width: usize) {
    out.push('\n');
    for line in &answer.left_out {
        wrap(out, &format!("Not counted: {}, {}.", line.count, line.reason), width, "");
    }
    for warning in &answer.warnings {
        if warning.text != answer.sentence {
            wrap(out, &warning.text, width, "");
        }
    }
    let data = match (&answer.data_until, answer.source) {
        (Some(date), _) => format!("Data until {date} ({}).", answer.whose),
        (None, Source::File) => "Data as in the file.".to_owned(),
        (None, Source::Network) => format!("Records held by this node ({}).", answer.whose),
    };
    wrap(out, &format!("{data} {}", words::NOT_ADVICE), width, "");
}

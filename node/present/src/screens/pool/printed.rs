//! Trials in print, below the growers' answer or alone.

use propagule_files::paste::pasteable;

use crate::document::{Action, Document, Fold, List};
use crate::fault;
use crate::words::printed as words;
use crate::words::transcribed::transcribed_twice;
use propagule_answer::pool::{CitedAnswer, PoolAnswer, PrintedAnswer, PrintedMethodAnswer, PrintedShow};

/// Whether growers' results are not shown.
pub(super) fn is_alone(answer: &PoolAnswer) -> bool {
    answer.printed.as_ref().is_some_and(|printed| printed.show == PrintedShow::Alone)
}

/// What is said first where print stands alone.
pub(super) fn first(answer: &PoolAnswer) -> Option<String> {
    let printed = answer.printed.as_ref().filter(|_| is_alone(answer))?;
    Some(if printed.no_grower {
        words::no_grower(&answer.species)
    } else {
        words::print_alone(&answer.species)
    })
}

/// What stands in print; on a page folded where there are growers' results.
pub(super) fn printed(answer: &PoolAnswer) -> Document {
    let Some(printed) = &answer.printed else { return Document::new() };
    if printed.arms == 0 {
        return Document::new()
            .say(words::nothing_printed(&answer.species))
            .each(words::not_listed(printed), Document::note);
    }
    let content = content(answer, printed);
    match printed.show {
        PrintedShow::Alone => content,
        PrintedShow::Beside => Document::new().folded(fold(printed, content).open(true)),
        PrintedShow::Folded => Document::new()
            .in_text(|text| text.caveat(format!("{}: show with --printed", words::sources(printed.sources))))
            .on_page(|page| page.folded(fold(printed, content))),
    }
}

fn fold(printed: &PrintedAnswer, content: Document) -> Fold {
    Fold::new(format!("{}, not counted above", words::sources(printed.sources)), content)
}

fn content(answer: &PoolAnswer, printed: &PrintedAnswer) -> Document {
    let is_detailed = answer.detail.is_some();
    Document::new()
        .say(words::what_is_printed(printed))
        .note(words::TRANSCRIBED)
        .each(&printed.methods, method)
        .when(printed.methods.len() > 1, |document| document.note(words::NEVER_RANKED))
        .each(transcribed_twice(printed), Document::warn)
        .each(words::remarks(printed), Document::note)
        .each(words::not_listed(printed), Document::note)
        .each(&printed.unused, |document, unused| document.warn(fault::what(unused)))
        .on_page(|page| page.fold("Sources in full", |fold| fold.list(cited(&printed.cited))))
        .in_text(|text| {
            if is_detailed {
                text.section("Sources in full", |under| under.list(cited(&printed.cited)))
            } else {
                text.action(Action::command("Sources in full", command(answer)))
            }
        })
}

fn command(answer: &PoolAnswer) -> String {
    format!("propagule pool {} --printed=only --detail", pasteable(&answer.species))
}

fn method(document: Document, method: &PrintedMethodAnswer) -> Document {
    document.section_at(3, method.method.as_str(), |under| {
        under
            .say(words::printed_method(method))
            .each(&method.with_growers, |under, pool| under.say(words::with_growers(pool)))
            .list(List::points(method.rows.iter().map(|row| words::printed_row(row, method.family))))
    })
}

/// Each work with where it is found and from what it was read.
fn cited(cited: &[CitedAnswer]) -> List {
    let line = |work: &CitedAnswer| {
        let more = [&work.address, &work.place, &work.how_read, &work.date_read];
        let more: Vec<&str> = more.into_iter().flatten().map(String::as_str).collect();
        let more = if more.is_empty() { String::new() } else { format!(" [{}]", more.join("; ")) };
        format!("{}: {}{more}", work.source, work.citation)
    };
    List::points(cited.iter().map(line))
}

//! What is due, in words.

use crate::document::{Column, Document, Item, List, Phrase, Table};
use propagule_bench::Stage;
use propagule_bench::due::{Due, DueKind, State};
use propagule_bench::kind::Kind;
use propagule_files::paste::pasteable;

use crate::kind::KindWords;
use crate::paper::calendar;
use crate::words::any_kind;
use crate::words::due as words;
use crate::words::sentences::day;
use propagule_app::outcome::due::{DueCalendar, DueFolds, DueGroup, DueLine, DueList, DueSection};

/// What is due: one line a task, and what is folded away in a line or two each.
pub(super) fn all(list: &DueList) -> Document {
    let sections = list.shown.iter().map(section);
    let nothing = list.shown.is_empty().then(|| Item::from(nothing(list, |of| day(&any_kind(), of))));
    let more = (list.more > 0)
        .then(|| Item::from(Phrase::from(words::no_room(list.more)).then(": ").code("propagule due --all")));
    let lines = sections.chain(more).chain(nothing).chain(folds(&list.folds));
    let first = list.shown.iter().flat_map(|section| &section.groups).flat_map(|group| &group.lines).next();
    Document::new().list(List::rows(lines)).each(first.filter(|_| !list.is_open), |said, line| {
        said.say(Phrase::new().code(next_command(&line.due)))
    })
}

fn section(section: &DueSection) -> Item {
    let under = Document::new().each(&section.groups, |under, group| {
        let (place, lines) = (heading(group), table(group));
        if place.is_empty() {
            under.table(lines)
        } else {
            under.list(List::points([Item::from(place).with(Document::new().table(lines))]))
        }
    });
    Item::from(state(section.state)).with(under)
}

fn table(group: &DueGroup) -> Table {
    let line = |line: &DueLine| {
        let DueLine { due, in_days, others } = line;
        let (task, far, more) =
            (words::task(due.kind, due.of), words::how_far(*in_days), words::and_more(*others));
        vec![day(&any_kind(), due.day).into(), format!("{}: {task}{far}{more}", due.trial).into()]
    };
    Table::new("", [Column::words(""), Column::words("")]).bare_in_text().rows(group.lines.iter().map(line))
}

/// The heading of tasks of one state.
pub fn state(state: State) -> &'static str {
    match state {
        State::Now => "Now",
        State::Soon => "Soon",
        State::Late => "Late",
        State::Asleep => "Nothing entered for long",
        State::Later => "Later",
    }
}

/// Where something is done; empty where neither site nor bench is told apart.
pub fn heading(group: &DueGroup) -> String {
    let parts: Vec<&str> = [&group.place, &group.spot].into_iter().flatten().map(String::as_str).collect();
    parts.join(", ")
}

/// That nothing is near, and what comes next.
pub fn nothing(list: &DueList, day_of: impl Fn(propagule_protocol::Date) -> String) -> String {
    let next =
        list.next.as_ref().map(|due| (due.trial.as_str(), words::task(due.kind, due.of), day_of(due.day)));
    let next = next.as_ref().map(|(code, what, day)| (*code, what.as_str(), day.as_str()));
    words::nothing_due(next, !(list.folds.late.is_empty() && list.folds.asleep.is_empty()))
}

/// What is folded away, as far as there is any: late, asleep, unpublished.
pub fn fold_lines(folds: &DueFolds) -> [Option<String>; 3] {
    let by_year: Vec<(u16, usize)> = folds.asleep.iter().map(|of| (of.year, of.trials)).collect();
    [
        words::late(folds.late.iter().map(String::as_str)),
        words::asleep(&by_year),
        words::unpublished(folds.unpublished.iter().map(String::as_str)),
    ]
}

fn folds(folds: &DueFolds) -> impl Iterator<Item = Item> {
    let command = |words: &str, command: &str| Phrase::from(words).code(command);
    let [late, asleep, unpublished] = fold_lines(folds);
    let asleep = asleep.map(|line| {
        let ways = [
            command("See them: ", "propagule due --all"),
            command("Close them: ", "propagule trial close --asleep --rest not-seen"),
        ];
        Item::from(line).with(Document::new().list(List::points(ways)))
    });
    [late.map(Item::from), asleep, unpublished.map(Item::from)].into_iter().flatten()
}

/// What is to be done, in the words of the trial's kind.
pub(super) fn task(task: DueKind, of: Kind) -> String {
    words::task(task, of)
}

/// The command that does it.
fn next_command(due: &Due) -> String {
    let (code, said) = (pasteable(&due.trial), KindWords::of(due.of));
    match due.kind {
        DueKind::Stick => format!("propagule {} {code}", said.start_command),
        DueKind::Check => format!("propagule check {code}"),
        DueKind::Lift => format!("propagule {} {code}", said.command(Stage::Lift)),
        DueKind::WrapCut => format!("propagule check {code} --tape-cut"),
        DueKind::Suckers => format!("propagule check {code} --suckers"),
        DueKind::Spring => format!("propagule spring {code}"),
        DueKind::PublishLift | DueKind::PublishRevision => format!("propagule publish {code}"),
    }
}

/// The calendar file.
pub(super) fn calendar(of: &DueCalendar) -> String {
    let entries: Vec<calendar::Entry> = of.tasks.iter().map(entry).collect();
    calendar::calendar(&entries, &of.stamp)
}

fn entry(due: &Due) -> calendar::Entry {
    calendar::Entry {
        uid: uid(due),
        day: due.day,
        summary: format!("{}: {}", due.trial, words::task(due.kind, due.of)),
        description: next_command(due),
        alarm: matches!(due.kind, DueKind::Lift | DueKind::Spring),
    }
}

/// The same for what is due once, so that a calendar moves it when its day changes.
fn uid(due: &Due) -> String {
    let name = due.kind.name();
    if due.kind == DueKind::Suckers {
        format!("{}-{name}-{}@propagule", due.trial, due.day)
    } else {
        format!("{}-{name}@propagule", due.trial)
    }
}

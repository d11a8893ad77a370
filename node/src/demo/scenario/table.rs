//! Trials as a table for `trial import`: one row an arm.

use propagule_protocol::anonymise::{Trial, TrialArm};
use propagule_protocol::{Counts, Date, DesignFlags, Facet};

type Cells = Vec<(&'static str, Option<String>)>;

/// The table of some trials, with the columns that hold anything.
///
/// Replicates have no columns, so the trials come back as if every arm had stood in one place.
pub fn import_table<'a>(trials: impl IntoIterator<Item = &'a Trial>) -> String {
    let rows: Vec<Cells> =
        trials.into_iter().flat_map(|trial| trial.arms.iter().map(|arm| cells(trial, arm))).collect();
    let used = |index: usize| rows.iter().any(|row| row[index].1.is_some());
    let columns: Vec<usize> = (0..rows.first().map_or(0, Vec::len)).filter(|index| used(*index)).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let header = columns.iter().map(|index| rows[0][*index].0);
    writer.write_record(header).expect("a table in memory takes every row");
    for row in &rows {
        let cells = columns.iter().map(|index| row[*index].1.as_deref().unwrap_or_default());
        writer.write_record(cells).expect("a table in memory takes every row");
    }
    let bytes = writer.into_inner().expect("a table in memory flushes");
    String::from_utf8(bytes).expect("cells are text")
}

fn cells(trial: &Trial, arm: &TrialArm) -> Cells {
    let text = |value: &dyn ToString| Some(value.to_string());
    let mut cells: Cells = vec![
        ("trial", text(&trial.private.name)),
        ("species", text(&trial.taxon)),
        ("started_on", text(&trial.started)),
        ("arm", text(&arm.label)),
        ("started", text(&arm.started)),
    ];
    cells.extend(Facet::ALL.map(|facet| (facet.name(), facet_word(arm, facet))));
    cells.extend(count_cells(LIFT, arm.stages.lift.as_ref(), trial.days.lift.counted));
    cells.extend(count_cells(SPRING, arm.stages.spring.as_ref(), trial.days.spring.counted));
    cells.push(("stock_plants", trial.stock_plants.map(|number| number.to_string())));
    let yes = |bit: u16| trial.design.has(bit).then(|| "yes".to_owned());
    cells.push(("randomised", yes(DesignFlags::RANDOMISED)));
    cells.push(("blocked", yes(DesignFlags::BLOCKED)));
    cells.push(("note", trial.private.notes.first().cloned()));
    cells
}

/// An unknown kind is a facet not stated.
fn facet_word(arm: &TrialArm, facet: Facet) -> Option<String> {
    arm.method.word(facet).filter(|word| word != "unknown")
}

/// Columns of one count: day, alive, rooted, established, dead, lost.
type CountColumns = [&'static str; 6];
const LIFT: CountColumns =
    ["lift_on", "lift_alive", "lift_rooted", "lift_established", "lift_dead", "lift_lost"];
const SPRING: CountColumns =
    ["spring_on", "spring_alive", "spring_rooted", "spring_established", "spring_dead", "spring_lost"];

fn count_cells(columns: CountColumns, counts: Option<&Counts>, day: Option<Date>) -> Cells {
    let none = Counts::default();
    let counts = counts.unwrap_or(&none);
    let numbers = [counts.alive, counts.rooted, counts.established, counts.dead, counts.lost];
    let numbers = numbers.map(|number| number.map(|number| number.to_string()));
    columns.into_iter().zip(std::iter::once(day.map(|day| day.to_string())).chain(numbers)).collect()
}

//! The list of trials and batches on the bench.

use propagule_app::outcome::trials::TrialLine;

use crate::kind::KindWords;
use crate::words::sentences::number_of;

/// Trials of a season.
pub const TRIALS: &str = "Trials";
/// Batches of a season.
pub const BATCHES: &str = "Batches";
/// Pages of a long list.
pub const PAGES: &str = "Pages";

/// The heading of a season.
pub fn season(year: u16) -> String {
    format!("Season {year}")
}

/// How many were started, how they fare, and what was done with the results.
pub fn state(line: &TrialLine) -> String {
    let said = KindWords::of(line.kind);
    let several = || format!(", {}", number_of(line.arms as u64, "treatment", "treatments"));
    let treatments = if line.arms > 1 { several() } else { String::new() };
    if line.is_planned {
        return format!("{} planned for {}{treatments}", said.many(line.started), line.started_on);
    }
    let mut parts =
        vec![format!("{} {} {}{treatments}", said.many(line.started), said.started, line.started_on)];
    parts.push(match line.rooted {
        Some(rooted) => format!("{} alive, {rooted} {}", line.alive, said.ok),
        None => format!("{} alive", line.alive),
    });
    parts.extend(line.stage.map(|stage| format!("counted at {}", said.at(stage))));
    parts.extend(line.published.map(|_| "published".to_owned()));
    parts.extend(line.is_private.then(|| "private".to_owned()));
    parts.extend(line.is_closed.then(|| "closed".to_owned()));
    parts.join("; ")
}

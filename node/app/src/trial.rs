//! Trials of the bench: find one, and give a new one its random names.

use propagule_protocol::{Taxon, names};

use propagule_bench::{Bench, Trial};
use propagule_files::fault::Fault;
use propagule_files::hex;
use propagule_files::paste::pasteable;

/// A random mark for another grower.
pub(super) fn random_mark() -> Result<String, Fault> {
    random_series().map(|name| name[..16].to_owned())
}

/// A random name under which a trial's records will be published.
pub(super) fn random_series() -> Result<String, Fault> {
    let mut series = Series::default();
    let name = series.next();
    series.failure.map_or(Ok(name), Err)
}

/// Random names for new trials; the first failing of the system is kept.
#[derive(Default)]
pub(super) struct Series {
    pub(super) failure: Option<Fault>,
}

impl Series {
    pub(super) fn next(&mut self) -> String {
        let mut bytes = [0; 16];
        if let Err(e) = getrandom::fill(&mut bytes) {
            self.failure = Some(Fault::environment("no-random-numbers").because(e));
        }
        hex::encode(&bytes)
    }
}

/// Plants of nearly that name, where the list does not have this one.
pub(super) fn near_names(name: &str) -> Vec<String> {
    let Ok(taxon) = Taxon::parse(name) else { return Vec::new() };
    let plain = Taxon { cultivar: None, ..taxon }.to_string();
    let near = if names::lookup(&plain).is_empty() { names::suggest(&plain) } else { Vec::new() };
    near.into_iter().map(str::to_owned).collect()
}

/// The trial of that code, or a failure that names near codes.
pub(crate) fn find<'a>(
    found: Option<&'a Trial>,
    code: &str,
    all: impl Iterator<Item = &'a Trial>,
) -> Result<&'a Trial, Fault> {
    found.ok_or_else(|| {
        let codes: Vec<&str> = all.map(|trial| trial.code.as_str()).collect();
        let near = propagule_files::closest(code, codes.iter().copied(), 3);
        let failure = Fault::user("trial-unknown").with("code", code);
        match (near.is_empty(), codes.is_empty()) {
            (false, _) => failure.near(&near),
            (true, true) => failure.hint_named("bring-trials-in-first"),
            (true, false) => failure.hint_named("see-all-trials"),
        }
    })
}

/// The option that ends privacy of a trial: it may be published then, and is not published by it.
pub(super) const BACK: &str = "--allow-publishing";

/// Refuses to publish what is to stay at home.
pub(super) fn check_may_leave(bench: &Bench, trial: &Trial) -> Result<(), Fault> {
    let code = pasteable(&trial.code);
    if trial.is_private {
        return Err(Fault::user("trial-private")
            .with("trial", &trial.code)
            .with("code", &code)
            .with("back", BACK));
    }
    if bench.publishing() == Some(false) {
        return Err(Fault::user("publishing-off"));
    }
    Ok(())
}

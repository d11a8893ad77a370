//! Pots with what is said of them: `P3=4`, `R: P1,P2`.

use propagule_app::{DoneBy, StartedAt};
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;

/// Reads `P3=4` or `A=12`: how many pieces were put in there.
pub(crate) fn started(what: Doing, text: &str) -> Result<StartedAt, Fault> {
    let wrong =
        |why: &str| Fault::user("started-malformed").with("what", what).with("text", text).with("why", why);
    let (place, count) = text.split_once('=').ok_or_else(|| wrong("it has no `=`"))?;
    let pieces = count.trim().parse().ok().filter(|n| (1..=10_000).contains(n));
    let pieces = pieces.ok_or_else(|| wrong("it is not a whole number from 1 to 10,000"))?;
    Ok(StartedAt { place: place.trim().to_owned(), pieces })
}

/// Reads `R: P1,P2`: who did which pots.
pub(crate) fn done_by(what: Doing, text: &str) -> Result<DoneBy, Fault> {
    let (person, pots) = text
        .split_once(':')
        .ok_or_else(|| Fault::user("done-by-without-colon").with("what", what).with("text", text))?;
    let pots = pots.split([',', ' ', ';']).map(str::trim).filter(|pot| !pot.is_empty());
    Ok(DoneBy { person: person.trim().to_owned(), pots: pots.map(str::to_owned).collect() })
}

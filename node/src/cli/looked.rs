//! `propagule check --spot`, `--bench`, `--take-back`: everything that stands somewhere was looked at.

use clap::Args;

use propagule_app::{BenchRequest, Common};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

/// The word that says: looked at, and nothing changed.
const OK: &str = "ok";

#[derive(Debug, Default, Args)]
pub(super) struct EverythingArgs {
    /// Everything that stands on a spot was looked at, no change: check --spot 'mist house' ok
    #[arg(long, conflicts_with_all = ["counts", "suckers", "wrap_cut", "bench"])]
    spot: Option<String>,
    /// Everything on the whole bench was looked at, no change: check --bench ok
    #[arg(long, conflicts_with_all = ["counts", "suckers", "wrap_cut"])]
    bench: bool,
    /// Looks that were saved at once are taken back, by their numbers
    #[arg(long, value_name = "ENTRY-ENTRY", conflicts_with_all = ["spot", "bench", "trial"])]
    take_back: Option<String>,
}

impl EverythingArgs {
    /// What is asked for, where it is not about one trial; `word` stands where its code would.
    pub(super) fn request(
        self,
        word: Option<&str>,
        common: impl FnOnce() -> Result<Common, Fault>,
    ) -> Result<Option<BenchRequest>, Fault> {
        if let Some(text) = self.take_back {
            return Ok(Some(BenchRequest::TakeBackLooks { entries: entries(&text)? }));
        }
        if self.spot.is_none() && !self.bench {
            return Ok(None);
        }
        let option =
            self.spot.as_deref().map_or("--bench".to_owned(), |spot| format!("--spot {}", pasteable(spot)));
        // A whole bench is not checked by a slip of the hand; a spot was named.
        let is_said = word.map_or(!self.bench, |word| word.eq_ignore_ascii_case(OK));
        if !is_said {
            let why = word.map_or("it would say that all of it was looked at".to_owned(), |word| {
                format!("\"{word}\" cannot be said of everything there, only {OK}")
            });
            return Err(Fault::usage("check-all-with-option")
                .with("option", &option)
                .with("why", &why)
                .with("ok", OK));
        }
        Ok(Some(BenchRequest::LookedAll { spot: self.spot, common: common()? }))
    }
}

/// Whether counts say only that all is as before.
pub(super) fn is_ok(counts: &[String]) -> bool {
    matches!(counts, [word] if word.eq_ignore_ascii_case(OK))
}

/// Reads `12-51` or `12`.
fn entries(text: &str) -> Result<(u64, u64), Fault> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let read = |number: &str| number.trim().parse::<u64>().ok();
    read(first)
        .zip(read(last))
        .filter(|(first, last)| first <= last)
        .ok_or_else(|| Fault::usage("look-range-malformed").with("text", text))
}

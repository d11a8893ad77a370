//! `propagule check --bench`: everything that stands somewhere was looked at.

use clap::Args;

use propagule_app::{BenchRequest, Common};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

/// The word that says: looked at, and nothing changed.
const OK: &str = "ok";

#[derive(Debug, Default, Args)]
pub(super) struct EverythingArgs {
    #[arg(long, value_name = "BENCH", num_args = 0..=1, default_missing_value = "",
        conflicts_with_all = ["counts", "suckers", "tape_cut"])]
    bench: Option<String>,
}

impl EverythingArgs {
    /// What is asked for, where it is not about one trial; `word` stands where its code would.
    pub(super) fn request(
        self,
        word: Option<&str>,
        common: impl FnOnce() -> Result<Common, Fault>,
    ) -> Result<Option<BenchRequest>, Fault> {
        let Some(named) = self.bench else { return Ok(None) };
        // `--bench ok` names no bench: all of them are ok, which is said behind the option or before it.
        let (bench, word) = match (named.as_str(), word) {
            ("", word) => (None, word),
            (named, None) if is_said(named) => (None, Some(OK)),
            (_, word) => (Some(named), word),
        };
        let option =
            bench.as_deref().map_or("--bench".to_owned(), |bench| format!("--bench {}", pasteable(bench)));
        // All benches are not checked by a slip of the hand; one was named.
        if !word.map_or(bench.is_some(), is_said) {
            let why = word.map_or("it would say that all of it was looked at".to_owned(), |word| {
                format!("\"{word}\" cannot be said of everything there, only {OK}")
            });
            return Err(Fault::usage("check-all-with-option")
                .with("option", &option)
                .with("why", &why)
                .with("ok", OK));
        }
        Ok(Some(BenchRequest::LookedAll { spot: bench, only: Vec::new(), common: common()? }))
    }
}

fn is_said(word: &str) -> bool {
    word.eq_ignore_ascii_case(OK)
}

/// Whether counts say only that all is as before.
pub(super) fn is_ok(counts: &[String]) -> bool {
    matches!(counts, [word] if is_said(word))
}

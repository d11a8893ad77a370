//! Reads cases, computes what each check asks for, and compares.

mod case;
mod compare;
mod compute;
mod table;

use std::fs;
use std::path::Path;

use case::Case;
use compare::Verdict;

/// How many checks passed, failed and could not be computed.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Tally {
    pub(crate) passed: usize,
    pub(crate) failed: usize,
    pub(crate) unsupported: usize,
}

/// Runs all cases of `folder`; the lines name every check that did not pass.
pub(crate) fn run_folder(folder: &Path) -> Result<(Vec<String>, Tally), String> {
    let cases = folder.join("cases");
    let entries =
        fs::read_dir(&cases).map_err(|error| format!("cannot read {}: {error}", cases.display()))?;
    let mut files: Vec<_> =
        entries.map(|e| e.map(|e| e.path())).collect::<Result<_, _>>().map_err(|e| e.to_string())?;
    files.retain(|path| path.extension().is_some_and(|e| e == "json"));
    files.sort();
    if files.is_empty() {
        return Err(format!("no case in {}", cases.display()));
    }
    let (mut lines, mut tally) = (Vec::new(), Tally::default());
    for file in files {
        match Case::read(folder, &file) {
            Ok(case) => run_case(&case, &mut lines, &mut tally),
            Err(error) => {
                tally.failed += 1;
                lines.push(format!("FAILED {}: {error}", file.display()));
            }
        }
    }
    Ok((lines, tally))
}

fn run_case(case: &Case, lines: &mut Vec<String>, tally: &mut Tally) {
    for check in &case.checks {
        let verdict = match compute::compute(case, check) {
            Ok(Some(got)) => compare::compare(check, &got),
            Ok(None) => Verdict::Unsupported("nothing computed".to_owned()),
            Err(error) => Verdict::Failed(vec![error]),
        };
        let label = format!("{} / {}", case.id, check.name);
        match verdict {
            Verdict::Passed => tally.passed += 1,
            Verdict::Failed(reasons) => {
                tally.failed += 1;
                lines.push(format!("FAILED {label}"));
                lines.extend(reasons.into_iter().map(|reason| format!("    {reason}")));
            }
            Verdict::Unsupported(reason) => {
                tally.unsupported += 1;
                lines.push(format!("unsupported {label}: {reason}"));
            }
        }
    }
}

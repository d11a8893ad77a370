//! The command line.

use propagule_analysis::rate::{Levels, Options};

/// A table to make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    Prior,
    Grid,
    Withheld,
}

/// What is asked for.
#[derive(Clone, Debug)]
pub(crate) struct Arguments {
    pub(crate) sets: u64,
    pub(crate) seed: u64,
    pub(crate) options: Options,
    /// One table, or all.
    part: Option<Part>,
}

impl Arguments {
    pub(crate) fn parse(mut words: impl Iterator<Item = String>) -> Result<Self, String> {
        let mut out = Self { sets: 2_000, seed: 1, options: Options::default(), part: None };
        while let Some(flag) = words.next() {
            let value = words.next().ok_or_else(|| format!("{flag} needs a value"))?;
            match flag.as_str() {
                "--sets" => out.sets = number(&flag, &value)?,
                "--seed" => out.seed = number(&flag, &value)?,
                "--grower-sd" => out.options.grower_sd = number(&flag, &value)?,
                "--trial-sd" => out.options.trial_sd = number(&flag, &value)?,
                "--levels" => out.options.levels = levels(&value)?,
                "--part" => out.part = Some(part(&value)?),
                _ => return Err(format!("{flag}: no such flag")),
            }
        }
        if out.sets == 0 {
            return Err("--sets 0: at least one data set a cell".to_owned());
        }
        Ok(out)
    }

    pub(crate) fn wants(&self, part: Part) -> bool {
        self.part.is_none_or(|asked| asked == part)
    }
}

fn number<T: std::str::FromStr>(flag: &str, value: &str) -> Result<T, String> {
    value.parse().map_err(|_| format!("{flag} {value}: not a number that fits"))
}

fn levels(value: &str) -> Result<Levels, String> {
    match value {
        "auto" => Ok(Levels::Auto),
        "two" => Ok(Levels::Two),
        "three" => Ok(Levels::Three),
        _ => Err(format!("--levels {value}: auto, two or three")),
    }
}

fn part(value: &str) -> Result<Part, String> {
    match value {
        "prior" => Ok(Part::Prior),
        "grid" => Ok(Part::Grid),
        "withheld" => Ok(Part::Withheld),
        _ => Err(format!("--part {value}: prior, grid or withheld")),
    }
}

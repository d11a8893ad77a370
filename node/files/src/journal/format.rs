//! The format of a home: raised once, by the first command that writes after an upgrade.
//!
//! `home.json` is raised before anything of the new format is written, so that an older program, which looks there
//! first, refuses the home. What an older version wrote stays as it is: journals go on in segments of their own.

use std::path::Path;

use super::FORMAT_VERSION;
use crate::error::{StoreError, io_error};
use crate::replace::replace_file;

/// The format that a home says it has; none where there is no home, or it cannot be read.
pub fn stated(home: &Path) -> Option<u64> {
    let text = std::fs::read_to_string(home.join("home.json")).ok()?;
    serde_json::from_str::<serde_json::Value>(&text).ok()?["format"].as_u64()
}

/// Raises the format of the home at `home` where it is of an older one; whether it was.
///
/// # Errors
/// When its file cannot be written; then it has the format that it had.
pub fn raise(home: &Path) -> Result<bool, StoreError> {
    if stated(home).is_none_or(|found| found >= u64::from(FORMAT_VERSION)) {
        return Ok(false);
    }
    let path = home.join("home.json");
    let text = std::fs::read_to_string(&path).map_err(|e| io_error("read", &path, e))?;
    let mut value: serde_json::Value = serde_json::from_str(&text).unwrap_or_default();
    value["format"] = FORMAT_VERSION.into();
    let text = serde_json::to_string_pretty(&value).expect("JSON values serialise");
    replace_file(&path, text.as_bytes())?;
    super::segment::sync_folder(home)?;
    Ok(true)
}

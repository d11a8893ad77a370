//! What is said when a home was opened.

use propagule_files::journal::FORMAT_VERSION;

use super::store;
use propagule_app::OpeningNote;
use propagule_app::home::UnknownSetting;

/// Something that opening a home found.
pub fn note(note: &OpeningNote) -> String {
    match note {
        OpeningNote::Damage(damage) => store::damage(damage),
        OpeningNote::Loss(loss) => store::loss(loss),
        OpeningNote::IndexRebuilt { why } => format!("the index was built anew: {why}"),
        OpeningNote::UnknownSetting(setting) => unknown_setting(setting),
    }
}

/// A setting that had no effect.
pub(super) fn unknown_setting(setting: &UnknownSetting) -> String {
    let meant = setting.near.as_ref().map(|name| format!("; did you mean {name}?")).unwrap_or_default();
    format!("config.toml: there is no setting \"{}\"; it is left alone{meant}", setting.name)
}

/// The home was made one of a newer format.
pub fn raised() -> String {
    format!("your data folder is now of format {FORMAT_VERSION}; older programs cannot open it")
}

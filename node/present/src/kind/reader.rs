//! Who reads the screens of this program: one grower, since a process works for one home.

use std::sync::RwLock;

use propagule_bench::locale::Locale;

static READER: RwLock<Option<Locale>> = RwLock::new(None);

/// From now on screens are worded for this reader. The program says it once, from the settings of its home.
pub fn set_reader(locale: Locale) {
    if let Ok(mut reader) = READER.write() {
        *reader = Some(locale);
    }
}

/// How the reader reads; as in the United States until it is said.
pub fn reads() -> Locale {
    READER.read().ok().and_then(|reader| *reader).unwrap_or_default()
}

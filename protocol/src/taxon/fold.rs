//! Folds to ASCII, and stems of epithets for matching.

use unicode_normalization::UnicodeNormalization;

/// ASCII by the transcriptions of the ICN (Art. 60.7: ä ö ü as ae oe ue, ø as oe, å as ao), other
/// accents dropped; letters without a transcription are kept.
pub(crate) fn ascii(text: &str) -> String {
    text.nfc()
        .flat_map(|c| transcribed(c).map_or_else(|| stripped(c), str::to_owned).chars().collect::<Vec<_>>())
        .collect()
}

fn transcribed(c: char) -> Option<&'static str> {
    Some(match c {
        'ä' | 'æ' => "ae",
        'ö' | 'œ' | 'ø' => "oe",
        'ü' => "ue",
        'å' => "ao",
        'ß' => "ss",
        'Ä' | 'Æ' => "Ae",
        'Ö' | 'Œ' | 'Ø' => "Oe",
        'Ü' => "Ue",
        'Å' => "Ao",
        'ł' => "l",
        'Ł' => "L",
        'đ' | 'ð' => "d",
        'ı' => "i",
        _ => return None,
    })
}

fn stripped(c: char) -> String {
    let is_combining = |c: &char| ('\u{300}'..='\u{36f}').contains(c);
    std::iter::once(c).nfd().filter(|c| !is_combining(c)).collect()
}

/// The epithet without its gender ending, with `ae`, `oe`, `ii` and `y` levelled: for finding names, never
/// for keys.
pub(crate) fn epithet_stem(epithet: &str) -> String {
    let levelled =
        epithet.replace("ae", "e").replace("oe", "e").replace("ii", "i").replace('y', "i").replace('-', "");
    for ending in ["us", "um", "is", "a", "e", "i"] {
        if let Some(stem) = levelled.strip_suffix(ending).filter(|stem| stem.len() >= 3) {
            return stem.to_owned();
        }
    }
    levelled
}

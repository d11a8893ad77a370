//! Names as they are shown.

use std::fmt;

use super::Taxon;
use super::parse::capitalised;
use super::token::is_group_word;
use crate::code::Code;

/// The short word of a rank code.
pub(super) fn rank(code: u8) -> String {
    match code {
        2 => "subsp.".to_owned(),
        3 => "var.".to_owned(),
        4 => "f.".to_owned(),
        other => Code(other).to_string(),
    }
}

/// Whether a group is told from an epithet and from the word for a group without brackets.
fn is_bare(group: &str) -> bool {
    group.split(' ').all(|word| word.starts_with(char::is_uppercase) && !is_group_word(word))
}

impl fmt::Display for Taxon {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = self.sign();
        let at_genus = self.is_marked(Self::CHIMAERA) || self.species.is_none();
        let is_formula = self.other_parent.is_some();
        write!(f, "{}{}", if at_genus && !is_formula { sign } else { "" }, capitalised(&self.genus))?;
        match &self.species {
            Some(species) => {
                let uncertain = if self.is_marked(Self::UNCERTAIN) { "cf. " } else { "" };
                write!(f, " {uncertain}{}{species}", if at_genus || is_formula { "" } else { sign })?;
            }
            None if self.is_marked(Self::UNCERTAIN) => f.write_str(" sp.")?,
            None => {}
        }
        self.show_below_species(f)
    }
}

impl Taxon {
    fn sign(&self) -> &'static str {
        match (self.is_marked(Self::HYBRID), self.is_marked(Self::CHIMAERA)) {
            (_, true) => "+",
            (true, false) => "×",
            _ => "",
        }
    }

    fn show_below_species(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((code, epithet)) = &self.infraspecific {
            write!(f, " {} {epithet}", rank(*code))?;
        }
        if let Some((genus, species)) = &self.other_parent {
            let sign = if self.sign().is_empty() { "×" } else { self.sign() };
            write!(f, " {sign} {} {species}", capitalised(genus))?;
        }
        match (&self.group, &self.cultivar) {
            (Some(group), None) if is_bare(group) => write!(f, " {group} Group"),
            (Some(group), None) => write!(f, " ({group} Group)"),
            (Some(group), Some(cultivar)) => write!(f, " ({group} Group) '{cultivar}'"),
            (None, Some(cultivar)) => write!(f, " '{cultivar}'"),
            (None, None) => Ok(()),
        }
    }
}

//! Names that the reader takes for another one.

/// That other names are counted with one.
pub fn also_counted(names: &[String]) -> String {
    format!("Counted with it, as you said: {} (see propagule plant).", names.join(", "))
}

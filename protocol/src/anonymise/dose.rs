//! Strengths of auxins to two significant digits.

use crate::record::Auxin;

/// The auxin with its strength rounded half up to two significant digits.
pub(super) fn coarse(auxin: Auxin) -> Auxin {
    Auxin { dose: auxin.dose.map(two_digits), ..auxin }
}

fn two_digits(dose: u16) -> u16 {
    let step = match dose {
        0..100 => 1,
        100..1_000 => 10,
        1_000..10_000 => 100,
        _ => 1_000,
    };
    (dose + step / 2) / step * step
}

#[cfg(test)]
mod tests {
    use super::two_digits;

    #[test]
    fn two_significant_digits_are_kept() {
        for (exact, coarse) in [
            (0, 0),
            (7, 7),
            (99, 99),
            (104, 100),
            (105, 110),
            (3_249, 3_200),
            (3_250, 3_300),
            (9_960, 10_000),
            (50_000, 50_000),
        ] {
            assert_eq!(two_digits(exact), coarse, "{exact}");
        }
    }
}

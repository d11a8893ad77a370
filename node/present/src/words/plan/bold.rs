//! What a bold arm could show.

use propagule_answer::said::BoldFacts;

use super::article;
use crate::number::percent;
use crate::words::InWords;

impl InWords for BoldFacts {
    fn words(&self) -> String {
        let Self { pieces, rate_shown, upper_if_none, .. } = *self;
        let (shown, open, sure) = (percent(rate_shown), percent(upper_if_none), percent(self.sure));
        let new = format!(
            "One bold arm of {pieces} by a method not tried yet would show at least one success with {} {sure} % chance if \
             its true rate were {shown} % or more; none of {pieces} would still leave rates up to {open} % open.",
            article(&sure),
        );
        let again = self.again.map_or_else(String::new, |(now, then)| {
            format!(
                " {pieces} more of the same without a success would only lower its bound from {} to {} %.",
                percent(now),
                percent(then)
            )
        });
        format!("{new}{again}")
    }
}

//! Lines of a text, counted as an editor shows them: a line ends at LF, CR or CR LF.

/// Counts lines up to places that are asked for in order.
#[derive(Debug)]
pub(super) struct Lines<'a> {
    text: &'a [u8],
    counted_to: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    pub(super) fn of(text: &'a [u8]) -> Self {
        Self { text, counted_to: 0, line: 1 }
    }

    /// The line, from 1, of the byte at `offset`, which is not before the last one asked for.
    pub(super) fn at(&mut self, offset: usize) -> u64 {
        let offset = offset.min(self.text.len());
        while self.counted_to < offset {
            let next = self.text.get(self.counted_to + 1);
            match self.text[self.counted_to] {
                b'\n' => self.line += 1,
                b'\r' if next != Some(&b'\n') => self.line += 1,
                _ => {}
            }
            self.counted_to += 1;
        }
        self.line
    }

    /// The line on which the record behind `offset` begins: blank lines before it are not part of it.
    pub(super) fn of_record(&mut self, offset: usize) -> u64 {
        let rest = self.text.get(offset..).unwrap_or_default();
        let ends = rest.iter().take_while(|byte| matches!(byte, b'\n' | b'\r')).count();
        self.at(offset + ends)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_of_ending_a_line_counts_once() {
        for text in ["ab\n\ncd\nef", "ab\r\rcd\ref", "ab\r\n\r\ncd\r\nef"] {
            let mut lines = Lines::of(text.as_bytes());
            let at = |what: &str| text.find(what).expect("there");
            assert_eq!([lines.at(at("ab")), lines.at(at("cd")), lines.at(at("ef"))], [1, 3, 4], "{text:?}");
        }
    }

    #[test]
    fn a_record_begins_behind_the_blank_lines() {
        let text = b"ab\r\n\r\ncd";
        assert_eq!(Lines::of(text).of_record(3), 3, "from the middle of CR LF");
        assert_eq!(Lines::of(text).of_record(0), 1);
    }
}

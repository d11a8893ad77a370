//! Headings of a grower's own table, and the columns they stand for.

use std::collections::BTreeMap;

use propagule_protocol::Facet;

/// Headings that growers write, and the column each means; those of a facet's own name need no entry.
const USUAL: [(&str, &str); 34] = [
    ("lot", "trial"),
    ("code", "trial"),
    ("batch", "trial"),
    ("plant", "species"),
    ("name", "species"),
    ("taxon", "species"),
    ("putin", "started"),
    ("put_in", "started"),
    ("stuck", "started"),
    ("number_put_in", "started"),
    ("n", "started"),
    ("grafted", "started"),
    ("sown", "started"),
    ("date", "started_on"),
    ("put_in_on", "started_on"),
    ("date_put_in", "started_on"),
    ("stuck_on", "started_on"),
    ("treatment", "arm"),
    ("rooted", "lift_rooted"),
    ("taken", "lift_rooted"),
    ("germinated", "lift_rooted"),
    ("alive", "lift_alive"),
    ("dead", "lift_dead"),
    ("lost", "lift_lost"),
    ("callused", "lift_callused"),
    ("lifted", "lift_on"),
    ("lift_date", "lift_on"),
    ("date_lifted", "lift_on"),
    ("finished", "final_finished"),
    ("notes", "note"),
    ("remarks", "note"),
    ("mothers", "stock_plants"),
    ("hormone", "auxin"),
    ("substrate", "medium"),
];

/// The column that each heading of `header` stands for: as mapped by the grower, as it is, or as growers usually
/// mean it where no other heading claims that column.
pub(super) fn columns(header: &[String], mapped: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    let own = |heading: &String| {
        mapped.iter().find(|(from, _)| plain(from) == plain(heading)).map(|(_, to)| to.clone())
    };
    let known = super::known_columns();
    let is_known =
        |heading: &String| known.contains(&plain(heading)) || Facet::from_name(&plain(heading)).is_some();
    let mut taken: Vec<String> =
        header.iter().filter_map(|h| own(h).or_else(|| is_known(h).then(|| plain(h)))).collect();
    let mut columns = BTreeMap::new();
    for heading in header {
        if let Some(column) = own(heading) {
            columns.insert(heading.clone(), column);
        } else if !is_known(heading)
            && let Some((_, column)) = USUAL.iter().find(|(from, _)| *from == plain(heading))
            && !taken.iter().any(|taken| taken == column)
        {
            taken.push((*column).to_owned());
            columns.insert(heading.clone(), (*column).to_owned());
        }
    }
    columns
}

/// A heading in the form used for matching.
fn plain(heading: &str) -> String {
    heading.trim().to_lowercase().replace([' ', '-'], "_")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(header: &[&str], mapped: &[(&str, &str)]) -> BTreeMap<String, String> {
        let header: Vec<String> = header.iter().map(|heading| (*heading).to_owned()).collect();
        let mapped = mapped.iter().map(|(from, to)| ((*from).to_owned(), (*to).to_owned())).collect();
        columns(&header, &mapped)
    }

    #[test]
    fn headings_that_growers_write_are_understood() {
        let columns = read(&["Lot", "Plant", "PutIn", "Date", "Rooted", "Lifted"], &[]);
        let pairs: Vec<(&str, &str)> =
            columns.iter().map(|(from, to)| (from.as_str(), to.as_str())).collect();
        assert_eq!(
            pairs,
            [
                ("Date", "started_on"),
                ("Lifted", "lift_on"),
                ("Lot", "trial"),
                ("Plant", "species"),
                ("PutIn", "started"),
                ("Rooted", "lift_rooted")
            ]
        );
    }

    #[test]
    fn what_the_grower_says_wins_and_no_column_is_claimed_twice() {
        assert_eq!(read(&["Lot"], &[("lot", "arm")])["Lot"], "arm");
        assert!(read(&["trial", "Lot"], &[]).is_empty(), "trial is there already");
        assert!(read(&["anything else"], &[]).is_empty());
    }
}

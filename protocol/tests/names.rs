//! The grammar of names against a general parser of scientific names; source at the head of the file.

use propagule_protocol::Taxon;

#[test]
fn names_are_read_as_a_general_parser_reads_them() {
    let rows = include_str!("data/names.tsv").lines().filter(|row| !row.starts_with('#'));
    let mut number = 0;
    for row in rows {
        number += 1;
        let columns: Vec<&str> = row.split('\t').collect();
        let taxon = Taxon::parse(columns[0]).unwrap_or_else(|error| panic!("{error}"));
        let (rank, below) = taxon.infraspecific.clone().unwrap_or_default();
        let ranks = ["", "", "subsp.", "var.", "f."];
        let hybrid = if taxon.is_marked(Taxon::HYBRID) { "hybrid" } else { "" };
        let read = [
            columns[0].to_owned(),
            capitalised(&taxon.genus),
            taxon.species.clone().unwrap_or_default(),
            ranks[usize::from(rank)].to_owned(),
            below,
            taxon.cultivar.clone().unwrap_or_default(),
            hybrid.to_owned(),
        ];
        assert_eq!(read.to_vec(), columns);
    }
    assert!(number >= 200, "{number} names");
}

fn capitalised(text: &str) -> String {
    text[..1].to_uppercase() + &text[1..]
}

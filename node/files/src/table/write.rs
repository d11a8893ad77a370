//! Tables that leave the program.

use crate::fault::Fault;

/// Rows as CSV. Cells that a spreadsheet would take for a formula get an apostrophe, which reading takes away again.
pub fn as_csv(rows: &[Vec<String>]) -> Result<String, Fault> {
    let guarded = |cell: &String| {
        if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{cell}") } else { cell.clone() }
    };
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        writer
            .write_record(row.iter().map(guarded))
            .map_err(|e| Fault::environment("tables-unwritable").because(e))?;
    }
    let bytes =
        writer.into_inner().map_err(|e| Fault::environment("tables-unwritable").because(e.error()))?;
    Ok(String::from_utf8(bytes).expect("cells are text"))
}

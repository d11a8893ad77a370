//! `propagule restore`

use std::io::Read;
use std::path::PathBuf;

use clap::Args;

use super::{Context, ask};
use propagule_app::archive;
use propagule_files::fault::Fault;
use propagule_files::replace::make_private_folder;

/// The largest file that is read; `export` writes none as large.
const MOST_BYTES: u64 = 128 << 20;

#[derive(Debug, Args)]
pub(crate) struct RestoreArgs {
    #[arg(value_name = "FILE.zip")]
    file: PathBuf,
}

pub(super) fn cmd_restore(context: &Context, args: &RestoreArgs) -> Result<(), Fault> {
    let place = context.home_path()?;
    let name = args.file.display().to_string();
    let mut bytes = Vec::new();
    let read =
        std::fs::File::open(&args.file).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes));
    read.map_err(|e| Fault::file("read", &args.file, e))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Fault::user("archive-too-large").with("name", &name).with("most", MOST_BYTES >> 20));
    }
    if let Some(above) = place.parent().filter(|above| !above.as_os_str().is_empty()) {
        make_private_folder(above)?;
    }
    let restored = archive::restore(&name, &bytes, &place, context.words())?;
    ask::show_outcome(context, &restored)
}

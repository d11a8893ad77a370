//! Takes a picture of every room of the page, at both widths and in the dark.
//!
//! `cargo run -p propagule-tests --bin shots -- FOLDER`
#![expect(clippy::print_stdout, reason = "it says where the pictures are")]

use anyhow::{Context, anyhow};
use propagule_tests::Grower;
use propagule_tests::browser::Browser;
use propagule_tests::season;

fn main() -> anyhow::Result<()> {
    let folder = std::env::args().nth(1).context("name a folder for the pictures")?;
    let folder = std::path::absolute(folder)?;
    let browser = Browser::find().map_err(|missing| anyhow!(missing))?;
    let grower = Grower::new()?;
    season::on_the_bench(&grower)?;
    let node = grower.serve()?;
    print!("{}", browser.run("shots", node.page(), &[("SHOTS", &folder)])?);
    Ok(())
}

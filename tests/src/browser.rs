//! A real browser, driven by the scripts of `tests/browser/`.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, ensure};

/// Names the folder in which `npm ci` has put what drives the browser.
pub const DRIVER_VARIABLE: &str = "PROPAGULE_PLAYWRIGHT";
/// Names the browser.
const BROWSER_VARIABLE: &str = "PROPAGULE_CHROMIUM";
/// Where distributions put it.
const USUAL: [&str; 3] = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/// A browser and what drives it.
#[derive(Debug)]
pub struct Browser {
    driver: PathBuf,
    chromium: PathBuf,
}

impl Browser {
    /// The one that is there, or what is missing.
    ///
    /// # Errors
    /// What is missing, in words.
    pub fn find() -> Result<Self, String> {
        let driver = std::env::var_os(DRIVER_VARIABLE).map(PathBuf::from);
        let driver = driver.filter(|folder| folder.join("node_modules/playwright-core").is_dir());
        let driver = driver.ok_or(format!("{DRIVER_VARIABLE} names no folder with playwright-core"))?;
        let named = std::env::var_os(BROWSER_VARIABLE).map(PathBuf::from);
        let chromium = named.into_iter().chain(USUAL.map(PathBuf::from)).find(|path| path.is_file());
        let chromium = chromium.ok_or(format!("no Chromium; {BROWSER_VARIABLE} may name one"))?;
        Ok(Self { driver, chromium })
    }

    /// Runs a script against the page with this one-time address.
    ///
    /// # Errors
    /// What the script found wrong.
    pub fn run(&self, script: &str, page: &str, variables: &[(&str, &Path)]) -> anyhow::Result<String> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("browser");
        let output = Command::new("node")
            .arg(folder.join("run.mjs"))
            .arg(script)
            .env(DRIVER_VARIABLE, &self.driver)
            .env(BROWSER_VARIABLE, &self.chromium)
            .env("PAGE", page)
            .envs(variables.iter().copied())
            .output()
            .context("node runs")?;
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        ensure!(output.status.success(), "{script}: {said}{}", String::from_utf8_lossy(&output.stderr));
        Ok(said)
    }
}

//! A node in a process of its own.

use std::fs::File;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use anyhow::{Context, bail, ensure};

/// A running node; killed when dropped.
#[derive(Debug)]
pub struct Node {
    address: String,
    page: String,
    phones: Option<String>,
    child: Child,
}

impl Node {
    /// Starts `command` and waits until it says that it is ready; what it writes to stderr goes to `log`.
    pub fn start(mut command: Command, log: &Path) -> anyhow::Result<Self> {
        let mut child = command.stdout(Stdio::piped()).stderr(File::create(log)?).spawn()?;
        let mut lines = BufReader::new(child.stdout.take().context("stdout is piped")?).lines();
        let (mut address, mut page, mut phones) = (None, None, None);
        for line in lines.by_ref() {
            let line = line?;
            if let Some(listening) = line.strip_prefix("listening ") {
                address = Some(listening.to_owned());
            }
            if let Some(one_time) = line.strip_prefix("page ") {
                page = Some(one_time.to_owned());
            }
            if let Some(pair) = line.strip_prefix("phones ") {
                phones = pair.split(' ').next().map(str::to_owned);
            }
            if line.starts_with("ready ") {
                let (address, page) =
                    (address.context("it listens somewhere")?, page.context("it has a page")?);
                return Ok(Self { address, page, phones, child });
            }
        }
        child.wait()?;
        bail!("the node ended early: {}", std::fs::read_to_string(log)?)
    }

    /// Its address with its id at the end.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// The address that lets one browser in.
    pub fn page(&self) -> &str {
        &self.page
    }

    /// Where phones type their code.
    pub fn phones(&self) -> Option<&str> {
        self.phones.as_deref()
    }

    /// Memory that it has now, in MB, as the system counts it.
    ///
    /// # Errors
    /// When the system does not tell.
    pub fn memory_mb(&self) -> anyhow::Result<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id()))?;
        let line = status
            .lines()
            .find_map(|line| line.strip_prefix("VmRSS:"))
            .context("the system counts memory")?;
        let kilobytes: u64 = line.trim().trim_end_matches(" kB").trim().parse()?;
        Ok(kilobytes / 1_024)
    }

    /// Processor time that it has used, in seconds: fields 14 and 15 of proc(5), in hundredths.
    ///
    /// # Errors
    /// When the system does not tell.
    pub fn processor_seconds(&self) -> anyhow::Result<f64> {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.id()))?;
        let (_, after_name) = stat.rsplit_once(") ").context("the name stands in brackets")?;
        let fields: Vec<&str> = after_name.split(' ').collect();
        let (own, system) = (fields.get(11).context("field 14")?, fields.get(12).context("field 15")?);
        Ok((own.parse::<f64>()? + system.parse::<f64>()?) / 100.0)
    }

    /// Ends it without a warning.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn kill(&mut self) -> anyhow::Result<()> {
        self.child.kill()?;
        self.child.wait()?;
        Ok(())
    }

    /// Asks it to end, as Ctrl-C does, and returns whether it ended well.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn stop(mut self) -> anyhow::Result<bool> {
        let status = Command::new("kill").args(["-INT", &self.child.id().to_string()]).status()?;
        ensure!(status.success(), "the signal could not be sent");
        Ok(self.child.wait()?.success())
    }
}

impl Drop for Node {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
